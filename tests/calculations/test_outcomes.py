"""Survival, log-rank and Wilson against published tables, lifelines, statsmodels and scipy."""

import warnings

import lifelines
import lifelines.datasets
import lifelines.statistics
import numpy as np
import pytest
import scipy.stats
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from statsmodels.duration.survfunc import SurvfuncRight, survdiff
from statsmodels.stats.proportion import proportion_confint

from diagnostics.calculations.outcomes import compare, proportion_interval, survival

# Freireich 1963 (Blood 21:699), weeks, as printed at grodri.github.io/survival/gehan; + means followed until then.
MP = [
    "6",
    "6",
    "6",
    "6+",
    "7",
    "9+",
    "10",
    "10+",
    "11+",
    "13",
    "16",
    "17+",
    "19+",
    "20+",
    "22",
    "23",
    "25+",
    "32+",
    "32+",
    "34+",
    "35+",
]
PLACEBO = [
    "1",
    "1",
    "2",
    "2",
    "3",
    "4",
    "4",
    "5",
    "5",
    "8",
    "8",
    "8",
    "8",
    "11",
    "11",
    "12",
    "12",
    "15",
    "17",
    "22",
    "23",
]

outcomes = st.lists(st.tuples(st.integers(0, 30), st.booleans()), min_size=1, max_size=40)


def rows(printed):
    return [float(one.rstrip("+")) for one in printed], [not one.endswith("+") for one in printed]


def curve(printed):
    durations, failed = rows(printed)
    return survival(durations_months=durations, failed=failed)


def test_the_curve_of_the_leukaemia_trial_is_as_in_the_textbook():
    # Kleinbaum and Klein, Survival Analysis, table for 6-MP (from memory); lifelines, statsmodels and scipy agree.
    found = curve(MP)
    assert found.times_months.tolist() == [6, 7, 10, 13, 16, 22, 23]
    assert found.at_risk.tolist() == [21, 17, 15, 12, 11, 7, 6]
    assert found.failures.tolist() == [3, 1, 1, 1, 1, 1, 1]
    assert found.survival == pytest.approx([0.8571, 0.8067, 0.7529, 0.6902, 0.6275, 0.5378, 0.4482], abs=5e-5)
    assert found.standard_error == pytest.approx([0.0764, 0.0869, 0.0963, 0.1068, 0.1141, 0.1282, 0.1346], abs=5e-5)
    assert found.median_months == 23.0
    assert isinstance(found.median_months, float)


def test_the_data_are_those_that_lifelines_ships():
    # lifelines.datasets.load_leukemia: 42 rows, 30 events, 359 + 182 weeks.
    table = lifelines.datasets.load_leukemia()
    ours = sorted([(t, f) for printed in (MP, PLACEBO) for t, f in zip(*rows(printed), strict=True)])
    assert sorted(zip(table["t"].astype(float), table["status"].astype(bool), strict=True)) == ours


def test_the_log_rank_test_of_the_trial_is_as_in_the_textbook():
    # Kleinbaum and Klein print 16.79 (from memory); lifelines, statsmodels and scipy.stats.logrank agree.
    result = compare(groups={"6-MP": rows(MP), "placebo": rows(PLACEBO)})
    assert result.chi_square == pytest.approx(16.7929, abs=5e-5)
    assert result.p_value == pytest.approx(4.169e-5, rel=1e-3)
    assert result.degrees_of_freedom == 1
    assert result.observed == {"6-MP": 9.0, "placebo": 21.0}
    assert result.expected == pytest.approx({"6-MP": 19.2505, "placebo": 10.7495}, abs=5e-5)


def test_the_bounds_of_the_trial_are_those_of_lifelines():
    durations, failed = rows(MP)
    found = curve(MP)
    fitter = lifelines.KaplanMeierFitter().fit(durations, failed)  # log-log bounds, 95 %
    theirs = fitter.confidence_interval_survival_function_.loc[found.times_months].to_numpy()
    assert np.column_stack([found.lower, found.upper]) == pytest.approx(theirs, rel=1e-9)


@settings(max_examples=60, deadline=None)
@given(outcomes)
def test_any_curve_is_that_of_statsmodels(pairs):
    durations, failed = (list(column) for column in zip(*pairs, strict=True))
    assume(any(failed))
    found = survival(durations_months=durations, failed=failed)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # statsmodels divides by zero where the last one fails
        theirs = SurvfuncRight(np.array(durations), np.array(failed))
    assert found.times_months.tolist() == theirs.surv_times.tolist()
    assert found.survival == pytest.approx(theirs.surv_prob)
    assert found.at_risk.tolist() == theirs.n_risk.tolist()
    alive = found.survival > 0
    assert found.standard_error[alive] == pytest.approx(np.asarray(theirs.surv_prob_se)[alive])


@settings(max_examples=60, deadline=None)
@given(outcomes)
def test_any_curve_is_that_of_scipy(pairs):
    durations, failed = (np.array(column) for column in zip(*pairs, strict=True))
    assume(failed.any() and not failed.all())
    found = survival(durations_months=durations, failed=failed)
    data = scipy.stats.CensoredData.right_censored(durations.astype(float), ~failed)
    assert found.survival == pytest.approx(scipy.stats.ecdf(data).sf.evaluate(found.times_months))


@settings(max_examples=60)
@given(outcomes)
def test_every_curve_falls_within_its_bounds(pairs):
    durations, failed = (tuple(column) for column in zip(*pairs, strict=True))
    found = survival(durations_months=durations, failed=failed)
    assert (found.lower <= found.survival).all() and (found.survival <= found.upper).all()
    assert (np.diff(found.survival, prepend=1.0) < 0).all() and (np.diff(found.times_months) > 0).all()
    assert (found.lower >= 0).all() and (found.upper <= 1).all() and np.isfinite(found.standard_error).all()
    assert found.failures.sum() == sum(failed)


def test_where_the_curve_is_at_zero_error_and_bounds_are_zero():
    found = survival(durations_months=[1, 2], failed=[True, True])
    assert [row[-1] for row in (found.survival, found.standard_error, found.lower, found.upper)] == [0.0] * 4


def test_a_curve_that_reaches_one_half_exactly_has_its_median_there():
    # NIST e-Handbook 8.4.1.3: ten failures, ten censored at 500 h; S is one half at 386 h, where rounding misleads.
    hours = [54, 187, 216, 240, 244, 335, 361, 373, 375, 386] + [500] * 10
    found = survival(durations_months=hours, failed=[True] * 10 + [False] * 10)
    assert found.survival[-1] == pytest.approx(0.5)
    assert found.median_months == 386.0


def test_rounding_does_not_hide_that_one_half_is_reached():
    # Of 24 repairs 12 fail, one a month: exactly one half; the product of the fractions comes out 1e-16 above it.
    found = survival(durations_months=[*range(1, 13), *[24] * 12], failed=[True] * 12 + [False] * 12)
    assert found.survival[-1] > 0.5
    assert found.median_months == 12.0


def test_a_curve_that_stays_above_one_half_has_no_median():
    assert survival(durations_months=[1, 2, 3], failed=[True, False, False]).median_months is None


def test_where_nothing_failed_the_curve_is_empty():
    found = survival(durations_months=[3, 0, 24], failed=[False, False, False])
    assert found.times_months.tolist() == found.survival.tolist() == found.upper.tolist() == []
    assert found.median_months is None


def test_a_failure_in_the_first_month_counts():
    # From the definition: of four, one fails at 0, so that three quarters are left.
    found = survival(durations_months=[0, 0, 5, 6], failed=[True, False, False, True])
    assert found.survival.tolist() == [0.75, 0.0]
    assert found.at_risk.tolist() == [4, 1]


@pytest.mark.parametrize("kind", [list, tuple, np.array])
def test_rows_of_any_kind_and_numbers_for_truth_are_understood(kind):
    expected = curve(PLACEBO).survival.tolist()
    durations, failed = rows(PLACEBO)
    assert survival(durations_months=kind(durations), failed=kind(failed)).survival.tolist() == expected
    assert survival(durations_months=kind(durations), failed=kind([1] * 21)).survival.tolist() == expected


@pytest.mark.parametrize(
    ("durations", "failed"),
    [
        ([], []),
        ([1, -1], [True, True]),
        ([1, np.nan], [True, True]),
        ([1, 2], [True]),
        ([1, 2], [True, 2]),
        ([1, 2], [True, None]),
        ([1, 2], [True, [True]]),
        ([1, 2], "yes"),
        (5, [True]),
    ],
)
def test_impossible_outcomes_are_refused_with_a_sentence(durations, failed):
    with pytest.raises(ValueError, match=r"The arguments? (durations_months|failed) .*must"):
        survival(durations_months=durations, failed=failed)


@settings(max_examples=40, deadline=None)
@given(st.lists(outcomes, min_size=2, max_size=4))
def test_any_comparison_is_that_of_lifelines(groups):
    named = {f"way {number}": tuple(map(list, zip(*pairs, strict=True))) for number, pairs in enumerate(groups)}
    durations = [one for group in named.values() for one in group[0]]
    failed = [one for group in named.values() for one in group[1]]
    labels = [name for name, group in named.items() for _ in group[0]]
    # lifelines drops a group without failures from its variance in another way: every group has one here.
    assume(all(any(group[1]) for group in named.values()))
    ours = compare(groups=named)
    assume(max(durations) > min(d for d, f in zip(durations, failed, strict=True) if f))
    theirs = lifelines.statistics.multivariate_logrank_test(durations, labels, failed)
    assert ours.chi_square == pytest.approx(theirs.test_statistic, rel=1e-6, abs=1e-9)
    assert ours.p_value == pytest.approx(theirs.p_value, rel=1e-6, abs=1e-12)
    assert ours.degrees_of_freedom == len(named) - 1


def test_three_groups_are_compared_as_statsmodels_does():
    rng = np.random.default_rng(7)
    groups = {name: (rng.integers(1, 30, 25), rng.random(25) < 0.6) for name in ("new", "used", "repaired")}
    durations, failed = (np.concatenate([group[k] for group in groups.values()]) for k in (0, 1))
    chi_square, p_value = survdiff(durations, failed.astype(int), np.repeat(list(groups), 25))
    ours = compare(groups=groups)
    assert (ours.chi_square, ours.p_value) == pytest.approx((chi_square, p_value))


def test_two_groups_are_compared_as_scipy_does():
    theirs = scipy.stats.logrank(
        *(scipy.stats.CensoredData.right_censored(rows(one)[0], ~np.array(rows(one)[1])) for one in (MP, PLACEBO))
    )
    ours = compare(groups={"6-MP": rows(MP), "placebo": rows(PLACEBO)})
    assert ours.chi_square == pytest.approx(theirs.statistic**2)
    assert ours.p_value == pytest.approx(theirs.pvalue)


def test_groups_in_which_nothing_failed_do_not_differ():
    result = compare(groups={"a": ([1, 2], [0, 0]), "b": ([3], [0])})
    assert (result.chi_square, result.p_value) == (0.0, 1.0)


@settings(max_examples=60)
@given(st.lists(outcomes, min_size=2, max_size=4))
def test_as_many_failures_are_expected_as_were_observed(groups):
    result = compare(groups={str(k): tuple(map(list, zip(*pairs, strict=True))) for k, pairs in enumerate(groups)})
    assert sum(result.observed.values()) == pytest.approx(sum(result.expected.values()))
    assert result.chi_square >= -1e-9 and 0.0 <= result.p_value <= 1.0


@pytest.mark.parametrize("groups", [{}, {"a": ([1], [True])}, {"a": ([1], [True]), "b": [1]}, [([1], [True])] * 2])
def test_fewer_than_two_groups_or_half_a_group_are_refused(groups):
    with pytest.raises(ValueError, match="argument groups"):
        compare(groups=groups)


def test_a_group_with_an_impossible_row_is_named():
    with pytest.raises(ValueError, match=r"The arguments durations of group 'b' and failures of group 'b' must"):
        compare(groups={"a": ([1], [True]), "b": ([1, 2], [True])})


@pytest.mark.parametrize(("won", "tried", "lower", "upper"), [(81, 263, 0.2553, 0.3662), (15, 148, 0.0624, 0.1605)])
def test_the_wilson_interval_is_as_in_newcombe(won, tried, lower, upper):
    # Newcombe, Stat. Med. 17 (1998) 857, table I, method 3, as quoted by many.
    found = proportion_interval(successes=won, trials=tried)
    assert (found.estimate, found.lower, found.upper) == pytest.approx((won / tried, lower, upper), abs=5e-5)


@settings(max_examples=100, deadline=None)
@given(st.integers(1, 5000), st.floats(0, 1), st.floats(0.5, 0.999))
def test_any_interval_is_that_of_statsmodels(tried, share, confidence):
    won = round(share * tried)
    found = proportion_interval(successes=won, trials=tried, confidence=confidence)
    theirs = proportion_confint(won, tried, alpha=1 - confidence, method="wilson")
    assert (found.lower, found.upper) == pytest.approx(theirs, abs=1e-12)
    assert 0.0 <= found.lower <= found.estimate <= found.upper <= 1.0


def test_none_and_all_have_their_end_exactly():
    assert proportion_interval(successes=0, trials=7).lower == 0.0
    assert proportion_interval(successes=7, trials=7).upper == 1.0


@pytest.mark.parametrize(
    "figures",
    [
        (-1, 5, 0.95),
        (6, 5, 0.95),
        (1.5, 5, 0.95),
        (0, 0, 0.95),
        (1, 2.5, 0.95),
        (1, 2, 0.0),
        (1, 2, 1.0),
        (1, 2, np.nan),
    ],
)
def test_an_impossible_share_is_refused(figures):
    won, tried, confidence = figures
    with pytest.raises(ValueError, match=r"The argument (successes|trials|confidence) must"):
        proportion_interval(successes=won, trials=tried, confidence=confidence)
