"""The rows of `tests/access_matrix.py` for what programs ask with a token of a workshop.

The walk sends no token, and being signed in opens nothing here: everybody gets 401, for own, foreign and missing rows.
What a token opens, and that a foreign row and a missing one are the same 404: `tests/diagnostics/test_api_access.py`.
"""

NOBODY = "401 " * 9


def _rows(*objects: str) -> str:
    return "\n".join(f"{method} {thing} - {NOBODY}" for method in ("GET", "POST") for thing in objects)


OF_A_SHEET, OF_A_RECORD = ("sheet_of_a", "sheet_of_b", "missing"), ("record_of_a", "record_of_b", "missing")
PROGRAMS: dict[str, str] = {
    "api_sheets": _rows("-"),
    "api_sheet": _rows(*OF_A_SHEET),
    "api_sheet_verify": _rows(*OF_A_SHEET),
    "api_logs": _rows(*OF_A_SHEET),
    "api_records": _rows(*OF_A_SHEET),
    "api_judgement": _rows(*OF_A_SHEET),
    "api_record": _rows(*OF_A_RECORD),
    "api_correction": _rows(*OF_A_RECORD),
    "api_people": _rows("-"),
    "api_instruments": _rows("-"),
    "api_families": _rows("-"),
    "api_shared_sheets": _rows("-"),
    "api_shared_sheet": _rows("copy_of_a", "copy_of_b", "missing"),
}
