"""What the frame around every page needs: the network's name, where one can go, who acts, what is unread."""

from typing import Any

from django.conf import settings
from django.http import HttpRequest
from django.urls import reverse
from django.utils.translation import gettext as _

from network.access import membership_of
from network.models import User

# Rooms within the room of the jobs, whose door is the page of what waits.
OF_THE_JOBS = ("/jobs", "/enquiries/", "/follow-ups/", "/estimates/", "/second-looks/", "/bays/")


def frame(request: HttpRequest) -> dict[str, Any]:
    if not hasattr(request, "session"):
        return {}  # an error page before anybody is known
    membership = membership_of(request)
    person = request.user if isinstance(request.user, User) else None
    return {
        "network_name": settings.NETWORK_NAME,
        "navigation": _navigation(request, person is not None),
        "acting_label": f"{person}, {membership.workshop}" if membership else str(person or ""),
        "kept_clear": request.session.pop("kept_clear", []) if "kept_clear" in request.session else [],
        "unread_notices": person.unread if person else 0,
    }


def _navigation(request: HttpRequest, signed_in: bool) -> list[dict[str, Any]]:
    """Where this person can go, the present room marked."""
    if membership_of(request):
        rooms = [
            ("waiting", _("Jobs")),
            ("board", _("Sourcing board")),
            ("numbers", _("Part numbers")),
            ("outcomes", _("What lasted")),
            ("our_workshop", _("Workshop")),
        ]
    elif isinstance(request.user, User) and request.user.is_administrator:
        rooms = [
            ("applications", _("Applications")),
            ("border_rates", _("Rates at borders")),
            ("outcomes_to_judge", _("Outcomes")),
            ("find", _("Find a workshop")),
        ]
    elif signed_in:
        rooms = [("application", _("Your application")), ("find", _("Find a workshop"))]
    else:
        rooms = [("find", _("Find a workshop")), ("proof", _("How proof works")), ("apply", _("For workshops"))]
    here: list[dict[str, Any]] = [{"url": reverse(name), "label": label, "current": False} for name, label in rooms]
    path = reverse("waiting") if request.path.startswith(OF_THE_JOBS) else request.path
    fitting = [r for r in here if path == r["url"] or (r["url"] != "/" and path.startswith(r["url"]))]
    if fitting:
        max(fitting, key=lambda r: len(r["url"]))["current"] = True
    return here
