"""Read a table that somebody uploads: CSV or XLSX, by its content and not by its name, within bounds.

The size is counted after unpacking as well: an XLSX is a ZIP whose members say how large they become, and Python's
`zipfile` gives no byte more than that. Nothing is computed: of a cell with a formula the value that was stored counts.
"""

from __future__ import annotations

import csv
import io
import zipfile
from dataclasses import dataclass
from typing import Any
from xml.etree.ElementTree import ParseError

from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import UploadedFile
from django.utils.translation import gettext as _

LARGEST_FILE_BYTES = 5_000_000
LARGEST_UNPACKED_BYTES = 50_000_000
MOST_MEMBERS = 500
MOST_ROWS = 20_000
MOST_COLUMNS = 40
LONGEST_CELL = 500


@dataclass(frozen=True, kw_only=True)
class Table:
    """Headers, and rows with the number of the line (of the row, in a sheet) that each stands in, headers counted."""

    headers: list[str]
    rows: list[tuple[int, list[str]]]


def read_table(upload: UploadedFile) -> Table:
    """The first sheet or the text, every cell as a text; raises ValidationError with what to do instead."""
    if (upload.size or 0) > LARGEST_FILE_BYTES:
        raise ValidationError(_("The file is larger than 5 MB. Send the columns that are needed, or half of the list."))
    data = upload.read(LARGEST_FILE_BYTES + 1)
    lines = _of_sheet(data) if data.startswith(b"PK\x03\x04") else _of_text(data)
    lines = [(number, cells) for number, cells in lines if any(cells)]
    if len(lines) < 2:
        raise ValidationError(_("There is no row below the headers. The first row must name the columns."))
    (_first, headers), *rows = lines
    width = len(headers)
    return Table(headers=headers, rows=[(number, (cells + [""] * width)[:width]) for number, cells in rows])


def _of_text(data: bytes) -> list[tuple[int, list[str]]]:
    text = _decoded(data).replace("\r\n", "\n").replace("\r", "\n")
    if "\0" in text:
        raise ValidationError(_("This is neither a CSV file nor an XLSX file."))
    first = text.partition("\n")[0]
    reader = csv.reader(io.StringIO(text), delimiter=max(";,\t", key=first.count))
    lines: list[tuple[int, list[str]]] = []
    try:
        for cells in reader:
            _hold(len(lines), len(cells), reader.line_num)
            lines.append((reader.line_num, [_cell(one, reader.line_num) for one in cells]))
    except csv.Error as wrong:
        raise ValidationError(
            _("Line %(line)d can’t be read: %(why)s.") % {"line": reader.line_num, "why": wrong}
        ) from wrong
    return lines


def _decoded(data: bytes) -> str:
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return data.decode("utf-16", errors="replace")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("cp1252", errors="replace")


def _of_sheet(data: bytes) -> list[tuple[int, list[str]]]:
    from openpyxl import load_workbook  # only an uploaded sheet needs it, and it takes a while
    from openpyxl.utils.exceptions import InvalidFileException

    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            members = packed.infolist()
        if len(members) > MOST_MEMBERS or sum(one.file_size for one in members) > LARGEST_UNPACKED_BYTES:
            raise ValidationError(_("The file becomes larger than 50 MB when unpacked. Send it as CSV."))
        book = load_workbook(io.BytesIO(data), read_only=True, data_only=True, keep_links=False)
        lines: list[tuple[int, list[str]]] = []
        for number, values in enumerate(book.worksheets[0].iter_rows(values_only=True), start=1):
            while values and values[-1] is None:
                values = values[:-1]
            _hold(len(lines), len(values), number)
            lines.append((number, [_cell(one, number) for one in values]))
        book.close()
    except ValidationError:
        raise
    except (
        zipfile.BadZipFile, InvalidFileException, ParseError, KeyError, ValueError, IndexError, OSError, TypeError,
        AttributeError, EOFError, NotImplementedError, RuntimeError,
    ) as wrong:  # fmt: skip
        raise ValidationError(_("This XLSX file can’t be read. Save it anew, or send it as CSV.")) from wrong
    return lines


def _hold(rows: int, columns: int, line: int) -> None:
    if rows > MOST_ROWS:
        raise ValidationError(_("The list has more than %(n)d rows. Send it in parts.") % {"n": MOST_ROWS})
    if columns > MOST_COLUMNS:
        sentence = _("Line %(line)d has more than %(n)d columns. Send the columns that are needed.")
        raise ValidationError(sentence % {"line": line, "n": MOST_COLUMNS})


def _cell(value: Any, line: int) -> str:
    if value is None:
        return ""
    if isinstance(value, float) and value.is_integer():
        value = int(value)  # a spreadsheet keeps 27418 as 27418.0
    text = " ".join(str(value).split())
    if len(text) > LONGEST_CELL:
        sentence = _("Line %(line)d has a cell with more than %(n)d signs. Look at its quotation marks.")
        raise ValidationError(sentence % {"line": line, "n": LONGEST_CELL})
    return text.encode("utf-8", "replace").decode("utf-8").replace("\0", "")
