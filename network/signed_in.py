"""The person behind a request, read at once with what every page asks of them."""

from __future__ import annotations

from typing import Any

from allauth.account.auth_backends import AuthenticationBackend
from allauth.mfa.models import Authenticator
from django.db.models import Count, Exists, OuterRef, Subquery
from django.db.models.functions import Coalesce

from network.models import Notice, User

_OF_PERSON = Notice.objects.unread().filter(person=OuterRef("pk")).order_by().values("person")
_PEOPLE = User.objects.annotate(
    unread=Coalesce(Subquery(_OF_PERSON.annotate(many=Count("*")).values("many")), 0),
    has_factor=Exists(Authenticator.objects.filter(user=OuterRef("pk"))),
)


class Backend(AuthenticationBackend):
    """As the library's; `unread` and `has_factor` of the person come in the same query."""

    def get_user(self, user_id: Any) -> User | None:
        found = _PEOPLE.filter(pk=user_id).first()
        return found if found and self.user_can_authenticate(found) else None
