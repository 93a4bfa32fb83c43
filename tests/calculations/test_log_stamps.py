"""Logs whose times are those of a clock, against Python's own datetime."""

import datetime

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagnostics.calculations.measurement_log import LogError, careful, encoding, layout
from diagnostics.calculations.measurement_log.stamps import seconds_of
from diagnostics.calculations.measurement_log.steps import begin, read_on

MOMENTS = st.datetimes(datetime.datetime(1990, 1, 1), datetime.datetime(2090, 1, 1))
COLUMNS = {"time": 0, "voltage": 1, "current": 2}


def read(text, **more):
    lines = encoding.to_utf8(data=text.encode())
    plan = layout.find_layout(lines=lines, wanted=COLUMNS, units={"time": "clock"}, **more)
    return read_on(lines=lines, plan=plan, standing=begin(lines=lines, plan=plan))[0]


@given(MOMENTS)
def test_a_stamp_is_the_second_that_datetime_makes_of_it(moment):
    expected = moment.replace(tzinfo=datetime.UTC).timestamp()
    assert seconds_of(text=moment.isoformat(" ", "microseconds")) == pytest.approx(expected, abs=1e-5)
    german = moment.strftime("%d.%m.%Y %H:%M:%S")
    assert seconds_of(text=german) == moment.replace(microsecond=0, tzinfo=datetime.UTC).timestamp()


@pytest.mark.parametrize(
    "text", ["2026-02-30 10:00:00", "24:00:00", "12:60:00", "12:00", "2026-1-1 10:00:00", "12", ""]
)
def test_what_is_no_moment_is_none(text):
    assert seconds_of(text=text) is None


def test_a_log_of_stamps_goes_the_fast_way_and_is_right_over_midnight(monkeypatch):
    monkeypatch.setattr(careful, "read_lines", None)
    start = datetime.datetime(2026, 3, 28, 23, 59, 0)
    moments = [start + datetime.timedelta(milliseconds=250 * n) for n in range(2000)]
    rows = "".join(f"{one.isoformat(' ', 'milliseconds')},12.5,{n % 7}\n" for n, one in enumerate(moments))
    times, volts, currents = read("when,V,A\n" + rows)
    assert np.array_equal(times, [one.replace(tzinfo=datetime.UTC).timestamp() for one in moments])
    assert set(volts) == {12.5} and currents[6] == 6


def test_days_with_points_and_commas_as_marks_are_read_with_care():
    times, volts, _currents = read("Zeit;U;I\n25.11.2026 13:51:29;12,5;1\n25.11.2026 13:51:30;12,4;1\n")
    assert times[1] - times[0] == 1.0 and volts.tolist() == [12.5, 12.4]


def test_a_clock_that_was_set_back_is_named_with_its_line():
    with pytest.raises(LogError, match="Line 3: time runs backwards"):
        read("t,v,i\n03:00:00,12,1\n02:00:01,12,1\n")
    with pytest.raises(LogError, match="Line 2: the time is no date"):
        read("t,v,i\n99:00:00,12,1\n")


def test_lines_above_the_table_are_left_out_and_lines_stay_those_of_the_file():
    text = "Logger 7\nserial;4471\n\nt;v;i\n00:00:01;12;1\n00:00:02;x;1\n"
    with pytest.raises(LogError, match="Line 6: the voltage is no number"):
        read(text, first_line=4)
