"""Canaries and mutations: nothing of B reaches A, and the tests go red when the guard of one model is switched off."""

from __future__ import annotations

import logging
from collections.abc import Iterator
from itertools import product
from typing import Any

import pytest
from django.core import mail
from django.db import transaction
from django.http import HttpResponse
from django.test import Client
from django.urls import NoReverseMatch, reverse

from network.access import PrivateManager, PrivateModel
from network.api_tokens import PerToken
from network.delivery import deliver_due
from network.models import Notice
from tests.access_canaries import sow, text_fields
from tests.access_matrix import ROWS
from tests.access_matrix_programs import PROGRAMS
from tests.access_scene import build, foreign_rows_seen, private_models
from tests.access_walk import Walker, rows_of, said
from tests.cast import make_token

pytestmark = pytest.mark.django_db

# A private link is its own key: whoever holds B's owner's link reads that enquiry, and A doesn't hold it.
NOT_HELD_BY_A = {"link_of_b", "withdrawn_link_of_b", "car_of_b", "finished_car_of_b"}
NOT_HELD_BY_A |= {"car_agreed_of_b", "car_waiting_of_b", "car_draft_of_b"}
B_READS = [("job", "job_of_b"), ("enquiry", "enquiry_of_b"), ("instrument", "instrument_of_b"), ("jobs", "-")]

# The row of the table that tells when this model's guard is off. The other models are read by no address of their own,
# only through a job or a sheet that was guarded before: there `tests/network/test_access_guard.py` tells.
TELLS = {
    "network.ApiToken": ("api_token", "GET", "token_of_b", "-"),
    "network.Picture": ("picture", "GET", "picture_of_b", "-"),
    "jobs.Bay": ("bay", "GET", "empty_bay_of_b", "-"),
    "jobs.JobCode": ("code_note", "GET", "code_of_b", "-"),
    "jobs.Job": ("job", "GET", "job_of_b", "-"),
    "jobs.Estimate": ("estimate", "GET", "agreed_of_b", "-"),
    "jobs.FollowUp": ("follow_up", "GET", "follow_up_of_b", "-"),
    "jobs.FollowedRepair": ("outcome_stands", "GET", "outcome_of_b", "-"),
    "jobs.Enquiry": ("enquiry", "GET", "enquiry_of_b", "-"),
    "jobs.Vehicle": ("vehicle_battery", "GET", "vehicle_of_b", "-"),
    "diagnostics.MeasurementLog": ("log", "GET", "log_of_b", "-"),
    "diagnostics.Sheet": ("sheet", "GET", "sheet_of_b", "-"),
    "diagnostics.Record": ("record", "GET", "record_of_b", "-"),
    "diagnostics.Instrument": ("instrument", "GET", "instrument_of_b", "-"),
    "diagnostics.CheckResistor": ("check_resistor", "GET", "resistor_of_b", "-"),
    "diagnostics.InstrumentRange": ("record_new", "POST", "windings_of_a", "windings_with_meter_of_b"),
    "parts.ShelfUpload": ("shelf_columns", "GET", "shelf_upload_of_b", "-"),
}
READ_THROUGH_ANOTHER = {
    "diagnostics.Battery", "diagnostics.DisplayPhoto", "diagnostics.EarlierCapacity", "diagnostics.InstrumentCheck", "diagnostics.LogShape", "jobs.Customer",
    "jobs.JobLook", "jobs.SignedEntry",
    "jobs.CodeDescription", "jobs.CodeReading", "jobs.WatchedTemperature",
    "jobs.SafeStep", "jobs.StateChange",
    "parts.Watch",  # by its person alone
    "parts.ShelfItem",  # by the list alone
    "jobs.Cause", "jobs.PictureMark", "jobs.StepDraft",
    "jobs.Disturbance", "jobs.Waiver",
    "jobs.EstimateLine", "jobs.EstimateAnswer", "jobs.UsedLine",
    "jobs.ListedStep",  # by part and stage alone
}  # fmt: skip
READ_THROUGH_ANOTHER.add("network.KeptAnswer")  # through the token of whoever asked


# The answer with the guard on, and with it off; 500 is where the guard of another model still stops the page.
RED = {("404", "200"), ("422", "302"), ("404", "500")}


@pytest.fixture(scope="module")
def walker(django_db_setup: None, django_db_blocker: Any) -> Iterator[Walker]:
    with django_db_blocker.unblock(), transaction.atomic():
        yield Walker(build())
        transaction.set_rollback(True)


def words_in(words: dict[str, str], *texts: str) -> set[str]:
    """Where each canary that stands in one of the texts was sown."""
    whole = "\n".join(texts).lower()
    return {where for word, where in words.items() if word in whole}


def sight_of(response: HttpResponse) -> tuple[str, str, str]:
    return response.content.decode(errors="replace"), str(response.headers), str(response.cookies)


@pytest.mark.once
def test_no_word_of_b_reaches_a_in_answers_headers_mails_or_logs(
    walker: Walker, caplog: pytest.LogCaptureFixture
) -> None:
    words = sow(walker.scene)
    Notice.objects.update(state=Notice.State.SENT)  # what goes out from here on is A's doing
    caplog.set_level(logging.DEBUG)
    leaks = []
    for name in ROWS:
        for row in (row for row in rows_of(name) if row.object not in NOT_HELD_BY_A):
            answer = walker.ask("technician", name, row.method, row.object, row.payload, then=deliver_due)
            mails = [str(message.message()) for message in mail.outbox]
            leaks += [(name, str(row), where) for where in words_in(words, *sight_of(answer), *mails, caplog.text)]
            caplog.clear()
    assert len(mail.outbox) > 5, "nothing was sent: the walk saw no mail"
    assert not leaks


@pytest.mark.once
def test_no_word_of_b_reaches_a_program_of_a(walker: Walker, monkeypatch: pytest.MonkeyPatch) -> None:
    """What a token of A opens: lists and single rows, own, foreign (404 as a missing one) and missing."""
    monkeypatch.setattr(PerToken, "allow_request", lambda *_asked: True)  # more is asked here than in a minute allowed
    words, (_row, text) = sow(walker.scene), make_token(walker.scene.a.member)
    for name, thing in product(PROGRAMS, ("-", *walker.scene.objects)):
        try:
            url = reverse(name, kwargs=walker.scene.objects[thing])
        except NoReverseMatch:
            continue
        answer = Client().get(url, HTTP_AUTHORIZATION=f"Bearer {text}")
        assert answer.status_code in (200, 404, 405), (name, thing)
        assert not words_in(words, *sight_of(answer)), (name, thing)


def test_b_reads_its_own_words_so_the_canaries_can_be_seen(walker: Walker) -> None:
    words = sow(walker.scene)
    for name, thing in B_READS:
        assert words_in(words, *sight_of(walker.ask("member_of_b", name, "GET", thing))), name


def test_every_private_model_is_listed_and_every_text_of_its_rows_is_sown(walker: Walker) -> None:
    assert {model._meta.label for model in private_models()} == set(TELLS) | READ_THROUGH_ANOTHER
    texts = {f"{model._meta.label}.{field.name}" for model in private_models() for field in text_fields(model)}
    assert {"jobs.Customer.name", "jobs.Vehicle.vin", "jobs.SignedEntry.words", "jobs.Enquiry.symptom"} < texts
    assert texts - set(sow(walker.scene).values()) == set()


def switch_guard_off(model: type[PrivateModel], monkeypatch: pytest.MonkeyPatch) -> None:
    """Every row of the model, whoever acts; the other models stay guarded."""
    guarded = PrivateManager.get_queryset

    def get_queryset(manager: Any) -> Any:
        return super(PrivateManager, manager).get_queryset() if manager.model is model else guarded(manager)

    monkeypatch.setattr(PrivateManager, "get_queryset", get_queryset)


@pytest.mark.parametrize("model", private_models(), ids=lambda model: model._meta.label)
def test_with_one_guard_off_the_tests_go_red(
    model: type[PrivateModel], walker: Walker, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(walker.client, "raise_request_exception", False)
    asked = TELLS.get(model._meta.label)
    assert foreign_rows_seen(model, walker.scene) == 0
    before = said(walker.ask("technician", *asked)) if asked else ""
    switch_guard_off(model, monkeypatch)
    assert foreign_rows_seen(model, walker.scene) > 0
    if asked:
        assert (before, said(walker.ask("technician", *asked))) in RED
