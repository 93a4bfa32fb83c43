"""Read trouble codes into a job: as typed, from any pasted text, or from the bytes of a control unit's reply.

What was pasted is kept as it was, so that nobody has to trust our reading of it. Codes are read before the repair and
after it; a reading is never changed, a later one stands beside it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from diagnostics.calculations.code_structure import find_codes
from diagnostics.calculations.trouble_codes import status_report, stored_codes
from jobs.models import CodeDescription, CodeReading, Job, JobCode
from network.models import Event, Membership

EVERY_STATUS = 0xFF
MOST_CODES = 200
Form = CodeReading.Form

# The names of ISO 14229-1 for the bits of the status byte, as the bay says them.
FLAG_WORDS: dict[str, str | Promise] = {
    "test_failed": gettext_lazy("test failed"),
    "test_failed_this_operation_cycle": gettext_lazy("test failed this operation cycle"),
    "pending_dtc": gettext_lazy("pending"),
    "confirmed_dtc": gettext_lazy("confirmed"),
    "test_not_completed_since_last_clear": gettext_lazy("test not completed since last clear"),
    "test_failed_since_last_clear": gettext_lazy("test failed since last clear"),
    "test_not_completed_this_operation_cycle": gettext_lazy("test not completed this operation cycle"),
    "warning_indicator_requested": gettext_lazy("warning indicator requested"),
}
PART_WORDS: dict[str, str | Promise] = {
    "powertrain": gettext_lazy("powertrain"),
    "chassis": gettext_lazy("chassis"),
    "body": gettext_lazy("body"),
    "network": gettext_lazy("network between control units"),
}


@dataclass(frozen=True, kw_only=True)
class ReadCode:
    """One code with what was read beside it."""

    code: str
    detail: str = ""
    status: int | None = None


def read(*, text: str, form: str) -> tuple[ReadCode, ...]:
    """The codes in a text of that form, each once; raises ValidationError with what is wrong with it."""
    if form == Form.TEXT:
        found = [ReadCode(code=one.code, detail=one.detail) for one in find_codes(text=text)]
        if text.strip() and not found:
            raise ValidationError(
                _("No trouble code stands in it. A code is a letter P, C, B or U, a digit 0 to 3 and three more.")
            )
    else:
        found = _from_bytes(text, form)
    unique = tuple({(one.code, one.detail): one for one in found}.values())
    if len(unique) > MOST_CODES:
        raise ValidationError(_("These are more than %(most)d codes.") % {"most": MOST_CODES})
    return unique


def _from_bytes(text: str, form: str) -> list[ReadCode]:
    try:
        if form == Form.STATUS:
            report = status_report(response_hex=text, mask=EVERY_STATUS)
            return [
                ReadCode(code=one.code, detail=f"{one.failure_type:02X}", status=one.status) for one in report.codes
            ]
        return [ReadCode(code=one) for one in stored_codes(response_hex=text, can=form == Form.STORED_CAN)]
    except ValueError as wrong:
        sentence = str(wrong).replace("The argument response_hex", _("The reply"))
        raise ValidationError(sentence) from wrong


@transaction.atomic
def add(
    *,
    job: Job,
    codes: tuple[ReadCode, ...],
    by: Membership,
    stage: str = CodeReading.Stage.FOUND,
    form: str = Form.TEXT,
    text: str = "",
    unit: str = "",
) -> CodeReading:
    """Keep one reading; without a code it says that none was stored."""
    reading = CodeReading(job=job, stage=stage, form=form, text=text, unit=unit, read_by=by.person)
    reading.save()
    JobCode.objects.bulk_create(
        [JobCode(reading=reading, job=job, code=one.code, detail=one.detail, status=one.status) for one in codes]
    )
    Event.record("codes_read", job, by=by.person, workshop=by.workshop, stage=stage, codes=len(codes))
    return reading


@transaction.atomic
def note(*, code: JobCode, detail: str, freeze_frame: str, words: str, by: Membership) -> None:
    """Note the maker's detail number and the freeze frame of a code, and what it means for this workshop."""
    JobCode.objects.filter(pk=code.pk).update(detail=detail, freeze_frame=freeze_frame)
    if words:
        CodeDescription.objects.update_or_create(
            code=code.code, detail=detail, defaults={"words": words, "written_by": by.person}
        )
    Event.record("code_noted", code, by=by.person, workshop=by.workshop)


@dataclass(frozen=True, kw_only=True)
class Told:
    """A code with all that can be said of it without the maker's list."""

    code: JobCode
    explained: str  # its structure
    flags: tuple[str, ...]  # its status bits
    words: str  # of this workshop, from this or an earlier time


def told(rows: Iterable[JobCode]) -> list[Told]:
    """The codes with their structure explained, status bits as words, and the workshop's own description."""
    rows = list(rows)
    kept = {
        (row.code, row.detail): row.words for row in CodeDescription.objects.filter(code__in={one.code for one in rows})
    }
    return [
        Told(
            code=one,
            explained=explained(one),
            flags=tuple(str(FLAG_WORDS[flag]) for flag in one.flags),
            words=kept.get((one.code, one.detail)) or kept.get((one.code, ""), ""),
        )
        for one in rows
    ]


def explained(code: JobCode) -> str:
    """What the structure of the code says."""
    part = PART_WORDS[code.structure.part]
    if code.structure.defined_by == "standard":
        return _("%(part)s; the standard defines it") % {"part": part}
    return _("%(part)s; the maker defines it, only the maker’s list tells what it means") % {"part": part}


@dataclass(frozen=True, kw_only=True)
class Compared:
    """One code before the repair and after it. `after` is None while nothing was read after the repair."""

    line: Told
    found: bool
    after: bool | None


def compared(job: Job) -> list[Compared]:
    """Every code of the job: whether it was there as found, and in the newest reading after the repair."""
    last = CodeReading.objects.filter(job=job, stage=CodeReading.Stage.AFTER).last()
    by_name: dict[tuple[str, str], JobCode] = {}
    found, after = set(), set()
    for one in JobCode.objects.filter(job=job).select_related("reading"):
        name = (one.code, one.detail)
        if one.reading.stage == CodeReading.Stage.FOUND:
            found.add(name)
            by_name[name] = one
        elif last and one.reading_id == last.pk:
            after.add(name)
            by_name.setdefault(name, one)
    return [
        Compared(
            line=line,
            found=(name := (line.code.code, line.code.detail)) in found,
            after=name in after if last else None,
        )
        for line in told(by_name[name] for name in sorted(by_name))
    ]


def readings(job: Job) -> list[CodeReading]:
    """Every reading with its codes, the newest first."""
    return list(
        CodeReading.objects.filter(job=job).select_related("read_by").prefetch_related("codes").order_by("-read_at")
    )
