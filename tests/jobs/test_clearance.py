"""Clearance to fit: hold until every requirement is met, what is missing said first, and no signing on a hold."""

from __future__ import annotations

import pytest

from jobs import working
from jobs.clearance import clearance
from jobs.models import Job
from network.models import Region
from parts import sourcing
from parts.models import Answer, PartRequest
from tests.bench import INSULATION, ISOLATION, WINDINGS, Bench


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
    for step in ("makers_procedure", "cooling", "cause"):
        if step not in left_out:
            sign(bench, step)
    if "records" not in left_out:
        bench.everything_measured()
    if "part" not in left_out:
        the_part_arrives(bench)


def stands(bench: Bench) -> tuple[bool, str]:
    now = clearance(Job.objects.select_related("sheet__family", "part_request").get(pk=bench.job.pk))
    return now.clear, now.next.code if now.next else ""


def test_a_new_job_is_on_hold_for_the_makers_procedure(bench: Bench) -> None:
    assert stands(bench) == (False, "makers_procedure")


def test_everything_met_is_clear(bench: Bench) -> None:
    all_but(bench)
    assert stands(bench) == (True, "")


@pytest.mark.parametrize(
    ("left_out", "missing"),
    [("makers_procedure", "makers_procedure"), ("cooling", "cooling"), ("cause", "cause"), ("part", "receipt")],
)
def test_one_thing_left_out_is_a_hold_that_names_it(bench: Bench, left_out: str, missing: str) -> None:
    all_but(bench, left_out)
    assert stands(bench) == (False, missing)


def test_an_entry_signed_as_not_good_is_a_hold(bench: Bench) -> None:
    all_but(bench)
    sign(bench, "cooling", good=False)
    assert stands(bench) == (False, "cooling")


def test_a_weak_winding_is_a_hold_and_a_better_reading_clears_it(bench: Bench) -> None:
    all_but(bench)
    bench.record("machine_windings", WINDINGS | {"wu_milliohm": 101.5})
    assert stands(bench) == (False, "windings")
    bench.record("machine_windings", WINDINGS)
    assert stands(bench) == (True, "")


def test_going_live_again_ends_the_proof_and_only_the_proof(bench: Bench) -> None:
    all_but(bench)
    bench.record("vehicle_isolation", ISOLATION)
    assert stands(bench) == (False, "absence_of_voltage")


def test_each_machine_of_the_car_needs_its_own_records(bench: Bench) -> None:
    all_but(bench)
    type(bench.cast.family).objects.update(machines=2)
    assert stands(bench) == (False, "windings")
    bench.record("machine_windings", WINDINGS, subject="2")
    bench.record("winding_insulation", INSULATION, subject="2")
    assert stands(bench) == (True, "")


@pytest.mark.parametrize(("number", "marks"), [(False, True), (True, False)])
def test_a_part_that_is_not_as_ordered_is_a_hold(bench: Bench, number: bool, marks: bool) -> None:
    all_but(bench, "part")
    the_part_arrives(bench, number=number, marks=marks)
    assert stands(bench) == (False, "receipt")


def test_fitting_cant_be_signed_on_a_hold(bench: Bench) -> None:
    with pytest.raises(working.CannotBeSigned, match="Hold"):
        sign(bench, "fitted")


def test_steps_are_signed_in_their_order_and_nothing_after_handover(bench: Bench) -> None:
    all_but(bench)
    with pytest.raises(working.CannotBeSigned):
        sign(bench, "proved")
    for step in ("fitted", "proved", "handed_over"):
        sign(bench, step)
    with pytest.raises(working.CannotBeSigned):
        sign(bench, "cause")
