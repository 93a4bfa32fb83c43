"""Fitting and proving: lists of a kind of part, several steps signed at once, the workshop's own list."""

from __future__ import annotations

import datetime
import re

import pytest
import time_machine
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from diagnostics.models import Battery, EarlierCapacity, Record
from diagnostics.recording import end_proof
from jobs import codes, evidence, finishing, lists, working
from jobs.clearance import clearance
from jobs.models import CodeReading, Job, ListedStep, SignedEntry
from jobs.outlook import give_battery, outlook_of
from jobs.requirements import REQUIREMENTS, ByRecord
from jobs.standing import Stands, held_by
from jobs.waiting import waiting
from network.access import acting_for
from network.models import Event
from tests.bench import ISOLATION, WINDINGS, Bench
from tests.diagnostics.sound import SOUND
from tests.jobs.test_clearance import all_but

TORQUE = {"torque_nm": 9.0, "tool": "DM-20"}


@pytest.fixture
def ready(bench: Bench) -> Bench:
    all_but(bench)
    return bench


def stands(bench: Bench, stage: str) -> Stands:
    return finishing.how_it_stands(held_by(Job.objects.with_facts().get(pk=bench.job.pk)), stage)


def test_fitting_begins_only_on_a_closed_ring(bench: Bench) -> None:
    with pytest.raises(working.CannotBeSigned, match="Hold"):
        bench.sign("mounted", **TORQUE)


def test_the_ring_is_kept_as_it_stood_when_fitting_began(ready: Bench) -> None:
    bench = ready
    bench.fit()
    bench.record("vehicle_isolation", ISOLATION)  # the car is live again: the proof of being dead has ended
    job = Job.objects.with_facts().get(pk=bench.job.pk)
    assert clearance(job).clear and [one.code for one in clearance(job).standings] == [
        one.code for one in REQUIREMENTS["inverter"]
    ]


def test_a_correction_opens_the_ring_again_though_fitting_has_begun(ready: Bench) -> None:
    ready.sign("mounted", **TORQUE)
    wrong = Record.objects.filter(kind="machine_windings").get()
    ready.record("machine_windings", WINDINGS | {"wu_milliohm": 120.0}, subject="1", replaces=wrong)
    job = Job.objects.with_facts().get(pk=ready.job.pk)
    assert not clearance(job).clear and clearance(job).next.code == "windings"  # type: ignore[union-attr]
    with pytest.raises(working.CannotBeSigned, match="Hold: machine windings: outside the entered limit"):
        ready.sign("connected", **TORQUE)


def test_a_correction_opens_the_ring_again_before_handover(ready: Bench) -> None:
    ready.fit()
    ready.prove()
    wrong = Record.objects.filter(kind="machine_windings").get()
    ready.record("machine_windings", WINDINGS | {"wu_milliohm": 120.0}, subject="1", replaces=wrong)
    with pytest.raises(working.CannotBeSigned, match="Hold: machine windings"):
        ready.sign("handed_over")


def test_what_is_measured_while_proving_leaves_the_ring_as_it_was(ready: Bench) -> None:
    ready.fit()
    slow = SOUND["fan_sweep"].values | {"measured": (640.0, 640.0, 640.0, 640.0, 640.0)}
    ready.record("fan_sweep", {name: value for name, value in slow.items() if name != "expected"})
    evidence.disturb(job=ready.job, what="wiring_touched", by=ready.ilse)
    assert clearance(Job.objects.with_facts().get(pk=ready.job.pk)).clear
    assert not next(one for one in stands(ready, "proving").standings if one.code == "cooling_steps").met


def test_work_on_high_voltage_parts_is_signed_only_while_the_proof_stands(ready: Bench) -> None:
    ready.sign("mounted", **TORQUE)
    end_proof(ready.sheet)
    assert "prove it again" in finishing.hold(
        held_by(Job.objects.with_facts().get(pk=ready.job.pk)), "fitting", stands(ready, "fitting")
    )
    with pytest.raises(working.CannotBeSigned, match="proof of absence of voltage has ended"):
        ready.sign("connected", **TORQUE)
    ready.sign("coded")  # needs 12 V, and no proof


@pytest.mark.parametrize("said", [{}, {"torque_nm": 9.0}, {"tool": "DM-20"}, {"torque_nm": -1.0, "tool": "DM-20"}])
def test_a_torque_is_signed_with_its_figure_and_its_tool(ready: Bench, said: dict[str, object]) -> None:
    with pytest.raises(working.CannotBeSigned, match="torque"):
        ready.sign("mounted", **said)
    assert not SignedEntry.objects.filter(step="mounted").exists() and Job.objects.get().cleared_at is None


def test_fitted_and_proved_are_signed_when_every_step_is_done(ready: Bench) -> None:
    with pytest.raises(working.CannotBeSigned, match="mounting screws"):
        ready.sign("fitted")
    ready.fit()
    with pytest.raises(working.CannotBeSigned, match="isolation of the whole car"):
        ready.sign("proved")
    ready.prove()
    assert stands(ready, "proving").clear


def test_only_what_is_younger_than_the_fitting_proves_it(ready: Bench) -> None:
    assert not [one for one in stands(ready, "proving").standings if one.met]  # isolation was measured before
    ready.fit()
    ready.prove()
    ready.sign("fitted", words="fitted anew, other seal")
    assert stands(ready, "proving").next is not None
    with pytest.raises(working.CannotBeSigned):
        ready.sign("proved")


def test_a_code_that_is_still_stored_stands_open(ready: Bench) -> None:
    ready.fit()
    for text, met in (("P0A94", False), ("", True)):
        codes.add(job=ready.job, codes=codes.read(text=text, form="text"), by=ready.ilse, stage=CodeReading.Stage.AFTER)
        one = next(one for one in stands(ready, "proving").standings if one.code == "codes_read")
        assert one.met is met and (met or "P0A94" in one.why)


def test_isolation_after_fitting_is_never_waived(ready: Bench) -> None:
    ready.fit()
    evidence.waive(job=ready.job, requirement="load_run", reason="trailer brake is broken", by=ready.ilse)
    with pytest.raises(evidence.CannotBeWaived):
        evidence.waive(job=ready.job, requirement="isolation_after", reason="in a hurry", by=ready.ilse)


@pytest.mark.parametrize("part", Job.Part.values)
def test_every_kind_of_part_has_lists_with_codes_of_their_own(part: str) -> None:
    every = [one.code for one in REQUIREMENTS[part]]
    for stage in ListedStep.Stage.values:
        every += [one.code for one in lists.NETWORKS[stage][part]]
    assert len(every) == len(set(every))
    assert "isolation_after" in every and "codes_read" in every


def test_the_report_tells_torque_tool_and_who(ready: Bench) -> None:
    from jobs.report import report_of

    ready.hand_over()
    report = report_of(Job.objects.with_facts().get(pk=ready.job.pk), ready.workshop)
    said = {one.title: one.words for one in report.signed}
    assert said["Mounting screws"] == "9 N·m with DM-20: seen and done"


def test_the_report_says_the_next_day_what_stood_when_fitting_began(ready: Bench) -> None:
    from jobs.report import report_of

    ready.hand_over()
    job = Job.objects.with_facts().get(pk=ready.job.pk)
    told = report_of(job, ready.workshop)
    with time_machine.travel(timezone.now() + datetime.timedelta(days=2), tick=False):
        assert report_of(job, ready.workshop) == told
    assert {one.state for one in told.requirements} == {"met"}


def test_the_report_keeps_what_was_told_of_the_battery(ready: Bench) -> None:
    from jobs.report import report_of

    ready.hand_over()
    told = report_of(Job.objects.with_facts().get(pk=ready.job.pk), ready.workshop).battery
    battery = Battery(in_use_since=timezone.localdate() - datetime.timedelta(days=3000))
    battery.save()
    give_battery(Job.objects.with_facts().get(pk=ready.job.pk).vehicle, battery)
    found = {"found_on": timezone.localdate(), "capacity_percent": 61.0, "method": "in_car", "words": "paper"}
    EarlierCapacity(battery=battery, **found).enter(by=ready.ilse)
    job = Job.objects.with_facts().get(pk=ready.job.pk)
    assert outlook_of(job.vehicle).counted and report_of(job, ready.workshop).battery == told


def test_a_workshops_own_list_is_its_own(ready: Bench) -> None:
    where = {"part": "inverter", "stage": "fitting", "by": ready.ilse}
    lists.add(title="Marks of paint", ask="Where", how="words", kinds=[], dead=False, waivable=True, **where)
    lists.take_out(code="earth_strap", **where)
    lists.move(code="own_1", up=True, **where)
    lists.change(code="mounted", title="Bolts", ask="Which", **where)
    assert [str(one.title) for one in lists.steps_of("inverter", "fitting")] == [
        "Bolts", "High-voltage connections", "Interlock and bonding, measured again", "Coolant filled and bled",
        "Offset of the position sensor learnt", "Marks of paint", "Coding and resets",
    ]  # fmt: skip
    ready.fit()
    assert SignedEntry.objects.get(step="own_1").title == "Marks of paint"
    assert Event.objects.filter(verb__startswith="listed_step").count() == 3
    lists.back_to_the_networks(**where)
    assert lists.steps_of("inverter", "fitting") == lists.NETWORKS["fitting"]["inverter"]
    assert SignedEntry.objects.get(step="own_1").title == "Marks of paint"
    with acting_for(ready.cast.rureifel.memberships.get().workshop):
        assert lists.steps_of("inverter", "fitting") == lists.NETWORKS["fitting"]["inverter"]


def test_what_is_never_waived_stays_on_every_list(bench: Bench) -> None:
    with pytest.raises(lists.CannotBeChanged, match="stays on every list"):
        lists.take_out(part="inverter", stage="proving", code="isolation_after", by=bench.ilse)
    assert lists.own_lists() == {}


def test_a_record_of_the_workshops_choice_meets_its_step(ready: Bench) -> None:
    lists.add(
        part="inverter", stage="fitting", by=ready.ilse, title="Contactors again", ask="", how="record",
        kinds=["contactors"], dead=False, waivable=False,
    )  # fmt: skip
    step = lists.steps_of("inverter", "fitting")[-1]
    assert isinstance(step, ByRecord) and step.kinds == ("contactors",)
    assert not stands(ready, "fitting").standings[-1].met  # the record of before the fitting doesn't count


def url(bench: Bench, stage: str = "fitting") -> str:
    return reverse("job_list", args=[bench.job.pk, stage])


def test_several_steps_are_signed_at_once_or_none(ready: Bench, technician: Client) -> None:
    typed = {
        "torque-mounted": "9,5", "tool-mounted": "DM-20", "words-mounted": "six, new",
        "torque-connected": "20", "tool-connected": "",
    }  # fmt: skip
    page = technician.post(url(ready), typed)
    text = page.content.decode()
    assert page.status_code == 422 and "Name the tool" in text and "six, new" in text
    assert not SignedEntry.objects.filter(step="mounted").exists()
    assert technician.post(url(ready), typed | {"tool-connected": "DM-20"}).status_code == 302
    assert [(e.step, e.torque_nm) for e in SignedEntry.objects.exclude(torque_nm=None)] == [
        ("mounted", 9.5), ("connected", 20.0),
    ]  # fmt: skip
    text = technician.get(url(ready)).content.decode()
    assert "2 of 7 steps done" in text and "9.5 N·m with DM-20: six, new" in text
    assert 'value="DM-20"' in text  # the last tool is offered for the next torque


def test_the_second_of_two_on_one_list_reads_what_the_first_signed_and_loses_nothing(
    ready: Bench, technician: Client
) -> None:
    ready.sign("coded", words="data set written back")
    page = technician.post(url(ready), {"words-coded": "counter reset", "words-coolant_filled": "4.1 l"})
    text = page.content.decode()
    assert page.status_code == 422 and "Coding and resets" in text and "counter reset" in text and "4.1 l" in text
    assert SignedEntry.objects.filter(step="coded").count() == 1
    assert not SignedEntry.objects.filter(step="coolant_filled").exists()


@pytest.mark.parametrize("torque", ["nine", "0", "-4", "90000"])
def test_a_torque_that_cant_be_is_refused_with_a_sentence(ready: Bench, technician: Client, torque: str) -> None:
    page = technician.post(url(ready), {"torque-mounted": torque, "tool-mounted": "DM-20"})
    assert page.status_code == 422 and 'class="error"' in page.content.decode()


def test_an_empty_page_of_steps_says_what_is_missing_and_a_draft_is_kept(ready: Bench, technician: Client) -> None:
    assert "Nothing is filled in yet" in technician.post(url(ready), {}).content.decode()
    technician.post(url(ready), {"words-coded": "half a sen", "act": "draft"})
    assert "half a sen" in technician.get(url(ready)).content.decode()


def test_the_page_of_a_hold_leads_to_what_is_missing(bench: Bench, technician: Client) -> None:
    page = technician.get(url(bench)).content.decode()
    assert "Waits:" in page and reverse("clearance", args=[bench.job.pk]) in page
    assert "proving begins after that" in technician.get(url(bench, "proving")).content.decode()
    assert technician.get(reverse("job_list", args=[bench.job.pk, "polishing"])).status_code == 404


def test_the_list_is_changed_on_its_page(bench: Bench, technician: Client) -> None:
    at = reverse("work_list", args=["inverter", "fitting"])
    assert technician.post(at, {"title": "Paint", "how": "words", "waivable": "on"}).status_code == 422
    assert technician.post(at, {"title": "Paint", "how": "record"}).status_code == 422
    assert technician.post(at, {"title": "Paint", "how": "words", "ask": "Where"}).status_code == 302
    change = reverse("work_list_change", args=["inverter", "fitting"])
    technician.post(change, {"code": "own_1", "act": "words", "title": "Marks of paint", "ask": "Where"})
    technician.post(change, {"code": "own_1", "act": "up"})
    page = technician.get(at).content.decode()
    assert "Marks of paint" in page and "8 steps, your workshop’s own list" in page
    assert re.search("moved: Marks of paint.*put on the list: Marks of paint", page, re.S)
    technician.post(change, {"act": "back"})
    assert "the network’s list." in technician.get(at).content.decode()
    assert technician.get(reverse("work_lists")).status_code == 200


def test_the_morning_says_how_far_a_car_is(ready: Bench) -> None:
    def told() -> str:
        return next(item.todo for kind in waiting(ready.ilse) for item in kind.items if kind.code == "job")

    assert told().startswith("Clear: every requirement is met")
    ready.sign("mounted", **TORQUE)
    assert told().startswith("Fitting has begun")
    ready.fit()
    assert told().startswith("Fitted: prove it")
    ready.prove()
    assert told().startswith("Proved: hand it over")
