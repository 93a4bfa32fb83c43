"""Trouble codes against the bytes that published documents show."""

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnostics.calculations.trouble_codes import (
    CodeStatus,
    StatusReport,
    decode_pair,
    status_flags,
    status_report,
    stored_codes,
)

pairs = st.tuples(st.integers(0, 255), st.integers(0, 255)).filter(any)


def test_the_published_pair_is_p0135():
    # maemo.org, post 1257514: 01 35 is P0135.
    assert decode_pair(high=0x01, low=0x35) == "P0135"


@pytest.mark.parametrize(("high", "code"), [(0x40, "C0000"), (0x80, "B0000"), (0xC1, "U0100"), (0x3F, "P3F00")])
def test_the_highest_bits_name_the_system(high, code):
    # SAE J2012 / ISO 15031-6: bits 15-14 00 P, 01 C, 10 B, 11 U; bits 13-12 the first digit.
    assert decode_pair(high=high, low=0) == code


def test_every_pair_has_a_code_of_its_own():
    # SAE J2012: a letter, a digit up to 3 and three hexadecimal digits; 65 536 of them.
    codes = {decode_pair(high=high, low=low) for high in range(256) for low in range(256)}
    assert len(codes) == 65_536
    assert all(re.fullmatch("[PCBU][0-3][0-9A-F]{3}", code) for code in codes)


@pytest.mark.parametrize("high", [-1, 256, 1.0, True, "1", None])
def test_what_is_no_byte_is_refused(high):
    with pytest.raises(ValueError, match=r"The argument high must be a byte, .* but it is"):
        decode_pair(high=high, low=0)


def test_one_frame_without_can_gives_its_code():
    # OBD interface chip data sheet, p. 12: 43 01 33 00 00 00 00 is P0133.
    assert stored_codes(response_hex="43 01 33 00 00 00 00", can=False) == ("P0133",)


@pytest.mark.parametrize("text", ["43013300000000", "43 0133 0000\t0000 \n", "\n43 01 33 00 00 00 00\n\n"])
def test_blanks_and_case_and_empty_lines_make_no_difference(text):
    assert stored_codes(response_hex=text.lower(), can=False) == ("P0133",)


def test_several_frames_without_can_stand_one_a_line():
    reply = "43 01 33 02 34 c1 00\r\n43 0a 9b 00 00 00 00"
    assert stored_codes(response_hex=reply, can=False) == ("P0133", "P0234", "U0100", "P0A9B")


def test_on_can_the_same_bytes_mean_something_else():
    # ISO 15765-4 as told at mp3car.com, thread 147550: on CAN the byte after 43 is the number of codes.
    assert stored_codes(response_hex="43 01 01 33", can=True) == ("P0133",)
    assert stored_codes(response_hex="43 01 01 33 02 00 00", can=False) == ("P0101", "P3302")


@pytest.mark.parametrize("padding", ["", "00 00 00", "AA AA", "55", "cc cc cc", "FF FF"])
def test_on_can_the_count_decides_and_the_rest_is_padding(padding):
    # common practice, no source: values with which control units fill a frame.
    assert stored_codes(response_hex=f"43 01 01 33 {padding}", can=True) == ("P0133",)
    assert stored_codes(response_hex=f"43 00 {padding}", can=True) == ()


@pytest.mark.parametrize("rest", ["02 34", "00 AA", "01", "AA 00"])
def test_on_can_other_bytes_beyond_the_count_are_refused(rest):
    with pytest.raises(ValueError, match=r"nothing but padding beyond the 1 codes"):
        stored_codes(response_hex=f"43 01 01 33 {rest}", can=True)


def test_on_can_a_long_message_goes_on_in_the_lines_after_it():
    # ISO 15765-2, from memory: six bytes in the first frame, seven in each next one; here one begins with C0300.
    reply = "43 05 01 33 02 34\n43 00 0A 9B C1 00 00\n43 01 08 05"
    assert stored_codes(response_hex=reply, can=True) == ("P0133", "P0234", "C0300", "P0A9B", "U0100", "P0805")


@pytest.mark.parametrize("reply", ["43", "43 02 01 33", "43 02 01 33\n43 00"])
def test_on_can_a_message_shorter_than_its_count_is_refused(reply):
    with pytest.raises(ValueError, match=r"must hold the count and \d+ pairs after 43"):
        stored_codes(response_hex=reply, can=True)


@pytest.mark.parametrize("can", [True, False])
@pytest.mark.parametrize("reply", ["7F 03 11", "47 01 33 00 00 00 00", "43 01 33 00 00 00 00\n7F 03 11"])
def test_another_service_is_refused_and_named(reply, can):
    service = reply.splitlines()[-1][:2]
    with pytest.raises(ValueError, match=f"must begin with the service byte 43, but it is {service}"):
        stored_codes(response_hex=reply, can=can)


@pytest.mark.parametrize("reply", ["", " \n ", "43 01 3", "43 zz", "43 0x01", "4 3", "43 01 ٣٣", None, b"43"])
def test_what_is_no_hexadecimal_is_refused(reply):
    with pytest.raises(ValueError, match="The argument response_hex must"):
        stored_codes(response_hex=reply, can=False)


@pytest.mark.parametrize("reply", ["43 01", "43 01 33 00", "43 01 33 00 00 00 00 43 02 34 00 00 00 00"])
def test_without_can_half_a_pair_or_two_frames_in_a_line_are_refused(reply):
    with pytest.raises(ValueError, match="up to three whole pairs, one frame a line"):
        stored_codes(response_hex=reply, can=False)


@given(st.lists(st.lists(pairs, max_size=3), min_size=1, max_size=4))
def test_frames_without_can_read_back_as_they_were_written(frames):
    lines = ["43" + "".join(f"{high:02x}{low:02x}" for high, low in frame).ljust(12, "0") for frame in frames]
    expected = tuple(decode_pair(high=high, low=low) for frame in frames for high, low in frame)
    assert stored_codes(response_hex="\n".join(lines), can=False) == expected


@given(st.lists(st.lists(pairs, max_size=40), min_size=1, max_size=3))
def test_can_messages_read_back_as_they_were_written(messages):
    lines = []
    for message in messages:
        data = bytes([0x43, len(message), *(byte for pair in message for byte in pair)])
        if len(data) > 7:  # ISO 15765-2, from memory: one frame carries seven bytes, a longer message six and sevens
            lines.append(data[:6])
            lines.extend(data[at : at + 7].ljust(7, b"\0") for at in range(6, len(data), 7))
        else:
            lines.append(data)
    expected = tuple(decode_pair(high=high, low=low) for message in messages for high, low in message)
    assert stored_codes(response_hex="\n".join(line.hex(" ") for line in lines), can=True) == expected


@settings(max_examples=200)
@given(st.text(alphabet="0123456789abcdefABCDEF \n43", max_size=60), st.booleans())
def test_any_text_gives_codes_or_a_sentence(text, can):
    try:
        codes = stored_codes(response_hex=text, can=can)
    except ValueError as error:
        assert str(error).startswith("The argument response_hex must") and str(error).endswith(".")
    else:
        assert all(re.fullmatch("[PCBU][0-3][0-9A-F]{3}", code) for code in codes)


def test_the_example_of_the_standard_keeps_two_of_three_codes():
    # ISO 14229-1, 11.3.5.3, tables 295 and 296, as quoted: mask 84, P2522-1F with status 00 is left out.
    reply = "59 02 7F 0A 9B 17 24 08 05 11 2F 25 22 1F 00"
    assert status_report(response_hex=reply, mask=0x84) == StatusReport(
        availability_mask=0x7F,
        codes=(
            CodeStatus(code="P0A9B", failure_type=0x17, status=0x24),
            CodeStatus(code="P0805", failure_type=0x11, status=0x2F),
        ),
    )


def test_a_bit_that_the_control_unit_does_not_know_keeps_no_code():
    # ISO 14229-1: status AND mask AND availability; bit 7 isn't in availability 7F.
    assert status_report(response_hex="5902 7f 0a9b1780", mask=0x80).codes == ()
    assert status_report(response_hex="5902 ff\n0a9b1780", mask=0x80).codes[0].code == "P0A9B"


@pytest.mark.parametrize("reply", ["59 02", "59 02 7F 0A", "59 02 7F 0A 9B 17", "59", "7F 19 31", "59 06 7F", ""])
def test_a_report_that_is_cut_off_or_of_another_service_is_refused(reply):
    with pytest.raises(ValueError, match="The argument response_hex must"):
        status_report(response_hex=reply, mask=0xFF)


@pytest.mark.parametrize("mask", [-1, 256, 1.5, False])
def test_a_mask_that_is_no_byte_is_refused(mask):
    with pytest.raises(ValueError, match="The argument mask must be a byte"):
        status_report(response_hex="59 02 7F", mask=mask)


def test_the_status_of_the_standards_example_has_bits_two_and_five():
    # ISO 14229-1 as copied at cartech8: bit 2 pendingDTC, bit 5 testFailedSinceLastClear.
    assert status_flags(status=0x24) == ("pending_dtc", "test_failed_since_last_clear")


def test_all_eight_flags_stand_in_the_order_of_their_bits():
    # ISO 14229-1, table of the status byte, as copied at cartech8, written in snake_case.
    names = [
        "testFailed",
        "testFailedThisOperationCycle",
        "pendingDTC",
        "confirmedDTC",
        "testNotCompletedSinceLastClear",
        "testFailedSinceLastClear",
        "testNotCompletedThisOperationCycle",
        "warningIndicatorRequested",
    ]
    snake = tuple(re.sub(r"(?<=[a-z])(?=[A-Z])", "_", name).lower() for name in names)
    assert status_flags(status=0xFF) == snake
    assert [status_flags(status=1 << bit) for bit in range(8)] == [(name,) for name in snake]
