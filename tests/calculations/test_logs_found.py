"""Rest voltage, pulses, envelope and clock of a log, against a simulated cell and against plain numpy.

`fixtures/logs/simulated_cell.csv` was made once with PyBaMM 26.10 (BSD-3), in an environment of its own:

    steps = ["Rest for 5 minutes (2 second period)", "Discharge at 1C for 30 minutes (2 second period)",
             "Rest for 20 minutes (2 second period)", "Discharge at 5 A for 10 seconds (1 second period)",
             "Rest for 40 seconds (1 second period)", "Charge at 3.75 A for 10 seconds (1 second period)",
             "Rest for 5 minutes (2 second period)", "Discharge at 1C until 2.5 V (2 second period)",
             "Rest for 30 minutes (2 second period)"]
    model = pybamm.lithium_ion.SPMe({"calculate discharge energy": "true"})
    simulation = pybamm.Simulation(model, experiment=pybamm.Experiment([tuple(steps)]),
                                   parameter_values=pybamm.ParameterValues("Chen2020"))
    solution = simulation.solve(initial_soc=1.0)
    t, v, i = (solution[name].entries for name in ("Time [s]", "Voltage [V]", "Current [A]"))
    np.savetxt("simulated_cell.csv", np.c_[t, v, i], fmt=("%.3f", "%.5f", "%.4f"), delimiter=",",
               header="Time [s],Voltage [V],Current [A]", comments="")

What PyBaMM said of it stands beside each check.
"""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from diagnostics.calculations.battery import capacity_from_log
from diagnostics.calculations.battery.pulses_in_log import find_pulses
from diagnostics.calculations.battery.rests_in_log import find_rests
from diagnostics.calculations.measurement_log import MeasurementLog, read_log
from diagnostics.calculations.measurement_log.clock import clock_of
from diagnostics.calculations.measurement_log.envelope import envelope
from diagnostics.calculations.measurement_log.steps import begin, read_on

CSV = (Path(__file__).parents[2] / "fixtures/logs/simulated_cell.csv").read_bytes()


@pytest.fixture(scope="module")
def cell():
    return read_log(data=CSV)


def test_charge_and_energy_are_those_of_the_simulation(cell):
    found = capacity_from_log(log=cell)
    assert found.charge_ah == pytest.approx(4.99253696, rel=1e-4)  # "Discharge capacity [A.h]"
    assert found.energy_wh == pytest.approx(17.52487201, rel=1e-3)  # "Discharge energy [W.h]", at its own steps


def test_the_last_rest_ends_at_the_open_circuit_voltage_of_the_simulation(cell):
    rests = find_rests(log=cell, quiet_a=0.01)
    assert [round(rest.rested_s) for rest in rests] == [
        300,
        1200,
        300,
        1800,
    ]  # as the script has it; 40 s are too short
    assert rests[0].voltage_v == pytest.approx(4.2, abs=1e-4)
    assert rests[-1].voltage_v == pytest.approx(2.981838, abs=0.0005)  # "Bulk open-circuit voltage [V]" at the end
    assert 0 < rests[-1].drift_v_per_hour < 0.02  # it still creeps up to it


def test_a_rest_that_is_cut_short_still_drifts(cell):
    first_minute = cell.times_s <= 5452.2 + 90
    cut = MeasurementLog(
        times_s=cell.times_s[first_minute], volts_v=cell.volts_v[first_minute],
        currents_a=cell.currents_a[first_minute], gaps=(),
    )  # fmt: skip
    assert find_rests(log=cut, quiet_a=0.01)[-1].drift_v_per_hour > 1


def test_pulse_resistances_are_those_of_the_simulation(cell):
    pulses = find_pulses(log=cell, smallest_step_a=2.0)
    assert [round(pulse.start_s) for pulse in pulses] == [300, 3300, 3350, 3660]
    discharge, charge = pulses[1], pulses[2]
    # PyBaMM, entries of the step "Discharge at 5 A": 3.763583 V before, 3.618290 V at its end.
    assert discharge.resistance_ohm == pytest.approx((3.7635828516920395 - 3.618289602040353) / 5, abs=2e-5)
    # Reference value 5.2: the same cell from 50 % of charge, 28.97 milliohm within 1 %.
    assert discharge.resistance_ohm == pytest.approx(0.02897, rel=0.01)
    # "Charge at 3.75 A": from 3.754030 V to 3.874057 V.
    assert charge.resistance_ohm == pytest.approx((3.8740565808599743 - 3.7540297981931148) / 3.75, abs=2e-5)
    assert (discharge.seconds, charge.seconds) == (10.0, 10.0)


def test_a_longer_pulse_is_read_at_the_second_that_was_asked_for(cell):
    at = {s: find_pulses(log=cell, smallest_step_a=2.0, seconds=s)[0] for s in (2.0, 10.0, 18.0)}
    assert [one.seconds for one in at.values()] == [2.0, 10.0, 18.0]
    assert at[2.0].resistance_ohm < at[10.0].resistance_ohm < at[18.0].resistance_ohm


def test_with_the_other_sign_every_pulse_resistance_is_below_zero(cell):
    turned = replace(cell, currents_a=-cell.currents_a)
    assert {pulse.resistance_ohm < 0 for pulse in find_pulses(log=turned, smallest_step_a=2.0)} == {True}


def test_a_step_that_a_logger_smears_over_two_samples_is_one_pulse():
    times = np.arange(0.0, 40.0)
    currents = np.where(times < 10, 0.0, np.where(times < 11, 6.0, np.where(times < 30, 20.0, 0.0)))
    log = MeasurementLog(times_s=times, volts_v=14.4 - 0.02 * currents, currents_a=currents, gaps=())
    (pulse,) = find_pulses(log=log, smallest_step_a=10)
    assert (pulse.start_s, pulse.seconds, pulse.after_a) == (9.0, 10.0, 20.0)
    assert pulse.resistance_ohm == pytest.approx(0.02)


def test_a_pulse_across_a_gap_is_none():
    times = np.concatenate([np.arange(0.0, 10.0), np.arange(60.0, 80.0)])
    currents = np.where(times < 70, 0.0, 20.0)
    currents[9] = 0.0
    log = MeasurementLog(times_s=times, volts_v=14 - 0.02 * currents, currents_a=currents, gaps=((9.0, 60.0),))
    assert len(find_pulses(log=log, smallest_step_a=10)) == 1
    jump = replace(log, currents_a=np.where(times < 60, 0.0, 20.0))
    assert find_pulses(log=jump, smallest_step_a=10) == ()


def test_the_envelope_holds_every_value_and_leaves_gaps_open():
    rng = np.random.default_rng(3)
    times = np.sort(np.concatenate([rng.uniform(0, 40, 5000), rng.uniform(60, 100, 5000)]))
    values = rng.normal(size=10_000)
    values[1234] = 50.0  # one spike of one sample
    found = envelope(times_s=times, values=values, buckets=200)
    assert found.highest.max() == 50.0 and found.lowest.min() == values.min()
    # numpy's own statistics in the same stretches, by a histogram's edges.
    edges = np.linspace(times[0], times[-1], 201)
    which = np.clip(np.searchsorted(edges, times, side="right") - 1, 0, 199)
    lowest = [values[which == k].min() for k in np.unique(which)]
    assert np.array_equal(found.lowest, lowest)
    assert not ((found.times_s > 41) & (found.times_s < 59)).any()


def test_the_clock_tells_gaps_hours_and_equal_times():
    times = [0.0, 1, 2, 2, 3, 43, 44, 45, 3646, 3647, 3648]
    rows = "".join(f"{t},12,2\n" for t in times)
    log = read_log(data=f"time,voltage,current\n{rows}".encode())
    found = clock_of(log=log)
    assert found.gaps == ((3.0, 43.0), (45.0, 3646.0))
    assert found.set_forward == ((45.0, 3646.0),)
    assert found.equal_times == 1
    assert found.charge_in_gaps_ah == pytest.approx(2 * (40 + 3601) / 3600)


def test_a_log_read_in_steps_is_the_log_read_at_once():
    from diagnostics.calculations.measurement_log import layout

    rows = "".join(f"{n / 10},{400 - n / 1e4:.3f},{n % 97}\n" for n in range(60_000))
    data = ("time,voltage,current\n" + rows).encode()
    plan = layout.find_layout(lines=data, wanted=None)
    standing, parts = begin(lines=data, plan=plan), []
    while not standing.done:
        part, standing = read_on(lines=data, plan=plan, standing=standing, at_most_bytes=1)
        parts.append(part)
    whole = read_log(data=data)
    assert len(parts) > 2 and standing.place.line == 60_001
    for column, name in enumerate(("times_s", "volts_v", "currents_a")):
        assert np.array_equal(np.concatenate([part[column] for part in parts]), getattr(whole, name))


def test_a_bad_line_near_the_end_is_named_without_reading_all_with_care(monkeypatch):
    from diagnostics.calculations.measurement_log import LogError, cells

    looked_at = []
    split = cells.split
    monkeypatch.setattr(cells, "split", lambda **given: looked_at.append(1) or split(**given))
    rows = "".join(f"{n / 10},{400 - n / 1e4:.3f},{n % 97}\n" for n in range(120_000))
    with pytest.raises(LogError, match="Line 120002: the current is empty") as problem:
        read_log(data=f"time,voltage,current\n{rows}12000,12,\n".encode())
    assert problem.value.line == 120_002
    assert len(looked_at) < 40_000
    with pytest.raises(LogError, match="runs backwards") as problem:
        read_log(data=f"time,voltage,current\n{rows}1,12,1\n".encode())
    assert problem.value.line == 120_002
