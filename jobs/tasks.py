"""Celery only brings these on time; the deliverer does the same without it."""

from celery import shared_task

from jobs import estimate_lapsing, following


@shared_task(acks_late=True, reject_on_worker_lost=True, ignore_result=True)
def ask_outcomes() -> None:
    """Ask about the repairs whose date has come. Twice at once asks nobody twice."""
    following.ask_due()


@shared_task(acks_late=True, reject_on_worker_lost=True, ignore_result=True)
def tell_of_lapsed_estimates() -> None:
    """Tell owners and workshops of estimates that lapsed. Twice at once tells nobody twice."""
    estimate_lapsing.tell_of_lapsed()
