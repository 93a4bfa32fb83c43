"""Power stage: losses against scipy.integrate.quad, and the diode check's rules (common practice, no source)."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from diagnostics.calculations.power_stage import (
    assess_diode_check,
    conduction_loss_w,
    junction_temperature_c,
    switching_loss_w,
)
from diagnostics.calculations.verdicts import Verdict


def by_integration(v0, r, ip, m, c, part) -> float:
    """Mean over a period: the switch conducts a half wave with duty (1 + m sin(t + phi)) / 2, the diode the rest."""
    sign, phi = (1.0 if part == "switch" else -1.0), math.acos(c)

    def loss(t):
        current = ip * math.sin(t)
        return (v0 * current + r * current**2) * (1.0 + sign * m * math.sin(t + phi)) / 2.0

    return quad(loss, 0.0, math.pi)[0] / (2.0 * math.pi)


@settings(max_examples=40)
@given(v0=st.floats(0, 3), r=st.floats(0, 0.1), ip=st.floats(0, 500), m=st.floats(0, 1), c=st.floats(-1, 1),
       part=st.sampled_from(["switch", "diode"]))  # fmt: skip
def test_conduction_loss_is_the_integral_over_a_period(v0, r, ip, m, c, part) -> None:
    found = conduction_loss_w(threshold_v=v0, slope_ohm=r, peak_a=ip, modulation=m, power_factor=c, part=part)
    assert found == pytest.approx(by_integration(v0, r, ip, m, c, part), rel=1e-6, abs=1e-6)


@pytest.mark.parametrize(("part", "expected"), [("switch", 34.985), ("diode", 9.346)])
def test_the_published_form_gives_example_6_3(part, expected) -> None:
    found = conduction_loss_w(threshold_v=1.0, slope_ohm=0.005, peak_a=100, modulation=0.8, power_factor=0.9, part=part)
    assert found == pytest.approx(expected, abs=5e-4)


def test_switching_and_junction_of_example_6_4() -> None:
    switching = switching_loss_w(
        frequency_hz=10e3, energy_j=0.01, peak_a=100, reference_a=100, voltage_v=300, reference_v=600
    )
    assert switching == pytest.approx(15.915, abs=5e-4)
    hot = junction_temperature_c(reference_c=65, loss_w=34.985 + switching, resistances_k_per_w=[0.12])
    assert hot == pytest.approx(71.108, abs=5e-4)


def test_junction_of_a_printed_example() -> None:
    # 6.1 Rashid, 4th edition, example 4.4: 125 W bring 25 to 150 degrees, the case to 100
    assert junction_temperature_c(reference_c=25, loss_w=125, resistances_k_per_w=(0.4, 0.1, 0.5)) == pytest.approx(150)
    assert junction_temperature_c(reference_c=25, loss_w=125, resistances_k_per_w=[0.1, 0.5]) == pytest.approx(100)


def stage(forward=0.45, phases=("U", "V", "W"), **changed):
    """All switches good but those named: u_upper_forward=0.02."""
    found = {}
    for phase in phases:
        for side in ("upper", "lower"):
            found[phase, side, "forward"], found[phase, side, "reverse"] = forward, None
    for name, value in changed.items():
        phase, side, way = name.split("_")
        found[phase.upper(), side, way] = value
    return found


def test_six_good_switches_are_within_and_the_gates_are_not_proved() -> None:
    found = assess_diode_check(readings=stage())
    assert found.verdict is Verdict.WITHIN and len(found.findings) == 6
    assert found.next_steps == ("gates_not_proved",)


@pytest.mark.parametrize(
    ("changed", "verdict", "reason"),
    [
        ({"u_upper_reverse": 1.9}, "outside", "conducts_in_reverse"),
        ({"u_upper_reverse": 0.02}, "outside", "shorted"),
        ({"u_upper_forward": 0.0}, "outside", "shorted"),
        ({"u_upper_forward": None}, "outside", "open_forward"),
        ({"u_upper_forward": 0.75}, "outside", "beyond_limit"),
        ({"u_upper_forward": 0.52}, "unproven", "differs_from_other_switches"),
        ({"u_upper_forward": 0.495}, "within", "clear_of_limit"),  # 10 % exactly is not more than 10 %
    ],
)
def test_one_bad_reading_on_silicon(changed, verdict, reason) -> None:
    found = assess_diode_check(readings=stage(**changed))
    assert (found.verdict, found.findings[0].reason) == (verdict, reason)


def test_open_forward_on_silicon_carbide_proves_nothing() -> None:
    found = assess_diode_check(readings=stage(1.6, u_upper_forward=None), technology="silicon_carbide")
    assert (found.verdict, found.findings[0].reason) == (Verdict.UNPROVEN, "open_forward")


@pytest.mark.parametrize("way", ["forward", "reverse"])
def test_a_reading_not_taken_is_not_an_open_one(way) -> None:
    found = stage()
    del found["U", "upper", way]
    assert assess_diode_check(readings=found).verdict is Verdict.UNPROVEN


def test_a_short_is_told_even_where_the_other_direction_was_not_read() -> None:
    found = stage(u_upper_reverse=0.01)
    del found["U", "upper", "forward"]
    assert assess_diode_check(readings=found).findings[0].reason == "shorted"


def test_a_boost_stage_has_one_phase() -> None:
    assert len(assess_diode_check(readings=stage(phases=("L",)), phases=("L",)).findings) == 2


@pytest.mark.parametrize("bad", [{("X", "upper", "forward"): 0.4}, {("U", "middle", "forward"): 0.4},
                                 {("U", "upper", "forward"): -0.4}, {("U", "upper", "forward"): math.nan}])  # fmt: skip
def test_switches_that_the_stage_does_not_have_are_refused(bad) -> None:
    with pytest.raises(ValueError, match="readings"):
        assess_diode_check(readings=bad)


def test_with_a_concern_nothing_is_proved() -> None:
    found = assess_diode_check(readings=stage(u_upper_forward=0.0), concerns=["overdue_instrument"])
    assert {finding.verdict for finding in found.findings} == {Verdict.UNPROVEN}
