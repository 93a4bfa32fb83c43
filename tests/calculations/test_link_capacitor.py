"""Link capacitor against published examples (reference section 4) and scipy's solver of the differential equation."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from diagnostics.calculations.link_capacitor import (
    assess_discharge,
    energy_above_60_v_j,
    stored_energy_j,
    time_constant_from_log,
    time_to_voltage_s,
    voltage_after_v,
)
from diagnostics.calculations.verdicts import Limit, Verdict

FIVE = Limit(kind="maximum", value=5.0, unit="s", source="maker's manual", authority="maker")


@pytest.mark.parametrize(
    ("start", "end", "ohm", "farad", "expected", "tolerance"),
    [
        (1500, 320, 50, 195e-6, 0.015062769, 1e-8),  # 4.1 Welwyn design tool, as read
        (600, 50, 150e3, 300e-6, 111.821, 1e-3),  # 4.2 AMK motion example, as read; total resistance inferred
        (200, 2, 4e3, 0.1e-6, 1.842e-3, 5e-7),  # 4.3 Bird, problem 17.06, FOSSEE 608/CH17
        (400, 60, 10e3, 1000e-6, 18.971, 1e-3),  # 4.4 computed
    ],
)
def test_time_to_a_voltage(start, end, ohm, farad, expected, tolerance) -> None:
    found = time_to_voltage_s(start_v=start, end_v=end, resistance_ohm=ohm, capacitance_f=farad)
    assert found == pytest.approx(expected, abs=tolerance)


def test_voltage_after_five_minutes() -> None:
    # example 4.2 (prints 1 V; 0.764 V computed)
    assert voltage_after_v(start_v=600, elapsed_s=300, resistance_ohm=150e3, capacitance_f=3e-4) == pytest.approx(
        0.764, abs=5e-4
    )


def test_voltage_follows_the_differential_equation() -> None:
    # scipy.integrate.solve_ivp on dV/dt = -V / (R C)
    solved = solve_ivp(lambda _, v: -v / 10.0, (0, 20), [400.0], rtol=1e-10, atol=1e-10)
    found = voltage_after_v(start_v=400, elapsed_s=20, resistance_ohm=1e4, capacitance_f=1e-3)
    assert found == pytest.approx(float(solved.y[0, -1]), rel=1e-7)


@settings(max_examples=50)
@given(start=st.floats(1, 1000), part=st.floats(0.01, 1.0), ohm=st.floats(1, 1e6), farad=st.floats(1e-7, 1e-1))
def test_time_and_voltage_undo_each_other(start, part, ohm, farad) -> None:
    circuit = {"resistance_ohm": ohm, "capacitance_f": farad}
    elapsed = time_to_voltage_s(start_v=start, end_v=start * part, **circuit)
    assert voltage_after_v(start_v=start, elapsed_s=elapsed, **circuit) == pytest.approx(start * part)


def test_energies() -> None:
    # 4.1 and 4.4; 2.4 for the part above 60 V: TE = C (V^2 - 3600) / 2 (from memory)
    assert stored_energy_j(capacitance_f=195e-6, voltage_v=1500) == pytest.approx(219.375)
    assert stored_energy_j(capacitance_f=1e-3, voltage_v=400) == pytest.approx(80.0)
    assert energy_above_60_v_j(capacitance_f=1e-6, voltage_v=400) == pytest.approx(0.0782)
    assert energy_above_60_v_j(capacitance_f=1e-3, voltage_v=360) == pytest.approx(63.0)
    assert energy_above_60_v_j(capacitance_f=1e-3, voltage_v=60) == 0.0


@pytest.mark.parametrize("kind", [list, tuple, np.array])
def test_an_exact_log_gives_its_time_constant(kind) -> None:
    times = np.linspace(3.0, 9.0, 40)
    found = time_constant_from_log(times_s=kind(times), volts=kind(400.0 * np.exp(-(times - 3.0) / 2.0)))
    assert found.time_constant_s == pytest.approx(2.0) and found.start_v == pytest.approx(400.0)
    assert found.uncertainty_s == pytest.approx(0.0, abs=1e-5)


def test_two_sigma_cover_the_time_constant_about_95_times_in_100() -> None:
    # the meaning of k = 2; 400 seeded logs, binomial spread about 1.1 percent points
    random, times, hits = np.random.default_rng(20), np.linspace(0, 6, 60), 0
    for _ in range(400):
        volts = 400.0 * np.exp(-times / 2.0) + random.normal(0.0, 2.0, 60)
        found = time_constant_from_log(times_s=times, volts=volts)
        hits += abs(found.time_constant_s - 2.0) <= found.uncertainty_s
    assert 0.91 <= hits / 400 <= 0.985


@pytest.mark.parametrize("volts", [[5.0, 5.0, 5.0], [1.0, 2.0, 4.0], [4.0, math.nan, 1.0]])
def test_a_log_that_does_not_discharge_is_refused(volts) -> None:
    with pytest.raises(ValueError, match="volt"):
        time_constant_from_log(times_s=[0, 1, 2], volts=volts)


def assessed(times, volts, limits):
    return assess_discharge(
        times_s=times, volts=volts, percent_of_reading=0.1, counts=3, resolution_v=0.1, limits=limits
    )


def test_a_logged_discharge_is_judged_by_its_time_to_60_volts() -> None:
    times = np.linspace(0, 10, 201)
    finding = assessed(times, 400.0 * np.exp(-times / 2.0), [FIVE]).findings[0]
    assert finding.value == pytest.approx(2.0 * math.log(400 / 60), abs=0.01) and finding.verdict is Verdict.WITHIN


def test_a_log_that_ends_above_60_volts_is_a_bound() -> None:
    finding = assessed([0, 3, 6], [400.0, 390.0, 380.0], [FIVE]).findings[0]
    assert (finding.bound, finding.verdict) == ("at_least", Verdict.OUTSIDE)


def test_without_a_limit_it_is_not_enough_data() -> None:
    assert assessed([0, 3, 6], [400.0, 90.0, 20.0], []).verdict is Verdict.UNPROVEN
