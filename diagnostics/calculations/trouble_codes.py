"""Diagnostic trouble codes out of the raw bytes that a control unit answers with."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

SYSTEMS = "PCBU"  # powertrain, chassis, body, network: the two highest bits, SAE J2012 / ISO 15031-6
STORED_CODES_REPLY = 0x43  # reply to service 03, ISO 15031-5
REPORT_BY_STATUS_REPLY = (0x59, 0x02)  # reply to service 19 02, ISO 14229-1
CODES_IN_A_FRAME = 3  # codes that one frame carries where the bus is not CAN, ISO 15031-5
FIRST_FRAME_BYTES = 6  # bytes that the first frame of a longer message carries, ISO 15765-2, from memory
NEXT_FRAME_BYTES = 7  # and each frame after it, ISO 15765-2, from memory
PADDING_BYTES = (0x00, 0xAA, 0x55, 0xCC, 0xFF)  # common practice, no source: what control units fill a CAN frame with
STATUS_FLAGS = (  # bit 0 first, ISO 14229-1, table of the status byte
    "test_failed",
    "test_failed_this_operation_cycle",
    "pending_dtc",
    "confirmed_dtc",
    "test_not_completed_since_last_clear",
    "test_failed_since_last_clear",
    "test_not_completed_this_operation_cycle",
    "warning_indicator_requested",
)


@dataclass(frozen=True, kw_only=True)
class CodeStatus:
    """One trouble code with what it says about the failure and about itself.

    Fields:
        code [-], text: five characters such as P0A9B.
        failure_type [-], scalar: the failure type byte, 0 to 255.
        status [-], scalar: the status byte, 0 to 255; see ``status_flags``.
    Valid range: made by ``status_report``; nothing is checked here.
    Example:
        >>> CodeStatus(code="P0A9B", failure_type=0x17, status=0x24).code
        'P0A9B'

    Source: ISO 14229-1, 11.3 (service 19), as quoted.
    """

    code: str
    failure_type: int
    status: int


@dataclass(frozen=True, kw_only=True)
class StatusReport:
    """The trouble codes of one reply to service 19 02.

    Fields:
        availability_mask [-], scalar: the status bits that the control unit knows, 0 to 255.
        codes [-], row of CodeStatus: those that match the mask, in the order of the reply.
    Valid range: made by ``status_report``; nothing is checked here.
    Example:
        >>> StatusReport(availability_mask=0x7F, codes=()).availability_mask
        127

    Source: ISO 14229-1, 11.3 (service 19), as quoted.
    """

    availability_mask: int
    codes: tuple[CodeStatus, ...]


def decode_pair(*, high: int, low: int) -> str:
    """Return the trouble code that two bytes stand for.

    Formula: bits 15 and 14 are the letter (00 P, 01 C, 10 B, 11 U), bits 13 and 12 the first digit (0 to 3), and the
    other twelve bits three hexadecimal digits.

    Parameters:
        high [-], scalar: the first byte, 0 to 255.
        low [-], scalar: the second byte, 0 to 255.
    Returns:
        [-] the code, five characters.
    Valid range: all 65 536 pairs; 00 00 gives P0000. ``ValueError`` for anything that is not a byte.
    Example:
        >>> decode_pair(high=0x01, low=0x35)
        'P0135'

    Source: SAE J2012 / ISO 15031-6, as told at maemo.org, post 1257514, and x-engineer.org, service 03.
    """
    first, second = _byte("high", high), _byte("low", low)
    return f"{SYSTEMS[first >> 6]}{first >> 4 & 3}{first & 15:X}{second:02X}"


def stored_codes(*, response_hex: str, can: bool) -> tuple[str, ...]:
    """Return the trouble codes of a reply to service 03, whichever bus carried it.

    Formula: without CAN each line is 43 and up to three pairs, with no count. On CAN a message is 43, the number of
    codes, and that many pairs; what follows is padding: one value repeated, of 00, AA, 55, CC or FF. Pairs 00 00 are
    padding too. Each control unit answers with a line of its own. A CAN message that a line of six bytes begins and
    doesn't finish goes on in lines of seven bytes; there 43 is a byte like any other.

    Parameters:
        response_hex [-], text: bytes in hexadecimal, upper or lower case, with or without blanks; one frame a line.
        can [-], truth value: True where the bus is CAN (ISO 15765-4).
    Returns:
        [-] the codes, in the order of the reply; a code that two control units report stands twice.
    Valid range: ``ValueError`` for text that is not whole bytes in hexadecimal, an empty reply, another service byte
        (named in the sentence), half a pair, more than three pairs in a frame without CAN, and on CAN for fewer bytes
        than the count says or bytes beyond it that are no padding.
    Example:
        >>> stored_codes(response_hex="43 01 33 00 00 00 00", can=False)
        ('P0133',)
        >>> stored_codes(response_hex="43 02 01 33 C1 00 AA", can=True)
        ('P0133', 'U0100')

    Source: an OBD interface chip's data sheet, p. 12; ISO 15765-4 as told at mp3car.com, thread 147550; the padding
        values are common practice, no source; the lengths of long messages are from memory.
    """
    if not isinstance(can, bool):
        raise ValueError(f"The argument can must be True or False, but it is {can!r}.")
    frames = [_bytes(line) for line in _text(response_hex).splitlines() if line.strip()]
    if len(frames) == 0:
        raise ValueError(f"The argument response_hex must hold a reply, but it is {response_hex!r}.")
    payloads = _can_payloads(frames) if can else map(_plain_payload, frames)
    pairs = (payload[at : at + 2] for payload in payloads for at in range(0, len(payload), 2))
    return tuple(decode_pair(high=pair[0], low=pair[1]) for pair in pairs if pair != b"\0\0")


def status_report(*, response_hex: str, mask: int) -> StatusReport:
    """Return the trouble codes of a reply to service 19 02, with their failure type and status.

    Formula: 59 02, the availability mask, then records of four bytes: code high, code low, failure type, status. A
    record is kept when status AND mask AND availability is not zero: any one bit is enough.

    Parameters:
        response_hex [-], text: the whole reply in hexadecimal, blanks and line ends where they please.
        mask [-], scalar: the status mask that was asked for, 0 to 255.
    Returns:
        [-] the availability mask and the codes that are kept.
    Valid range: ``ValueError`` for text that is not whole bytes in hexadecimal, another service (named in the
        sentence), a reply without availability mask, and a record that is not complete.
    Example:
        >>> report = status_report(response_hex="59 02 7F 0A 9B 17 24 08 05 11 2F 25 22 1F 00", mask=0x84)
        >>> [(kept.code, kept.failure_type, kept.status) for kept in report.codes]
        [('P0A9B', 23, 36), ('P0805', 17, 47)]

    Source: ISO 14229-1, 11.3.5.3, tables 295 and 296, as quoted.
    """
    wanted = _byte("mask", mask)
    reply = _bytes(_text(response_hex))
    if tuple(reply[:2]) != REPORT_BY_STATUS_REPLY:
        raise ValueError(f"The argument response_hex must begin with 59 02, but it begins with {_hex(reply[:2])}.")
    if len(reply) < 3 or len(reply) % 4 != 3:
        raise ValueError(
            "The argument response_hex must hold 59 02, the availability mask and records of four bytes, "
            f"but it holds {len(reply)} bytes: {_hex(reply)}."
        )
    records = (reply[at : at + 4] for at in range(3, len(reply), 4))
    return StatusReport(
        availability_mask=reply[2],
        codes=tuple(
            CodeStatus(code=decode_pair(high=high, low=low), failure_type=failure_type, status=status)
            for high, low, failure_type, status in records
            if status & wanted & reply[2] != 0
        ),
    )


def status_flags(*, status: int) -> tuple[str, ...]:
    """Return the names of the bits that are set in a status byte.

    Formula: bit n set means name n, bit 0 first.

    Parameters:
        status [-], scalar: the status byte, 0 to 255.
    Returns:
        [-] the names of ISO 14229 in snake_case.
    Valid range: 0 to 255. ``ValueError`` for anything else.
    Example:
        >>> status_flags(status=0x24)
        ('pending_dtc', 'test_failed_since_last_clear')

    Source: ISO 14229-1, table of the status byte, as copied at cartech8.
    """
    byte = _byte("status", status)
    return tuple(name for bit, name in enumerate(STATUS_FLAGS) if byte >> bit & 1)


def _byte(name: str, value: object) -> int:
    """Return a whole number from 0 to 255, or refuse what is no byte."""
    if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value <= 0xFF:
        raise ValueError(f"The argument {name} must be a byte, a whole number from 0 to 255, but it is {value!r}.")
    return value


def _text(response_hex: object) -> str:
    """Return the reply, or refuse what is no text."""
    if not isinstance(response_hex, str):
        raise ValueError(f"The argument response_hex must be a text, but it is {response_hex!r}.")
    return response_hex


def _bytes(text: str) -> bytes:
    """Return the bytes of a hexadecimal text; a group with half a byte is refused, for no one can say which half."""
    for group in text.split():
        if re.fullmatch(r"(?:[0-9A-Fa-f]{2})+", group) is None:
            raise ValueError(f"The argument response_hex must hold whole bytes in hexadecimal, but it holds {group!r}.")
    return bytes.fromhex("".join(text.split()))


def _hex(data: bytes) -> str:
    """Return bytes as people read them."""
    return data.hex(" ").upper() or "nothing"


def _check_service(frame: bytes) -> None:
    """Refuse a frame that answers another service."""
    if frame[0] != STORED_CODES_REPLY:
        raise ValueError(f"The argument response_hex must begin with the service byte 43, but it is {frame[0]:02X}.")


def _plain_payload(frame: bytes) -> bytes:
    """Return the pairs of one frame where the bus is not CAN."""
    _check_service(frame)
    if len(frame) % 2 == 0 or len(frame) > 1 + 2 * CODES_IN_A_FRAME:
        raise ValueError(
            "The argument response_hex must hold frames of 43 and up to three whole pairs, one frame a line, "
            f"but a line holds {_hex(frame)}."
        )
    return frame[1:]


def _can_payloads(frames: list[bytes]) -> Iterator[bytes]:
    """Return the pairs of each CAN message; the count says how many bytes they take and where the padding begins."""
    waiting = frames[::-1]
    while waiting:
        message = waiting.pop()
        _check_service(message)
        wanted = 2 + 2 * message[1] if len(message) > 1 else 2
        goes_on = len(message) == FIRST_FRAME_BYTES
        while goes_on and len(message) < wanted and waiting:
            goes_on = len(waiting[-1]) == NEXT_FRAME_BYTES
            message += waiting.pop()
        if len(message) < wanted:
            raise ValueError(
                f"The argument response_hex must hold the count and {(wanted - 2) // 2} pairs after 43, "
                f"but a message holds {_hex(message)}."
            )
        beyond = message[wanted:]
        if len(set(beyond)) > 1 or any(byte not in PADDING_BYTES for byte in beyond):
            raise ValueError(
                f"The argument response_hex must hold nothing but padding beyond the {message[1]} codes that its "
                f"count names, but it holds {_hex(beyond)}."
            )
        yield message[2:wanted]
