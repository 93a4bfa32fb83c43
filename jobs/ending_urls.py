"""Addresses from clearance to the report, and of the owner's page of a job."""

from django.urls import path

from jobs.views import clearance, lists, owner, reports

urlpatterns = [
    path("car/<str:token>/", owner.car, name="car"),
    path("car/<str:token>/report/", owner.car_report, name="car_report"),
    path("car/<str:token>/report.pdf", owner.car_report_pdf, name="car_report_pdf"),
    path("jobs/<int:pk>/clearance/", clearance.clearance, name="clearance"),
    path("jobs/<int:pk>/waive/<slug:code>/", clearance.requirement_waive, name="requirement_waive"),
    path("jobs/<int:pk>/disturb/", clearance.job_disturb, name="job_disturb"),
    path("jobs/<int:pk>/kind/", clearance.job_kind, name="job_kind"),
    path("jobs/<int:pk>/list/<slug:stage>/", lists.job_list, name="job_list"),
    path("lists/", lists.work_lists, name="work_lists"),
    path("lists/<slug:part>/<slug:stage>/", lists.work_list, name="work_list"),
    path("lists/<slug:part>/<slug:stage>/change/", lists.work_list_change, name="work_list_change"),
    path("jobs/<int:pk>/report/", reports.report, name="report"),
    path("jobs/<int:pk>/report.pdf", reports.report_pdf, name="report_pdf"),
]
