"""Estimates of the demo: agreed and used as agreed, gone beyond, and changed and waiting for its owner."""

from __future__ import annotations

import datetime
from decimal import Decimal
from typing import Any

from django.utils import timezone

from jobs import estimate_words, estimating
from jobs.models import Estimate, Job
from network.models import Membership

TAX = Decimal(21)
NOTE = "The inverter has a burnt stage. We fit a used one that was measured on the bench, and clean the air duct."


def _line(kind: str, words: str, quantity: str, price: int, number: str = "") -> dict[str, Any]:
    """A line with its price in cents."""
    return {
        "kind": kind, "words": words, "part_number": number, "quantity": Decimal(quantity), "price": price,
        "tax_percent": TAX,
    }  # fmt: skip


FIND = _line("labour", "Make safe, measure, find the cause", "2.5", 9500)
FIT = _line("labour", "Fit and code the inverter, prove it on the road", "4", 9500)
PART = _line("part", "Inverter with two machine stages, used, measured", "1", 41250, "LN 27 410-0")
COOLANT = _line("part", "Coolant, litre", "3.2", 890)
CLEAN = _line("labour", "Clean the air duct and its filter", "0.75", 9500)
CORE = _line("other", "Old unit taken in return", "1", -6000)
WHOLE = (FIND, FIT, PART, COOLANT, CORE)


def send(job: Job, lines: tuple[dict[str, Any], ...], by: Membership, words: str = NOTE) -> Estimate:
    """The next version, written and sent."""
    draft = estimating.begin(job=job, by=by)
    until = timezone.localdate() + datetime.timedelta(days=10)
    estimating.keep(estimate=draft, lines=lines, words=words, holds_until=until, seen=0, by=by)
    estimating.send(estimate=draft, seen=1, by=by)
    draft.refresh_from_db()
    return draft


def agree(job: Job, lines: tuple[dict[str, Any], ...], by: Membership, words: str = NOTE) -> None:
    """Sent, and agreed to by the owner under their own name."""
    sent = send(job, lines, by, words)
    text = estimate_words.text_of(estimate_words.shown(sent))
    estimating.answer(estimate=sent, agreed=True, name=job.vehicle.customer.name, text=text)


def use(job: Job, lines: tuple[dict[str, Any], ...], by: Membership) -> None:
    estimating.note_used(job=job, lines=lines, seen=estimating.used_stand(job), by=by)
