"""Workshops, who belongs to them, and what those people are proved to be qualified for.

A workshop is found by owners only while it is approved, and for a kind of work only while one of its active people
holds a verified, unexpired qualification that covers it. `Workshop.work_bits` is an index of that, kept by
`refresh_work`; it may name too much on the day a qualification runs out, never too little, so whoever searches by it
checks the qualifications of what was found (`network/finding.py`).
"""

from __future__ import annotations

import datetime
import math
from typing import Any

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from network import work
from network.models.events import Event
from network.models.people import User
from network.phones import can_be_dialled


def band_of(latitude: float) -> int:
    """The tenth-of-a-degree strip of latitude that the point lies in: the index for finding what is near."""
    return math.floor(10 * latitude)


class WorkshopQuerySet(models.QuerySet["Workshop"]):
    def public(self) -> WorkshopQuerySet:
        """Drops those that are not approved: applied, declined and suspended workshops are nobody's business."""
        return self.filter(state=Workshop.State.APPROVED)


class Workshop(models.Model):
    class State(models.TextChoices):
        APPLIED = "applied", _("application not yet decided")
        APPROVED = "approved", _("approved")
        DECLINED = "declined", _("declined")
        SUSPENDED = "suspended", _("suspended")

    name = models.CharField(_("name of the workshop"), max_length=120)
    street = models.CharField(_("street and number"), max_length=120)
    postcode = models.CharField(_("postcode"), max_length=12)
    town = models.CharField(_("town"), max_length=120)
    country = models.CharField(_("country"), max_length=2)
    latitude = models.FloatField()
    longitude = models.FloatField()
    band = models.SmallIntegerField(editable=False)
    region = models.ForeignKey("network.Region", on_delete=models.PROTECT, related_name="workshops")
    email = models.EmailField(_("e-mail"))
    phone = models.CharField(_("phone"), max_length=40, validators=[can_be_dialled])
    business_number = models.CharField(_("business number"), max_length=20)
    languages = models.CharField(_("languages spoken"), max_length=120, blank=True)
    first_look = models.CharField(_("first look: when, and what it costs"), max_length=120, blank=True)
    currency = models.CharField(_("currency"), max_length=3, default="EUR")
    state = models.CharField(max_length=9, choices=State, default=State.APPLIED)
    work_bits = models.IntegerField(default=0, editable=False)

    objects = WorkshopQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(latitude__gte=-90, latitude__lte=90, longitude__gte=-180, longitude__lte=180),
                name="workshop_on_earth",
            ),
        ]
        indexes = [
            models.Index(
                # All that finding reads, so that neither database looks at the rows (SQLite knows no INCLUDE).
                fields=["band", "longitude", "latitude", "work_bits", "id"],
                condition=Q(state="approved"),
                name="workshop_public_near",
            )
        ]

    def __str__(self) -> str:
        return self.name

    def save(self, *args: Any, **kwargs: Any) -> None:
        self.band = band_of(self.latitude)
        super().save(*args, **kwargs)

    def refresh_work(self) -> None:
        """Bring the index of kinds of work up to date with the qualifications of the workshop's people."""
        bits = 0
        for proof in Qualification.objects.valid().filter(holder__memberships__in=self.memberships.active()):
            bits |= proof.work_bits
        type(self).objects.filter(pk=self.pk).update(work_bits=bits)
        self.work_bits = bits

    def suspend(self, *, by: User, reason: str) -> bool:
        """Take an approved workshop out of sight; its people stop acting at once. False: it was not approved."""
        changed = Workshop.objects.filter(pk=self.pk, state=self.State.APPROVED).update(state=self.State.SUSPENDED)
        if changed:
            Event.record("workshop_suspended", self, by=by, reason=reason)
        return bool(changed)


class MembershipQuerySet(models.QuerySet["Membership"]):
    def active(self) -> MembershipQuerySet:
        """Drops people who were named but have not yet agreed, and those who left."""
        return self.filter(state=Membership.State.ACTIVE)

    def able_to_act(self) -> MembershipQuerySet:
        """Active, in an approved workshop, by somebody who may sign in."""
        return self.active().filter(workshop__state=Workshop.State.APPROVED, person__is_active=True)

    def acting(self, person: User, chosen: int | None = None) -> Membership | None:
        """The membership that `person` acts with: the chosen one if it is theirs and able, else their first."""
        mine = list(self.able_to_act().filter(person=person).select_related("workshop__region").order_by("pk"))
        for one in mine:
            one.person = person
        return next((m for m in mine if m.pk == chosen), mine[0] if mine else None)


class Membership(models.Model):
    class Role(models.TextChoices):
        TECHNICIAN = "technician", _("technician")
        MANAGER = "manager", _("manager")

    class State(models.TextChoices):
        NAMED = "named", _("named, has not yet agreed")
        ACTIVE = "active", _("active")
        LEFT = "left", _("left")

    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="memberships")
    workshop = models.ForeignKey(Workshop, on_delete=models.PROTECT, related_name="memberships")
    role = models.CharField(max_length=10, choices=Role)
    state = models.CharField(max_length=6, choices=State, default=State.NAMED)

    objects = MembershipQuerySet.as_manager()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["person", "workshop"], name="member_once")]

    def __str__(self) -> str:
        return f"{self.person}, {self.workshop}"

    @property
    def is_manager(self) -> bool:
        return self.role == self.Role.MANAGER

    def agree(self, *, by: User) -> bool:
        """The named person agrees to belong to the workshop; from then on their qualifications count for it."""
        changed = Membership.objects.filter(pk=self.pk, person=by, state=self.State.NAMED).update(
            state=self.State.ACTIVE
        )
        if changed:
            Event.record("membership_agreed", self, by=by, workshop=self.workshop)
            self.workshop.refresh_work()
        return bool(changed)


class QualificationQuerySet(models.QuerySet["Qualification"]):
    def valid(self, on: datetime.date | None = None) -> QualificationQuerySet:
        """Drops what the network has not verified, and what has run out: the last day still counts."""
        day = on or timezone.localdate()
        return self.filter(state=Qualification.State.VERIFIED, expires_on__gte=day)


class Qualification(models.Model):
    """A paper that a person holds: what it covers, who issued it, until when, and how the network verified it."""

    class State(models.TextChoices):
        CLAIMED = "claimed", _("not yet verified")
        VERIFIED = "verified", _("verified")
        REFUSED = "refused", _("refused")

    class Proof(models.TextChoices):
        PAPER_SEEN = "paper_seen", _("paper seen by the network")
        ISSUER_ASKED = "issuer_asked", _("issuer asked and confirmed")

    holder = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="qualifications")
    title = models.CharField(_("qualification"), max_length=160)
    issuer = models.CharField(_("issued by"), max_length=160)
    certificate = models.CharField(_("certificate number"), max_length=60)
    work_bits = models.IntegerField(_("covers"))
    live_work = models.BooleanField(_("authorised for work on live high-voltage systems"), default=False)
    expires_on = models.DateField(_("runs out on"))
    state = models.CharField(max_length=8, choices=State, default=State.CLAIMED)
    proof = models.CharField(max_length=12, choices=Proof, blank=True)
    verified_on = models.DateField(null=True, blank=True)
    verified_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    soon_told_at = models.DateTimeField(null=True, editable=False)
    over_told_at = models.DateTimeField(null=True, editable=False)

    objects = QualificationQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=~Q(state="verified") | Q(verified_on__isnull=False, verified_by__isnull=False),
                name="verified_names_who_and_when",
            )
        ]
        indexes = [models.Index(fields=["holder", "expires_on"], condition=Q(state="verified"), name="proof_valid")]

    def __str__(self) -> str:
        return self.title

    @property
    def covers(self) -> list[str]:
        return work.labels(self.work_bits)

    def verify(self, *, by: User, proof: str) -> bool:
        """The network has seen the paper, or its issuer confirmed it. Counts at once for the holder's workshops."""
        changed = Qualification.objects.filter(pk=self.pk, state=self.State.CLAIMED).update(
            state=self.State.VERIFIED, proof=proof, verified_on=timezone.localdate(), verified_by=by
        )
        if changed:
            Event.record("qualification_verified", self, by=by, proof=proof)
            for membership in self.holder.memberships.active().select_related("workshop"):
                membership.workshop.refresh_work()
        return bool(changed)

    def refuse(self, *, by: User, reason: str) -> bool:
        changed = Qualification.objects.filter(pk=self.pk, state=self.State.CLAIMED).update(state=self.State.REFUSED)
        if changed:
            Event.record("qualification_refused", self, by=by, reason=reason)
        return bool(changed)
