"""Records for programs: judged without keeping, added, corrected, read. The forms and verbs are those of the pages."""

from __future__ import annotations

from typing import Any

from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from diagnostics.api.paging import PAGES, page_of, paged, problems
from diagnostics.api.shapes import VERDICTS, JudgedShape, RecordShape, judged_answer, record_answer
from diagnostics.api.sheets import REFUSED, etag_of, unprocessable
from diagnostics.api.typed import Mistyped, any_kind, as_typed
from diagnostics.kinds import all_kinds, kind_of
from diagnostics.models import MeasurementLog, Record, Sheet
from diagnostics.presenting import present
from diagnostics.record_form import RecordForm
from diagnostics.recording import Entry, add_record, finding_as_json, judge
from network.api_tokens import body_of, by_token, caller_of
from network.asked import key_of
from network.idempotency import KEY, once
from network.models import Event, Membership
from network.problems import problem

IF_MATCH = OpenApiParameter(
    "If-Match", str, OpenApiParameter.HEADER, description="The sheet's ETag: 412 when it got another record since."
)


@extend_schema(
    methods=["GET"],
    operation_id="records_list",
    summary="Records of a sheet with verdicts, findings and hashes, in their order",
    parameters=[
        *PAGES,
        OpenApiParameter("kind", str, enum=list(all_kinds())),
        OpenApiParameter("verdict", str, enum=VERDICTS),
    ],
    responses={200: page_of(RecordShape)} | problems(_404="no such sheet of this workshop, or no such page"),
)
@extend_schema(
    methods=["POST"],
    operation_id="records_add",
    summary="Add a record of any kind: judged, hashed, kept for good",
    parameters=[KEY, IF_MATCH],
    request=any_kind(),
    responses={201: RecordShape}
    | problems(**REFUSED, _404="no such sheet of this workshop", _412="the sheet got another record since"),
)
@by_token("GET", "HEAD", "POST")
def records(request: Request, pk: int) -> Any:
    sheet = get_object_or_404(Sheet, pk=pk)
    if request.method == "POST":
        return once(request, lambda: _add(request, sheet))
    rows = _shown_rows().filter(sheet=sheet).order_by("sequence")
    for name in ("kind", "verdict"):
        wanted = request.query_params.get(name, "").replace("\0", "")
        rows = rows.filter(**{name: wanted}) if wanted else rows
    return paged(request, rows, record_answer)


@extend_schema(
    operation_id="records_judge",
    summary="What a reading proves, without keeping it",
    request=any_kind(),
    responses={200: JudgedShape} | problems(**REFUSED, _404="no such sheet of this workshop"),
)
@by_token("POST")
def judgement(request: Request, pk: int) -> Any:
    sheet = get_object_or_404(Sheet, pk=pk)
    cleaned = _cleaned(request, sheet)
    if not isinstance(cleaned, Entry):
        return cleaned
    reading, assessment = judge(cleaned)
    judged = present(cleaned.kind, reading, assessment)
    return Response(judged_answer(judged, reading.concerns, map(finding_as_json, assessment.findings)))


@extend_schema(
    operation_id="records_read",
    summary="One record as it was taken and judged",
    responses={200: RecordShape} | problems(_404="no such record of this workshop"),
)
@by_token("GET", "HEAD")
def record(request: Request, pk: int) -> Any:
    return Response(record_answer(get_object_or_404(_shown_rows(), pk=pk)))


@extend_schema(
    operation_id="records_correct",
    summary="Correct a record: a new one of its kind that names it; the old one stays",
    parameters=[KEY, IF_MATCH],
    request=any_kind(),
    responses={201: RecordShape}
    | problems(
        **REFUSED,
        _404="no such record of this workshop",
        _409="it was corrected already",
        _412="the sheet got another record since",
    ),
)
@by_token("POST")
def correction(request: Request, pk: int) -> Any:
    old = get_object_or_404(Record.objects.select_related("sheet"), pk=pk)
    return once(request, lambda: _add(request, old.sheet, corrects=old))


def _shown_rows() -> Any:
    """Records with the one that corrects each, if there is one."""
    return Record.objects.select_related("corrected_by")


def _add(request: Request, sheet: Sheet, corrects: Record | None = None) -> Any:
    # Held until the answer is kept: what If-Match compares, and who corrects, can't change in between.
    sheet = Sheet.objects.select_for_update().get(pk=sheet.pk)
    wanted = request.headers.get("If-Match", "*").strip()
    if wanted not in ("*", etag_of(sheet)):
        return problem(412, _("The sheet got another record since you read it. Read it again."))
    if corrects and Record.objects.filter(replaces=corrects).exists():
        return problem(409, _("This record was corrected already; correct the correction."))
    cleaned = _cleaned(request, sheet, corrects)
    if not isinstance(cleaned, Entry):
        return cleaned
    made = add_record(cleaned)
    Event.record("record_added", made, workshop=caller_of(request).workshop, token=caller_of(request).pk)
    answer = record_answer(_shown_rows().get(pk=made.pk))
    return Response(answer, status=201, headers={"Location": reverse("api_record", args=[made.pk])})


def _cleaned(request: Request, sheet: Sheet, corrects: Record | None = None) -> Any:
    """The body as an entry, cleaned by the form of its kind; or the problem that says which field is wrong."""
    kind = kind_of(str(body_of(request).get("kind", "")))
    if kind is None or (corrects and corrects.kind != kind.code):
        known = corrects.kind if corrects else ", ".join(all_kinds())
        return unprocessable({"kind": [_("Name the kind: %(known)s.") % {"known": known}]})
    try:
        typed = as_typed(kind, body_of(request))
    except Mistyped as wrong:
        return unprocessable(wrong.errors)
    membership = _taken_by(request, typed.pop("taken_by", ""))
    if membership is None:
        return unprocessable({"taken_by": [_("Say who took it: the id of one of /people.")]})
    logs = {log.name: _log(sheet, typed.pop(log.name, "")) for log in kind.logs}
    # A log that was read before, with its columns, units and sign where people chose them.
    read = [str(log.pk) for log in logs.values() if log]
    typed |= {"stored_log": read[0]} if read else {}
    form = RecordForm(typed, kind=kind, sheet=sheet, membership=membership, corrects=corrects)
    if not form.is_valid():
        return unprocessable(form.errors)
    return form.entry()


def _taken_by(request: Request, key: str) -> Membership | None:
    able = Membership.objects.able_to_act().filter(workshop=caller_of(request).workshop)
    person = key_of(key) if key else caller_of(request).made_by_id
    return able.select_related("person", "workshop").filter(person=person).first()


def _log(sheet: Sheet, key: str) -> MeasurementLog | None:
    return MeasurementLog.objects.filter(sheet=sheet, pk=key_of(key)).first() if key else None
