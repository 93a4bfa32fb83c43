"""The cause with its evidence; drafts; two people on one step. Outside source for what tells causes apart: Quinlan 1986
(`tests/calculations/test_telling_apart.py`); here that outcomes reach it as shared."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from jobs import causes, drafts, working
from jobs.models import Cause, Customer, Job, Outcome, SignedEntry, StepDraft, Vehicle
from network.pictures import keep
from tests import cast as made
from tests.bench import WINDINGS, Bench

TYPED: dict[str, Any] = {"failed_part": "Switch of phase V", "made_it_fail": "Its duct was blocked", "seen": "0"}


def url(bench: Bench) -> str:
    return reverse("job_cause", args=[bench.job.pk])


def test_it_is_signed_with_the_records_that_show_it(bench: Bench, technician: Client) -> None:
    record = bench.record("machine_windings", WINDINGS)
    assert technician.post(url(bench), TYPED | {"evidence": [record.pk]}).status_code == 302
    cause = Cause.objects.get()
    assert list(cause.evidence.all()) == [record]
    assert cause.entry.words == "Switch of phase V: Its duct was blocked"
    assert "Shown by the records" in technician.get(reverse("job", args=[bench.job.pk])).content.decode()


def test_a_record_of_another_sheet_is_no_evidence(bench: Bench, technician: Client) -> None:
    other = made.make_record(bench.ilse, made.make_sheet(bench.ilse))
    bench.record("machine_windings", WINDINGS)
    assert technician.post(url(bench), TYPED | {"evidence": [other.pk]}).status_code == 422


@pytest.mark.parametrize("same", ["vin", "registration"])
def test_a_repair_that_came_back_is_offered_and_linked(bench: Bench, technician: Client, same: str) -> None:
    vehicle = Vehicle(description="Lanner", **{same: getattr(bench.job.vehicle, same)})
    again = working.book_in(by=bench.ilse, customer=Customer(name="A"), vehicle=vehicle, complaint="again")
    page = technician.get(reverse("job_cause", args=[again.pk])).content.decode()
    assert bench.job.number in page and "did not last" in page
    technician.post(reverse("job_cause", args=[again.pk]), TYPED | {"repeat_of": bench.job.pk})
    assert Cause.objects.get().repeat_of == bench.job
    assert causes.earlier_jobs(bench.job) == []


def outcome(bench: Bench, cause: str, verdict: str) -> Outcome:
    return Outcome.objects.create(
        workshop=bench.workshop, family=bench.job.vehicle.family, part_kind="inverter", symptom="Stops uphill",
        cause=cause, repair_method="same_part", repaired_on=timezone.localdate().replace(day=1),
        figures=[
            {"title": "Fan sweep", "found": "", "verdict": verdict},
            {"title": "Machine windings", "found": "", "verdict": "within"},
        ],
    )  # fmt: skip


def test_outcomes_alike_and_the_measurement_that_told_them_apart_are_offered(bench: Bench, technician: Client) -> None:
    for cause, verdict in (("duct blocked", "outside"), ("board fault", "within")) * 2:
        outcome(bench, cause, verdict)
    alike = causes.alike(bench.job)
    assert (alike.measurement, alike.cases) == ("Fan sweep", 4)
    page = technician.get(url(bench)).content.decode()
    assert "Fan sweep" in page and "board fault" in page


def test_marks_are_kept_where_they_were_clicked_or_typed(bench: Bench, technician: Client) -> None:
    picture = keep(made.make_picture(), by=bench.ilse.person)  # 40 by 30: shown 320 by 240
    bench.job.pictures.add(picture)
    at = reverse("photo_marks", args=[bench.job.pk, picture.pk])
    page = technician.get(at, {"at.x": "80", "at.y": "120"}).content.decode()
    assert 'value="25.0"' in page and 'value="50.0"' in page
    assert technician.post(at, {"x": "25,0", "y": "101", "words": "here"}).status_code == 422
    assert technician.post(at, {"x": "25,0", "y": "50", "words": "burnt here"}).status_code == 302
    page = technician.get(at).content.decode()
    assert 'cx="10.0"' in page and 'cy="15.0"' in page and "burnt here" in page


def test_the_second_of_two_reads_the_first_before_signing(bench: Bench, technician: Client) -> None:
    causes.name(job=bench.job, failed_part="Fan", made_it_fail="worn", seen=0, by=bench.bram)
    page = technician.post(url(bench), TYPED)
    text = page.content.decode()
    assert page.status_code == 409 and "Fan: worn" in text and "Its duct was blocked" in text
    assert "Bram Osselaer named a cause" in text and Cause.objects.count() == 1
    assert 'name="seen" value="1"' in text
    assert technician.post(url(bench), TYPED | {"seen": "1"}).status_code == 302


def test_so_is_it_with_every_step_that_is_signed(bench: Bench, technician: Client) -> None:
    at = reverse("entry_sign", args=[bench.job.pk, "phase_cables"])
    working.sign(job=bench.job, step="phase_cables", words="6.1 l/min", good=True, by=bench.bram)
    page = technician.post(at, {"words": "heard it", "good": "yes", "seen": "0"})
    assert page.status_code == 409 and "6.1 l/min" in page.content.decode() and "heard it" in page.content.decode()
    assert 'name="seen" value="1"' in page.content.decode()
    assert technician.post(at, {"words": "heard it", "good": "yes", "seen": "1"}).status_code == 302


@pytest.mark.parametrize(("name", "field"), [("job_cause", "made_it_fail"), ("entry_sign", "words")])
def test_a_half_filled_step_is_kept_until_it_is_signed(bench: Bench, technician: Client, name: str, field: str) -> None:
    at = reverse(name, args=[bench.job.pk] + (["phase_cables"] if name == "entry_sign" else []))
    technician.post(at, {field: "half a sentence", "act": "draft"})
    assert not SignedEntry.objects.exists()
    assert "half a sentence" in technician.get(at).content.decode()
    technician.post(at, TYPED | {field: "a whole one", "good": "yes"})
    assert SignedEntry.objects.count() == 1 and not StepDraft.objects.exists()


def test_a_draft_is_its_writers_and_holds_no_code(bench: Bench) -> None:
    from django.http import QueryDict

    drafts.keep(job=bench.job, step="phase_cables", by=bench.ilse, typed=QueryDict("words=x&code=604819&words=y"))
    assert StepDraft.objects.get().typed == {"words": ["x", "y"]}
    assert drafts.of(job=bench.job, step="phase_cables", by=bench.bram) == {}
    too_long = QueryDict(f"words={'x' * 30_000}")
    assert drafts.keep(job=bench.job, step="cause", by=bench.ilse, typed=too_long) is None
    assert Job.objects.count() == 1
