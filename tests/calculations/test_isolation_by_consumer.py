"""Isolation by consumer: the one that is named is the one that was made to leak, by resistances side by side."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagnostics.calculations.isolation import standard_limit
from diagnostics.calculations.isolation_by_consumer import CONSUMERS, IsolationReading, assess_isolation_by_consumer

# UN R100 5.1.3, as quoted: 500 ohm for each volt of a 650 V link are 325 kilohm.
LIMIT = standard_limit(system="combined", highest_working_v=650)
OWN = st.floats(1.0, 1e6)


def system(own_kilohm: dict[str, float], rest_kilohm: float, spread_percent: float = 1.0) -> list[IsolationReading]:
    """Readings of a system whose leaks are known: in parallel, 1/R is the sum of all 1/R (Kirchhoff, from memory)."""
    left = {**own_kilohm, "rest": rest_kilohm}
    readings = []
    for gone in [None, *own_kilohm]:
        left.pop(gone, None)
        kilohm = 1.0 / math.fsum(1.0 / one for one in left.values())
        readings.append(IsolationReading(kilohm=kilohm, uncertainty_kilohm=kilohm * spread_percent / 100))
    return readings


def judged(own_kilohm: dict[str, float], rest_kilohm: float = 1e6, limits=(LIMIT,), **more):
    first, *after = system(own_kilohm, rest_kilohm)
    return assess_isolation_by_consumer(
        all_connected=first, unplugged=list(zip(own_kilohm, after, strict=True)), limits=limits, **more
    )


@pytest.mark.parametrize("leaking", CONSUMERS)
def test_the_consumer_that_leaks_is_named_and_no_other(leaking):
    found = judged({name: 50.0 if name == leaking else 1e6 for name in CONSUMERS})
    assert found.verdict == "outside"
    assert [step for step in found.next_steps if step.startswith("leak")] == [f"leak_in_{leaking}"]


def test_two_that_leak_are_both_named():
    found = judged({"compressor": 150.0, "heater": 200.0, "charger": 1e6})
    assert set(found.next_steps) == {"leak_in_compressor", "leak_in_heater"}


def test_where_none_of_them_leaks_the_rest_does():
    assert judged({"compressor": 1e6, "heater": 1e6}, rest_kilohm=20.0).next_steps == ("leak_in_the_rest",)


def test_with_nothing_unplugged_the_next_thing_is_to_unplug():
    assert judged({}, rest_kilohm=20.0).next_steps == ("unplug_one_after_the_other",)


def test_a_system_without_a_leak_is_within_and_names_nobody():
    found = judged(dict.fromkeys(CONSUMERS, 1e6))
    assert (found.verdict, found.next_steps) == ("within", ())


def test_ol_after_unplugging_is_a_bound_and_names_the_consumer():
    found = assess_isolation_by_consumer(
        all_connected=IsolationReading(kilohm=90, uncertainty_kilohm=3),
        unplugged=[("heater", IsolationReading(kilohm=550e3, uncertainty_kilohm=5500, bound="at_least"))],
        limits=[LIMIT],
    )
    assert [finding.verdict for finding in found.findings] == ["outside", "within"]
    assert found.next_steps == ("leak_in_heater",)


def test_a_reading_that_fell_by_unplugging_is_not_enough_data():
    found = assess_isolation_by_consumer(
        all_connected=IsolationReading(kilohm=4000, uncertainty_kilohm=40),
        unplugged=[("heater", IsolationReading(kilohm=2000, uncertainty_kilohm=20))],
        limits=[LIMIT],
    )
    assert found.findings[1].reason == "lower_than_before_unplugging"
    assert (found.verdict, found.next_steps[0]) == ("unproven", "start_again_with_all_connected")


@pytest.mark.parametrize("limits", [(), (LIMIT,)])
def test_without_accuracy_or_limit_nothing_is_proved(limits):
    reading = IsolationReading(kilohm=4000, uncertainty_kilohm=None if limits else 40.0)
    found = assess_isolation_by_consumer(all_connected=reading, unplugged=[], limits=limits)
    assert (found.verdict, found.findings[0].reason) == ("unproven", "uncertainty_unknown" if limits else "no_limit")


@given(own=st.dictionaries(st.sampled_from(CONSUMERS), OWN, min_size=1), rest=OWN)
def test_nobody_is_named_who_leaks_less_than_the_whole_system_may_while_the_rest_is_outside(own, rest):
    found = judged(own, rest)
    for step in found.next_steps:
        name = step.removeprefix("leak_in_")
        if name in own and own[name] >= LIMIT.value:
            # Named only because without it the isolation is back, though each leak alone would do.
            after = next(f for f in found.findings if f.quantity == f"isolation_without_{name}")
            assert after.verdict == "within"


@given(own=st.dictionaries(st.sampled_from(CONSUMERS), OWN, min_size=1), rest=OWN)
def test_readings_of_a_system_never_fall(own, rest):
    # Taking away what lies in parallel raises the resistance (Rayleigh's monotonicity, from memory).
    assert all(finding.reason != "lower_than_before_unplugging" for finding in judged(own, rest).findings)


@pytest.mark.parametrize(
    ("bad", "named"),
    [
        ({"unplugged": [("toaster", IsolationReading(kilohm=1))]}, "unplugged"),
        ({"unplugged": [("heater", IsolationReading(kilohm=1))] * 2}, "unplugged"),
    ],
)
def test_unknown_or_repeated_consumers_are_refused_by_name(bad, named):
    with pytest.raises(ValueError, match=f"The argument {named} must"):
        assess_isolation_by_consumer(all_connected=IsolationReading(kilohm=1), limits=[], **bad)


@pytest.mark.parametrize("bad", [{"kilohm": -1}, {"kilohm": math.nan}, {"kilohm": 1, "bound": "about"}])
def test_an_impossible_reading_is_refused_by_name(bad):
    with pytest.raises(ValueError, match=r"The argument (kilohm|bound) must"):
        IsolationReading(**bad)
