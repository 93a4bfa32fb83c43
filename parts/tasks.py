"""Celery's clock for the board; everything here also happens without it (`manage.py lapse_requests`)."""

from celery import shared_task

from parts import lapsing


@shared_task(acks_late=True, reject_on_worker_lost=True, ignore_result=True)
def lapse_requests() -> None:
    """Tell of requests that lapse soon, and let lapse what is due."""
    lapsing.look_after()
