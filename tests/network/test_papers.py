"""After the application: a manager enters papers and names people, an administrator verifies or refuses each once."""

from __future__ import annotations

import datetime
from collections.abc import Callable

import pytest
from django.test import Client
from django.utils import timezone

from network import work
from network.models import Membership, Notice, Qualification, User
from tests.cast import Cast, make_qualification

pytestmark = pytest.mark.django_db
NEW = "/our-workshop/papers/new/"


def typed(person: User | None = None, **more: object) -> dict[str, object]:
    day = timezone.localdate() + datetime.timedelta(days=700)
    return {
        "name": person.name if person else "Nele Feld", "email": person.email if person else "nele@feld.example",
        "role": "technician", "title": "High-voltage vehicles, level 3", "issuer": "Kring Institute",
        "certificate": "KI-77120", "covers": ["charging"], "expires_on": day.isoformat(),
    } | more  # fmt: skip


def told(verb: str) -> set[str]:
    return set(Notice.objects.filter(event__verb=verb).values_list("email", flat=True))


def test_a_renewed_paper_counts_once_an_administrator_saw_it(cast: Cast, client_of: Callable[..., Client]) -> None:
    holder = cast.technician.person
    assert client_of(cast.manager).post(NEW, typed(holder))["Location"] == "/our-workshop/"
    paper = Qualification.objects.get(certificate="KI-77120")
    assert (paper.holder, paper.state) == (holder, "claimed")
    assert not Membership.objects.filter(person=holder, workshop=cast.a).exclude(state="active").exists()
    office = client_of(cast.administrator)
    assert told("paper_entered") == {cast.administrator.email}
    assert f"/papers/{paper.pk}/" in office.get("/applications/").content.decode()
    office.post(f"/papers/{paper.pk}/", {"decision": "issuer_asked"})
    paper.refresh_from_db()
    assert (paper.state, paper.proof, paper.verified_by) == ("verified", "issuer_asked", cast.administrator)
    assert {holder.email, cast.manager.person.email} <= told("paper_verified")
    cast.a.refresh_from_db()
    assert "Charging" in work.labels(cast.a.work_bits)


def test_somebody_new_is_named_and_asked_to_agree(cast: Cast, client_of: Callable[..., Client]) -> None:
    manager = client_of(cast.manager)
    manager.post(NEW, typed())
    seat = Membership.objects.get(person__email="nele@feld.example")
    assert (seat.workshop, seat.state) == (cast.a, "named") and told("member_named") == {"nele@feld.example"}
    assert "KI-77120" not in manager.get("/our-workshop/").content.decode()


def test_a_named_member_of_another_workshop_shows_nothing_before_they_agree(
    cast: Cast, client_of: Callable[..., Client]
) -> None:
    make_qualification(cast.member_of_b.person, ["inverter"], title="Canarytitle")
    manager = client_of(cast.manager)
    manager.post(NEW, typed(cast.member_of_b.person))
    page = manager.get("/our-workshop/").content.decode()
    assert cast.member_of_b.person.name in page and "Canarytitle" not in page


def test_a_paper_that_has_run_out_is_refused_at_its_field_and_nothing_is_lost(
    cast: Cast, client_of: Callable[..., Client]
) -> None:
    answer = client_of(cast.manager).post(NEW, typed(expires_on="2020-01-01"))
    assert answer.status_code == 422 and answer.context["form"].errors == {
        "expires_on": ["This paper has run out already."]
    }
    assert "KI-77120" in answer.content.decode() and not Qualification.objects.filter(certificate="KI-77120").exists()


def test_it_is_refused_with_a_reason_and_decided_once(cast: Cast, client_of: Callable[..., Client]) -> None:
    paper = make_qualification(cast.technician.person, ["charging"], state="claimed")
    office, address = client_of(cast.administrator), f"/papers/{paper.pk}/"
    assert list(office.post(address, {"decision": "refuse"}).context["form"].errors) == ["reason"]
    assert office.post(address, {"decision": "refuse", "reason": "The seal is missing."}).status_code == 302
    assert "The seal is missing." in Notice.objects.filter(event__verb="paper_refused")[0].body
    assert office.post(address, {"decision": "paper_seen"}).status_code == 409
    paper.refresh_from_db()
    assert paper.state == "refused"


def test_a_member_gets_the_form_filled_with_who_it_is(cast: Cast, client_of: Callable[..., Client]) -> None:
    page = client_of(cast.manager).get(NEW, {"member": cast.technician.pk}).content.decode()
    assert cast.technician.person.email in page
    assert (
        cast.member_of_b.person.email
        not in client_of(cast.manager).get(NEW, {"member": cast.member_of_b.pk}).content.decode()
    )
