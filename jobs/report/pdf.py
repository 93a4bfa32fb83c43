"""The report as a PDF: PDF/UA, set by Typst from facts that reach it as JSON only, so no text of a user is markup.

Fonts are those of the installed font package, never the system's. A character that they can't draw would fail
PDF/UA, so it is replaced before: by its plain form where it has one, otherwise by a box.
"""

from __future__ import annotations

import datetime
import io
import json
import unicodedata
from functools import lru_cache
from pathlib import Path
from typing import Any

from django.conf import settings
from django.utils.translation import get_language
from django.utils.translation import gettext as _

from jobs.report import Report, as_json

TEMPLATE = settings.ROOT / "templates/report/job.typ"
FAMILY = "SourceSansPro"
FACES = ("Light", "Regular", "Semibold")
NO_GLYPH = "\N{LOZENGE}"


@lru_cache(maxsize=1)
def _fonts() -> Any:
    """Read once a process: looking through the font files takes longer than setting the report."""
    import typst

    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(_font_folder())])


def _font_folder() -> Path:
    import font_source_sans_pro

    return Path(font_source_sans_pro.__file__).parent / "files"


@lru_cache(maxsize=1)
def drawable() -> frozenset[int]:
    """The code points that every face in use has a glyph for."""
    from fontTools.ttLib import TTFont

    faces = [TTFont(_font_folder() / f"{FAMILY}-{face}.ttf", lazy=True).getBestCmap() for face in FACES]
    return frozenset(set.intersection(*(set(face) for face in faces)))


def with_glyphs(text: str) -> str:
    """The text in characters that can be drawn; line ends stay, other control characters go."""
    known = drawable()
    return "".join(
        one if one == "\n" or ord(one) in known else _plain(one, known) for one in unicodedata.normalize("NFC", text)
    )


def _plain(one: str, known: frozenset[int]) -> str:
    if unicodedata.category(one) in ("Zs", "Zl", "Zp") or one == "\t":
        return " "
    if unicodedata.category(one) in ("Cc", "Cf", "Mn", "Me"):
        return ""
    # NFKD takes a ligature, a full-width figure or a letter with a rare accent apart.
    parts = [part for part in unicodedata.normalize("NFKD", one) if ord(part) in known]
    return "".join(parts) or NO_GLYPH


def _all_with_glyphs(value: Any) -> Any:
    match value:
        case str():
            return with_glyphs(value)
        case dict():
            return {name: _all_with_glyphs(one) for name, one in value.items()}
        case list() | tuple():
            return [_all_with_glyphs(one) for one in value]
    return value


def pdf_of(report: Report, *, verify_url: str, made_at: datetime.datetime) -> bytes:
    """The report as PDF/UA-1. `verify_url` is the whole address that the QR code leads to."""
    import segno
    import typst

    drawn = io.BytesIO()
    segno.make(verify_url, error="m").save(drawn, kind="svg", border=0, xmldecl=False, svgns=True)
    facts = as_json(report) | {"words": _words(report), "verify_url": verify_url, "lang": (get_language() or "en")[:2]}
    made: bytes = typst.compile(
        str(TEMPLATE),
        root=str(TEMPLATE.parent),
        font_paths=_fonts(),
        sys_inputs={"facts": json.dumps(_all_with_glyphs(facts)), "qr": drawn.getvalue().decode()},
        pdf_standards=["ua-1"],
        timestamp=int(made_at.timestamp()),
    )
    return made


def _words(report: Report) -> dict[str, str]:
    """The headings and fixed sentences of the template."""
    return {
        "title": _("Report on job %(number)s") % {"number": report.number},
        "network": settings.NETWORK_NAME,
        "for_owner": _("For the owner"),
        "wrong": _("What was wrong"),
        "measured": _("What was measured"),
        "fitted": _("What was fitted"),
        "battery": _("How the battery stands"),
        "watch": _("What to watch"),
        "for_file": _("For the file: every reading, its limit and its source"),
        "requirements": _("Cleared to fit"),
        "signed": _("Signed"),
        "chain": _("Does this report still hold?"),
        "qr": _("QR code that leads to the page where the hash below is verified"),
        "chain_words": _(
            "Each record holds the hash of the one before it. Read the code, or type the hash at %(address)s: the page "
            "says whether the sheet is still as it was written, and shows nothing of it."
        ) % {"address": f"{settings.BASE_URL}/verify/"},
        "no_records": _("Nothing was measured on this job."),
        "not_good": _("not good"),
        "corrected": _("corrected by a later record"),
        "remark": _("Remark"),
        "limit_from": _("Limit from"),
        "caution": _("An aid to trained people. The maker’s data, local codes and a licensed person decide."),
        "page": _("page"),
        "of": _("of"),
        "met": _("met"), "open": _("open"), "waived": _("waived"),
        "hv": _("High voltage"),
    }  # fmt: skip
