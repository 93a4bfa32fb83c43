"""What an owner sees of a job through the private link: how it stands in plain words, and the report at the end."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from jobs import estimating, owner_link
from jobs.report import report_of
from jobs.telling_owner import stand_of
from jobs.views.reports import as_pdf


@require_safe
def car(request: HttpRequest, token: str) -> HttpResponse:
    """How the work on the car stands."""
    with owner_link.followed_job(token) as job:
        money = estimating.standing(job)
        context = {"job": job, "workshop": job.workshop, "stand": stand_of(job), "token": token, "money": money}
        return render(request, "jobs/car.html", context)


@require_safe
def car_report(request: HttpRequest, token: str) -> HttpResponse:
    """The report, once the car is handed over."""
    with owner_link.followed_job(token) as job:
        if job.handed_over_at is None:
            raise Http404
        context = {
            "job": job,
            "report": report_of(job, job.workshop),
            "pdf": reverse("car_report_pdf", args=[token]),
            "token": token,
        }
        return render(request, "jobs/report.html", context)


@require_safe
def car_report_pdf(request: HttpRequest, token: str) -> HttpResponse:
    """The report as a PDF, once the car is handed over."""
    with owner_link.followed_job(token) as job:
        if job.handed_over_at is None:
            raise Http404
        return as_pdf(job, job.workshop)
