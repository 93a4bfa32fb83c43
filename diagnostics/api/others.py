"""What a program needs beside sheets and records: people, instruments, families; evidence that members show."""

from __future__ import annotations

from typing import Any

from django.shortcuts import get_object_or_404
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from diagnostics.api.paging import PAGES, page_of, paged, problems
from diagnostics.api.shapes import FamilyShape, PersonShape, RangeShape, SharedSheetShape
from diagnostics.families import found
from diagnostics.models import InstrumentRange, SharedSheet
from diagnostics.plates import flat
from network.api_tokens import by_token, caller_of
from network.models import Membership

SEARCH = OpenApiParameter("q", str, description="A piece of the maker's or the family's name.")
NO_PAGE = {"_404": "no such page"}


@extend_schema(
    operation_id="people_list",
    summary="People of the workshop who may take a record or stand by",
    parameters=PAGES,
    responses={200: page_of(PersonShape)} | problems(**NO_PAGE),
)
@by_token("GET", "HEAD")
def people(request: Request) -> Any:
    able = Membership.objects.able_to_act().filter(workshop=caller_of(request).workshop).select_related("person")
    return paged(request, able.order_by("person__name", "pk"), lambda one: PersonShape(one).data)


@extend_schema(
    operation_id="instruments_list",
    summary="Ranges of the workshop's instruments, with their accuracy and the day of the next calibration",
    parameters=PAGES,
    responses={200: page_of(RangeShape)} | problems(**NO_PAGE),
)
@by_token("GET", "HEAD")
def instruments(request: Request) -> Any:
    rows = InstrumentRange.objects.select_related("instrument").order_by("instrument__name", "unit", "highest", "pk")
    return paged(request, rows, lambda one: RangeShape(one).data)


@extend_schema(
    operation_id="families_list",
    summary="System families that the network knows",
    parameters=[*PAGES, SEARCH],
    responses={200: page_of(FamilyShape)} | problems(**NO_PAGE),
)
@by_token("GET", "HEAD")
def families(request: Request) -> Any:
    wanted = request.query_params.get("q", "").replace("\0", "").strip()[:80]
    return paged(request, found(wanted), lambda one: FamilyShape(one).data)


@extend_schema(
    operation_id="shared_sheets_list",
    summary="Evidence that members show: of one serial number, or the workshop's own",
    parameters=[
        *PAGES,
        OpenApiParameter("serial", str, description="Of every member, for the part with this whole serial number."),
    ],
    responses={200: page_of(SharedSheetShape)} | problems(**NO_PAGE),
)
@by_token("GET", "HEAD")
def shared_sheets(request: Request) -> Any:
    serial = flat(request.query_params.get("serial", ""))
    shown = SharedSheet.objects.shown().select_related("shared_by_workshop")
    rows = shown.filter(flat_serial=serial) if serial else shown.of_workshop(caller_of(request).workshop)
    return paged(request, rows, lambda one: SharedSheetShape(one).data)


@extend_schema(
    operation_id="shared_sheets_read",
    summary="One frozen copy of a sheet",
    responses={200: SharedSheetShape} | problems(_404="no such copy, or it was taken back"),
)
@by_token("GET", "HEAD")
def shared_sheet(request: Request, pk: int) -> Any:
    rows = SharedSheet.objects.shown().select_related("shared_by_workshop")
    return Response(SharedSheetShape(get_object_or_404(rows, pk=pk)).data)
