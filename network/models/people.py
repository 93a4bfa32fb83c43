"""People who sign in. A person may belong to several workshops and acts for one at a time."""

from typing import Any

from django.contrib.auth.models import AbstractBaseUser, BaseUserManager
from django.db import models
from django.db.models.functions import Lower
from django.utils import timezone
from django.utils.functional import cached_property
from django.utils.translation import gettext_lazy as _

LONG_PASSWORD = 15  # characters that do without a second factor, OWASP ASVS 5.0.0


class UserQuerySet(models.QuerySet["User"]):
    def came_back(self, reason: str) -> int:
        """Mail to their address was refused for good: shown to them, until they choose how to be told again."""
        return self.update(mail_came_back_at=timezone.now(), mail_came_back_why=reason[:200])


class UserManager(BaseUserManager.from_queryset(UserQuerySet)):  # type: ignore[misc]
    def create_user(self, *, email: str, name: str, password: str | None = None, **fields: Any) -> "User":
        """A person with this address; without a password they choose one by "forgotten password"."""
        user = self.model(email=self.normalize_email(email).lower(), name=name, **fields)
        user.set_password(password)
        user.save()
        return user

    def get_by_natural_key(self, email: str | None) -> "User":
        return self.get(email__iexact=email)


class Told(models.TextChoices):
    """How somebody is told of what waits: the page of notices has everything in any case."""

    AT_ONCE = "at_once", _("a mail at once")
    DAILY = "daily", _("one mail a day, in the morning")
    PAGE = "page", _("no mails, only the page of notices")


class User(AbstractBaseUser):
    email = models.EmailField(_("e-mail"), unique=True)
    name = models.CharField(_("name"), max_length=120)
    is_administrator = models.BooleanField(_("network administrator"), default=False)
    is_active = models.BooleanField(_("may sign in"), default=True)
    password_is_long = models.BooleanField(default=False, editable=False)  # of the hash alone nobody can say it
    told = models.CharField(_("how to tell you"), max_length=7, choices=Told, default=Told.AT_ONCE)
    mail_came_back_at = models.DateTimeField(null=True, editable=False)
    mail_came_back_why = models.CharField(max_length=200, blank=True, editable=False)
    date_joined = models.DateTimeField(default=timezone.now, editable=False)

    objects = UserManager()

    USERNAME_FIELD = "email"
    EMAIL_FIELD = "email"
    REQUIRED_FIELDS = ["name"]

    class Meta:
        constraints = [models.UniqueConstraint(Lower("email"), name="person_email_once")]

    def __str__(self) -> str:
        return self.name or self.email

    def set_password(self, raw_password: str | None) -> None:
        super().set_password(raw_password)
        self.password_is_long = len(raw_password or "") >= LONG_PASSWORD

    def get_full_name(self) -> str:
        return self.name

    # A request reads these two with the person (`network/signed_in.py`).
    @cached_property
    def unread(self) -> int:
        """How many notices wait to be read."""
        return self.notices.unread().count()

    @cached_property
    def has_factor(self) -> bool:
        """Whether a second factor is set up."""
        from allauth.mfa.models import Authenticator

        return Authenticator.objects.filter(user=self).exists()
