"""Addresses of the work."""

from django.urls import include, path

from jobs.views import batteries, booking, codes, enquiries, jobs, owner, reports

urlpatterns = [
    path("enquire/<int:pk>/", enquiries.enquire, name="enquire"),
    path("enquiry/<str:token>/", enquiries.enquiry_private, name="enquiry_private"),
    path("car/<str:token>/", owner.car, name="car"),
    path("car/<str:token>/report/", owner.car_report, name="car_report"),
    path("car/<str:token>/report.pdf", owner.car_report_pdf, name="car_report_pdf"),
    path("enquiry/<str:token>/pictures/<int:pk>/", enquiries.enquiry_picture, name="enquiry_picture"),
    path("enquiries/<int:pk>/", enquiries.enquiry, name="enquiry"),
    path("enquiries/<int:pk>/pass-on/", enquiries.enquiry_pass_on, name="enquiry_pass_on"),
    path("enquiries/<int:pk>/job/", booking.job_from_enquiry, name="job_from_enquiry"),
    path("jobs/new/", booking.job_new, name="job_new"),
    path("jobs/<int:pk>/", jobs.job, name="job"),
    path("jobs/<int:pk>/booking/", booking.job_change, name="job_change"),
    path("jobs/<int:pk>/quarantine/", booking.job_quarantine, name="job_quarantine"),
    path("jobs/<int:pk>/codes/", codes.job_codes, name="job_codes"),
    path("jobs/codes/<int:pk>/", codes.code_note, name="code_note"),
    path("jobs/<int:pk>/family/", jobs.job_family, name="job_family"),
    path("jobs/<int:pk>/part/", jobs.job_part, name="job_part"),
    path("jobs/<int:pk>/sign/<slug:step>/", jobs.entry_sign, name="entry_sign"),
    path("jobs/<int:pk>/report/", reports.report, name="report"),
    path("jobs/<int:pk>/report.pdf", reports.report_pdf, name="report_pdf"),
    path("vehicles/<int:pk>/battery/", batteries.vehicle_battery, name="vehicle_battery"),
    path("", include("jobs.outcome_urls")),
]
