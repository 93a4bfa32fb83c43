"""Clearance to fit: hold until every requirement is met, what is missing said first, and no signing on a hold."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from django.db import IntegrityError, connection, transaction
from django.test.utils import CaptureQueriesContext

from diagnostics.models import Record
from jobs import evidence, making_safe, working
from jobs.clearance import clearance
from jobs.models import Customer, Job, SignedEntry, Vehicle, Waiver
from jobs.requirements import REQUIREMENTS, ByRecord
from jobs.standing import Stands, found_on, held_by
from jobs.standing import stands as how_they_stand
from network.models import Qualification, Region
from parts import sourcing
from parts.models import Answer, PartRequest
from tests import cast
from tests.bench import ISOLATION, WINDINGS, Bench, acting
from tests.diagnostics.sound import SOUND

# What an inverter's list asks to be signed, beside records and receipt.
ENTRIES = (
    "makers_procedure", "connectors_dry", "phase_cables", "cause", "coding_saved", "identity", "torque_tool",
)  # fmt: skip


def the_part_arrives(bench: Bench, *, number: bool = True, marks: bool = True) -> None:
    request = working.ask_for_part(
        job=bench.job,
        request=PartRequest(number="LN 27 410-0", description="Inverter"),
        regions=list(Region.objects.all()),
        by=bench.ilse,
    )
    other = bench.cast.rureifel.memberships.select_related("person", "workshop").get()
    offered = Answer(offer="have_one", price=340, freight=72, currency="EUR", condition="used", days_to_arrive=7)
    sourcing.accept(answer=sourcing.answer(answer=offered, request=request, by=other), by=bench.ilse)
    request.refresh_from_db()
    sourcing.receive(request=request, by=bench.ilse, number_as_ordered=number, marks_as_ordered=marks, remark="as seen")


def sign(bench: Bench, step: str, good: bool = True) -> None:
    working.sign(job=bench.job, step=step, words="seen and done", good=good, by=bench.ilse)


def all_but(bench: Bench, *left_out: str) -> None:
    for step in ENTRIES:
        if step not in left_out:
            sign(bench, step)
    if "records" not in left_out:
        bench.everything_measured()
    if "part" not in left_out:
        the_part_arrives(bench)


def cleared(bench: Bench) -> Stands:
    return clearance(Job.objects.with_facts().get(pk=bench.job.pk))


def stands(bench: Bench) -> tuple[bool, str]:
    now = cleared(bench)
    return now.clear, now.next.code if now.next else ""


@pytest.fixture(scope="module")
def built(django_db_setup: None, django_db_blocker: Any) -> Iterator[Bench]:
    """A job with every requirement met, built once; each test is rolled back to it."""
    with django_db_blocker.unblock(), transaction.atomic():
        with acting() as bench:
            all_but(bench)
            yield bench
        transaction.set_rollback(True)


@pytest.fixture
def ready(built: Bench, db: None) -> Bench:
    return built


def test_a_new_job_is_on_hold_for_the_makers_procedure(ready: Bench) -> None:
    new = working.book_in(
        by=ready.ilse, customer=Customer(name="A"), vehicle=Vehicle(description="Lanner"), complaint="It stops."
    )
    now = clearance(new)
    assert now.next and now.next.code == "makers_procedure"


def test_everything_met_is_clear(ready: Bench) -> None:
    assert stands(ready) == (True, "")


@pytest.mark.parametrize("entry", ENTRIES)
def test_an_entry_left_out_or_signed_as_not_good_is_a_hold_that_names_it(ready: Bench, entry: str) -> None:
    sign(ready, entry, good=False)
    assert stands(ready) == (False, entry)
    SignedEntry.objects.filter(step=entry).delete()
    assert stands(ready) == (False, entry)


@pytest.mark.parametrize(
    ("kind", "missing"),
    [
        ("vehicle_isolation", "isolation"), ("fan_sweep", "cooling"), ("absence_of_voltage", "absence_of_voltage"),
        ("interlock_bonding", "bonding"), ("contactors", "precharge"), ("machine_windings", "windings"),
        ("winding_insulation", "winding_insulation"), ("winding_inductance", "inductance"),
        ("position_sensor", "position_sensor"), ("power_stage_diodes", "new_unit_diodes"),
    ],
)  # fmt: skip
def test_a_record_left_out_is_a_hold_that_names_it(ready: Bench, kind: str, missing: str) -> None:
    Record.objects.filter(kind=kind).delete()
    assert stands(ready) == (False, missing)


def test_no_part_is_a_hold(ready: Bench) -> None:
    Job.objects.update(part_request=None)
    assert stands(ready) == (False, "receipt")


def test_a_weak_winding_is_a_hold_and_a_better_reading_clears_it(ready: Bench) -> None:
    ready.record("machine_windings", WINDINGS | {"wu_milliohm": 101.5})
    assert stands(ready) == (False, "windings")
    ready.record("machine_windings", WINDINGS)
    assert stands(ready) == (True, "")


def test_back_voltage_would_do_instead_of_inductance(ready: Bench) -> None:
    Record.objects.filter(kind="winding_inductance").update(kind="back_voltage")
    assert stands(ready) == (True, "")


def test_going_live_again_ends_the_proof_and_only_the_proof(ready: Bench) -> None:
    ready.record("vehicle_isolation", ISOLATION)
    assert stands(ready) == (False, "absence_of_voltage")


def test_each_machine_of_the_car_needs_its_own_records_and_its_stage(ready: Bench) -> None:
    type(ready.cast.family).objects.update(machines=2)
    assert stands(ready) == (False, "windings")
    ready.machine_measured("2")
    assert stands(ready) == (False, "new_unit_diodes")
    ready.stage_measured("machine_2")
    assert stands(ready) == (True, "")


def test_a_boost_converter_is_a_stage_of_its_own(ready: Bench) -> None:
    last = Record.objects.filter(kind="power_stage_diodes").last()
    assert last.body["values"]["stage"] == "boost"
    last.delete()
    now = cleared(ready)
    assert now.sentence.startswith("diode check of the new unit: boost converter not yet measured")


@pytest.mark.parametrize("what", ["connector", "refitted", "twelve_volt", "live"])
def test_whatever_opens_feeds_or_wakes_the_system_ends_the_proof(ready: Bench, what: str) -> None:
    making_safe.change_state(job=ready.job, what=what, words="to look", by=ready.ilse, beside=ready.bram.person)
    assert stands(ready) == (False, "absence_of_voltage")
    late = ready.record("machine_windings", WINDINGS)
    assert "absence_not_proved" in late.body["concerns"]


def test_wiring_touched_asks_again_for_isolation_bonding_and_dry_connectors_and_nothing_else(ready: Bench) -> None:
    evidence.disturb(job=ready.job, what="wiring_touched", by=ready.ilse)
    open_now = [one.code for one in cleared(ready).standings if not one.met]
    assert open_now == ["isolation", "bonding", "connectors_dry"]
    ready.record("vehicle_isolation", ISOLATION)
    assert stands(ready)[1] == "absence_of_voltage"  # a live reading ended it


def test_a_waiver_closes_the_ring_with_its_reason_and_name(ready: Bench) -> None:
    Record.objects.filter(kind="contactors").delete()
    evidence.waive(job=ready.job, requirement="precharge", reason="contactors exchanged yesterday", by=ready.bram)
    standing = next(one for one in cleared(ready).standings if one.code == "precharge")
    assert (standing.state, standing.why) == ("waived", "waived by Bram Osselaer: contactors exchanged yesterday")
    assert stands(ready) == (True, "")
    assert cleared(ready).sentence == "every requirement is met, but for one that is waived."


@pytest.mark.parametrize("never", ["absence_of_voltage", "isolation", "identity"])
def test_proof_isolation_and_identity_are_never_waived_by_verb_or_row(ready: Bench, never: str) -> None:
    with pytest.raises(evidence.CannotBeWaived):
        evidence.waive(job=ready.job, requirement=never, reason="in a hurry", by=ready.ilse)
    with pytest.raises(IntegrityError), transaction.atomic():
        Waiver(job=ready.job, requirement=never, reason="in a hurry", waived_by=ready.ilse.person).save()


def test_whoever_holds_no_qualification_answers_for_no_waiver(ready: Bench) -> None:
    Qualification.objects.filter(holder=ready.ilse.person).delete()
    with pytest.raises(evidence.CannotBeWaived, match="qualification"):
        evidence.waive(job=ready.job, requirement="cooling", reason="seen", by=ready.ilse)


@pytest.mark.parametrize(("number", "marks"), [(False, True), (True, False)])
def test_a_part_that_is_not_as_ordered_is_a_hold(ready: Bench, number: bool, marks: bool) -> None:
    Job.objects.update(part_request=None)
    the_part_arrives(ready, number=number, marks=marks)
    assert stands(ready) == (False, "receipt")


def test_fitting_cant_be_signed_on_a_hold(ready: Bench) -> None:
    sign(ready, "connectors_dry", good=False)
    with pytest.raises(working.CannotBeSigned, match="Hold: connectors dry"):
        sign(ready, "fitted")


def test_steps_are_signed_in_their_order_and_nothing_after_handover(ready: Bench) -> None:
    with pytest.raises(working.CannotBeSigned):
        sign(ready, "proved")
    ready.hand_over()
    with pytest.raises(working.CannotBeSigned):
        sign(ready, "cause")


# The lists of `design/records.md`, "Clearance to fit", counted there: ten for every part, and what each kind adds.
@pytest.mark.parametrize(
    ("part", "own"),
    [("other", 0), ("inverter", 8), ("machine", 8), ("traction_battery", 8), ("dc_converter", 5),
     ("cabin_compressor", 6), ("charger", 6)],
)  # fmt: skip
def test_each_kind_of_part_asks_for_everything_that_every_part_asks(part: str, own: int) -> None:
    every = {one.code for one in REQUIREMENTS["other"]}
    codes = [one.code for one in REQUIREMENTS[part]]
    assert len(codes) == len(set(codes)) == len(every) + own
    assert every <= set(codes)
    assert {one.code for one in REQUIREMENTS[part] if not one.waivable} == {
        "absence_of_voltage", "isolation", "identity"
    }  # fmt: skip


def test_several_jobs_are_read_at_the_price_of_one(ready: Bench) -> None:
    job = Job.objects.with_facts().get(pk=ready.job.pk)
    jobs = [job, *(cast.make_job(ready.ilse) for _job in range(5))]
    with CaptureQueriesContext(connection) as one:
        alone = clearance(job)
    with CaptureQueriesContext(connection) as six:
        together = {job.pk: clearance(job, found) for job, found in zip(jobs, found_on(jobs).values(), strict=True)}
    assert len(one) == len(six) <= 6
    assert together == {job.pk: clearance(job) for job in jobs}
    assert together[job.pk] == alone and alone.clear and not together[jobs[1].pk].clear


def test_one_kind_within_doesnt_make_another_good_that_is_outside(ready: Bench) -> None:
    slow = SOUND["fan_sweep"].values | {"measured": (640.0, 640.0, 640.0, 640.0, 640.0)}
    record = ready.record("fan_sweep", {name: value for name, value in slow.items() if name != "expected"})
    assert record.verdict == "outside"
    either = ByRecord(code="either", title="Either", kinds=("contactors", "fan_sweep"))
    one = how_they_stand(held_by(Job.objects.with_facts().get(pk=ready.job.pk)), [either]).standings[0]
    assert (one.met, one.why) == (False, "outside the entered limit")
