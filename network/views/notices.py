"""Notices: what waits for the person who is signed in; what could not be sent, for administrators."""

from __future__ import annotations

from django.contrib.auth.decorators import login_required
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from network.access import SignedInRequest, administrator_required
from network.asked import key_of
from network.models import Notice


@login_required
@require_safe
def notices(request: SignedInRequest) -> HttpResponse:
    """One's own notices, newest first."""
    mine = Notice.objects.filter(person=request.user).order_by("-created_at", "-pk")
    page = Paginator(mine, 25).get_page(request.GET.get("page"))
    return render(request, "network/notices.html", {"page": page})


@login_required
@require_POST
def notice_open(request: SignedInRequest, pk: int) -> HttpResponse:
    """Mark a notice as read and go to the page that waits."""
    notice = get_object_or_404(Notice, pk=pk, person=request.user)
    notice.read()
    return redirect(notice.path or "notices")


@administrator_required
@require_http_methods(["GET", "HEAD", "POST"])
def notices_stuck(request: SignedInRequest) -> HttpResponse:
    """Notices that could not be sent; "send again" puts one back in the queue."""
    if request.method == "POST":
        get_object_or_404(Notice, pk=key_of(request.POST.get("notice"))).send_again()
        return redirect("notices_stuck")
    page = Paginator(Notice.objects.filter(state=Notice.State.STUCK).order_by("pk"), 25).get_page(
        request.GET.get("page")
    )
    return render(request, "network/notices_stuck.html", {"page": page})
