"""Whose rows: the one place that decides which workshop somebody acts for, and what may be reached then.

Private rows (jobs, customers, sheets, records, enquiries) belong to one workshop. They are reached only through
`PrivateManager`, which raises `NobodyActs` unless the code runs inside `acting_for(workshop)`. A request enters it in
`ActingMiddleware` from the signed-in membership; an owner's private link enters it from its signature
(`jobs/owner_link.py`); commands and tasks enter it themselves. The workshop never comes from a parameter.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager, nullcontext
from contextvars import ContextVar
from enum import StrEnum
from functools import wraps
from typing import TYPE_CHECKING, Any, ClassVar

from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.db import models
from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _

if TYPE_CHECKING:
    from network.models import Membership, User, Workshop

_acting: ContextVar[int | None] = ContextVar("acting_workshop", default=None)
_everybody: ContextVar[bool] = ContextVar("way_out", default=False)


class WayOut(StrEnum):
    """Every place that reads private rows of all workshops. Counted: `tests/network/test_access.py` holds the list."""

    VERIFY_BY_HASH = "a public page tells whether the sheet with a printed hash still holds"
    VERIFY_SHEET = "the operator's command verify_sheet looks up whose sheet it is"
    MATCH_WATCHES = "a new request on the board finds the people who watch for such a part"
    MATCH_SHELVES = "a new request on the board finds the workshops that have such a part on their shelf"


class SignedInRequest(HttpRequest):
    """A request behind `login_required`: somebody is signed in."""

    user: User
    membership: Membership | None


class MemberRequest(SignedInRequest):
    """A request behind `member_required`: somebody acts for an approved workshop."""

    membership: Membership


class NobodyActs(RuntimeError):
    """A private row was asked for while nobody acts for a workshop."""


class ForeignRow(RuntimeError):
    """A private row of one workshop was about to be written while another one acts."""


@contextmanager
def acting_for(workshop: Workshop | int) -> Iterator[None]:
    """Reach the private rows of `workshop` (an object or its key), and no others, inside the block."""
    key = workshop if isinstance(workshop, int) else getattr(workshop, "pk", None)
    if not isinstance(key, int) or isinstance(key, bool):
        raise NobodyActs(f"acting_for needs a stored workshop, not {workshop!r}.")
    token = _acting.set(key)
    try:
        yield
    finally:
        _acting.reset(token)


@contextmanager
def way_out(reason: WayOut) -> Iterator[None]:
    """Read (never write) private rows of all workshops inside the block, for one of the counted reasons."""
    token = _everybody.set(isinstance(reason, WayOut))
    try:
        yield
    finally:
        _everybody.reset(token)


def acting_workshop_id() -> int:
    """The key of the workshop that is acted for; raises `NobodyActs` when there is none."""
    key = _acting.get()
    if key is None:
        raise NobodyActs("Private rows are reached only inside acting_for(workshop).")
    return key


class PrivateQuerySet(models.QuerySet):
    """Rows of the acting workshop. Writing in bulk sets the workshop as `save` does."""

    def bulk_create(self, objs: Any, *args: Any, **kwargs: Any) -> Any:
        objs = list(objs)
        for one in objs:
            one.claim_for_acting()
        return super().bulk_create(objs, *args, **kwargs)

    def bulk_update(self, objs: Any, *args: Any, **kwargs: Any) -> Any:
        objs = list(objs)
        for one in objs:
            one.claim_for_acting()
        return super().bulk_update(objs, *args, **kwargs)

    def update(self, **changes: Any) -> int:
        """As Django's, but it moves no row to another workshop and links to no foreign one."""
        acting = acting_workshop_id()
        if {"workshop", "workshop_id"} & changes.keys():
            raise ForeignRow(f"A row of {self.model.__name__} stays with its workshop.")
        for name, value in changes.items():
            if isinstance(value, PrivateModel) and value.workshop_id != acting:
                raise ForeignRow(f"{self.model.__name__}.{name} points at a row of another workshop.")
        if _everybody.get():
            raise ForeignRow("A way out is for reading only.")
        return super().update(**changes)

    def delete(self) -> tuple[int, dict[str, int]]:
        """As Django's; inside a way out, which is for reading, it is refused."""
        acting_workshop_id()
        if _everybody.get():
            raise ForeignRow("A way out is for reading only.")
        return super().delete()


class PrivateManager(models.Manager.from_queryset(PrivateQuerySet)):  # type: ignore[misc]
    """A manager that sees only the acting workshop's rows, and raises when nobody acts. It is the base manager too."""

    def get_queryset(self) -> PrivateQuerySet:
        rows = super().get_queryset()
        return rows if _everybody.get() else rows.filter(workshop_id=acting_workshop_id())


class PrivateModel(models.Model):
    """A row that belongs to one workshop and that nobody else reaches."""

    workshop = models.ForeignKey("network.Workshop", on_delete=models.PROTECT, related_name="+", editable=False)

    objects: ClassVar[Any] = PrivateManager()

    class Meta:
        abstract = True
        base_manager_name = "objects"
        default_manager_name = "objects"

    def save(self, *args: Any, **kwargs: Any) -> None:
        self.claim_for_acting()
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> tuple[int, dict[str, int]]:
        if self.workshop_id != acting_workshop_id():
            raise ForeignRow(f"{type(self).__name__} belongs to another workshop than the one that acts.")
        return super().delete(*args, **kwargs)

    def claim_for_acting(self) -> None:
        """Set the acting workshop on a new row; refuse a foreign row, and a link to a foreign private row."""
        acting = acting_workshop_id()
        if self.workshop_id is None:
            self.workshop_id = acting
        if self.workshop_id != acting:
            raise ForeignRow(f"{type(self).__name__} belongs to another workshop than the one that acts.")
        for field in self._meta.concrete_fields:
            related = field.is_relation and field.remote_field and field.remote_field.model
            if not related or not issubclass(related, PrivateModel) or getattr(self, field.attname) is None:
                continue
            if getattr(self, field.name).workshop_id != acting:
                raise ForeignRow(f"{type(self).__name__}.{field.name} points at a row of another workshop.")


class ActingMiddleware:
    """Find the membership that the signed-in person acts with, and act for its workshop during the request."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        from network.models import Membership

        request.membership = None  # type: ignore[attr-defined]
        if request.user.is_authenticated:
            request.membership = Membership.objects.acting(  # type: ignore[attr-defined]
                request.user, chosen=request.session.get("acting_membership")
            )
        membership = request.membership  # type: ignore[attr-defined]
        with acting_for(membership.workshop) if membership else nullcontext():
            return self.get_response(request)


View = Callable[..., HttpResponse]


def _needs(allowed: Callable[[HttpRequest], bool], sentence: Callable[[], str]) -> Callable[[View], View]:
    """A decorator: signed in, and `allowed`; otherwise the sign-in page, or 403 with a sentence."""

    def decorate(view: View) -> View:
        @wraps(view)
        def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
            if not allowed(request):
                raise PermissionDenied(sentence())
            return view(request, *args, **kwargs)

        return login_required(guarded)

    return decorate


def membership_of(request: HttpRequest) -> Membership | None:
    """The membership that the request acts with, or None."""
    return getattr(request, "membership", None)


member_required = _needs(
    lambda request: membership_of(request) is not None,
    lambda: _("This page is for people of an approved member workshop."),
)
manager_required = _needs(
    lambda request: bool((seat := membership_of(request)) and seat.is_manager),
    lambda: _("This page is for the managers of an approved member workshop."),
)
# What every member may see, for those too who keep the network in order.
shared_required = _needs(
    lambda request: (
        membership_of(request) is not None or bool(request.user.is_authenticated and request.user.is_administrator)
    ),
    lambda: _("This page is for people of an approved member workshop."),
)
administrator_required = _needs(
    lambda request: bool(request.user.is_authenticated and request.user.is_administrator),
    lambda: _("This page is for the network's administrators."),
)
