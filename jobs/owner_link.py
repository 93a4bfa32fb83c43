"""The owner's private links: which workshop and which enquiry or job it is for, signed, so that nobody can make one up.

The link itself says whose rows may be reached; the page enters `acting_for` with the workshop that was signed in.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

from django.core import signing
from django.http import Http404
from django.urls import reverse

from jobs.models import Enquiry, Job
from network.access import acting_for

SALT = "owner's private link"
JOB_SALT = "owner's private link to a job"


def path_for(enquiry: Enquiry) -> str:
    """The path of the page that the owner of `enquiry` follows it on."""
    token = signing.Signer(salt=SALT, sep="~").sign(f"{enquiry.workshop_id}-{enquiry.pk}-{enquiry.nonce}")
    return reverse("enquiry_private", args=[token])


def path_for_job(job: Job, name: str = "car", **more: Any) -> str:
    """The path of the owner's page of a job, or of another page that the same link opens."""
    token = signing.Signer(salt=JOB_SALT, sep="~").sign(f"{job.workshop_id}-{job.pk}-{job.nonce}")
    return reverse(name, kwargs={"token": token, **more})


@contextmanager
def followed(token: str) -> Iterator[Enquiry]:
    """Act for the signed workshop and give its enquiry; a token that isn't ours, or is void, is 404."""
    with _opened(token, SALT, lambda: Enquiry.objects.select_related("workshop")) as enquiry:
        yield enquiry


@contextmanager
def followed_job(token: str) -> Iterator[Job]:
    """Act for the signed workshop and give its job, with what reports and estimates need of it."""
    with _opened(token, JOB_SALT, lambda: Job.objects.with_facts().select_related("workshop")) as job:
        yield job


@contextmanager
def _opened(token: str, salt: str, rows: Callable[[], Any]) -> Iterator[Any]:
    try:
        workshop, key, nonce = signing.Signer(salt=salt, sep="~").unsign(token).split("-", 2)
    except (signing.BadSignature, ValueError):
        raise Http404 from None
    with acting_for(int(workshop)):
        row = rows().filter(pk=int(key), nonce=nonce).first()
        if row is None:
            raise Http404
        yield row
