"""Sheets for programs: listed, made, read, verified; the logs that records are measured from."""

from __future__ import annotations

import hashlib
from typing import Any

from django.core.exceptions import ValidationError
from django.core.files.base import ContentFile
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework.parsers import MultiPartParser
from rest_framework.request import Request
from rest_framework.response import Response

from diagnostics.api.paging import PAGES, page_of, paged, problems
from diagnostics.api.shapes import HoldsShape, LogShape, NewSheetShape, SheetShape, holds_answer
from diagnostics.chain import first_break
from diagnostics.forms import SheetForm
from diagnostics.log_reading import LARGEST, read_whole
from diagnostics.models import MeasurementLog, Sheet
from diagnostics.plates import flat
from network.api_tokens import body_of, by_token, caller_of
from network.idempotency import KEY, once
from network.models import Event
from network.problems import problem, told

REFUSED = {"_400": "no JSON", "_413": "too large", "_415": "not JSON", "_422": "a value that can't be, by field"}


@extend_schema(
    methods=["GET"],
    operation_id="sheets_list",
    summary="Sheets of the workshop, newest first",
    parameters=[*PAGES, OpenApiParameter("serial", str, description="Only of the part with this serial number.")],
    responses={200: page_of(SheetShape)} | problems(_404="a page that isn't there"),
)
@extend_schema(
    methods=["POST"],
    operation_id="sheets_make",
    summary="Make a sheet of a part on the bench",
    parameters=[KEY],
    request=NewSheetShape,
    responses={201: SheetShape} | problems(**REFUSED),
)
@by_token("GET", "HEAD", "POST")
def sheets(request: Request) -> Any:
    if request.method == "POST":
        return once(request, lambda: _make_sheet(request))
    rows = Sheet.objects.order_by("-made_at", "-pk")
    serial = flat(request.query_params.get("serial", ""))
    return paged(request, rows.filter(flat_serial=serial) if serial else rows, _sheet_answer)


@extend_schema(
    operation_id="sheets_read",
    summary="One sheet; its ETag is the last hash of its chain",
    responses={200: SheetShape} | problems(_404="no such sheet of this workshop"),
)
@by_token("GET", "HEAD")
def sheet(request: Request, pk: int) -> Any:
    shown = get_object_or_404(Sheet, pk=pk)
    return Response(_sheet_answer(shown), headers={"ETag": etag_of(shown)})


@extend_schema(
    operation_id="sheets_verify",
    summary="Whether the stored records still are what was hashed",
    responses={200: HoldsShape} | problems(_404="no such sheet of this workshop"),
)
@by_token("GET", "HEAD")
def sheet_verify(request: Request, pk: int) -> Any:
    shown = get_object_or_404(Sheet, pk=pk)
    return Response(holds_answer(shown, first_break(shown)))


@extend_schema(
    methods=["GET"],
    operation_id="logs_list",
    summary="Logs that were uploaded to the sheet, newest first",
    parameters=PAGES,
    responses={200: page_of(LogShape)} | problems(_404="no such sheet of this workshop, or no such page"),
)
@extend_schema(
    methods=["POST"],
    operation_id="logs_upload",
    summary="Upload a logger's CSV file; a record then names it by its id",
    parameters=[KEY],
    request={
        "multipart/form-data": {
            "type": "object",
            "properties": {"file": {"type": "string", "format": "binary"}},
            "required": ["file"],
        }
    },
    responses={201: LogShape}
    | problems(
        _400="no such form",
        _404="no such sheet of this workshop",
        _413="larger than 64 MB",
        _415="not multipart/form-data",
        _422="a file that can't be read: the line is named",
    ),
)
@by_token("GET", "HEAD", "POST", parsers=(MultiPartParser,))
def logs(request: Request, pk: int) -> Any:
    shown = get_object_or_404(Sheet, pk=pk)
    if request.method == "POST":
        return once(request, lambda: _keep_log(request, shown))
    return paged(request, MeasurementLog.objects.filter(sheet=shown).order_by("-pk"), lambda log: LogShape(log).data)


def _make_sheet(request: Request) -> Any:
    body = body_of(request)
    unknown = sorted(body.keys() - NewSheetShape().fields.keys())
    if unknown:
        return unprocessable({name[:80]: [_("There is no such field in a sheet.")] for name in unknown})
    mistyped = NewSheetShape(data=body)
    if not mistyped.is_valid():
        return unprocessable(mistyped.errors)
    form = SheetForm(body)
    if not form.is_valid():
        return unprocessable(form.errors)
    form.instance.made_by = caller_of(request).made_by
    made = form.save()
    Event.record("sheet_made", made, workshop=caller_of(request).workshop, token=caller_of(request).pk)
    return Response(_sheet_answer(made), status=201, headers={"Location": reverse("api_sheet", args=[made.pk])})


def _keep_log(request: Request, shown: Sheet) -> Any:
    upload = request.FILES.get("file")
    if upload is None:
        return unprocessable({"file": [_("Send the logger's file under this name.")]})
    if (upload.size or 0) > LARGEST:
        return problem(413, _("The file is larger than 64 MB. Log fewer samples, or cut the log."))
    data = upload.read()
    try:
        rows = len(read_whole(data).times_s)
    except ValidationError as bad_lines:
        return unprocessable({"file": bad_lines.messages})
    stored = MeasurementLog(sheet=shown, sha256=hashlib.sha256(data).hexdigest(), rows=rows)
    stored.file.save(f"{stored.sha256[:16]}.csv", ContentFile(data), save=False)
    stored.save()
    return Response(LogShape(stored).data, status=201)


def _sheet_answer(shown: Sheet) -> Any:
    return SheetShape(shown).data


def etag_of(shown: Sheet) -> str:
    return f'"{shown.last_hash or "empty"}"'


def unprocessable(errors: Any) -> Any:
    """422 with the sentences by field, as the page would show them."""
    named = {str(name): [str(one) for one in sentences] for name, sentences in told(errors).items()}
    detail = "; ".join(f"{name}: {' '.join(sentences)}" for name, sentences in named.items())
    return problem(422, detail[:2000], errors=named)
