"""The rules of the verdict. The guard band is that of JCGM 106:2012, 8.3 (from memory)."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnostics.calculations.verdicts import (
    Limit,
    Verdict,
    assess,
    choose_limit,
    instrument_uncertainty,
    judge,
    propagate,
)

FIGURES = st.floats(-1e6, 1e6)
SPREADS = st.floats(1e-6, 1e3)


def limit(kind="minimum", value=5.0, *, unit="megohm", source="a source", authority="standard", upper=None) -> Limit:
    return Limit(kind=kind, value=value, unit=unit, source=source, authority=authority, upper=upper)


def finding(value, against, uncertainty=0.0, **more):
    return judge(quantity="insulation", value=value, unit="megohm", uncertainty=uncertainty, limit=against, **more)


@pytest.mark.parametrize(
    ("kind", "upper", "value", "expected"),
    [
        # value +- 1 against 10, or 10 to 20: worked by hand from the guard band
        ("minimum", None, 11.5, "within"),
        ("minimum", None, 11.0, "unproven"),
        ("minimum", None, 9.0, "unproven"),
        ("minimum", None, 8.5, "outside"),
        ("maximum", None, 8.5, "within"),
        ("maximum", None, 9.0, "unproven"),
        ("maximum", None, 11.5, "outside"),
        ("range", 20.0, 15.0, "within"),
        ("range", 20.0, 11.0, "unproven"),
        ("range", 20.0, 19.0, "unproven"),
        ("range", 20.0, 21.5, "outside"),
        ("range", 20.0, 8.5, "outside"),
    ],
)
def test_only_an_interval_strictly_on_one_side_proves_anything(kind, upper, value, expected) -> None:
    assert finding(value, limit(kind, 10.0, upper=upper), 1.0).verdict == expected


@pytest.mark.parametrize(
    ("bound", "value", "against", "expected"),
    [
        # the first two are the rule's own examples; the others follow from the open end of the interval
        ("at_least", 550, limit("minimum", 5), "within"),
        ("at_least", 550, limit("minimum", 1000), "unproven"),
        ("at_least", 5, limit("minimum", 5), "unproven"),
        ("at_least", 12, limit("maximum", 10), "outside"),
        ("at_least", 5, limit("maximum", 10), "unproven"),
        ("at_most", 0.01, limit("maximum", 0.1), "within"),
        ("at_most", 0.5, limit("maximum", 0.1), "unproven"),
        ("at_most", 2, limit("minimum", 5), "outside"),
        ("at_most", 9, limit("minimum", 5), "unproven"),
        ("at_least", 15, limit("range", 10, upper=20), "unproven"),
        ("at_least", 25, limit("range", 10, upper=20), "outside"),
        ("at_most", 5, limit("range", 10, upper=20), "outside"),
    ],
)
def test_a_bound_is_judged_as_a_bound(bound, value, against, expected) -> None:
    assert finding(value, against, bound=bound).verdict == expected


def test_the_uncertainty_of_a_bound_moves_its_closed_end() -> None:
    assert finding(550, limit("minimum", 540), 20.0, bound="at_least").verdict is Verdict.UNPROVEN


@pytest.mark.parametrize(
    ("made", "reason"),
    [
        (lambda: finding(100, None), "no_limit"),
        (lambda: finding(100, limit(source="  ")), "limit_without_source"),
        (lambda: finding(100, limit(), None), "uncertainty_unknown"),
        (lambda: finding(100, limit(), None, bound="at_least"), "uncertainty_unknown"),
        (lambda: finding(None, limit()), "missing"),
        (lambda: finding(None, limit(), concerns=["stale", "missing_temperature"]), "missing_temperature"),
        (lambda: finding(100, limit(), concerns=["stale", "wrong_state"]), "stale"),
        (lambda: finding(1, limit(), concerns=["overdue_instrument"]), "overdue_instrument"),
    ],
)
def test_what_is_lacking_is_unproven_and_named(made, reason) -> None:
    assert (made().verdict, made().reason) == (Verdict.UNPROVEN, reason)


def test_common_practice_counts_as_a_source() -> None:
    habit = limit(source="common practice, no source", authority="common practice")
    assert finding(100, habit).verdict is Verdict.WITHIN


@pytest.mark.parametrize(
    ("value", "against", "margin"),
    [
        # 100 x distance / |limit|, by hand
        (7.5, limit("minimum", 5), 50.0),
        (2.5, limit("minimum", 5), -50.0),
        (7.5, limit("maximum", 5), -50.0),
        (-4.0, limit("minimum", -5), 20.0),
        (12.0, limit("range", 10, upper=20), 20.0),
        (19.0, limit("range", 10, upper=20), 5.0),
        (22.0, limit("range", 10, upper=20), -10.0),
        (8.0, limit("range", 10, upper=20), -20.0),
        (7.5, limit("minimum", 0), None),
        (7.5, None, None),
        (None, limit(), None),
    ],
)
def test_the_margin_is_the_distance_to_the_nearer_end_without_uncertainty(value, against, margin) -> None:
    assert finding(value, against, 1.0).margin_percent == (None if margin is None else pytest.approx(margin))


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf, True, "5"])
def test_impossible_figures_are_refused_with_name_and_value(bad) -> None:
    with pytest.raises(ValueError, match=f"argument value .*{bad!r}"):
        finding(bad, limit())
    with pytest.raises(ValueError, match=f"argument uncertainty .*{bad!r}"):
        finding(1.0, limit(), bad)


@pytest.mark.parametrize("more", [{"bound": "over"}, {"concerns": "stale"}, {"concerns": [""]}])
def test_unknown_words_are_refused(more) -> None:
    with pytest.raises(ValueError, match="The argument"):
        finding(1.0, limit(), **more)


def test_units_that_differ_are_refused_even_without_a_reading() -> None:
    with pytest.raises(ValueError, match=r"'megohm'.*'ohm'"):
        judge(quantity="insulation", value=None, unit="ohm", uncertainty=0.0, limit=limit())


def test_a_negative_uncertainty_is_refused() -> None:
    with pytest.raises(ValueError, match="uncertainty"):
        finding(1.0, limit(), -0.1)


@pytest.mark.parametrize(
    "wrong",
    [
        {"kind": "least"},
        {"authority": "hearsay"},
        {"kind": "range"},
        {"kind": "range", "upper": 5.0},
        {"upper": 9.0},
        {"value": math.nan},
        {"source": None},
    ],
)
def test_what_is_no_limit_cannot_be_made(wrong) -> None:
    with pytest.raises(ValueError, match="The argument"):
        limit(**{"kind": "minimum", **wrong})


@settings(max_examples=60)
@given(at=FIGURES, spread=SPREADS, kind=st.sampled_from(["minimum", "maximum"]), side=st.sampled_from([-1.0, 1.0]))
def test_an_interval_that_touches_is_never_proof(at, spread, kind, side) -> None:
    assert finding(at + side * spread, limit(kind, at), spread).verdict is Verdict.UNPROVEN


@settings(max_examples=60)
@given(at=FIGURES, spread=SPREADS, part=st.floats(-1.0, 1.0))
def test_an_interval_that_straddles_is_never_proof(at, spread, part) -> None:
    assert finding(at + part * spread, limit("maximum", at), spread).verdict is Verdict.UNPROVEN


@settings(max_examples=60)
@given(value=FIGURES, at=FIGURES, spread=st.floats(0.0, 1e3), concern=st.sampled_from(["stale", "wrong_state", "x"]))
def test_any_concern_takes_every_verdict_away(value, at, spread, concern) -> None:
    assert finding(value, limit("minimum", at), spread, concerns=[concern]).verdict is Verdict.UNPROVEN


@settings(max_examples=60)
@given(value=FIGURES, at=FIGURES, spread=st.floats(0.0, 1e3))
def test_minimum_and_maximum_mirror_each_other(value, at, spread) -> None:
    below, above = finding(value, limit("minimum", at), spread), finding(-value, limit("maximum", -at), spread)
    assert (below.verdict, below.margin_percent) == (above.verdict, above.margin_percent)


@settings(max_examples=60)
@given(value=FIGURES, at=FIGURES, spread=st.floats(0.0, 1e3), more=st.floats(0.0, 1e3))
def test_a_worse_instrument_never_proves_more(value, at, spread, more) -> None:
    fine, coarse = finding(value, limit(value=at), spread), finding(value, limit(value=at), spread + more)
    assert coarse.verdict in (fine.verdict, Verdict.UNPROVEN)


def test_the_maker_goes_before_a_standard_and_a_standard_before_habit() -> None:
    maker, law, habit = (
        limit(value=v, authority=a) for v, a in ((1, "maker"), (9, "standard"), (5, "common practice"))
    )
    assert choose_limit(limits=[habit, law, maker]) is maker
    assert choose_limit(limits=(habit, law)) is law
    assert choose_limit(limits=[]) is None


@pytest.mark.parametrize(
    ("kind", "loose", "strict"), [("minimum", (5, None), (7, None)), ("maximum", (7, None), (5, None)),
                                  ("range", (1, 9), (2, 8))],
)  # fmt: skip
def test_of_one_authority_the_strictest_counts(kind, loose, strict) -> None:
    first, second = (limit(kind, value, upper=upper) for value, upper in (loose, strict))
    assert choose_limit(limits=[first, second]) is second
    assert choose_limit(limits=[second, first]) is second


def test_a_maker_never_loosens_law_where_the_strictest_counts() -> None:
    maker, law = limit(value=50, authority="maker"), limit(value=100)
    assert choose_limit(limits=[maker, law], strictest=True) is law


def test_kinds_that_would_have_to_be_compared_must_not_differ() -> None:
    maker, law = limit("maximum", 50, authority="maker"), limit(value=100)
    assert choose_limit(limits=[maker, law]) is maker  # not compared: the maker goes before
    with pytest.raises(ValueError, match="one kind"):
        choose_limit(limits=[maker, law], strictest=True)


def test_the_worst_finding_wins_and_nothing_at_all_is_unproven() -> None:
    within, outside, unproven = finding(9, limit()), finding(1, limit()), finding(None, limit())
    assert assess(findings=[within, unproven, outside]).verdict is Verdict.OUTSIDE
    assert assess(findings=[within, unproven]).verdict is Verdict.UNPROVEN
    assert assess(findings=[within]).verdict is Verdict.WITHIN
    assert assess(findings=[]).verdict is Verdict.UNPROVEN


def test_stop_comes_before_every_other_step_and_no_step_twice() -> None:
    steps = assess(findings=[finding(None, limit())] * 2, next_steps=["look", "stop_x"]).next_steps
    assert steps == ("stop_x", "take_reading", "look")


def test_the_uncertainty_of_a_reading_is_gain_and_counts() -> None:
    # common practice, no source: 0.5 % of 200 plus 3 counts of 0.1
    assert instrument_uncertainty(reading=200, percent_of_reading=0.5, counts=3, resolution=0.1) == pytest.approx(1.3)


@settings(max_examples=40)
@given(parts=st.lists(st.floats(-1e3, 1e3), max_size=5))
def test_propagation_is_the_root_sum_square_and_a_shared_gain_adds_up_first(parts) -> None:
    # JCGM 100:2008, 5.1.2 and 5.2.2 note 1 (from memory)
    assert propagate(contributions=parts) == pytest.approx(math.sqrt(sum(p * p for p in parts)))
    assert propagate(contributions=[], shared=[parts]) == pytest.approx(abs(sum(parts)), abs=1e-9)


@given(value=st.one_of(st.none(), FIGURES), at=FIGURES, spread=st.floats(0, 10))
@settings(max_examples=40)
def test_no_sentence_promises_anything(value, at, spread) -> None:
    told = finding(value, limit(value=at), spread).explanation.lower()
    assert told.endswith(".")
    assert not [word for word in ("safe", "passed", "ok to", "de-energised", "roadworthy") if word in told]
