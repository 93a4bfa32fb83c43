"""Addresses of the beginning of a job: enquiries, booking in, trouble codes, making safe, the cause."""

from django.urls import path

from jobs.views import booking, causes, codes, enquiries, making_safe

urlpatterns = [
    path("enquire/<int:pk>/", enquiries.enquire, name="enquire"),
    path("enquiry/<str:token>/", enquiries.enquiry_private, name="enquiry_private"),
    path("enquiry/<str:token>/pictures/<int:pk>/", enquiries.enquiry_picture, name="enquiry_picture"),
    path("enquiries/<int:pk>/", enquiries.enquiry, name="enquiry"),
    path("enquiries/<int:pk>/pass-on/", enquiries.enquiry_pass_on, name="enquiry_pass_on"),
    path("enquiries/<int:pk>/job/", booking.job_from_enquiry, name="job_from_enquiry"),
    path("jobs/new/", booking.job_new, name="job_new"),
    path("jobs/<int:pk>/booking/", booking.job_change, name="job_change"),
    path("jobs/<int:pk>/quarantine/", booking.job_quarantine, name="job_quarantine"),
    path("jobs/<int:pk>/safe/", making_safe.job_safe, name="job_safe"),
    path("jobs/<int:pk>/state/", making_safe.job_state, name="job_state"),
    path("jobs/<int:pk>/codes/", codes.job_codes, name="job_codes"),
    path("jobs/codes/<int:pk>/", codes.code_note, name="code_note"),
    path("jobs/<int:pk>/cause/", causes.job_cause, name="job_cause"),
    path("jobs/<int:pk>/photos/<int:photo>/", causes.photo_marks, name="photo_marks"),
]
