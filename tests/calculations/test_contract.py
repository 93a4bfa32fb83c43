"""The names and arguments by which the calculations are called from outside; none of them may change.

An argument with "=" may be left out.
"""

import inspect
from importlib import import_module
from typing import Any

import pytest

CONTRACT = """
verdicts.choose_limit(limits, strictest=)
verdicts.instrument_uncertainty(reading, percent_of_reading, counts, resolution)
verdicts.judge(quantity, value, unit, uncertainty, limit, concerns=, bound=)
verdicts.Limit(kind, value, unit, source, authority, upper=)
windings.resistance_at(resistance_ohm, measured_c, reference_c=, constant_k=)
windings.temperature_from_resistance(cold_ohm, cold_c, hot_ohm, constant_k=)
windings.phase_resistances(ab_ohm, bc_ohm, ca_ohm, connection=)
windings.unbalance_percent(values_ohm, definition=)
windings.unbalance_uncertainty_percent(values_ohm, percent_of_reading, counts, resolution_ohm)
insulation.correct_to_reference(resistance_megohm, measured_c, reference_c=, rule=)
insulation.polarization_index(minute_1_megohm, minute_10_megohm)
insulation.absorption_ratio(second_30_megohm, second_60_megohm)
insulation.minimum_resistance_megohm(winding, rated_kv)
insulation.recommended_test_voltage_v(rated_v)
insulation.resistance_from_decay_megohm(start_v, end_v, elapsed_s, capacitance_f)
isolation.isolation_resistance_ohm(negative_to_body_v, positive_to_body_v, with_resistor_v, resistor_ohm, pole_to_pole_v=)
isolation.minimum_ohm_per_volt(system)
link_capacitor.time_to_voltage_s(start_v, end_v, resistance_ohm, capacitance_f)
link_capacitor.voltage_after_v(start_v, elapsed_s, resistance_ohm, capacitance_f)
link_capacitor.stored_energy_j(capacitance_f, voltage_v)
link_capacitor.energy_above_60_v_j(capacitance_f, voltage_v)
link_capacitor.time_constant_from_log(times_s, volts)
power_stage.assess_diode_check(readings, technology=, stage=, phases=)
power_stage.conduction_loss_w(threshold_v, slope_ohm, peak_a, modulation, power_factor, part)
power_stage.switching_loss_w(frequency_hz, energy_j, peak_a, reference_a, voltage_v, reference_v)
power_stage.junction_temperature_c(reference_c, loss_w, resistances_k_per_w)
cooling.heat_carried_w(flow_m3_per_s, rise_k, density_kg_per_m3, heat_capacity_j_per_kg_k)
cooling.scale_fan(flow, pressure, power, from_rpm, to_rpm)
cooling.FanStep(commanded_percent, measured, expected=)
battery.charge_ah(times_s, currents_a)
battery.state_of_health_percent(measured_ah, rated_ah)
battery.pulse_resistance_ohm(before_v, after_v, before_a, after_a)
battery.block_spread(volts)
battery.weak_blocks(volts, threshold=, resolution_v=)
battery.CapacityFinding(age_years, capacity_percent)
battery.fade_outlook(history, limit_percent=)
battery.capacity_from_log(log, cut_off_v=)
trouble_codes.decode_pair(high, low)
trouble_codes.stored_codes(response_hex, can)
trouble_codes.status_report(response_hex, mask)
trouble_codes.status_flags(status)
vin.check_digit(vin)
vin.problems(vin)
outcomes.survival(durations_months, failed)
outcomes.compare(groups)
outcomes.proportion_interval(successes, trials, confidence=)
measurement_log.read_log(data, columns=)
"""
# Made inside, read outside: the fields that a result has, in any order.
RESULTS = """
verdicts.Finding: quantity value unit uncertainty limit verdict margin_percent reason explanation
verdicts.Assessment: findings verdict next_steps
windings.PhaseResistances: a_ohm b_ohm c_ohm
insulation.VoltageRange: minimum_v maximum_v
link_capacitor.TimeConstant: time_constant_s uncertainty_s start_v
cooling.FanPoint: flow pressure power
battery.BlockSpread: spread_v standard_deviation_v
battery.FadeOutlook: linear_years linear_low linear_high square_root_years square_root_low square_root_high
battery.LogCapacity: charge_ah energy_wh duration_s
trouble_codes.StatusReport: availability_mask codes
trouble_codes.CodeStatus: code failure_type status
vin.VinProblem: code severity message
outcomes.Survival: times_months at_risk failures survival standard_error lower upper median_months
outcomes.LogRank: chi_square degrees_of_freedom p_value observed expected
outcomes.Proportion: estimate lower upper
measurement_log.MeasurementLog: times_s volts_v currents_a gaps
"""
ASSESSED = """
windings.assess_windings insulation.assess_insulation isolation.assess_isolation link_capacitor.assess_discharge
cooling.assess_fan_sweep cooling.assess_coolant_loop dc_supply.assess_dc_supply thermal.assess_load_run
position_sensor.assess_position_sensor contactors.assess_contactors bonding.assess_bonding verdicts.propagate
"""


def found(path: str) -> Any:
    module, name = path.split(".")
    return getattr(import_module(f"diagnostics.calculations.{module}"), name)


@pytest.mark.parametrize("line", CONTRACT.split("\n")[1:-1])
def test_it_is_called_by_the_names_of_the_contract(line: str) -> None:
    path, _bracket, arguments = line.rstrip(")").partition("(")
    real = inspect.signature(found(path)).parameters
    wanted = {one.rstrip("="): one.endswith("=") for one in arguments.split(", ")}
    assert {name: real[name].default is not inspect.Parameter.empty for name in wanted} == wanted
    more = set(real) - set(wanted)
    assert all(real[name].default is not inspect.Parameter.empty for name in more), more


@pytest.mark.parametrize("line", RESULTS.split("\n")[1:-1])
def test_a_result_has_the_fields_of_the_contract(line: str) -> None:
    path, _colon, names = line.partition(": ")
    assert set(names.split()) <= set(inspect.signature(found(path)).parameters)


@pytest.mark.parametrize("path", ASSESSED.split())
def test_what_each_subject_assesses_is_there(path: str) -> None:
    assert callable(found(path))


def test_a_bad_line_of_a_log_is_told_by_its_number() -> None:
    with pytest.raises(found("measurement_log.LogError")) as told:
        found("measurement_log.read_log")(data=b"time,voltage,current\n0,abc,1\n")
    assert isinstance(told.value, ValueError) and told.value.line == 2


def test_verdicts_and_what_stands_elsewhere_have_their_names() -> None:
    assert [one.value for one in found("verdicts.Verdict")] == ["within", "outside", "unproven"]
    distance = import_module("network.geography").great_circle_km
    assert list(inspect.signature(distance).parameters) == ["latitude_1", "longitude_1", "latitude_2", "longitude_2"]
    assert list(inspect.signature(import_module("parts.numbers").normalise).parameters) == ["number"]
    assert callable(import_module("parts.landed_cost").landed_cost)
    assert callable(import_module("parts.ways").compare_ways)
