"""Logs against polars and Python's own float, in every form that instruments and spreadsheets write."""

import io
import math
from itertools import pairwise

import numpy as np
import polars
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from diagnostics.calculations import measurement_log
from diagnostics.calculations.measurement_log import LogError, careful, encoding, layout, read_log, swift

HEADER = "time,voltage,current\n"
PLAIN = HEADER + "0,12.5,-1.25\n0.5,12.4,20\n1.0,-12.375,.5\n"
TIMES, VOLTS, CURRENTS = [0.0, 0.5, 1.0], [12.5, 12.4, -12.375], [-1.25, 20.0, 0.5]


def columns_of(log):
    return [log.times_s.tolist(), log.volts_v.tolist(), log.currents_a.tolist()]


def read(text, **more):
    return read_log(data=text.encode() if isinstance(text, str) else text, **more)


def many_rows(count, seed=5):
    rng = np.random.default_rng(seed)
    table = np.column_stack(
        [np.arange(count) / 10, 400 - rng.random(count) * 50, rng.normal(0, 90, count), rng.random(count)]
    )
    out = io.StringIO()
    out.write("Time [s],Voltage [V],Current [A],Temperature\n")
    np.savetxt(out, table, delimiter=",", fmt=["%.1f", "%.3f", "%.4f", "%.2f"])
    return out.getvalue().encode()


@pytest.fixture
def no_careful_way(monkeypatch):
    """Whoever goes the careful way fails."""

    def refuse(**_):
        raise AssertionError("the careful way was gone")

    monkeypatch.setattr(careful, "read_lines", refuse)


@pytest.fixture
def no_numpy_way(monkeypatch):
    """Nor may numpy's reader be asked."""
    monkeypatch.setattr(np, "loadtxt", None)


def test_a_hundred_thousand_rows_are_those_of_polars():
    # polars.read_csv, to the last bit.
    data = many_rows(100_000)
    theirs = polars.read_csv(data).to_numpy()
    ours = read(data)
    for ours_one, theirs_one in zip((ours.times_s, ours.volts_v, ours.currents_a), theirs.T, strict=False):
        assert ours_one.dtype == np.float64
        assert np.array_equal(ours_one, theirs_one)


@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize(("delimiter", "point"), [(",", "."), (";", "."), (";", ","), ("\t", "."), ("\t", ",")])
def test_the_fast_way_serves_every_clean_log(no_careful_way, no_numpy_way, delimiter, point, ending):
    text = PLAIN.replace(".", "p").replace(",", delimiter).replace("p", point).replace("\n", ending)
    assert columns_of(read(text)) == [TIMES, VOLTS, CURRENTS]


def test_the_fast_way_serves_cells_in_quotes(no_careful_way, no_numpy_way):
    rows = ['"0";"12,5";"-1,25"', '0,5;"12,4";20', '"1,0";-12,375;",5"']
    assert columns_of(read("time;voltage;current\n" + "\n".join(rows))) == [TIMES, VOLTS, CURRENTS]


def test_the_fast_way_serves_a_log_of_many_pieces(no_careful_way, no_numpy_way):
    data = many_rows(60_000)
    assert len(data) > 3 * swift.PIECE_BYTES
    assert len(read(data).times_s) == 60_000


@pytest.mark.parametrize("cell", ["1e-3", " 12.5", "+12.5", "12.5 ", "123456789.123456789", "1E5", "00000000000000001"])
def test_numpy_serves_numbers_that_are_not_plain(no_careful_way, cell):
    # Python's float rounds correctly: the same to the last bit.
    assert read(f"{HEADER}0,{cell},1\n").volts_v.tolist() == [float(cell)]


def test_a_column_of_text_beside_needs_no_careful_way(no_careful_way):
    log = read("note,time,voltage,current\nkey on,0,12.5,1\nkey off,1,12.4,2\n")
    assert columns_of(log) == [[0.0, 1.0], [12.5, 12.4], [1.0, 2.0]]


numbers = st.one_of(
    st.decimals(-99_999_999, 99_999_999, places=4).map(str),
    st.decimals(0, 1, places=9).map(lambda number: f"{number:f}"),
    st.integers(-(10**15), 10**15).map(str),
    st.floats(allow_nan=False, allow_infinity=False).map(repr),
    st.sampled_from(["-0", "-.5", "5.", "00.10", "+7", "-0.0", "9007199254740993", "999999999999999", "1e22"]),
)


@settings(max_examples=150, deadline=None)
@given(st.lists(st.tuples(numbers, numbers), min_size=1, max_size=8))
def test_every_number_is_read_as_python_reads_it(cells):
    rows = [f"{at},{voltage},{current}" for at, (voltage, current) in enumerate(cells)]
    log = read(HEADER + "\n".join(rows))
    for ours, texts in ((log.volts_v, [one for one, _ in cells]), (log.currents_a, [two for _, two in cells])):
        assert [(value, math.copysign(1, value)) for value in ours.tolist()] == [
            (float(text), math.copysign(1, float(text))) for text in texts
        ]


def both_ways(data):
    """What the fast and the careful way make of a log: columns, or None and the line."""
    lines = encoding.to_utf8(data=data)
    plan = layout.find_layout(lines=lines, wanted=None)
    fast = swift.read(lines=lines, plan=plan)
    try:
        slow = careful.read(lines=lines, plan=plan)
    except LogError as error:
        slow = error
    return fast, slow


pieces = st.sampled_from(
    [*"0123456789", ".", ",", "-", "+", "e", ";", "\n", "\r\n", "\t", " ", '"', "nan", "\x0b", "\x1f", "1_0", "0x1"]
)


@settings(max_examples=400, deadline=None)
@given(st.sampled_from([",", ";", "\t"]), st.lists(pieces, max_size=25).map("".join))
@example(",", "0,1,2,3\n4,5\n")
@example(",", "0,1,2\n3,4,5\n\n\n")
@example(",", "0,1,2\x0b\n")
@example(";", "0;1.000,5;2\n")
@example("\t", "0\t1\t\n")
@example(",", '"0",1,2\n3,"4,5"\n')
@example(";", '0;"1""";2\n')
def test_what_the_fast_way_accepts_the_careful_way_reads_alike(delimiter, body):
    data = (HEADER.replace(",", delimiter) + f"0{delimiter}1{delimiter}2\n" + body).encode()
    fast, slow = both_ways(data)
    if fast is not None:
        assert not isinstance(slow, LogError), slow
        assert all(np.array_equal(one, other) for one, other in zip(fast, slow, strict=True))


@settings(max_examples=300, deadline=None)
@given(st.binary(max_size=200))
@example(b"\xff\xfe")
@example(b"\xff\xfe\x00")
@example(b"\xfe\xff\xd8\x00\x00a")
@example(b'"')
@example(b'a,b,c\n"1,2,3')
@example(b"\x00a")
def test_any_bytes_give_a_log_or_a_line(data):
    try:
        log = read_log(data=data)
    except LogError as error:
        assert 1 <= error.line <= len(data) + 1
        assert str(error).startswith(f"Line {error.line}: ")
    else:
        assert len(log.times_s) == len(log.volts_v) == len(log.currents_a) > 0


@settings(max_examples=300, deadline=None)
@given(st.lists(st.tuples(st.integers(0, 59), st.binary(min_size=0, max_size=3)), min_size=1, max_size=4))
def test_a_damaged_log_gives_finite_rows_or_a_line(damages):
    data = PLAIN.encode()
    for at, put in damages:
        data = data[:at] + put + data[at + 1 :]
    try:
        log = read_log(data=data)
    except LogError as error:
        assert 1 <= error.line <= data.count(b"\n") + data.count(b"\r") + data.count(b"\n\x00") + 2
    else:
        assert all(np.isfinite(column).all() for column in columns_of(log))
        assert (np.diff(log.times_s) >= 0).all()


@pytest.mark.parametrize(
    "encode",
    [
        lambda text: text.encode(),
        lambda text: text.encode("utf-8-sig"),
        lambda text: text.encode("utf-16"),
        lambda text: text.encode("utf-16-le"),
        lambda text: text.encode("utf-16-be"),
        lambda text: b"\xfe\xff" + text.encode("utf-16-be"),
        lambda text: text.encode("cp1252"),
        lambda text: bytearray(text.encode("cp1252")),
    ],
)
def test_every_encoding_gives_the_same_log(encode):
    text = "Temp °C;Time [s];Voltage [V];Current [A];Größe\n20°;0;12,5;1;é\n21°;1;12,4;2;–\n"
    assert columns_of(read_log(data=encode(text))) == [[0.0, 1.0], [12.5, 12.4], [1.0, 2.0]]


def test_bytes_that_no_encoding_has_do_not_hinder_other_columns():
    # Windows-1252 leaves 81, 8D, 8F, 90 and 9D undefined.
    data = b"time,voltage,current,note\n0,12.5,1,\x81\x9d\xff\n"
    assert columns_of(read_log(data=data)) == [[0.0], [12.5], [1.0]]


@pytest.mark.parametrize(
    "header", ["Current (A),TIME,ambient,Voltage [V]", "current,Time [s],t,VOLTAGE", '"Current";"time";x;"voltage"']
)
def test_headers_are_found_in_any_case_and_order(header):
    mark = ";" if ";" in header else ","
    log = read(f"{header}\n{mark.join(['1', '0', '9', '12.5'])}\n")
    assert columns_of(log) == [[0.0], [12.5], [1.0]]


def test_unknown_headers_mean_the_first_three_columns():
    assert columns_of(read("t;U;I;T\n0;12.5;1;20\n")) == [[0.0], [12.5], [1.0]]
    assert columns_of(read("time;U;I\n0;12.5;1\n")) == [[0.0], [12.5], [1.0]]


@pytest.mark.parametrize("header", ["current,time,U", "x,time,voltage", "U,I,time"])
def test_headers_that_contradict_the_first_three_columns_are_refused(header):
    with pytest.raises(LogError, match=r"Line 1: column \d begins with \w+, but no header begins with") as raised:
        read(f"{header}\n1,2,3\n")
    assert raised.value.line == 1


def test_a_log_without_header_begins_with_its_first_line():
    assert columns_of(read("0,12.5,1\n1,12.4,2\n")) == [[0.0, 1.0], [12.5, 12.4], [1.0, 2.0]]
    with pytest.raises(LogError, match="neither a header nor a sample"):
        read("0,,1\n1,12.4,2\n")


@pytest.mark.parametrize(
    "columns",
    [
        {"time": "Zeit", "voltage": "Spannung", "current": "Strom"},
        {"times_s": 2, "volts_v": 0, "currents_a": 1},
        {"time": "ZEIT [s]", "voltage": " spannung ", "current": 1},
    ],
)
def test_columns_are_named_by_header_or_position(columns):
    log = read("Spannung [mV];Strom;Zeit [s]\n12500;1;0\n", columns=columns)
    assert columns_of(log) == [[0.0], [12.5], [1.0]]


@pytest.mark.parametrize("place", ["Zeit", 3, 99])
def test_a_column_that_is_not_there_is_an_error_of_the_header(place):
    with pytest.raises(LogError, match="there is no column") as raised:
        read("\n" + PLAIN, columns={"time": place, "voltage": 1, "current": 2})
    assert raised.value.line == 2


@pytest.mark.parametrize(
    "columns",
    [
        {},
        {"time": 0, "voltage": 1},
        {"time": 0, "voltage": 1, "current": -1},
        {"time": 0, "voltage": 1, "current": True},
        {"time": 0, "voltage": 1, "current": 1},
        {"time": 0, "voltage": 1, "current": 2, "power": 3},
        {"time": 0, "times_s": 0, "voltage": 1, "current": 2},
        [0, 1, 2],
    ],
)
def test_columns_that_cannot_be_meant_are_refused(columns):
    with pytest.raises(ValueError, match="The argument columns must"):
        read(PLAIN, columns=columns)


def test_data_that_are_no_bytes_are_refused():
    with pytest.raises(ValueError, match="The argument data must be bytes"):
        read_log(data=PLAIN)


@pytest.mark.parametrize(
    ("header", "expected"),
    [
        # SI brochure, 9th edition: milli 1e-3, micro 1e-6, kilo 1e3, min 60 s, h 3600 s.
        ("Time [ms],Voltage [mV],Current [mA]", (0.0375, 0.0125, 0.0015)),
        ("Time (min),Voltage (kV),Current (kA)", (2250.0, 12500.0, 1500.0)),
        ("time [h],voltage [V],current [A]", (135000.0, 12.5, 1.5)),
        ("time_us,voltage_v,current_a", (3.75e-5, 12.5, 1.5)),
        ("Time (µs),Voltage block 3,Current max", (3.75e-5, 12.5, 1.5)),
        ("Time [seconds],Voltage (pack) [volts],Current [Amps]", (37.5, 12.5, 1.5)),
        ("time,voltage,current", (37.5, 12.5, 1.5)),
    ],
)
def test_units_in_the_header_are_converted(header, expected):
    log = read(f"{header}\n37.5,12.5,1.5\n")
    assert (log.times_s[0], log.volts_v[0], log.currents_a[0]) == pytest.approx(expected, rel=1e-15)


@pytest.mark.parametrize(
    "header", ["Time [days],voltage,current", "time,Voltage [A],current", "time,voltage,Current ()"]
)
def test_a_unit_in_brackets_that_is_not_known_is_refused(header):
    with pytest.raises(LogError, match="is no unit of") as raised:
        read(f"{header}\n0,1,2\n")
    assert raised.value.line == 1


@pytest.mark.parametrize(
    "text",
    [
        '"time","voltage","current"\n"0","12.5","1"\n',
        'time;voltage;current;note\n0;"12,5";1;"a ""b"";c"\n',
        'time,voltage,current\n0,"12,5",1\n',
        '"Time\n[s]","Voltage\n[V]",current\n 0 , "12.5" ,"1"',
    ],
)
def test_quoted_cells_are_understood(text):
    # RFC 4180; "12,5" between commas can only be a decimal comma.
    assert columns_of(read(text)) == [[0.0], [12.5], [1.0]]


def test_a_quoted_note_that_looks_like_lines_is_one_cell():
    # RFC 4180: within quotes a line end is part of the cell.
    assert columns_of(read('time,voltage,current,note\n0,12.5,1,"x\n1,2,3,y"\n')) == [[0.0], [12.5], [1.0]]


def test_blank_lines_before_and_after_are_left_out():
    assert columns_of(read("\n  \n" + PLAIN + "\n\r\n   \n")) == [TIMES, VOLTS, CURRENTS]


def test_empty_cells_beyond_the_header_are_left_out():
    assert columns_of(read("time;voltage;current\n0;12.5;1;\n1;12.4;2;;\n")) == [[0.0, 1.0], [12.5, 12.4], [1.0, 2.0]]


GOOD = "0,1,2\n1,1,2\n"


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("2,,2", "the voltage is empty"),
        ("2, ,2", "the voltage is empty"),
        (",1,2", "the time is empty"),
        ("2,nan,2", "the voltage is not finite"),
        ("2,1,-inf", "the current is not finite"),
        ("2,1e999,2", "the voltage is not finite"),
        ("2,NaN,2", "the voltage is not finite"),
        ("0.5,1,2", "time runs backwards, from 1.0 to 0.5 s"),
        ("2,1,two", "the current is no number: 'two'"),
        ("2,1_0,2", "the voltage is no number"),
        ("2,0x1,2", "the voltage is no number"),
        ("2,\u0661,2", "the voltage is no number"),
        ("2,1.0.0,2", "the voltage is no number"),
        ("2,1", "it has 2 cells, but the first line has 3"),
        ("2,1,2,3", "it has 4 cells, but the first line has 3"),
        ('2,"1,234",2', "the voltage could be read in two ways"),
        ('2,"1"0,2', "cell 2 has a quote"),
        ('2,"1,2', "a quote is opened and never closed"),
        ("", "it is blank, but others follow"),
        ("2,1,\x00", "it holds a NUL"),
    ],
)
@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
def test_the_line_that_is_wrong_is_named(line, says, ending):
    text = (HEADER + GOOD + line + "\n3,1,2\n4,1,2\n").replace("\n", ending)
    with pytest.raises(LogError, match=says) as raised:
        read(text)
    assert raised.value.line == 4
    assert isinstance(raised.value, ValueError)


def test_the_line_is_counted_through_quoted_line_ends_and_many_pieces():
    with pytest.raises(LogError) as raised:
        read('"time\n[s]",voltage,current\n0,1,2\n1,,2\n')
    assert raised.value.line == 4
    rows = many_rows(60_000).splitlines(keepends=True)
    rows[45_678] = rows[45_678].replace(b".", b"x", 1)
    with pytest.raises(LogError) as raised:
        read(b"".join(rows))
    assert raised.value.line == 45_679


@pytest.mark.parametrize("text", ["time;voltage;current\n0;12,5;1\n1;12.4;1\n", "time;voltage;current\n0;1.234,5;1\n"])
def test_mixed_decimal_marks_are_refused(text):
    with pytest.raises(LogError) as raised:
        read(text)
    assert raised.value.line == text.count("\n")


def test_points_in_other_columns_do_not_mix_the_decimal_marks():
    log = read("date;time;voltage;current\n24.12.2030;0;12,5;1\n24.12.2030;1;12,4;2\n")
    assert columns_of(log) == [[0.0, 1.0], [12.5, 12.4], [1.0, 2.0]]


@pytest.mark.parametrize(
    ("data", "line"), [(b"", 1), (b"\n\n", 1), (b"time,voltage,current\n", 2), (b"time,voltage\n0,1\n", 1)]
)
def test_a_log_without_samples_is_refused(data, line):
    with pytest.raises(LogError) as raised:
        read_log(data=data)
    assert raised.value.line == line


def test_utf_16_that_breaks_off_is_refused_with_its_line():
    with pytest.raises(LogError, match="UTF-16 is broken") as raised:
        read_log(data=PLAIN.encode("utf-16")[:-1])
    assert raised.value.line == 4


def test_a_step_over_three_times_the_median_is_a_gap():
    # Steps 1, 1, 3, 1, 3.5, 1: median 1, so that 3 is none and 3.5 is one.
    times = [0, 1, 2, 5, 6, 9.5, 10.5]
    assert read(HEADER + "".join(f"{time},1,2\n" for time in times)).gaps == ((6.0, 9.5),)


@settings(max_examples=60)
@given(st.lists(st.integers(0, 10_000), min_size=1, max_size=40))
def test_gaps_are_those_of_the_definition(times):
    times = sorted(times)
    log = read(HEADER + "".join(f"{time},1,2\n" for time in times))
    steps = np.diff(times)
    limit = 3 * np.median(steps) if len(steps) else 0
    assert log.gaps == tuple((a, b) for a, b in pairwise(times) if b - a > limit)


def test_equal_times_are_allowed():
    assert read(HEADER + "0,1,2\n0,1,9\n1,1,2\n").times_s.tolist() == [0.0, 0.0, 1.0]


def test_the_package_keeps_the_names_of_the_contract():
    assert set(measurement_log.__all__) == {"LogError", "MeasurementLog", "read_log"}
    assert issubclass(LogError, ValueError)


def test_no_further_line_is_bad_where_the_rest_can_be_read():
    text = b"time,voltage,current\n0,oops,1\n1,12.4,1\n2,12.3,1\n"
    plan = layout.find_layout(lines=text, wanted=None)
    assert careful.further_problems(lines=text, plan=plan, line=2) == ()
    assert careful.further_problems(lines=text, plan=plan, line=99) == ()


def test_further_bad_lines_are_looked_for_near_the_first_one_only():
    text = b"time,voltage,current\n0,oops,1\n" + b"1,12.4,1\n" * 1000 + b"2,,1\n"
    plan = layout.find_layout(lines=text, wanted=None)
    assert [one.line for one in careful.further_problems(lines=text, plan=plan, line=2)] == [1003]
    assert careful.further_problems(lines=text, plan=plan, line=2, within_bytes=500) == ()
