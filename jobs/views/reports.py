"""The report of a job: as a page and as a PDF, for the workshop. The owner's are in `jobs/views/owner.py`."""

from __future__ import annotations

from django.conf import settings
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_safe

from jobs.models import Job
from jobs.owner_link import path_for_job
from jobs.report import report_of
from jobs.report.pdf import pdf_of
from network.access import MemberRequest, member_required
from network.models import Workshop


@member_required
@require_safe
def report(request: MemberRequest, pk: int) -> HttpResponse:
    """The report as the owner will see it, or sees it after handover."""
    job = get_object_or_404(Job.objects.with_facts(), pk=pk)
    context = {
        "job": job,
        "report": report_of(job, request.membership.workshop),
        "pdf": reverse("report_pdf", args=[pk]),
        "owners": f"{settings.BASE_URL}{path_for_job(job)}",
    }
    return render(request, "jobs/report.html", context)


@member_required
@require_safe
def report_pdf(request: MemberRequest, pk: int) -> HttpResponse:
    """The same as a PDF."""
    job = get_object_or_404(Job.objects.with_facts(), pk=pk)
    return as_pdf(job, request.membership.workshop)


def as_pdf(job: Job, workshop: Workshop) -> HttpResponse:
    told = report_of(job, workshop)
    verify = f"{settings.BASE_URL}{reverse('verify')}" + (f"?hash={told.last_hash}" if told.last_hash else "")
    made = pdf_of(told, verify_url=verify, made_at=job.handed_over_at or timezone.now())
    answer = HttpResponse(made, content_type="application/pdf")
    answer["Content-Disposition"] = f'attachment; filename="report-{job.number}.pdf"'
    answer["Content-Security-Policy"] = "default-src 'none'; sandbox; frame-ancestors 'none'"
    return answer
