"""Battery figures against exact integrals, scipy, numpy and hand calculations from published formulas."""

import math

import numpy as np
import pytest
import scipy.integrate
import scipy.optimize
import scipy.stats
import statsmodels.api
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnostics.calculations.battery import (
    CapacityFinding,
    assess_blocks,
    assess_capacity,
    assess_pulse_resistance,
    block_spread,
    capacity_from_log,
    charge_ah,
    fade_outlook,
    pulse_resistance_ohm,
    state_of_health_percent,
    weak_blocks,
)
from diagnostics.calculations.measurement_log import MeasurementLog
from diagnostics.calculations.verdicts import Limit

INF = math.inf
amperes = st.floats(-500, 500)
samples = st.lists(st.tuples(st.floats(0, 100), amperes), min_size=1, max_size=50)


def maximum(value, unit):
    return Limit(kind="maximum", value=value, unit=unit, source="Lanner sheet 12", authority="maker")


def minimum(value, unit):
    return Limit(kind="minimum", value=value, unit=unit, source="Lanner sheet 12", authority="maker")


def relaxing_cell(seconds, ampere=5.0):
    """Voltage of a cell with one RC pair under constant current: equivalent circuit, closed form.

    Open circuit 4.1 V falling by 0.25 mV a coulomb-ampere second of 5 A, R0 = 20 mohm, R1 = 15 mohm, tau = 60 s.
    """
    return 4.1 - 2.5e-4 * seconds * ampere / 5.0 - ampere * (0.020 + 0.015 * (1.0 - np.exp(-seconds / 60.0)))


def discharge(ampere=5.0, until_s=6000.0, step_s=1.0, gaps=()):
    seconds = np.arange(0.0, until_s + step_s, step_s)
    return MeasurementLog(
        times_s=seconds, volts_v=relaxing_cell(seconds, ampere), currents_a=np.full(len(seconds), ampere), gaps=gaps
    )


def test_a_constant_current_gives_current_times_time():
    # 1 Ah = 3600 C (SI brochure, 9th edition).
    assert charge_ah(times_s=[0, 1800, 3600], currents_a=[5, 5, 5]) == 5.0


def test_a_decaying_current_gives_the_exact_integral():
    # Integral of I0 exp(-t / tau) from 0 to T: I0 tau (1 - exp(-T / tau)).
    seconds = np.linspace(0, 3600, 20_001)
    counted = charge_ah(times_s=seconds, currents_a=20 * np.exp(-seconds / 900))
    assert counted == pytest.approx(20 * 900 * (1 - math.exp(-4)) / 3600, rel=1e-8)


@settings(max_examples=100)
@given(samples)
def test_any_charge_is_that_of_scipy_and_numpy(pairs):
    times, currents = (list(column) for column in zip(*sorted(pairs), strict=True))
    counted = charge_ah(times_s=times, currents_a=currents)
    assert counted == pytest.approx(np.trapezoid(currents, times) / 3600, abs=1e-9)
    assert counted == pytest.approx(scipy.integrate.trapezoid(currents, times) / 3600, abs=1e-9)
    assert isinstance(counted, float)


def test_a_million_samples_count_like_numpy():
    rng = np.random.default_rng(3)
    times, currents = np.cumsum(rng.random(1_000_000)), rng.normal(20, 5, 1_000_000)
    assert charge_ah(times_s=times, currents_a=currents) == pytest.approx(np.trapezoid(currents, times) / 3600)


@pytest.mark.parametrize("kind", [list, tuple, np.array])
def test_equal_times_are_a_step_of_the_current(kind):
    # Two rectangles: 10 A for an hour, then 2 A for an hour.
    rows = {"times_s": kind([0, 3600, 3600, 7200]), "currents_a": kind([10, 10, 2, 2])}
    assert charge_ah(**rows) == 12.0


def test_a_single_sample_has_no_charge():
    assert charge_ah(times_s=[3.0], currents_a=np.array([50.0])) == 0.0


@pytest.mark.parametrize(
    ("times", "currents", "argument"),
    [
        ([0, 2, 1], [1, 1, 1], "times_s"),
        ([0, 1, 2], [1, math.nan, 1], "currents_a"),
        ([0, 1, 1], [1, 1, INF], "currents_a"),
        ([0, 1, INF], [1, 1, 1], "times_s"),
        ([0, math.nan, 2], [0, 0, 0], "times_s"),
        ([0, 1], [1], "times_s"),
        ([], [], "times_s"),
        ([math.nan], [1], "times_s"),
        ("01", [1, 1], "times_s"),
    ],
)
def test_impossible_samples_are_refused_as_list_and_array(times, currents, argument):
    for kind in (list, np.array) if isinstance(times, list) else (str,):
        with pytest.raises(ValueError, match=f"The arguments? {argument} .*must"):
            charge_ah(times_s=kind(times), currents_a=currents)


def test_a_charge_beyond_what_a_float_carries_is_refused():
    with pytest.raises(ValueError, match="beyond what can be calculated"):
        charge_ah(times_s=[-1e308, 1e308], currents_a=[1e308, 1e308])


def test_half_the_capacity_is_half_the_health():
    assert state_of_health_percent(measured_ah=3.25, rated_ah=6.5) == 50.0


@pytest.mark.parametrize(("measured", "rated"), [(-1, 5), (5, 0), (5, -5), (math.nan, 5)])
def test_an_impossible_capacity_is_refused(measured, rated):
    with pytest.raises(ValueError, match=r"The argument (measured|rated)_ah must"):
        state_of_health_percent(measured_ah=measured, rated_ah=rated)


def test_the_published_pulse_has_the_published_resistance():
    # Simulated once with a single-particle model with electrolyte, 50 % charge, 5 A for 10 s (reference value 5.2).
    found = pulse_resistance_ohm(before_v=3.750874, after_v=3.606009, before_a=0, after_a=5)
    assert found == pytest.approx(28.97e-3, rel=0.01)


def test_a_charging_pulse_shows_the_same_resistance():
    # Ohm's law: 0.5 V over a step of 20 A.
    assert pulse_resistance_ohm(before_v=14.0, after_v=14.5, before_a=0, after_a=-20) == pytest.approx(0.025)


def test_the_pulse_of_an_rc_cell_shows_both_resistances_at_its_end():
    # Closed form of the equivalent circuit after ten time constants: R0 + R1, and the fall of the open circuit.
    found = pulse_resistance_ohm(before_v=4.1, after_v=float(relaxing_cell(600.0)), before_a=0, after_a=5)
    assert found == pytest.approx(0.020 + 0.015 * (1 - math.exp(-10)) + 2.5e-4 * 600 / 5)


@pytest.mark.parametrize("figures", [(4, 3, 5, 5), (4, 5, 0, 5), (4, math.nan, 0, 5), (True, 3, 0, 5)])
def test_an_impossible_pulse_is_refused(figures):
    names = ("before_v", "after_v", "before_a", "after_a")
    with pytest.raises(ValueError, match="The argument"):
        pulse_resistance_ohm(**dict(zip(names, figures, strict=True)))


@settings(max_examples=60)
@given(st.lists(st.floats(0, 20), min_size=2, max_size=30))
def test_the_spread_is_that_of_numpy(volts):
    found = block_spread(volts=volts)
    assert found.spread_v == np.ptp(volts)
    assert found.standard_deviation_v == pytest.approx(np.std(volts, ddof=1))


def test_a_low_block_is_weak_and_a_high_one_is_not():
    # Score by hand: median 14.4, MAD 0.1: 0.6745 * (13.1 - 14.4) / 0.1 = -8.8, and +8.8 for 15.7.
    assert weak_blocks(volts=[14.4, 14.5, 13.1, 14.3, 14.4, 15.7, 14.5]) == (2,)


@settings(max_examples=80)
@given(st.lists(st.floats(10, 20), min_size=3, max_size=30), st.floats(0.5, 5))
def test_weak_blocks_are_those_of_scipys_median_deviation(volts, threshold):
    deviation = scipy.stats.median_abs_deviation(volts)
    if deviation > 1e-6:
        scores = 0.6745 * (np.array(volts) - np.median(volts)) / deviation
        near = np.abs(scores + threshold) < 1e-9
        found = np.isin(np.arange(len(volts)), weak_blocks(volts=volts, threshold=threshold))
        assert (found == (scores < -threshold))[~near].all()


def test_a_resolution_keeps_one_digit_from_condemning_a_block():
    volts = [14.4] * 13 + [14.3]
    # MAD is 0: without a resolution every block below the median is weak (the project's own rule).
    assert weak_blocks(volts=volts) == (13,)
    assert weak_blocks(volts=volts, resolution_v=0.1) == ()
    assert weak_blocks(volts=np.array([14.4] * 13 + [13.8]), resolution_v=0.1) == (13,)  # 0.6745 * 6 = 4.05


@pytest.mark.parametrize("bad", [{"volts": []}, {"volts": [1], "threshold": 0}, {"volts": [1], "resolution_v": -0.1}])
def test_impossible_blocks_are_refused(bad):
    with pytest.raises(ValueError, match="The argument"):
        weak_blocks(**bad)


def history(*pairs):
    return [CapacityFinding(age_years=age, capacity_percent=percent) for age, percent in pairs]


def test_half_the_capacity_at_ten_years_has_two_and_a_half_or_five_and_a_half_years_left():
    # common practice, no source: 52 % at ten years and 40 % as the end; the years follow from both laws.
    found = fade_outlook(history=history((10, 52)))
    assert (found.linear_years, found.square_root_years) == pytest.approx((2.5, 5.625))
    assert (found.linear_low, found.linear_high, found.square_root_low, found.square_root_high) == (None,) * 4


def test_the_published_coefficients_reach_the_published_end_of_life():
    # Reference value 5.3: b = 4 % per sqrt(year) ends (80 %) at 25 years; linear 2 % a year at 10.
    root = fade_outlook(history=history((1, 96), (4, 92), (9, 88)), limit_percent=80)
    line = fade_outlook(history=history((1, 98), (4, 92)), limit_percent=80)
    assert root.square_root_years == pytest.approx(25 - 9)
    assert line.linear_years == pytest.approx(10 - 4)


def test_the_interval_is_that_of_a_regression_without_intercept():
    # statsmodels OLS without constant: 95 % t interval of the slope, n - 1 degrees of freedom.
    pairs = [(2, 91), (4, 86), (6, 71), (8, 66)]
    found = fade_outlook(history=history(*pairs))
    ages, losses = np.array([age for age, _ in pairs]), np.array([100 - percent for _, percent in pairs])
    for x, power, ours in (
        (ages, 1, (found.linear_low, found.linear_high)),
        (np.sqrt(ages), 2, (found.square_root_low, found.square_root_high)),
    ):
        flat, steep = statsmodels.api.OLS(losses, x).fit().conf_int()[0]
        assert ours == pytest.approx(((60 / steep) ** power - 8, (60 / flat) ** power - 8))


def test_without_fade_the_years_are_infinite():
    assert fade_outlook(history=history((5, 101))).linear_years == INF
    found = fade_outlook(history=history((1, 100), (2, 100), (3, 100)))
    assert (found.linear_low, found.linear_years, found.square_root_high) == (INF, INF, INF)


def test_at_the_limit_there_is_no_time_left():
    found = fade_outlook(history=history((3, 80), (6, 60), (9, 40)))
    assert (found.linear_years, found.linear_low, found.linear_high, found.square_root_years) == (0.0,) * 4
    assert fade_outlook(history=history((9, 39))).linear_low is None


findings = st.lists(st.tuples(st.floats(0.1, 20), st.floats(0, 110)), min_size=1, max_size=8)


@settings(max_examples=100)
@given(findings, st.floats(0, 95))
def test_low_and_high_enclose_the_years_and_the_order_does_not_matter(pairs, limit):
    pairs = list({age: (age, percent) for age, percent in pairs}.values())
    found = fade_outlook(history=history(*pairs), limit_percent=limit)
    turned = fade_outlook(history=tuple(history(*pairs[::-1])), limit_percent=limit)
    assert found.linear_years == pytest.approx(turned.linear_years, rel=1e-6, abs=1e-6)
    for low, years, high in (
        (found.linear_low, found.linear_years, found.linear_high),
        (found.square_root_low, found.square_root_years, found.square_root_high),
    ):
        assert years >= 0.0
        assert (low is None and high is None) if len(pairs) < 3 else low <= years <= high


@pytest.mark.parametrize("bad", [[], history((0, 100)), [(10, 52)], None, "ab"])
def test_an_impossible_history_is_refused(bad):
    with pytest.raises(ValueError, match="The argument history must"):
        fade_outlook(history=bad)


@pytest.mark.parametrize(("age", "percent"), [(-1, 50), (5, -1), (math.nan, 50), (5, 5000)])
def test_an_impossible_finding_is_refused(age, percent):
    with pytest.raises(ValueError, match=r"The argument (age_years|capacity_percent) must"):
        CapacityFinding(age_years=age, capacity_percent=percent)


@pytest.mark.parametrize("limit", [100, -1, math.nan])
def test_an_impossible_end_is_refused(limit):
    with pytest.raises(ValueError, match="The argument limit_percent must"):
        fade_outlook(history=history((10, 52)), limit_percent=limit)


def test_a_logged_discharge_ends_where_the_closed_form_reaches_the_cut_off():
    # Equivalent circuit in closed form; end by scipy.optimize.brentq, energy by scipy.integrate.quad.
    end = scipy.optimize.brentq(lambda second: relaxing_cell(second) - 3.0, 0, 6000)
    energy = scipy.integrate.quad(lambda second: 5.0 * relaxing_cell(second), 0, end)[0]
    found = capacity_from_log(log=discharge(step_s=0.1), cut_off_v=3.0)
    assert 0 <= found.duration_s - end <= 0.1
    assert found.charge_ah == pytest.approx(5 * end / 3600, rel=1e-4)
    assert found.energy_wh == pytest.approx(energy / 3600, rel=1e-4)


def test_the_first_sample_at_the_cut_off_is_counted_and_those_after_it_are_not():
    log = MeasurementLog(times_s=[0, 1, 2, 3, 4], volts_v=[4, 3.5, 3, 3.4, 2], currents_a=[3600] * 5, gaps=())
    assert capacity_from_log(log=log, cut_off_v=3).charge_ah == 2.0
    assert capacity_from_log(log=log).charge_ah == 4.0
    assert capacity_from_log(log=log, cut_off_v=1).charge_ah == 4.0
    assert capacity_from_log(log=log, cut_off_v=4).charge_ah == 0.0


@pytest.mark.parametrize("field", ["times_s", "volts_v", "currents_a"])
def test_a_log_with_an_impossible_sample_is_refused(field):
    rows = {"times_s": [0.0, 1.0], "volts_v": [4.0, 4.0], "currents_a": [1.0, 1.0]}
    for bad in ([0.0, math.nan], [0.0]):
        with pytest.raises(ValueError, match=f"The arguments? .*{field}"):
            capacity_from_log(log=MeasurementLog(**{**rows, field: bad}, gaps=()))


def test_a_hybrid_battery_above_forty_percent_is_within():
    # common practice, no source: 40 % of rated capacity for hybrids.
    found = assess_capacity(method="bench", rated_ah=6.5, measured_ah=3.38, percent_of_reading=2.0)
    finding = found.findings[0]
    assert (found.verdict, finding.quantity, finding.reason) == ("within", "capacity_bench", "clear_of_limit")
    assert finding.limit.source == "common practice, no source"
    assert assess_capacity(method="bench", rated_ah=6.5, measured_ah=2.5, percent_of_reading=2.0).verdict == "outside"


def test_the_makers_limit_goes_before_forty_percent():
    found = assess_capacity(
        method="bench", rated_ah=6.5, measured_ah=3.38, percent_of_reading=2.0, limits=[minimum(60, "%")]
    )
    assert found.verdict == "outside"


def test_an_electric_car_has_no_limit_but_the_makers():
    figures = {"method": "bench", "rated_ah": 150, "measured_ah": 120, "percent_of_reading": 1, "vehicle": "electric"}
    assert assess_capacity(**figures).findings[0].reason == "no_limit"
    assert assess_capacity(**figures, limits=[minimum(70, "%")]).verdict == "within"


def test_an_estimate_of_the_cars_own_module_proves_nothing():
    found = assess_capacity(method="module_estimate", rated_ah=6.5, measured_ah=5.2)
    assert (found.verdict, found.findings[0].quantity) == ("unproven", "capacity_module_estimate")
    assert found.next_steps == ("measure_capacity_on_bench",)


def clamp(before, after, **more):
    """A discharge of 1 A over three hours, counted by a clamp, of a battery rated 6.5 Ah."""
    seconds = np.arange(0.0, 10_801.0, 10.0)
    volts = np.linspace(14.4, 9.9, len(seconds))
    log = MeasurementLog(
        times_s=seconds, volts_v=volts, currents_a=np.full(len(seconds), 1.0), gaps=more.pop("gaps", ())
    )
    return assess_capacity(
        method="in_car",
        rated_ah=6.5,
        log=log,
        cut_off_v=more.pop("cut_off_v", 10.0),
        zero_before_a=before,
        zero_after_a=after,
        percent_of_reading=1.0,
        **more,
    )


def test_an_offset_of_half_an_ampere_over_three_hours_is_a_quarter_of_the_battery():
    # records.md's own figure, common practice: 0.5 A x 3 h = 1.5 Ah = 23 % of 6.5 Ah.
    drifting, steady = clamp(0.0, 0.0).findings[0], clamp(0.5, 0.5).findings[0]
    assert drifting.value - steady.value == pytest.approx(100 * 1.5 / 6.5, rel=0.03)


def test_a_clamp_that_drifts_by_an_ampere_cannot_tell():
    # Half the drift x the time: 0.5 A x 3 h = 1.5 Ah, 23 % of 6.5 Ah, on 46 % - 0: reaches across 40 %.
    finding = clamp(-0.5, 0.5).findings[0]
    assert finding.uncertainty == pytest.approx(23, abs=1)
    assert (finding.verdict, finding.reason) == ("unproven", "touches_limit")
    assert clamp(0.0, 0.0).verdict == "within"


def test_a_clamp_that_was_never_zeroed_is_a_concern():
    for zeros in ((None, 0.0), (0.0, None)):
        found = clamp(*zeros)
        assert (found.verdict, found.findings[0].reason) == ("unproven", "missing_clamp_zero")
        assert found.next_steps[0] == "zero_clamp_before_and_after"


def test_a_discharge_that_stops_early_gives_at_least_what_it_gave():
    # Of 3 Ah counted, 46 % are at least there: enough against 40 %, undecided against 60 %.
    assert clamp(0.0, 0.0, cut_off_v=5.0).verdict == "within"
    found = clamp(0.0, 0.0, cut_off_v=None, limits=[minimum(60, "%")])
    assert (found.verdict, found.findings[0].bound, found.next_steps) == (
        "unproven",
        "at_least",
        ("discharge_to_cut_off",),
    )
    assert clamp(0.0, 0.0, limits=[minimum(60, "%")]).verdict == "outside"


def test_a_log_with_gaps_proves_nothing():
    assert clamp(0.0, 0.0, gaps=((10.0, 90.0),)).findings[0].reason == "log_has_gaps"


def test_a_concern_of_the_record_keeps_its_code():
    found = clamp(0.0, 0.0, concerns=["overdue_instrument"])
    assert (found.findings[0].reason, found.next_steps) == ("overdue_instrument", ("use_instrument_in_date",))


def test_without_any_reading_the_capacity_is_missing():
    found = assess_capacity(method="bench", rated_ah=6.5)
    assert (found.findings[0].reason, found.next_steps) == ("missing", ("take_reading",))


@pytest.mark.parametrize("bad", [{"method": "guess"}, {"vehicle": "bus"}, {"log": discharge()}, {"rated_ah": 0}])
def test_an_impossible_capacity_record_is_refused(bad):
    with pytest.raises(ValueError, match="The argument"):
        assess_capacity(**({"method": "bench", "rated_ah": 6.5, "measured_ah": 3.0} | bad))


BLOCKS = [14.4, 14.5, 14.4, 14.3, 14.4, 14.5, 14.4]


def blocks(volts, **more):
    accuracy = {"percent_of_reading": 0.5, "counts": 2, "resolution_v": 0.01}
    return assess_blocks(volts=volts, **accuracy, **({"limits": [maximum(1.0, "V")]} | more))


def test_blocks_that_lie_together_are_within():
    found = blocks(BLOCKS)
    assert (found.verdict, found.next_steps) == ("within", ())


def test_the_gain_of_one_instrument_works_on_the_spread_only():
    # GUM 5.2.2, from memory: shared gain 0.5 % of 0.2 V, and two counts of 10 mV at either end.
    assert blocks(BLOCKS).findings[0].uncertainty == pytest.approx(math.hypot(0.001, 0.02, 0.02))


def test_a_single_weak_block_asks_for_clean_leads_first_and_warns_of_exchange():
    found = blocks([*BLOCKS, 13.1])
    assert found.verdict == "outside"
    assert found.next_steps == ("clean_bus_bars_and_sense_leads", "single_exchanged_block_comes_back")


def test_iron_phosphate_on_the_flat_of_its_curve_proves_nothing():
    for charge in (50.0, None):
        found = blocks(BLOCKS, chemistry="iron_phosphate", charge_percent=charge)
        assert (found.verdict, found.findings[0].reason) == ("unproven", "flat_curve")
        assert found.next_steps == ("charge_or_discharge_off_the_plateau",)
    assert blocks(BLOCKS, chemistry="iron_phosphate", charge_percent=99.0).verdict == "within"
    assert blocks(BLOCKS, chemistry="nickel", charge_percent=50.0).verdict == "within"


def test_without_limit_or_accuracy_or_blocks_there_is_not_enough_data():
    assert blocks(BLOCKS, limits=[]).findings[0].reason == "no_limit"
    assert assess_blocks(volts=BLOCKS, limits=[maximum(1, "V")]).findings[0].reason == "uncertainty_unknown"
    assert blocks([]).findings[0].reason == "missing"


@pytest.mark.parametrize("bad", [{"chemistry": "tin"}, {"charge_percent": 101}, {"volts": [14, math.nan]}])
def test_impossible_block_records_are_refused(bad):
    with pytest.raises(ValueError, match="The argument"):
        assess_blocks(**({"volts": BLOCKS} | bad))


PULSE = {"before_v": 14.4, "after_v": 14.0, "before_a": 0.0, "after_a": 20.0}


def test_the_uncertainty_of_a_pulse_is_that_of_four_readings():
    # GUM 5.1.2, from memory, by numerical derivatives: U^2 = sum (dR/dx U)^2.
    spread = {"before_v": 0.01, "after_v": 0.01, "before_a": 0.2, "after_a": 0.2}
    slopes = [
        (pulse_resistance_ohm(**(PULSE | {name: PULSE[name] + 1e-6})) - pulse_resistance_ohm(**PULSE)) / 1e-6 * u
        for name, u in spread.items()
    ]
    found = assess_pulse_resistance(**PULSE, uncertainty_v=0.01, uncertainty_a=0.2, limits=[maximum(0.045, "ohm")])
    assert found.findings[0].uncertainty == pytest.approx(math.hypot(*slopes), rel=1e-4)
    assert found.verdict == "within"


def test_a_block_twice_as_high_as_the_median_is_outside_the_makers_ratio():
    figures = {"uncertainty_v": 0.01, "uncertainty_a": 0.2, "limits": [maximum(0.045, "ohm")]}
    found = assess_pulse_resistance(**PULSE, **figures, median_block_ohm=0.010, ratio_limits=[maximum(1.5, "ratio")])
    assert [finding.verdict for finding in found.findings] == ["within", "outside"]
    assert found.findings[1].value == pytest.approx(2.0)


def test_a_small_step_of_the_current_cannot_tell():
    pulse = {"before_v": 14.41, "after_v": 14.38, "before_a": 0.0, "after_a": 1.0}
    found = assess_pulse_resistance(**pulse, uncertainty_v=0.02, uncertainty_a=0.2, limits=[maximum(0.045, "ohm")])
    assert found.findings[0].reason == "touches_limit"


def test_a_pulse_without_limit_or_accuracy_is_not_enough_data():
    assert assess_pulse_resistance(**PULSE, uncertainty_v=0.01, uncertainty_a=0.2).findings[0].reason == "no_limit"
    found = assess_pulse_resistance(**PULSE, uncertainty_v=0.01, limits=[maximum(0.045, "ohm")])
    assert found.next_steps == ("enter_instrument_accuracy",)
