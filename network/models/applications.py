"""A workshop's application: decided once, by one administrator, with a reason, and the applicant is told."""

from __future__ import annotations

from django.conf import settings
from django.db import models, transaction
from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from network.models.events import Event
from network.models.people import User
from network.models.workshops import Membership, Qualification, Workshop
from network.telling import tell


class AlreadyDecided(Exception):
    """Another administrator was first; `application` is the row as it stands now."""

    def __init__(self, application: Application) -> None:
        self.application = application
        super().__init__(f"Application {application.pk} was decided by {application.decided_by}.")


class Application(models.Model):
    class State(models.TextChoices):
        WAITING = "waiting", _("waiting for a decision")
        APPROVED = "approved", _("approved")
        DECLINED = "declined", _("declined")

    workshop = models.OneToOneField(Workshop, on_delete=models.PROTECT, related_name="application")
    applicant = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="applications")
    sent_at = models.DateTimeField(auto_now_add=True)
    state = models.CharField(max_length=8, choices=State, default=State.WAITING)
    reason = models.TextField(_("reason"), blank=True)
    decided_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    decided_at = models.DateTimeField(null=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(state="waiting", decided_by__isnull=True, decided_at__isnull=True)
                | (~Q(state="waiting") & Q(decided_by__isnull=False, decided_at__isnull=False)),
                name="decided_names_who_and_when",
            ),
            models.UniqueConstraint(fields=["applicant"], condition=Q(state="waiting"), name="one_waits_at_a_time"),
        ]
        indexes = [models.Index(fields=["sent_at"], condition=Q(state="waiting"), name="application_waiting")]

    def __str__(self) -> str:
        return str(self.workshop)

    @property
    def people(self) -> list[tuple[Membership, list[Qualification]]]:
        """Everybody the workshop named, with the papers they hold."""
        named = self.workshop.memberships.select_related("person").prefetch_related("person__qualifications")
        return [(m, list(m.person.qualifications.all())) for m in named.order_by("pk")]

    @transaction.atomic
    def approve(self, *, by: User, reason: str, seen: dict[int, str]) -> None:
        """Let the workshop in. `seen` maps keys of its people's qualifications to how each was verified.

        Qualifications that are not in `seen` are refused. Raises AlreadyDecided when somebody was first.
        """
        self._decide(self.State.APPROVED, by=by, reason=reason)
        Workshop.objects.filter(pk=self.workshop_id).update(state=Workshop.State.APPROVED)
        for _membership, papers in self.people:
            for paper in papers:
                if paper.pk in seen:
                    paper.verify(by=by, proof=seen[paper.pk])
                else:
                    paper.refuse(by=by, reason=reason)
        self.workshop.refresh_from_db()
        self.workshop.refresh_work()
        self._tell("workshop_approved", by=by)
        named = [m.person for m, _papers in self.people if m.state == Membership.State.NAMED]
        event = Event.record("members_asked_to_agree", self, by=by, workshop=self.workshop)
        facts = {"workshop": self.workshop}
        tell(event, people=named, template="mail/membership_named.txt", facts=facts, path="/application/")

    @transaction.atomic
    def decline(self, *, by: User, reason: str) -> None:
        """Turn the workshop away, with a reason. Raises AlreadyDecided when somebody was first."""
        self._decide(self.State.DECLINED, by=by, reason=reason)
        Workshop.objects.filter(pk=self.workshop_id).update(state=Workshop.State.DECLINED)
        self._tell("workshop_declined", by=by)

    def _decide(self, state: str, *, by: User, reason: str) -> None:
        now = timezone.now()
        won = Application.objects.filter(pk=self.pk, state=self.State.WAITING).update(
            state=state, decided_by=by, decided_at=now, reason=reason
        )
        self.refresh_from_db()
        if not won:
            raise AlreadyDecided(self)

    def _tell(self, verb: str, *, by: User) -> None:
        event = Event.record(verb, self, by=by, workshop=self.workshop)
        facts = {"application": self}
        tell(event, people=[self.applicant], template=f"mail/{verb}.txt", facts=facts, path="/application/")
