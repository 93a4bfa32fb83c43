"""Addresses of measuring."""

from django.urls import path

from diagnostics.views import batteries, families, instruments, records, shared_sheets, sheets

urlpatterns = [
    path("families/", families.families, name="families"),
    path("families/new/", families.family_new, name="family_new"),
    path("families/<int:pk>/", families.family, name="family"),
    path("families/<int:pk>/limits/new/", families.limit_new, name="limit_new"),
    path("limits/<int:pk>/confirm/", families.limit_confirm, name="limit_confirm"),
    path("instruments/", instruments.instruments, name="instruments"),
    path("instruments/<int:pk>/", instruments.instrument, name="instrument"),
    path("sheets/", sheets.sheets, name="sheets"),
    path("sheets/<int:pk>/", sheets.sheet, name="sheet"),
    path("sheets/<int:pk>/battery/", batteries.sheet_battery, name="sheet_battery"),
    path("sheets/<int:pk>/share/", shared_sheets.sheet_share, name="sheet_share"),
    path("shared-sheets/", shared_sheets.shared_sheets, name="shared_sheets"),
    path("shared-sheets/<int:pk>/", shared_sheets.shared_sheet, name="shared_sheet"),
    path("shared-sheets/<int:pk>/take-back/", shared_sheets.shared_sheet_take_back, name="shared_sheet_take_back"),
    path("sheets/<int:pk>/records/<slug:kind>/", records.record_new, name="record_new"),
    path("sheets/<int:pk>/records/<slug:kind>/judge/", records.record_judge, name="record_judge"),
    path("records/<int:pk>/", records.record, name="record"),
    path("verify/", sheets.verify, name="verify"),
]
