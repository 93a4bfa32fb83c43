"""Which way to mend one car's failure: what was offered, what a day costs, and what the network knows of each way."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.utils import timezone
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from jobs import lasting
from jobs.models import Job, Outcome
from network.models import Workshop
from parts.comparing import compared
from parts.models import Answer
from parts.ways import Comeback, Way

Method = Outcome.Method


@dataclass(frozen=True)
class Kind:
    """A way that the page compares; its repairs in the network are those of `method`."""

    code: str
    label: str | Promise
    method: str


KINDS = (
    Kind("revised_far", _("revised part from afar"), Method.REVISED_PART),
    Kind("used_near", _("used part nearby"), Method.USED_TESTED),
    Kind("board_repair", _("board repair"), Method.BOARD_REPAIRED),
    Kind("rebuilt", _("rebuilt unit"), Method.REBUILT_UNIT),
    Kind("wait", _("wait for the same part, new"), Method.SAME_PART),
)


def offered(job: Job, asking: Workshop) -> dict[str, dict[str, Any]]:
    """By kind of way, the cheapest standing answer to the job's request: landed cost and days until it arrives."""
    if job.part_request is None:
        return {}
    answers = Answer.objects.standing().filter(request=job.part_request).select_related("workshop")
    found: dict[str, dict[str, Any]] = {}
    for answer, _row in compared(answers, asking, timezone.localdate()).rows:  # cheapest first
        cost = answer.landed.cost.total  # type: ignore[attr-defined]
        found.setdefault(_kind_of(answer), {"landed": cost, "days": answer.days_to_arrive, "who": answer.workshop.name})
    return found


def _kind_of(answer: Answer) -> str:
    if answer.offer == Answer.Offer.CAN_BE_REPAIRED:
        return "board_repair"
    kinds = {Answer.Condition.USED.value: "used_near", Answer.Condition.REBUILT.value: "rebuilt"}
    return kinds.get(answer.condition, "revised_far")


def ways_of(job: Job, typed: dict[str, Any]) -> Iterator[tuple[Way, str]]:
    """The ways that have a cost, each with the words that say whose repairs its chance comes from."""
    for kind in KINDS:
        landed, days = typed.get(f"{kind.code}_landed"), typed.get(f"{kind.code}_days")
        if landed is None:
            continue
        comeback, whose = chance_of_comeback(job, kind.method)
        way = Way(
            kind=kind.code,
            label=str(kind.label),
            landed=landed,
            labour=typed.get("labour") or Decimal(0),
            days_off_road=days or 0,
            comeback=comeback,
        )
        yield way, whose


def chance_of_comeback(job: Job, method: str) -> tuple[Comeback | None, str]:
    """Within 24 months, from repairs on the same system family where they are enough, else on all of them."""
    same = Outcome.objects.shown().filter(repair_method=method)
    family = job.vehicle.family
    for rows, whose in ((same.filter(family=family), str(family)), (same, str(_("all system families")))):
        if rows is not same and family is None:
            continue
        group = next(iter(lasting.groups(rows, by="method", related=False)), None)
        at = group.at(lasting.HORIZON) if group and not group.too_few else None
        if group and at:
            known = Comeback(
                chance=1 - at.running,
                low=1 - at.upper,
                high=1 - at.lower,
                repairs=group.repairs,
                workshops=group.workshops,
            )
            return known, whose
    return None, ""
