"""What is seen rather than measured, and which step comes first."""

import pytest

from diagnostics.calculations.observations import assess_with_steps, observe


def test_a_bad_sign_is_outside_none_is_within_and_no_look_proves_nothing():
    # common practice, no source: one bad sign is enough.
    assert observe(quantity="look", signs=["crack"]).verdict == "outside"
    assert observe(quantity="look", signs=()).verdict == "within"
    unseen = observe(quantity="look", signs=None)
    assert (unseen.verdict, unseen.reason, unseen.value) == ("unproven", "missing", None)


def test_a_concern_keeps_a_sign_from_proving_anything():
    found = observe(quantity="look", signs=["crack"], concerns=["stale"])
    assert (found.verdict, found.reason) == ("unproven", "stale")


def test_a_reason_with_a_step_of_its_own_takes_the_place_of_the_general_step():
    findings = [observe(quantity="a", signs=["leak"]), observe(quantity="b", signs=[], concerns=["odd"])]
    found = assess_with_steps(
        findings=findings, step_for_reason={"leak": "stop_leak", "odd": "ask"}, next_steps=["end"]
    )
    assert (found.verdict, found.next_steps) == ("outside", ("stop_leak", "ask", "end"))


def test_reasons_without_a_step_of_their_own_keep_the_general_one():
    findings = [observe(quantity="a", signs=[], concerns=["odd"]), observe(quantity="b", signs=None)]
    found = assess_with_steps(findings=findings, step_for_reason={"leak": "stop_leak"})
    assert found.next_steps == ("clear_concern", "take_reading")


def test_steps_that_stop_come_first_and_each_step_stands_once():
    findings = [observe(quantity="a", signs=None), *(observe(quantity=name, signs=["melted"]) for name in "bc")]
    found = assess_with_steps(findings=findings, step_for_reason={"melted": "stop_do_not_charge"})
    assert found.next_steps == ("stop_do_not_charge", "take_reading")


@pytest.mark.parametrize("signs", ["crack", [""], [1]])
def test_what_are_no_codes_is_refused(signs):
    with pytest.raises(ValueError, match="The argument signs must be a row of codes"):
        observe(quantity="look", signs=signs)
