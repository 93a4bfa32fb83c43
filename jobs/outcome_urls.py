"""Addresses of what waits, of the list of jobs, and of what was learnt: outcomes, follow-ups, what lasted."""

from django.urls import path

from jobs.views import following, lasting, opinions, outcomes, second_looks, waiting, ways

urlpatterns = [
    path("waiting/", waiting.waiting, name="waiting"),
    path("jobs/", waiting.jobs, name="jobs"),
    path("jobs.csv", waiting.jobs_csv, name="jobs_csv"),
    path("follow-ups/", waiting.follow_ups, name="follow_ups"),
    path("jobs/<int:pk>/outcome/", outcomes.outcome_share, name="outcome_share"),
    path("jobs/<int:pk>/second-look/", second_looks.second_look_new, name="second_look_new"),
    path("second-looks/<int:pk>/", second_looks.second_look, name="second_look"),
    path("jobs/<int:pk>/ways/", ways.job_ways, name="job_ways"),
    path("outcomes/", outcomes.outcomes, name="outcomes"),
    path("outcomes/lasting/", lasting.outcomes_lasting, name="outcomes_lasting"),
    path("outcomes/earlier/", following.outcome_earlier, name="outcome_earlier"),
    path("outcomes/<int:pk>/", outcomes.outcome, name="outcome"),
    path("outcomes/<int:pk>/take-back/", outcomes.outcome_take_back, name="outcome_take_back"),
    path("outcomes/shared/", opinions.outcomes_to_judge, name="outcomes_to_judge"),
    path("outcomes/<int:pk>/opinion/", opinions.outcome_opinion, name="outcome_opinion"),
    path("outcomes/<int:pk>/take-down/", opinions.outcome_take_down, name="outcome_take_down"),
    path("outcomes/<int:pk>/stands/", following.outcome_stands, name="outcome_stands"),
    path("follow-ups/<int:pk>/", following.follow_up, name="follow_up"),
    path("follow-ups/<int:pk>/take-back/", following.follow_up_take_back, name="follow_up_take_back"),
]
