"""What `tests/access_scene.py` has of estimates: agreed, waiting and draft of each workshop, and the forms."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django.urls import resolve
from django.utils import timezone

from diagnostics.chain import hash_of
from jobs import estimate_words, estimating
from jobs.models import Estimate, Job
from jobs.owner_link import path_for_job
from network.access import acting_for
from network.models import Membership, Workshop

LINE = {"kind": "labour", "words": "Mend it", "part_number": "", "quantity": Decimal(1), "price": 9500,
        "tax_percent": Decimal(21)}  # fmt: skip
ROWS = {
    "line-TOTAL_FORMS": "1", "line-INITIAL_FORMS": "0", "line-0-kind": "labour", "line-0-words": "Mend it",
    "line-0-quantity": "1", "line-0-price": "95", "line-0-tax_percent": "21",
}  # fmt: skip


def kept_and_sent(job: Job, by: Membership, *, send: bool = True) -> Estimate:
    """The next version with one line, sent to the owner unless told otherwise."""
    draft = estimating.begin(job=job, by=by)
    facts = {"words": "as told", "holds_until": timezone.localdate(), "seen": 0}
    estimating.keep(estimate=draft, lines=[LINE], by=by, **facts)
    if send:
        estimating.send(estimate=draft, seen=1, by=by)
    return draft


def estimates_of(job: Job, waiting: Job, writing: Job, by: Membership) -> None:
    """Of three jobs: agreed to with a used line, waiting for its owner, and a draft."""
    agreed = kept_and_sent(job, by)
    kept_and_sent(waiting, by)
    kept_and_sent(writing, by, send=False)
    estimating.answer(estimate=agreed, agreed=True, name="Piet", text="as seen", reason="none")
    estimating.note_used(job=job, lines=[LINE], seen=0, by=by)


def _in_state(workshop: Workshop, state: str) -> Estimate:
    with acting_for(workshop):
        return Estimate.objects.select_related("job").get(state=state)


def objects(a: Workshop, b: Workshop) -> dict[str, dict[str, Any]]:
    """The estimates of both, by their pages and by their owners' links."""
    found: dict[str, dict[str, Any]] = {}
    for letter, workshop in (("a", a), ("b", b)):
        for name, state in {"agreed": "agreed", "waiting": "sent", "draft": "draft"}.items():
            estimate = _in_state(workshop, state)
            found[f"{name}_of_{letter}"] = {"pk": estimate.pk}
            found[f"car_{name}_of_{letter}"] = resolve(path_for_job(estimate.job, "car_estimate", number=1)).kwargs
    forged = {"token": f"{a.pk}-1-x~forged", "number": 1}
    return found | {"link_forged_estimate": forged, "car_estimate_crossed": found["car_agreed_of_a"] | {"number": 77}}


def payloads(a: Workshop) -> dict[str, dict[str, Any]]:
    kept = ROWS | {"words": "as told", "holds_until": timezone.localdate()}
    with acting_for(a):
        text = estimate_words.text_of(estimate_words.shown(_in_state(a, "sent")))
    return {
        "estimate_ready": {"ready": "1"},
        "estimate_kept": kept | {"seen": "1"},
        "estimate_unseen": kept | {"seen": "7"},
        "estimate_send": {"act": "send", "seen": "1"},
        "estimate_drop": {"act": "drop"},
        "estimate_back": {"act": "take_back"},
        "used_lines": ROWS | {"seen": "0"},
        "used_unseen": ROWS | {"seen": "0"},
        "answer_unseen": {"name": "Piet", "seen": "0" * 64, "act": "agree"},
        "answer_seen": {"name": "Piet", "seen": hash_of(text), "act": "agree"},
    }
