"""A workshop applies: what is refused, what is kept, who belongs, and who is told."""

from __future__ import annotations

import datetime
import threading
from collections.abc import Callable
from typing import Any

import pytest
from django.db import connection, connections
from django.test import Client

from network import membership
from network.forms import business_number
from network.models import Application, Membership, Notice, Qualification, User, Workshop
from tests.cast import make_administrator, make_person, make_place, make_region

pytestmark = pytest.mark.django_db

WORKSHOP = {
    "name": "Atelier Vesdre-Nord", "street": "rue des Rouets 40", "country": "BE", "postcode": "B-4020",
    "town": "Liège", "email": "office@vesdre.example", "phone": "(0)30 / 23125-017", "languages": "French",
    "business_number": "BE 0999.000.129", "first_look": "First look on Wednesdays, 80 EUR.",
}  # fmt: skip
PERSON = {
    "name": "Sophie Lemoinnet", "email": "sophie@vesdre.example", "role": "technician", "title": "Opened batteries",
    "issuer": "Kring Institute", "certificate": "KI-7", "covers": ["traction_battery", "inverter"],
    "live_work": "on", "expires_on": str(datetime.date.today() + datetime.timedelta(days=300)),
}  # fmt: skip


def typed(*people: dict[str, Any], **changes: Any) -> dict[str, Any]:
    """What the browser sends for these people; `changes` are the workshop's."""
    rows = {"people-TOTAL_FORMS": len(people), "people-INITIAL_FORMS": 1}
    for n, person in enumerate(people):
        rows |= {f"people-{n}-{name}": value for name, value in person.items()}
    return WORKSHOP | {"region": make_region().pk} | changes | rows


@pytest.fixture
def applicant(db: None) -> User:
    make_place("BE", "4020", "Liège", 50.641, 5.611)
    return make_person("Colette Marichal")


@pytest.fixture
def page(applicant: User, client_of: Callable[..., Client]) -> Client:
    return client_of(applicant)


def test_an_application_stores_the_workshop_its_people_and_their_papers(page: Client, applicant: User) -> None:
    assert page.post("/apply/", typed(PERSON)).headers["Location"] == "/application/"
    shop = Workshop.objects.get()
    assert (shop.state, shop.latitude, shop.longitude) == ("applied", 50.641, 5.611)
    assert shop.business_number == "0999000129" and shop.phone == "(0)30 / 23125-017"
    belonging = set(Membership.objects.values_list("person__email", "role", "state"))
    assert belonging == {(applicant.email, "manager", "active"), ("sophie@vesdre.example", "technician", "named")}
    paper = Qualification.objects.get()
    assert (paper.state, paper.live_work, paper.covers) == ("claimed", True, ["Inverter", "Traction battery"])


def test_nothing_of_it_is_public_before_the_decision(page: Client) -> None:
    page.post("/apply/", typed(PERSON))
    shop = Workshop.objects.get()
    visitor = Client()
    assert visitor.get(f"/workshops/{shop.pk}/").status_code == 404
    near = visitor.get("/api/v1/workshops/near", {"country": "BE", "postcode": "4020"})
    assert near.json()["results"] == near.json()["beyond"] == []


def test_the_administrators_are_told_once_each(page: Client) -> None:
    administrators = {make_administrator("A").email, make_administrator("B").email}
    page.post("/apply/", typed(PERSON))
    assert sorted(Notice.objects.values_list("email", flat=True)) == sorted(administrators)


def test_somebody_new_gets_no_password_and_cannot_sign_in(page: Client) -> None:
    page.post("/apply/", typed(PERSON))
    assert not User.objects.get(email="sophie@vesdre.example").has_usable_password()


def test_somebody_known_is_named_under_the_account_they_have(page: Client) -> None:
    sophie = make_person("Sophie L.", email="sophie@vesdre.example")
    page.post("/apply/", typed(PERSON | {"email": "Sophie@Vesdre.Example"}))
    assert User.objects.get(email__iexact="sophie@vesdre.example").pk == sophie.pk
    assert Membership.objects.get(person=sophie).state == "named"


@pytest.mark.parametrize(
    ("country", "code", "number"),
    [
        # Valid and made-up numbers of the doctests of python-stdnum 2 (be.vat, nl.btw, lu.tva, de.vat).
        ("BE", "4020", "BE 428759497"),
        ("NL", "8011", "004495445B01"),
        ("LU", "5335", "LU 150 274 42"),
        ("DE", "52349", "DE 136,695 976"),
    ],
)
def test_a_business_number_of_each_country_is_taken(page: Client, country: str, code: str, number: str) -> None:
    make_place(country, code, "There") if code != "4020" else None
    page.post("/apply/", typed(PERSON, country=country, postcode=code, business_number=number))
    assert Workshop.objects.get().business_number == business_number(country, number)


@pytest.mark.parametrize(
    ("field", "value", "says"),
    [
        ("business_number", "BE 0999.000.120", "check digits"),
        ("business_number", "0" * 20, "check digits"),
        ("business_number", "٣٣٣٣٣٣٣٣٣", "check digits"),
        ("postcode", "4021", "Nobody here knows this postcode"),
        ("postcode", "%", "Nobody here knows this postcode"),
        ("country", "XX", "can’t be chosen"),
        ("region", "999999999999999999999999", "can’t be chosen"),
        ("email", "nobody", "isn’t an e-mail address"),
        ("name", "", "is empty. Write it here."),
        ("name", "n" * 121, "120 characters at most"),
        ("phone", "1\0002", "Null characters"),
    ],
)
def test_a_wrong_field_is_refused_with_a_sentence_and_what_was_typed_is_kept(
    page: Client, field: str, value: str, says: str
) -> None:
    answer = page.post("/apply/", typed(PERSON, **{field: value}))
    text = answer.content.decode()
    assert answer.status_code == 422 and says in text
    kept = {**WORKSHOP, **PERSON, field: value}
    for name in {"street", "first_look", "certificate", "title"} - {field}:
        assert kept[name] in text
    assert not Workshop.objects.exists() and not Qualification.objects.exists()


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("expires_on", str(datetime.date.today() - datetime.timedelta(days=1))), ("expires_on", "0000-00-00"),
        ("expires_on", "99999-01-01"), ("covers", ["welding"]), ("covers", []), ("email", "x" * 250 + "@a.example"),
        ("email", ""), ("certificate", "1\0"), ("role", "owner"),
    ],
)  # fmt: skip
def test_a_wrong_person_is_refused(page: Client, field: str, value: Any) -> None:
    answer = page.post("/apply/", typed(PERSON | {field: value}))
    assert answer.status_code == 422 and answer.context["people"].errors[0][field]
    assert not Application.objects.exists()


def test_nobody_is_named_twice(page: Client) -> None:
    answer = page.post("/apply/", typed(PERSON, PERSON | {"email": "SOPHIE@vesdre.example", "name": "Again"}))
    assert answer.status_code == 422 and "same e-mail address" in answer.content.decode()


@pytest.mark.parametrize("rows", [{}, {"people-TOTAL_FORMS": "many"}, {"people-TOTAL_FORMS": "9" * 30},
                                  {"people-TOTAL_FORMS": "-1"}, {"people-TOTAL_FORMS": "0"}])  # fmt: skip
@pytest.mark.parametrize("act", ["", "more"])
def test_a_tampered_count_of_rows_is_refused_and_not_an_error(page: Client, rows: dict[str, str], act: str) -> None:
    answer = page.post("/apply/", WORKSHOP | rows | {"act": act})
    assert answer.status_code == (200 if act else 422)
    assert not Application.objects.exists()


def test_one_more_person_shows_what_was_typed_with_an_empty_row_and_no_complaint(page: Client) -> None:
    answer = page.post("/apply/", typed(PERSON, name="", act="more"))
    people = answer.context["people"]
    assert answer.status_code == 200 and len(people.forms) == 2 and 'class="error"' not in answer.content.decode()
    assert people.forms[0]["certificate"].value() == "KI-7" and people.forms[0]["covers"].value() == PERSON["covers"]
    assert answer.context["form"]["street"].value() == WORKSHOP["street"]


def test_rows_that_stay_empty_are_left_out(page: Client) -> None:
    empty = {"name": "", "email": "", "role": "technician", "expires_on": ""}
    page.post("/apply/", typed(PERSON, empty, empty))
    assert Qualification.objects.count() == 1


def test_the_first_row_must_be_filled_in(page: Client) -> None:
    answer = page.post("/apply/", typed({"role": "technician"}))
    assert answer.status_code == 422 and not Application.objects.exists()


def test_a_second_application_while_one_waits_is_refused_with_a_sentence(page: Client) -> None:
    page.post("/apply/", typed(PERSON))
    answer = page.post("/apply/", typed(PERSON, name="Another"), follow=True)
    assert "still waits for a decision" in answer.content.decode()
    assert Workshop.objects.count() == Application.objects.count() == 1


def test_after_a_decision_the_same_person_may_apply_again(page: Client) -> None:
    page.post("/apply/", typed(PERSON))
    Application.objects.get().decline(by=make_administrator(), reason="no")
    page.post("/apply/", typed(PERSON, name="Another"))
    assert Application.objects.count() == 2


@pytest.mark.django_db(transaction=True)
def test_one_form_sent_twice_at_once_gives_one_application() -> None:
    applicant, region = make_person("Twice"), make_region()
    start, refused = threading.Barrier(2), []

    def send() -> None:
        shop = Workshop(
            name="V", street="s", postcode="4020", town="t", country="BE", latitude=50.0, longitude=5.0,
            region_id=region.pk, email="v@bench.example", phone="1", business_number="1",
        )  # fmt: skip
        try:
            start.wait(10)
            membership.apply(workshop=shop, people=[], by=applicant)
        except membership.AlreadyApplied:
            refused.append(True)
        finally:
            connections.close_all()

    threads = [threading.Thread(target=send) for _ in range(2)]
    [thread.start() for thread in threads]
    [thread.join(30) for thread in threads]
    connection.close()
    assert len(refused) == 1 and Workshop.objects.count() == Application.objects.count() == 1


def test_the_applicant_sees_how_it_stands_and_the_reason(page: Client) -> None:
    assert "/apply/" in page.get("/application/").content.decode()
    page.post("/apply/", typed(PERSON))
    assert "waiting for a decision" in page.get("/application/").content.decode()
    Application.objects.get().decline(by=make_administrator(), reason="The issuer does not know the paper.")
    text = page.get("/application/").content.decode()
    assert "declined" in text and "The issuer does not know the paper." in text


def test_a_named_person_agrees_and_their_paper_counts_from_then_on(page: Client, client_of: Any) -> None:
    page.post("/apply/", typed(PERSON))
    waiting, paper = Application.objects.get(), Qualification.objects.get()
    waiting.approve(by=make_administrator(), reason="seen", seen={paper.pk: "paper_seen"})
    assert Workshop.objects.get().work_bits == 0
    sophie = client_of(paper.holder)
    named = Membership.objects.get(person=paper.holder)
    assert "I belong to it" in sophie.get("/application/").content.decode()
    assert client_of(make_person("Stranger")).post(f"/memberships/{named.pk}/agree/").status_code == 404
    assert sophie.post(f"/memberships/{named.pk}/agree/").status_code == 302
    assert Workshop.objects.get().work_bits == paper.work_bits
