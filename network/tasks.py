"""Celery only hurries things on; everything here also happens without it (`manage.py deliver_notices`)."""

from celery import shared_task

from network import delivery, expiring


@shared_task(acks_late=True, reject_on_worker_lost=True, ignore_result=True)
def deliver_due() -> None:
    """Send what is due, batch after batch."""
    delivery.deliver_due()


@shared_task(acks_late=True, reject_on_worker_lost=True, ignore_result=True)
def tell_of_papers() -> None:
    """Tell of proofs that run out. Twice at once tells nobody twice."""
    expiring.tell_of_papers()
