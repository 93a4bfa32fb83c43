"""The report of a job: for the owner in plain words, and for the file every reading with its limit, source and people.

One set of facts is told twice, as a page and as a PDF (`jobs/report/pdf.py`); both take the words from here. After
handover the report is what was handed over: records that were taken later don't enter it.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from diagnostics.summary import written
from jobs.clearance import clearance
from jobs.models import Job, SignedEntry
from jobs.outlook import battery_words
from jobs.report.readings import Measured, ReadingShown, measured_of, readings_of
from jobs.sheet_page.steps import title_of
from jobs.standing import Stands, held_by
from network.models import Workshop
from parts.models import Answer

Step = SignedEntry.Step


@dataclass(frozen=True, kw_only=True)
class Requirement:
    number: int
    title: str
    state: str  # met, waived or open
    words: str


@dataclass(frozen=True, kw_only=True)
class Signed:
    title: str
    words: str
    by: str
    good: bool


@dataclass(frozen=True, kw_only=True)
class Report:
    number: str
    handed_over: bool
    sentence: str
    summary: str
    workshop: list[str]
    car: list[tuple[str, str]]
    wrong: list[tuple[str, str]]
    measured: list[Measured]
    fitted: list[tuple[str, str]]
    battery: list[str]
    watch: list[str]
    cautions: list[str]
    requirements: list[Requirement]
    readings: list[ReadingShown]
    signed: list[Signed]
    records: int
    last_hash: str


def report_of(job: Job, workshop: Workshop) -> Report:
    """The facts of the report as they stand now, or stood when the job was handed over."""
    found = held_by(job)
    records = [one for one in found.taken if not job.handed_over_at or one.taken_at <= job.handed_over_at]
    newest = found.newest
    return Report(
        number=job.number,
        handed_over=job.handed_over_at is not None,
        sentence=_sentence(job, newest),
        summary=_summary(job, newest),
        workshop=[workshop.name, f"{workshop.street}, {workshop.postcode} {workshop.town}", workshop.phone],
        car=_car(job),
        wrong=_wrong(job, newest),
        measured=measured_of(records),
        fitted=_fitted(job, newest),
        battery=battery_words(job),
        watch=[newest[Step.HANDED_OVER].words] if Step.HANDED_OVER in newest else [],
        cautions=_cautions(),
        requirements=_requirements(clearance(job, found)),
        readings=readings_of(records),
        signed=[_signed(entry) for entry in found.entries],
        records=len(records),
        last_hash=records[-1].hash if records else "",
    )


def _sentence(job: Job, newest: dict[str, SignedEntry]) -> str:
    facts = {"fitted": _what_was_fitted(job)}
    if job.handed_over_at:
        facts["day"] = date_format(timezone.localtime(job.handed_over_at), "DATE_FORMAT")
        return _("%(fitted)s was fitted and proved; the car was handed over on %(day)s.") % facts
    if Step.FITTED in newest:
        return _("%(fitted)s was fitted; it is being proved.") % facts
    return _("The work is not finished: no %(part)s was fitted yet.") % {"part": job.get_part_display()}


def _what_was_fitted(job: Job) -> str:
    """The part by its condition, where its offer says it: nobody reads "new" of a used one."""
    part = {"part": job.get_part_display()}
    accepted = _accepted(job)
    if accepted is None:
        return _("The %(part)s") % part
    if accepted.offer == Answer.Offer.CAN_BE_REPAIRED:
        return _("The repaired %(part)s") % part
    match accepted.condition:
        case Answer.Condition.USED:
            return _("A used %(part)s") % part
        case Answer.Condition.REBUILT:
            return _("A rebuilt %(part)s") % part
        case Answer.Condition.NEW | Answer.Condition.NEW_OLD_STOCK:
            return _("A new %(part)s") % part
    return _("The %(part)s") % part


def _accepted(job: Job) -> Answer | None:
    """The offer that the part came by."""
    return job.part_request.answers.filter(state=Answer.State.ACCEPTED).first() if job.part_request else None


def _summary(job: Job, newest: dict[str, SignedEntry]) -> str:
    if Step.CAUSE in newest:
        return newest[Step.CAUSE].words
    return _("The cause has no name yet.")


def _car(job: Job) -> list[tuple[str, str]]:
    car = job.vehicle
    odometer = f"{written(car.odometer_km, 0)} km" if car.odometer_km else ""
    rows = [
        (_("Vehicle"), car.description),
        (_("Registration"), car.registration),
        (_("VIN"), car.vin),
        (_("Odometer"), odometer),
        (_("System family"), str(car.family or "")),
        (_("Owner"), car.customer.name),
        (_("Booked in"), date_format(timezone.localtime(job.booked_in_at), "DATE_FORMAT")),
    ]
    return [(name, value) for name, value in rows if value]


def _wrong(job: Job, newest: dict[str, SignedEntry]) -> list[tuple[str, str]]:
    cause = newest.get(Step.CAUSE)
    return [
        (_("You told us"), job.complaint),
        (_("Trouble codes found"), ", ".join(dict.fromkeys(str(code) for code in job.codes.as_found())) or _("none")),
        (_("Cause"), cause.words if cause else _("not named yet")),
    ]


def _fitted(job: Job, newest: dict[str, SignedEntry]) -> list[tuple[str, str]]:
    rows: list[tuple[str, str]] = []
    if job.part_request:
        asked = job.part_request
        rows.append((_("Part"), f"{job.get_part_display()}, {asked.number}".strip(", ")))
        accepted = _accepted(job)
        if accepted:
            marks = accepted.marks and _("; marks: %(marks)s") % {"marks": accepted.marks}
            rows.append((_("Condition"), f"{accepted.get_condition_display()}{marks}"))
    for step, title in ((Step.FITTED, _("Fitted")), (Step.PROVED, _("Proved afterwards"))):
        if step in newest:
            rows.append((title, newest[step].words))
    return rows or [(_("Part"), _("nothing was fitted yet"))]


def _cautions() -> list[str]:
    return [
        _("High voltage is in this car also when it is switched off. Nothing orange may be opened or touched."),
        _("Smoke, smell, hissing, heat or water in the car: get out, keep away and call the fire service."),
        _("After a crash or flood the car stands outside, apart from others, until trained people have looked at it."),
        _("A warning lamp or loss of power: stop where it is allowed and phone the workshop."),
    ]


def _requirements(stands: Stands) -> list[Requirement]:
    return [Requirement(number=one.number, title=one.title, state=one.state, words=one.why) for one in stands.standings]


def _signed(entry: SignedEntry) -> Signed:
    when = date_format(timezone.localtime(entry.signed_at), "DATETIME_FORMAT")
    return Signed(
        title=title_of(entry), words=entry.found, by=f"{entry.signed_by}, {when}", good=entry.good
    )  # fmt: skip


def as_json(report: Report) -> dict[str, Any]:
    return asdict(report)
