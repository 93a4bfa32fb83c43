"""What the frame around every page needs: the network's name, where one can go, who acts, what is unread."""

from typing import Any

from django.conf import settings
from django.http import HttpRequest
from django.urls import reverse
from django.utils.translation import gettext as _

from network.access import membership_of


def frame(request: HttpRequest) -> dict[str, Any]:
    membership = membership_of(request)
    person = getattr(request, "user", None)
    signed_in = bool(person and person.is_authenticated)
    if not hasattr(request, "session"):
        return {}
    return {
        "network_name": settings.NETWORK_NAME,
        "navigation": _navigation(request, signed_in),
        "acting_label": f"{person.name}, {membership.workshop.name}" if membership else getattr(person, "name", ""),
        "kept_clear": request.session.pop("kept_clear", []) if "kept_clear" in request.session else [],
        "unread_notices": person.notices.unread().count() if signed_in and person else 0,
    }


def _navigation(request: HttpRequest, signed_in: bool) -> list[dict[str, Any]]:
    """Where this person can go, the present room marked."""
    if membership_of(request):
        rooms = [("jobs", _("Jobs")), ("board", _("Sourcing board")), ("outcomes", _("What lasted")),
                 ("families", _("System families")), ("our_workshop", _("Our workshop"))]
    elif signed_in and request.user.is_administrator:
        rooms = [("applications", _("Applications")), ("find", _("Find a workshop"))]
    elif signed_in:
        rooms = [("application", _("Your application")), ("find", _("Find a workshop"))]
    else:
        rooms = [("find", _("Find a workshop")), ("proof", _("How proof works")), ("apply", _("For workshops"))]
    here = [
        {"url": reverse(name), "label": label, "current": False, "name": name} for name, label in rooms
    ]
    fitting = [r for r in here if request.path == r["url"] or (r["url"] != "/" and request.path.startswith(r["url"]))]
    if fitting:
        max(fitting, key=lambda r: len(r["url"]))["current"] = True
    return here
