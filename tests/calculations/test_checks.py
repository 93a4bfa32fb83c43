"""The checks of input: the project's own rules, with numpy as the other kind of container."""

import math

import numpy as np
import pytest

from diagnostics.calculations import checks

BAD = [None, True, False, "1", math.nan, math.inf, 10**400, np.bool_(True), 1j, [1.0]]


@pytest.mark.parametrize("bad", BAD, ids=lambda bad: repr(bad)[:12])
def test_what_is_no_finite_number_is_refused_by_name(bad) -> None:
    with pytest.raises(ValueError, match=r"^The argument reading_ohm must be a finite number, but it is .*\.$"):
        checks.number(name="reading_ohm", value=bad)


@pytest.mark.parametrize("bad", BAD, ids=lambda bad: repr(bad)[:12])
def test_a_row_with_one_bad_element_is_refused(bad) -> None:
    with pytest.raises(ValueError, match="The argument volts must hold"):
        checks.row(name="volts", values=[1.0, bad])


@pytest.mark.parametrize("good", [3, 3.0, np.float64(3), np.float32(3), np.int64(3)])
def test_a_number_comes_back_as_a_plain_float(good) -> None:
    assert type(checks.number(name="x", value=good)) is float


@pytest.mark.parametrize("values", [[1, 2.5], (1, 2.5), np.array([1, 2.5]), np.array([1, 2.5], dtype=np.float32)])
def test_a_list_a_tuple_and_an_array_are_one_row(values) -> None:
    assert checks.row(name="x", values=values).tolist() == [1.0, 2.5]


def test_the_caller_s_array_is_never_the_one_that_comes_back() -> None:
    given = np.array([1.0, 2.0])
    checks.row(name="x", values=given)[0] = 9.0
    assert given[0] == 1.0


@pytest.mark.parametrize("bad", [None, "12", 5.0, {1.0: 2.0}, np.ones((2, 2)), np.array(5.0), [[1.0], [2.0]]])
def test_what_is_no_row_is_refused(bad) -> None:
    with pytest.raises(ValueError, match="The argument x must"):
        checks.row(name="x", values=bad)


def test_times_may_stand_still_but_not_run_backwards() -> None:
    assert checks.times_row(name="t", values=[0, 1, 1]).tolist() == [0.0, 1.0, 1.0]
    with pytest.raises(ValueError, match=r"position 2 holds 0\.5 after 1\.0"):
        checks.times_row(name="t", values=[0, 1, 0.5])


def test_absolute_zero_is_the_end_of_temperature() -> None:
    # SI brochure, 9th edition, 2.3.1: 0 K = -273.15 degrees Celsius
    assert checks.celsius(name="t", value=-273.15) == -273.15
    with pytest.raises(ValueError, match=r"-273\.16"):
        checks.celsius(name="t", value=-273.16)
