"""The first step: whatever an instrument or a spreadsheet wrote becomes UTF-8 with plain line ends."""

import codecs

from diagnostics.calculations.measurement_log.errors import LogError


def to_utf8(*, data: bytes) -> bytes:
    """Return the file as UTF-8 without byte order mark, each line ended by a line feed.

    Formula: none. A byte order mark decides; without one, UTF-16 is known by a NUL beside the first character, then
    UTF-8 is tried, and what is neither is Windows-1252 (where its five undefined bytes become U+FFFD).

    Parameters:
        data [-], bytes: the file.
    Returns:
        [-] UTF-8 bytes.
    Valid range: any bytes. ``LogError`` where UTF-16 breaks off or is broken, and for a NUL in the text.
    Example:
        >>> to_utf8(data="Spannung [V]\\r\\n12\\u00b0".encode("cp1252"))
        b'Spannung [V]\\n12\\xc2\\xb0'

    Source: the Unicode Standard, 23.8 (byte order mark), from memory.
    """
    lines = _utf16(data) if _is_utf16(data) else _single_bytes(data)
    if b"\r" in lines:
        lines = lines.replace(b"\r\n", b"\n").replace(b"\r", b"\n")
    nul = lines.find(b"\0")
    if nul >= 0:
        raise LogError(line=lines.count(b"\n", 0, nul) + 1, problem="it holds a NUL, which no text does")
    return lines


def _is_utf16(data: bytes) -> bool:
    """Tell UTF-16 by its mark, or by the NUL that half of each Latin character is."""
    marked = data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE))
    return marked or (len(data) >= 2 and (data[0] == 0) != (data[1] == 0))


def _utf16(data: bytes) -> bytes:
    """Return UTF-16 of either byte order as UTF-8."""
    big = data.startswith(codecs.BOM_UTF16_BE) or data[0] == 0
    start = 2 if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)) else 0
    codec = "utf-16-be" if big else "utf-16-le"
    try:
        return data[start:].decode(codec).encode()
    except UnicodeDecodeError as error:
        read = data[start : start + error.start].decode(codec).replace("\r\n", "\n").replace("\r", "\n")
        raise LogError(line=read.count("\n") + 1, problem="its UTF-16 is broken") from None


def _single_bytes(data: bytes) -> bytes:
    """Return UTF-8 as it is, and anything else as if it were Windows-1252."""
    data = data.removeprefix(codecs.BOM_UTF8)
    try:
        if not data.isascii():
            data.decode()
    except UnicodeDecodeError:
        return data.decode("cp1252", errors="replace").encode()
    return data
