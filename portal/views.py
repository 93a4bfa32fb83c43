"""Answers that belong to no app: whether the process lives, whether it can serve, and what a refused form says."""

from django.contrib.auth.decorators import login_required
from django.db import DatabaseError, connection
from django.db.migrations.executor import MigrationExecutor
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views import defaults
from django.views.decorators.http import require_safe

from network.access import membership_of
from network.models import Notice
from network.problems import problem


@require_safe
def alive(request: HttpRequest) -> HttpResponse:
    """The process answers."""
    return JsonResponse({"alive": True})


@require_safe
def ready(request: HttpRequest) -> HttpResponse:
    """The database answers, its migrations are applied, and how long the oldest due notice has waited."""
    try:
        executor = MigrationExecutor(connection)
        missing = len(executor.migration_plan(executor.loader.graph.leaf_nodes()))
        oldest = Notice.objects.due().order_by("due_at").values_list("due_at", flat=True).first()
    except DatabaseError:
        return JsonResponse({"ready": False, "database": "no answer"}, status=503)
    waited = (timezone.now() - oldest).total_seconds() if oldest else 0.0
    body = {"ready": not missing, "migrations_missing": missing, "oldest_notice_s": round(waited, 1)}
    return JsonResponse(body, status=503 if missing else 200)


@login_required
@require_safe
def home(request: HttpRequest) -> HttpResponse:
    """Where somebody who has just signed in has their work."""
    if membership_of(request):
        return redirect("waiting")
    return redirect("applications" if request.user.is_administrator else "application")  # type: ignore[union-attr]


def csrf_failed(request: HttpRequest, reason: str = "") -> HttpResponse:
    """A form came without its token: say what to do, nothing typed is kept by us but the browser still has it."""
    return render(request, "403.html", status=403)


PROGRAMS = "/api/v1/"  # what stands below answers in JSON, whatever went wrong


def not_found(request: HttpRequest, exception: Exception) -> HttpResponse:
    if request.path.startswith(PROGRAMS):
        return problem(404, "There is no such address or row.")
    return defaults.page_not_found(request, exception)


def failed(request: HttpRequest) -> HttpResponse:
    if request.path.startswith(PROGRAMS):
        return problem(500, "A fault of the portal. Nothing of this request was kept.")
    return defaults.server_error(request)
