"""The second factor and the length of passwords: offered to everybody, asked of managers and administrators."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from allauth.mfa.adapter import DefaultMFAAdapter
from allauth.mfa.models import Authenticator
from django.conf import settings
from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _

from network.access import membership_of
from network.models.people import LONG_PASSWORD

# Where a missing factor is not asked after: setting it up, what pages are made of, and what programs ask.
WITHOUT_ASKING = ("/account/", "/static/", "/api/", "/alive", "/ready")
WITH_FACTOR = 12  # characters, where LONG_PASSWORD is asked without
REMOVING = ("mfa_deactivate_totp", "mfa_remove_webauthn")


class LengthValidator:
    """At least 15 characters, or 12 for whoever has a second factor."""

    def validate(self, password: str, user: Any = None) -> None:
        has_factor = bool(user and user.pk and user.has_factor)
        least = WITH_FACTOR if has_factor else LONG_PASSWORD
        if len(password) < least:
            raise ValidationError(
                _("This password has %(given)d characters. Use at least %(least)d: a few words in a row do well."),
                params={"given": len(password), "least": least},
            )

    def get_help_text(self) -> str:
        return _("At least 15 characters. A few words in a row do well.")


class Adapter(DefaultMFAAdapter):
    """The TOTP picture as inline SVG without inline style, so that it shows under the strict policy."""

    def build_totp_svg(self, url: str) -> str:
        import segno  # only this page needs it

        return segno.make(url, error="m").svg_inline(scale=5, svgclass="qr", lineclass=None, omitsize=False)


def second_factor_required(
    get_response: Callable[[HttpRequest], HttpResponse],
) -> Callable[[HttpRequest], HttpResponse]:
    """Outside the demo, managers and administrators set up a second factor before anything else."""

    def middleware(request: HttpRequest) -> HttpResponse:
        if settings.DEMO or not request.user.is_authenticated or request.path.startswith(WITHOUT_ASKING):
            return get_response(request)
        membership = membership_of(request)
        asked = request.user.is_administrator or bool(membership and membership.is_manager)
        if asked and not request.user.has_factor:
            messages.info(request, _("Your role needs a second factor. Set one up here, then go on."))
            return redirect("mfa_index")
        return get_response(request)

    return middleware


class LongPasswordFirst:
    """The last second factor of somebody is removed only once their password is long enough to stand alone."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_view(self, request: HttpRequest, *view: Any) -> HttpResponse | None:
        match, person = request.resolver_match, request.user
        if not match or match.url_name not in REMOVING or not person.is_authenticated or person.password_is_long:
            return None
        factors = Authenticator.objects.filter(user=person).exclude(type=Authenticator.Type.RECOVERY_CODES)
        if factors.count() != 1:
            return None
        said = _(
            "Your password is shorter than %(least)d characters, which is enough only beside a second factor. Choose "
            "one of at least %(least)d characters here; then you can remove the factor."
        )
        messages.warning(request, said % {"least": LONG_PASSWORD})
        return redirect("account_change_password")
