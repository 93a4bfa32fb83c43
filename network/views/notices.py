"""Notices: what waits for the person who is signed in; what could not be sent, for administrators."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from network import telling
from network.access import SignedInRequest, administrator_required
from network.asked import key_of
from network.forms import ToldForm
from network.models import Notice
from network.models.people import Told
from network.unsubscribing import person_of


@login_required
@require_safe
def notices(request: SignedInRequest) -> HttpResponse:
    """One's own notices, newest first."""
    mine = Notice.objects.filter(person=request.user).order_by("-created_at", "-pk")
    page = Paginator(mine, 25).get_page(request.GET.get("page"))
    return render(
        request, "network/notices.html", {"page": page, "form": ToldForm(initial={"told": request.user.told})}
    )


@login_required
@require_POST
def notices_choose(request: SignedInRequest) -> HttpResponse:
    """How one wants to be told from now on."""
    form = ToldForm(request.POST)
    if form.is_valid():
        told = Told(form.cleaned_data["told"])
        telling.choose(request.user, told)
        messages.success(request, _("From now on: %(how)s.") % {"how": told.label})
    else:
        messages.warning(request, _("Choose one of the three ways to be told."))
    return redirect("notices")


@csrf_exempt  # a mail program posts here, with nothing but the link (RFC 8058, section 3.1)
@require_http_methods(["GET", "HEAD", "POST"])
def unsubscribe(request: HttpRequest, token: str) -> HttpResponse:
    """End the mails of whoever got this link, without a sign-in. A GET only asks: scanners of mails follow links."""
    person = person_of(token)
    if person is None:
        raise Http404
    if request.method == "POST" and person.told != Told.PAGE:
        telling.choose(person, Told.PAGE)
        person.told = Told.PAGE
    return render(request, "network/unsubscribe.html", {"ended": person.told == Told.PAGE})


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
