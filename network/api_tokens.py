"""Tokens by which programs speak for a workshop: made and revoked by its managers, checked on each request.

A token reads `benchring_<workshop>_<secret>`: it names its workshop itself, so that the row is looked up inside
`acting_for` like every private row, without a way out. 256 random bits need no slow hash: SHA-256 is stored.
"""

from __future__ import annotations

import datetime
import hashlib
import re
import secrets
from collections.abc import Callable
from functools import wraps
from typing import Any, cast

from django.db import transaction
from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext as _
from drf_spectacular.extensions import OpenApiAuthenticationExtension
from rest_framework import exceptions
from rest_framework.authentication import BaseAuthentication
from rest_framework.decorators import (
    api_view,
    authentication_classes,
    parser_classes,
    throttle_classes,
)
from rest_framework.request import Request
from rest_framework.throttling import SimpleRateThrottle

from network.access import acting_for
from network.bodies import SmallJSONParser
from network.models import ApiToken, Event, Membership, Workshop

SHAPE = re.compile(r"\Abenchring_([1-9][0-9]{0,17})_([A-Za-z0-9_-]{43})\Z")
SCHEME = "bearer"
REQUESTS_A_MINUTE = 600
WRONG_TOKENS_A_MINUTE = 60
NOTED_EVERY = datetime.timedelta(minutes=1)


def digest_of(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()


@transaction.atomic
def make(*, name: str, by: Membership) -> tuple[ApiToken, str]:
    """A new token of the acting workshop, and the text that is shown this once."""
    text = f"benchring_{by.workshop_id}_{secrets.token_urlsafe(32)}"
    token = ApiToken(name=name, digest=digest_of(text), made_by=by.person)
    token.save()
    Event.record("api_token_made", token, by=by.person, workshop=by.workshop)
    return token, text


@transaction.atomic
def revoke(token: ApiToken, *, by: Membership) -> bool:
    """From now on the token opens nothing; False when it was revoked before."""
    changed = ApiToken.objects.filter(pk=token.pk, revoked_at__isnull=True).update(
        revoked_at=timezone.now(), revoked_by=by.person
    )
    if changed:
        Event.record("api_token_revoked", token, by=by.person, workshop=by.workshop)
    return bool(changed)


def token_of(text: str) -> ApiToken | None:
    """The token that stands and whose workshop is approved today, or None."""
    found = SHAPE.match(text)
    workshop = found and Workshop.objects.filter(pk=int(found[1]), state=Workshop.State.APPROVED).first()
    if not workshop:
        return None
    with acting_for(workshop):
        standing = ApiToken.objects.filter(digest=digest_of(text), revoked_at__isnull=True)
        token: ApiToken | None = standing.select_related("workshop", "made_by").first()
        if token:
            now = timezone.now()
            # Once a minute is enough to see what is in use, and spares a write on most requests.
            long_ago = Q(last_used_at__isnull=True) | Q(last_used_at__lt=now - NOTED_EVERY)
            ApiToken.objects.filter(long_ago, pk=token.pk).update(last_used_at=now)
    return token


class WorkshopToken(BaseAuthentication):
    """`Authorization: Bearer benchring_...`; a signed-in browser is nobody here."""

    def authenticate(self, request: Request) -> tuple[Any, ApiToken]:
        scheme, _blank, text = request.headers.get("Authorization", "").partition(" ")
        if scheme.casefold() != SCHEME:
            raise exceptions.NotAuthenticated(_("Send a token of your workshop: Authorization: Bearer benchring_..."))
        token = token_of(text.strip())
        if token is None:
            throttle = WrongTokens()
            if not throttle.allow_request(request, None):  # type: ignore[arg-type]
                raise exceptions.Throttled(throttle.wait())
            raise exceptions.AuthenticationFailed(_("This token is unknown, or was revoked."))
        return token.made_by, token

    def authenticate_header(self, request: Request) -> str:
        return "Bearer"


class WorkshopTokenScheme(OpenApiAuthenticationExtension):
    target_class = WorkshopToken
    name = "workshopToken"

    def get_security_definition(self, auto_schema: Any) -> dict[str, Any]:
        return {"type": "http", "scheme": SCHEME, "description": "A token of one workshop, made by its manager."}


class PerToken(SimpleRateThrottle):
    rate = f"{REQUESTS_A_MINUTE}/min"

    def get_cache_key(self, request: Request, view: Any) -> str | None:
        return f"api-token-{request.auth.pk}" if request.auth else None


class WrongTokens(SimpleRateThrottle):
    """Whoever guesses is slowed down; a token that is right is never counted here."""

    rate = f"{WRONG_TOKENS_A_MINUTE}/min"

    def get_cache_key(self, request: Request, view: Any) -> str:
        return f"api-wrong-token-{self.get_ident(request)}"


View = Callable[..., Any]


def caller_of(request: Request) -> ApiToken:
    """The token that a view behind `by_token` was asked with."""
    token: Any = request.auth
    return cast(ApiToken, token)


def body_of(request: Request) -> dict[str, Any]:
    """The body of such a view: an object, or the parser refused it."""
    return cast(dict[str, Any], request.data)


def by_token(*methods: str, parsers: tuple[Any, ...] = (SmallJSONParser,)) -> Callable[[View], View]:
    """A view of the interface for programs: it acts for the workshop of the token that was sent, and for no other."""

    def decorate(view: View) -> View:
        @wraps(view)
        def acting(request: Request, *args: Any, **kwargs: Any) -> Any:
            with acting_for(caller_of(request).workshop):
                return view(request, *args, **kwargs)

        for choose in (
            authentication_classes([WorkshopToken]),
            throttle_classes([PerToken]),
            parser_classes(parsers),
        ):
            acting = choose(acting)
        made: View = api_view(methods)(acting)
        return made

    return decorate
