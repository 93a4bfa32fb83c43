"""Celery only brings these on time; `manage.py ask_outcomes` and the deliverer do the same without it."""

from celery import shared_task

from jobs import following


@shared_task(acks_late=True, reject_on_worker_lost=True, ignore_result=True)
def ask_outcomes() -> None:
    """Ask about the repairs whose date has come. Twice at once asks nobody twice."""
    following.ask_due()
