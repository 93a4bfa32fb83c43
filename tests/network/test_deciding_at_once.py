"""Two administrators send their decision at the same moment: one is kept, the other reads who was first."""

from __future__ import annotations

import threading
from collections.abc import Callable

import pytest
from django.db import connections
from django.test import Client

from network.models import Application, Notice, Qualification
from tests.cast import make_administrator, make_member, make_qualification, make_workshop

pytestmark = pytest.mark.django_db(transaction=True)
FORM = {"decision": "approve", "reason": "Paper held in hand."}


def waiting() -> Application:
    """An application with one paper, which both administrators have looked at."""
    application = make_workshop("Voltwerk", state="applied").application
    make_qualification(make_member(application.workshop).person, ["inverter"], state="claimed")
    return application


def at_once(pages: list[Client], path: str, forms: list[dict[str, str]]) -> list[tuple[int, str]]:
    """Each page sends its form when all are ready; status and text of each answer."""
    start, answers = threading.Barrier(len(pages)), {}

    def send(number: int) -> None:
        start.wait(10)
        answer = pages[number].post(path, forms[number])
        answers[number] = (answer.status_code, answer.content.decode())
        connections.close_all()

    threads = [threading.Thread(target=send, args=(n,)) for n in range(len(pages))]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(30)
    return [answers[n] for n in range(len(pages))]


@pytest.mark.parametrize("second_says", ["approve", "decline"])
def test_one_decision_is_kept_and_the_other_administrator_reads_whose(
    client_of: Callable[..., Client], second_says: str
) -> None:
    names = ["Hedda Ringelstein", "Erna Erstling"]
    pages = [client_of(make_administrator(name)) for name in names]
    application = waiting()
    form = FORM | {f"paper_{Qualification.objects.get().pk}": "paper_seen"}
    answers = at_once(pages, f"/applications/{application.pk}/", [form, form | {"decision": second_says}])
    assert sorted(status for status, _text in answers) == [302, 409]
    application.refresh_from_db()
    refused = next(text for status, text in answers if status == 409)
    first = names[[status for status, _text in answers].index(302)]
    assert application.decided_by.name == first and f"Decided by {first}" in refused
    assert Notice.objects.filter(email=application.applicant.email, path="/application/").count() == 1
