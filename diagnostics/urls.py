"""Addresses of measuring."""

from django.urls import path

from diagnostics.api import others
from diagnostics.api import records as api_records
from diagnostics.api import sheets as api_sheets
from diagnostics.views import (
    batteries,
    checking,
    families,
    instruments,
    logs,
    part_sheets,
    records,
    reference,
    shared_sheets,
    sheets,
)

urlpatterns = [
    path("families/", families.families, name="families"),
    path("families/new/", families.family_new, name="family_new"),
    path("families/<int:pk>/", families.family, name="family"),
    path("families/<int:pk>/limits/new/", families.limit_new, name="limit_new"),
    path("families/<int:pk>/expected/new/", families.expected_new, name="expected_new"),
    path("expected/<int:pk>/take-back/", families.expected_take_back, name="expected_take_back"),
    path("expected/<int:pk>/confirm/", families.expected_confirm, name="expected_confirm"),
    path("limits/<int:pk>/take-back/", families.limit_take_back, name="limit_take_back"),
    path("limits/<int:pk>/confirm/", families.limit_confirm, name="limit_confirm"),
    path("instruments/", instruments.instruments, name="instruments"),
    path("instruments/<int:pk>/", instruments.instrument, name="instrument"),
    path("instruments/<int:pk>/measure/", instruments.instrument_measure, name="instrument_measure"),
    path("instruments/<int:pk>/check/", checking.instrument_check, name="instrument_check"),
    path("check-resistors/", checking.check_resistors, name="check_resistors"),
    path("check-resistors/<int:pk>/", checking.check_resistor, name="check_resistor"),
    path("sheets/", sheets.sheets, name="sheets"),
    path("sheets/<int:pk>/", sheets.sheet, name="sheet"),
    path("sheets/<int:pk>/logs/new/", logs.log_new, name="log_new"),
    path("logs/<int:pk>/", logs.log, name="log"),
    path("sheets/<int:pk>/battery/", batteries.sheet_battery, name="sheet_battery"),
    path("sheets/<int:pk>/whole/", part_sheets.sheet_whole, name="sheet_whole"),
    path("sheets/of-a-part/", part_sheets.part_sheets, name="part_sheets"),
    path("sheets/<int:pk>/share/", shared_sheets.sheet_share, name="sheet_share"),
    path("shared-sheets/", shared_sheets.shared_sheets, name="shared_sheets"),
    path("shared-sheets/<int:pk>/", shared_sheets.shared_sheet, name="shared_sheet"),
    path("shared-sheets/<int:pk>/take-back/", shared_sheets.shared_sheet_take_back, name="shared_sheet_take_back"),
    path("sheets/<int:pk>/records/<slug:kind>/", records.record_new, name="record_new"),
    path("sheets/<int:pk>/records/<slug:kind>/judge/", records.record_judge, name="record_judge"),
    path("records/<int:pk>/", records.record, name="record"),
    path("records/<int:pk>/share/", reference.record_share, name="record_share"),
    path("references/", reference.references, name="references"),
    path("references/<int:pk>/take-back/", reference.reference_take_back, name="reference_take_back"),
    path("verify/", sheets.verify, name="verify"),
    # For programs, by a workshop's token
    path("api/v1/sheets", api_sheets.sheets, name="api_sheets"),
    path("api/v1/sheets/<int:pk>", api_sheets.sheet, name="api_sheet"),
    path("api/v1/sheets/<int:pk>/verify", api_sheets.sheet_verify, name="api_sheet_verify"),
    path("api/v1/sheets/<int:pk>/logs", api_sheets.logs, name="api_logs"),
    path("api/v1/sheets/<int:pk>/records", api_records.records, name="api_records"),
    path("api/v1/sheets/<int:pk>/judgement", api_records.judgement, name="api_judgement"),
    path("api/v1/records/<int:pk>", api_records.record, name="api_record"),
    path("api/v1/records/<int:pk>/correction", api_records.correction, name="api_correction"),
    path("api/v1/people", others.people, name="api_people"),
    path("api/v1/instruments", others.instruments, name="api_instruments"),
    path("api/v1/families", others.families, name="api_families"),
    path("api/v1/shared-sheets", others.shared_sheets, name="api_shared_sheets"),
    path("api/v1/shared-sheets/<int:pk>", others.shared_sheet, name="api_shared_sheet"),
]
