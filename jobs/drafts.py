"""Drafts of steps: what somebody typed and isn't ready to sign, kept on the server so that any device shows it.

Secrets and files are never kept: a signing code belongs to the moment, and files can't be filled in again.
"""

from __future__ import annotations

from typing import Any

from django.http import QueryDict

from jobs.models import Job, StepDraft
from network.models import Membership

NEVER = {"csrfmiddlewaretoken", "kept", "act", "code", "seen"}
LONGEST = 20_000  # signs in all: more than any form of a step takes


def keep(*, job: Job, step: str, by: Membership, typed: QueryDict) -> StepDraft | None:
    """Keep what was typed as it is, right or wrong; the newest takes the place of the one before."""
    kept = {name: typed.getlist(name) for name in typed if name not in NEVER}
    if sum(len(value) for values in kept.values() for value in values) > LONGEST:
        return None
    clean = {name: [value.replace("\0", "") for value in values] for name, values in kept.items()}
    return StepDraft.objects.update_or_create(job=job, step=step, person=by.person, defaults={"typed": clean})[0]


def of(*, job: Job, step: str, by: Membership) -> dict[str, Any]:
    """The draft of this person, as first values of a form; empty where there is none."""
    kept = StepDraft.objects.filter(job=job, step=step, person=by.person).first()
    if kept is None:
        return {}
    return {name: values if len(values) > 1 or name == "evidence" else values[0] for name, values in kept.typed.items()}


def forget(*, job: Job, step: str, by: Membership) -> None:
    """The step was signed: the draft has served."""
    StepDraft.objects.filter(job=job, step=step, person=by.person).delete()
