"""An owner's enquiry: sent without an account, read by one workshop, followed by the owner through a private link."""

from __future__ import annotations

import datetime
import secrets
from collections.abc import Sequence
from typing import Any, ClassVar

from django.db import models, transaction
from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from network import work
from network.access import PrivateManager, PrivateModel, PrivateQuerySet
from network.models import Event, Membership, Picture, User, Workshop
from network.phones import can_be_dialled


def new_nonce() -> str:
    return secrets.token_urlsafe(9)


class EnquiryQuerySet(PrivateQuerySet):
    def open(self) -> EnquiryQuerySet:
        """Drops those that were withdrawn or taken on: the workshop may no longer answer them."""
        return self.filter(state__in=Enquiry.OPEN)


class EnquiryManager(PrivateManager.from_queryset(EnquiryQuerySet)):  # type: ignore[misc]
    """The acting workshop's enquiries."""


class Enquiry(PrivateModel):
    class State(models.TextChoices):
        SENT = "sent", _("waiting for the workshop's answer")
        ANSWERED = "answered", _("answered by the workshop")
        JOB_MADE = "job_made", _("taken on as a job")
        PASSED_ON = "passed_on", _("sent on to another workshop")
        WITHDRAWN = "withdrawn", _("withdrawn by the owner")

    OPEN = (State.SENT, State.ANSWERED)

    class CanDrive(models.TextChoices):
        YES = "yes", _("yes")
        NO = "no", _("no")
        UNSURE = "unsure", _("not sure, or not tried")

    work_wanted = models.CharField(_("what seems wrong"), max_length=20, choices=work.Work)
    vehicle = models.CharField(_("vehicle: maker, model, year"), max_length=120)
    symptom = models.TextField(_("what happens, in your words"), max_length=2000)
    lamps = models.CharField(_("warning lamps or messages"), max_length=200, blank=True)
    can_drive = models.CharField(_("does it drive"), max_length=6, choices=CanDrive)
    damaged = models.BooleanField(_("it was in a crash or in water, or it smokes or smells"), default=False)
    name = models.CharField(_("your name"), max_length=120)
    email = models.EmailField(_("your e-mail"))
    phone = models.CharField(_("your phone"), max_length=40, blank=True, validators=[can_be_dialled])
    state = models.CharField(max_length=9, choices=State, default=State.SENT)
    answer = models.TextField(_("your answer to the owner"), max_length=2000, blank=True)
    answered_at = models.DateTimeField(null=True)
    dates_offered = models.JSONField(default=list)  # moments, ISO 8601, when the workshop has time for a first look
    date_chosen = models.DateTimeField(null=True)
    consented_at = models.DateTimeField(default=timezone.now)  # an enquiry without consent is never stored
    pictures = models.ManyToManyField(Picture, related_name="+")
    # Asked by this workshop, decided by the owner: who would be better qualified. `jobs/passing_on.py` is the process.
    better = models.ForeignKey(Workshop, on_delete=models.PROTECT, null=True, related_name="+")
    sent_at = models.DateTimeField(default=timezone.now)
    nonce = models.CharField(max_length=20, default=new_nonce, editable=False)

    objects: ClassVar[Any] = EnquiryManager()

    class Meta(PrivateModel.Meta):
        abstract = False
        ordering = ["-sent_at"]
        verbose_name_plural = "enquiries"
        constraints = [
            # What was sent on is no longer this workshop's to read.
            models.CheckConstraint(
                condition=~Q(state="passed_on") | Q(name="", email="", phone="", vehicle="", symptom="", lamps=""),
                name="passed_on_keeps_nothing",
            )
        ]

    def __str__(self) -> str:
        return self.vehicle

    @property
    def is_open(self) -> bool:
        """The owner may still withdraw, and the workshop still answer or take it on."""
        return self.state in self.OPEN

    @property
    def dates(self) -> list[datetime.datetime]:
        """The moments that the workshop offers, in their order."""
        return [datetime.datetime.fromisoformat(text) for text in self.dates_offered]

    @transaction.atomic
    def reply(self, *, by: Membership, answer: str, dates: Sequence[datetime.datetime] = ()) -> bool:
        """Answer the owner, who is told by mail. False when the enquiry is no longer open.

        New dates take the place of the old ones, and of the owner's choice among them.
        """
        offered = [moment.isoformat() for moment in sorted(set(dates))]
        changed = (
            Enquiry.objects.open()
            .filter(pk=self.pk)
            .update(
                state=self.State.ANSWERED,
                answer=answer,
                answered_at=timezone.now(),
                dates_offered=offered,
                date_chosen=None,
            )
        )
        if changed:
            self.refresh_from_db()
            self.tell_owner("enquiry_answered", by)
        return bool(changed)

    @transaction.atomic
    def choose(self, *, moment: datetime.datetime) -> bool:
        """The owner takes one of the dates; the workshop's people are told. False: it is no longer offered."""
        text = moment.isoformat()
        changed = text in self.dates_offered and Enquiry.objects.open().filter(
            pk=self.pk, dates_offered=self.dates_offered
        ).update(date_chosen=moment)
        if changed:
            self.date_chosen = moment
            event = Event.record("enquiry_date_chosen", self, workshop=self.workshop)
            self.tell_workshop(event)
        return bool(changed)

    @transaction.atomic
    def withdraw(self) -> bool:
        """The owner takes the enquiry back, through the private link."""
        changed = Enquiry.objects.open().filter(pk=self.pk).update(state=self.State.WITHDRAWN)
        if changed:
            Event.record("enquiry_withdrawn", self, workshop=self.workshop)
        return bool(changed)

    def tell_workshop(self, event: Event) -> None:
        """Tell everybody who acts for the workshop; the mail holds nothing that the owner typed."""
        from network.telling import tell

        people = User.objects.filter(memberships__in=Membership.objects.able_to_act().filter(workshop=self.workshop))
        facts = {"enquiry": self, "event": event}
        tell(event, people=people, template=f"mail/{event.verb}.txt", facts=facts, path=f"/enquiries/{self.pk}/")

    def tell_owner(self, verb: str, by: Membership, **facts: Any) -> None:
        """Tell the owner by mail what `by` has just done; the link leads to their page.

        Such a mail holds the portal's own sentences and names of workshops: no text of a sender reaches a stranger.
        """
        from jobs.owner_link import path_for
        from network.telling import tell

        event = Event.record(verb, self, by=by.person, workshop=by.workshop)
        tell(
            event,
            addresses=[self.email],
            template=f"mail/{verb}.txt",
            facts={"workshop": by.workshop} | facts,
            path=path_for(self),
        )
