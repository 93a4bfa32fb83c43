"""Tokens for the workshop's programs: every member sees which there are, managers make and revoke them."""

from __future__ import annotations

from django.core.exceptions import PermissionDenied
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from network import api_tokens
from network.access import MemberRequest, member_required
from network.forms import ApiTokenForm
from network.models import ApiToken


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def tokens(request: MemberRequest) -> HttpResponse:
    """All tokens, newest first. A new one is shown in the answer to the form, this once, and is stored nowhere."""
    _managers_only(request)
    form = ApiTokenForm(request.POST if request.method == "POST" else None)
    shown_once = ""
    if request.method == "POST" and form.is_valid():
        _token, shown_once = api_tokens.make(name=form.cleaned_data["name"], by=request.membership)
        form = ApiTokenForm()
    listed = ApiToken.objects.select_related("made_by", "revoked_by")
    context = {
        "form": form if request.membership.is_manager else None,
        "tokens": listed,
        "standing": sum(one.revoked_at is None for one in listed),
        "shown_once": shown_once,
    }
    return render(request, "network/api_tokens.html", context, status=422 if form.errors else 200)


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def token(request: MemberRequest, pk: int) -> HttpResponse:
    """One token: what uses it, since when, and the manager's button that revokes it."""
    _managers_only(request)
    shown = get_object_or_404(ApiToken.objects.select_related("made_by", "revoked_by"), pk=pk)
    if request.method == "POST":
        api_tokens.revoke(shown, by=request.membership)
        return redirect("api_tokens")
    return render(request, "network/api_token.html", {"token": shown, "manager": request.membership.is_manager})


def _managers_only(request: MemberRequest) -> None:
    if request.method == "POST" and not request.membership.is_manager:
        raise PermissionDenied(_("Only managers make or revoke tokens."))
