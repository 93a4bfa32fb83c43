"""Addresses of the work."""

from django.urls import include, path

from jobs.views import batteries, bays, jobs

urlpatterns = [
    path("", include("jobs.beginning_urls")),
    path("jobs/<int:pk>/", jobs.job, name="job"),
    path("jobs/<int:pk>/family/", jobs.job_family, name="job_family"),
    path("jobs/<int:pk>/part/", jobs.job_part, name="job_part"),
    path("jobs/<int:pk>/sign/<slug:step>/", jobs.entry_sign, name="entry_sign"),
    path("vehicles/<int:pk>/battery/", batteries.vehicle_battery, name="vehicle_battery"),
    path("bays/", bays.bays, name="bays"),
    path("bays/<int:pk>/", bays.bay, name="bay"),
    path("bays/<int:pk>/clear/", bays.bay_clear, name="bay_clear"),
    path("labels/", bays.labels, name="labels"),
    path("", include("jobs.estimate_urls")),
    path("", include("jobs.outcome_urls")),
    path("", include("jobs.ending_urls")),
]
