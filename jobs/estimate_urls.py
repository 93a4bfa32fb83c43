"""Addresses of estimates: the workshop's, and the owner's by the private link of the job."""

from django.urls import path

from jobs.views import estimates, owner_estimates

urlpatterns = [
    path("jobs/<int:pk>/estimate/", estimates.job_estimate, name="job_estimate"),
    path("estimates/<int:pk>/", estimates.estimate, name="estimate"),
    path("jobs/<int:pk>/used/", estimates.job_used, name="job_used"),
    path("jobs/<int:pk>/lines.csv", estimates.job_lines_csv, name="job_lines_csv"),
    path("jobs/<int:pk>/lines.xlsx", estimates.job_lines_xlsx, name="job_lines_xlsx"),
    path("car/<str:token>/estimate/<int:number>/", owner_estimates.car_estimate, name="car_estimate"),
]
