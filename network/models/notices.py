"""Notices: rows written in the transaction that caused them, so that none is lost and none outlives a rollback."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext_lazy as _


class NoticeQuerySet(models.QuerySet["Notice"]):
    def due(self) -> NoticeQuerySet:
        """Drops what was sent, what is stuck, and what is claimed: a claim moves `due_at` to the end of its lease."""
        return self.filter(state=Notice.State.WAITING, due_at__lte=timezone.now())

    def unread(self) -> NoticeQuerySet:
        return self.filter(read_at__isnull=True)


class Notice(models.Model):
    class State(models.TextChoices):
        WAITING = "waiting", _("waiting to be sent")
        SENT = "sent", _("sent")
        STUCK = "stuck", _("could not be sent")
        PAGE = "page", _("told on this page only")

    event = models.ForeignKey("network.Event", on_delete=models.PROTECT, related_name="notices")
    # A person of the portal reads it on their page of notices; an owner with a private link has only the mail.
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="notices")
    email = models.EmailField()
    subject = models.CharField(max_length=200)
    body = models.TextField()
    path = models.CharField(max_length=300, blank=True)
    created_at = models.DateTimeField(auto_now_add=True)
    read_at = models.DateTimeField(null=True)
    state = models.CharField(max_length=7, choices=State, default=State.WAITING)
    of_the_day = models.BooleanField(default=False)  # goes out in the person's one mail of the day
    due_at = models.DateTimeField(default=timezone.now)
    attempts = models.PositiveSmallIntegerField(default=0)
    last_error = models.CharField(max_length=200, blank=True)
    sent_at = models.DateTimeField(null=True)
    message_id = models.CharField(max_length=120, unique=True)

    objects = NoticeQuerySet.as_manager()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["event", "email"], name="told_once")]
        indexes = [
            models.Index(fields=["due_at", "person", "id"], condition=Q(state="waiting"), name="notice_due"),
            models.Index(fields=["person", "-created_at"], name="notice_of_person"),
        ]

    def __str__(self) -> str:
        return self.subject

    def read(self) -> None:
        """The person has opened it."""
        Notice.objects.filter(pk=self.pk, read_at__isnull=True).update(read_at=timezone.now())

    def send_again(self) -> bool:
        """Put a stuck notice back in the queue, with a fresh count of attempts."""
        return bool(
            Notice.objects.filter(pk=self.pk, state=self.State.STUCK).update(
                state=self.State.WAITING, due_at=timezone.now(), attempts=0
            )
        )
