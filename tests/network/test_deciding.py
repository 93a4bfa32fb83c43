"""Applications are decided once, with a reason; whoever comes second is told who was first."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import Any

import pytest
from django.db import connections
from django.test import Client

from network.models import Application, Event, Membership, Notice, Qualification, User
from network.models.applications import AlreadyDecided
from tests.cast import make_administrator, make_person, make_qualification, make_workshop

pytestmark = pytest.mark.django_db


@pytest.fixture
def waiting(db: None) -> Application:
    """An application whose only other person has one paper."""
    make_administrator("Hedda Ringelstein")
    application = make_workshop("Voltwerk", state="applied").application
    person = make_person("Sophie Lemoinnet")
    Membership.objects.create(person=person, workshop=application.workshop, role="technician")
    make_qualification(person, ["inverter"], state="claimed")
    return application


@pytest.fixture
def office(waiting: Application, client_of: Callable[..., Client]) -> Client:
    return client_of(User.objects.get(name="Hedda Ringelstein"))


def path(application: Application) -> str:
    return f"/applications/{application.pk}/"


def decision(application: Application, decision: str = "approve", how: str = "issuer_asked") -> dict[str, str]:
    paper = Qualification.objects.get()
    return {"decision": decision, "reason": "Asked the issuer today.", f"paper_{paper.pk}": how}


def test_approving_lets_the_workshop_in_and_verifies_the_paper(office: Client, waiting: Application) -> None:
    assert office.post(path(waiting), decision(waiting)).status_code == 302
    waiting.refresh_from_db()
    paper = Qualification.objects.get()
    assert (waiting.state, waiting.workshop.state) == ("approved", "approved")
    assert (paper.state, paper.proof, paper.verified_by) == ("verified", "issuer_asked", waiting.decided_by)
    assert Client().get(f"/workshops/{waiting.workshop_id}/").status_code == 200


def test_the_applicant_and_the_named_are_told_each_once(office: Client, waiting: Application) -> None:
    Notice.objects.all().delete()
    office.post(path(waiting), decision(waiting))
    told = {notice.email: notice for notice in Notice.objects.all()}
    named = Qualification.objects.get().holder
    assert set(told) == {waiting.applicant.email, named.email} and Notice.objects.count() == 2
    assert "Asked the issuer today." in told[waiting.applicant.email].body
    assert "/application/" in told[named.email].body and "agree" in told[named.email].body


def test_a_paper_that_was_not_verified_is_refused(office: Client, waiting: Application) -> None:
    other = make_qualification(Qualification.objects.get().holder, ["charging"], state="claimed")
    form = {"decision": "approve", "reason": "One of two.", f"paper_{other.pk}": "paper_seen"}
    office.post(path(waiting), form)
    states = dict(Qualification.objects.values_list("pk", "state"))
    assert states.pop(other.pk) == "verified" and list(states.values()) == ["refused"]


def test_declining_keeps_the_workshop_out_and_says_why(office: Client, waiting: Application) -> None:
    Notice.objects.all().delete()
    office.post(path(waiting), decision(waiting, "decline"))
    waiting.refresh_from_db()
    assert (waiting.state, waiting.workshop.state) == ("declined", "declined")
    (notice,) = Notice.objects.all()
    assert notice.email == waiting.applicant.email and "Asked the issuer today." in notice.body
    assert Client().get(f"/workshops/{waiting.workshop_id}/").status_code == 404


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"decision": ""}, "decision"), ({"decision": "maybe"}, "decision"), ({"reason": ""}, "reason"),
        ({"reason": "r" * 1001}, "reason"), ({"reason": "\0"}, "reason"), ({"paper": "believed"}, "paper"),
        ({"paper": ""}, "__all__"),
    ],
)  # fmt: skip
def test_a_decision_without_reason_or_proof_is_refused(
    office: Client, waiting: Application, change: dict[str, str], field: str
) -> None:
    paper = f"paper_{Qualification.objects.get().pk}"
    form = decision(waiting) | {paper if name == "paper" else name: value for name, value in change.items()}
    answer = office.post(path(waiting), form)
    assert answer.status_code == 422
    assert (paper if field == "paper" else field) in answer.context["form"].errors
    waiting.refresh_from_db()
    assert waiting.state == "waiting" and Qualification.objects.get().state == "claimed"


def test_the_second_administrator_is_told_who_was_first_and_what(office: Client, waiting: Application) -> None:
    waiting.decline(by=make_administrator("Erna Erstling"), reason="No issuer known.")
    events = Event.objects.count()
    answer = office.post(path(waiting), decision(waiting))
    text = answer.content.decode()
    assert answer.status_code == 409
    assert "Erna Erstling" in text and "declined" in text and "No issuer known." in text
    waiting.refresh_from_db()
    assert waiting.state == "declined" and Event.objects.count() == events


@pytest.mark.django_db(transaction=True)
def test_two_administrators_at_once_give_one_decision() -> None:
    for round_ in range(5):
        application = make_workshop(f"Race {round_}", state="applied").application
        deciders = [make_administrator(f"A {round_}"), make_administrator(f"B {round_}")]
        Notice.objects.all().delete()
        start, second = threading.Barrier(2), []

        def decide(by: User, pk: int = application.pk, start: Any = start, second: list[Any] = second) -> None:
            mine = Application.objects.get(pk=pk)
            start.wait(10)
            try:
                if by.name.startswith("A"):
                    mine.approve(by=by, reason=by.name, seen={})
                else:
                    mine.decline(by=by, reason=by.name)
            except AlreadyDecided as refusal:
                second.append((by, refusal.application.decided_by, refusal.application.state))
            finally:
                connections.close_all()

        threads = [threading.Thread(target=decide, args=(by,)) for by in deciders]
        [thread.start() for thread in threads]
        [thread.join(30) for thread in threads]
        application.refresh_from_db()
        # Exactly one was second, and was told the truth about the first.
        ((loser, first, state),) = second
        assert first == application.decided_by != loser and state == application.state == application.workshop.state
        assert Notice.objects.filter(email=application.applicant.email).count() == 1
        verbs = Event.objects.filter(subject_type="network.application", subject_id=application.pk)
        assert verbs.filter(verb__in=["workshop_approved", "workshop_declined"]).count() == 1


@pytest.mark.parametrize("address", ["/applications/", "/applications/1/", "/notices/stuck/"])
def test_only_administrators_see_what_is_to_be_decided(
    waiting: Application, client_of: Callable[..., Client], address: str
) -> None:
    assert client_of(waiting.applicant).get(address).status_code == 403
    assert "/account/login/" in Client().get(address).headers["Location"]


def test_a_missing_application_is_404(office: Client) -> None:
    assert office.get("/applications/999999/").status_code == 404
    assert office.get(f"/applications/{'9' * 30}/").status_code == 404


def test_waiting_ones_come_first_then_the_decided(office: Client, waiting: Application) -> None:
    make_workshop("Decided Garage")
    text = office.get("/applications/").content.decode()
    assert "One application" in text and text.index("Voltwerk") < text.index("Decided Garage")
