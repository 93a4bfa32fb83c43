"""Addresses of the work."""

from django.urls import include, path

from jobs.views import batteries, jobs, owner, reports

urlpatterns = [
    path("", include("jobs.beginning_urls")),
    path("car/<str:token>/", owner.car, name="car"),
    path("car/<str:token>/report/", owner.car_report, name="car_report"),
    path("car/<str:token>/report.pdf", owner.car_report_pdf, name="car_report_pdf"),
    path("jobs/<int:pk>/", jobs.job, name="job"),
    path("jobs/<int:pk>/family/", jobs.job_family, name="job_family"),
    path("jobs/<int:pk>/part/", jobs.job_part, name="job_part"),
    path("jobs/<int:pk>/sign/<slug:step>/", jobs.entry_sign, name="entry_sign"),
    path("jobs/<int:pk>/report/", reports.report, name="report"),
    path("jobs/<int:pk>/report.pdf", reports.report_pdf, name="report_pdf"),
    path("vehicles/<int:pk>/battery/", batteries.vehicle_battery, name="vehicle_battery"),
    path("", include("jobs.outcome_urls")),
]
