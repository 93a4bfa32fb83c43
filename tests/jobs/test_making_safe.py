"""Making safe: steps in order, by a qualified person with a second one, ended by any change of state.

Outside sources: EN 50110-1, the five rules of safety and their order (secure, prove dead; as told by DGUV Information
209-093); voltage limits of glove classes, ASTM D120 as quoted at adanacelectric.com; 60 V DC, FMVSS 305. The waiting
time is the maker's: none is known here, and a test holds that the page states none.
"""

from __future__ import annotations

import datetime
import re
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from diagnostics.recording import proof_of_absence
from jobs import making_safe, working
from jobs.models import Customer, Job, SafeStep, Vehicle
from jobs.working import CannotBeSigned
from network import signing
from network.models import Event, Qualification
from tests.bench import ISOLATION, PROOF, SAFE_STEPS, Bench

CODE = "604819"
ORDER = list(SAFE_STEPS)


def do(bench: Bench, step: str, job: Job | None = None, **more: Any) -> SafeStep:
    facts: dict[str, Any] = {"by": bench.ilse, "beside": bench.bram.person, "facts": SAFE_STEPS[step]}
    return making_safe.do(job=job or bench.job, step=step, **facts | more)


def until(bench: Bench, step: str) -> None:
    for code in ORDER[: ORDER.index(step)]:
        do(bench, code, at=timezone.now() - datetime.timedelta(hours=1))


def test_the_proof_stands_only_after_every_step(bench: Bench) -> None:
    from diagnostics.recording import add_record

    early = add_record(bench.entry("absence_of_voltage", PROOF))
    assert early.verdict == "unproven" and "steps_not_done" in early.body["concerns"]
    bench.steps()
    assert bench.record("absence_of_voltage", PROOF).verdict == "within"
    assert proof_of_absence(bench.sheet) is not None
    assert making_safe.standing(bench.job).sentence.startswith("Absence of voltage is proved")


@pytest.mark.parametrize("step", ORDER[1:])
def test_no_step_before_the_one_before_it(bench: Bench, step: str) -> None:
    with pytest.raises(CannotBeSigned, match="First: "):
        do(bench, step)


def test_whoever_isnt_qualified_today_cant_sign_nor_prove(bench: Bench) -> None:
    bench.steps()
    yesterday = timezone.localdate() - datetime.timedelta(days=1)
    Qualification.objects.filter(holder=bench.ilse.person).update(expires_on=yesterday)
    assert "not_qualified" in bench.record("absence_of_voltage", PROOF).body["concerns"]
    making_safe.change_state(job=bench.job, what="connector", words="x", by=bench.bram, beside=None)
    with pytest.raises(CannotBeSigned, match="no qualification"):
        do(bench, "charge_lead")


def test_nobody_signs_alone(bench: Bench) -> None:
    outsider = bench.cast.rureifel
    for beside in (None, bench.ilse.person, outsider):
        with pytest.raises(CannotBeSigned, match="Never alone"):
            do(bench, "charge_lead", beside=beside)


@pytest.mark.parametrize(
    ("facts", "sentence"),
    [
        ({"in_date_until": "2000-01-01"}, "out of date"),
        ({"glove_class": "00"}, "at most 500 V"),  # the bench's family works at up to 650 V
    ],
)
def test_gloves_out_of_date_or_of_a_class_too_low_hold(bench: Bench, facts: dict[str, str], sentence: str) -> None:
    until(bench, "gloves")
    with pytest.raises(CannotBeSigned, match=sentence):
        do(bench, "gloves", facts=SAFE_STEPS["gloves"] | facts)


def test_all_that_is_wrong_with_the_gloves_is_told_at_once(bench: Bench) -> None:
    until(bench, "gloves")
    with pytest.raises(CannotBeSigned, match=r"out of date.*at most 500 V"):
        do(bench, "gloves", facts=SAFE_STEPS["gloves"] | {"in_date_until": "2000-01-01", "glove_class": "00"})


def test_an_unknown_wait_holds_and_a_known_one_is_kept(bench: Bench) -> None:
    until(bench, "disconnect")
    do(bench, "disconnect")
    for unknown in ({"minutes": None}, {"source": " "}):
        with pytest.raises(CannotBeSigned, match="must be known"):
            do(bench, "wait", facts=SAFE_STEPS["wait"] | unknown)
    with pytest.raises(CannotBeSigned, match="is over at"):
        do(bench, "wait", at=timezone.now() + datetime.timedelta(minutes=4))
    do(bench, "wait", at=timezone.now() + datetime.timedelta(minutes=6))


@pytest.mark.parametrize(("volts", "word"), [(61.0, "Stop: above 60 V"), (6.0, "Hold: above 5 V")])
def test_voltages_stop_or_hold(bench: Bench, volts: float, word: str) -> None:
    bench.record("absence_of_voltage", PROOF | {"positive_to_negative_v": volts})
    assert making_safe.standing(bench.job).sentence.startswith(word)


@pytest.mark.parametrize("what", ["connector", "refitted", "twelve_volt", "live"])
def test_a_change_of_state_ends_steps_and_proof_and_is_an_event(bench: Bench, what: str) -> None:
    bench.record("absence_of_voltage", PROOF)
    making_safe.change_state(job=bench.job, what=what, words="why", by=bench.ilse, beside=bench.bram.person)
    stands = making_safe.standing(bench.job)
    assert stands.proof is None and stands.next == "charge_lead" and not stands.steps
    assert proof_of_absence(bench.sheet) is None
    assert Event.objects.filter(verb=f"state_changed_{what}").count() == 1
    bench.record("absence_of_voltage", PROOF)  # with its steps again
    assert proof_of_absence(bench.sheet) is not None


def test_a_live_record_ends_the_steps_too(bench: Bench) -> None:
    bench.record("absence_of_voltage", PROOF)
    bench.record("vehicle_isolation", ISOLATION)
    assert making_safe.standing(bench.job).next == "charge_lead"


def test_going_live_needs_its_own_authorisation_and_a_second_person(bench: Bench) -> None:
    with pytest.raises(CannotBeSigned, match="Never alone"):
        making_safe.change_state(job=bench.job, what="live", words="x", by=bench.ilse, beside=None)
    Qualification.objects.filter(holder=bench.ilse.person).update(live_work=False)
    with pytest.raises(CannotBeSigned, match="no valid authorisation"):
        making_safe.change_state(job=bench.job, what="live", words="x", by=bench.ilse, beside=bench.bram.person)


def test_a_car_in_quarantine_is_not_touched(bench: Bench) -> None:
    job = working.book_in(
        by=bench.ilse, customer=Customer(name="A"), vehicle=Vehicle(description="L"), complaint="c", triage=["smoke"]
    )
    with pytest.raises(CannotBeSigned, match="quarantine"):
        do(bench, "charge_lead", job=job)


def test_a_colleague_signs_on_the_device_with_their_own_code(bench: Bench, client: Client) -> None:
    client.force_login(bench.ilse.person)
    signing.set_code(person=bench.bram.person, code=CODE)
    url = reverse("job_safe", args=[bench.job.pk])
    typed = {"step": "charge_lead", "done": "on", "signer": bench.bram.person.pk, "beside": bench.ilse.person.pk}
    wrong = client.post(url, typed | {"code": "604818"})
    assert wrong.status_code == 409 and "not the one of Bram" in wrong.content.decode()
    assert 'action="#charge_lead"' in wrong.content.decode(), "what comes back is seen without scrolling"
    assert client.post(url, typed | {"code": CODE}).headers["Location"] == f"{url}#wheels"
    assert SafeStep.objects.get().done_by == bench.bram.person


def test_the_page_states_no_waiting_time_of_its_own(bench: Bench, client: Client) -> None:
    client.force_login(bench.ilse.person)
    until(bench, "wait")
    text = re.sub(r"<[^>]+>", " ", client.get(reverse("job_safe", args=[bench.job.pk])).content.decode())
    assert "maker’s waiting time" in text and not re.search(r"\d+\s*(minutes?|min\b|hours?)", text)


def test_what_was_noted_is_shown_with_what_it_is(bench: Bench, technician: Client) -> None:
    bench.steps()
    page = technician.get(reverse("job_safe", args=[bench.job.pk])).content.decode()
    assert "Class of the gloves: 0" in page and "In date until: 1 January 2099" in page
    assert "5 minutes · Lanner 14-001" in page
