"""The requests on a page of the board as its list shows them: few columns, and words that are made once a page.

A request and its workshop have sixty columns; making models of them costs more than reading them.
"""

from __future__ import annotations

import datetime
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from typing import Any

from django.urls import reverse
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from network.models import Membership
from parts.models import Answer, PartRequest, PartRequestQuerySet

COLUMNS = (
    "pk", "asked_by_workshop", "number", "description", "quantity", "asked_at", "needed_by", "off_road", "state",
    "family__maker", "family__name", "asked_by_workshop__name", "asked_by_workshop__town",
)  # fmt: skip


@dataclass(frozen=True, kw_only=True, slots=True)
class Line:
    """One request; answers are counted for one's own only."""

    pk: int
    path: str
    number: str
    description: str
    quantity: int
    family: str
    who: str
    town: str
    asked_on: str
    needed_by: str
    off_road: bool
    stands: str
    answer_count: int

    @property
    def name(self) -> str:
        return self.number or self.description


def columns_of(rows: PartRequestQuerySet) -> Any:
    """The rows as `lines` reads them."""
    return rows.values_list(*COLUMNS, named=True)


def lines(read: Iterable[Any], membership: Membership) -> list[Line]:
    """Of rows that `columns_of` read: one page of the list."""
    listed = list(read)
    counts = _answers_to([one.pk for one in listed if one.asked_by_workshop == membership.workshop_id])
    labels = {code: str(label) for code, label in PartRequest.State.choices}
    before, after = reverse("request", args=[0]).split("0")
    day, by = cache(_day), cache(_by)
    return [
        Line(
            pk=one.pk,
            path=f"{before}{one.pk}{after}",
            number=one.number,
            description=one.description,
            quantity=one.quantity,
            family=f"{one.family__maker} {one.family__name}" if one.family__name else "",
            who=one.asked_by_workshop__name,
            town=one.asked_by_workshop__town,
            asked_on=day(timezone.localdate(one.asked_at)),
            needed_by=by(day(one.needed_by)) if one.needed_by else "",
            off_road=one.off_road,
            stands=labels[one.state],
            answer_count=counts.get(one.pk, 0),
        )
        for one in listed
    ]


def _day(on: datetime.date) -> str:
    return date_format(on, "D j M")


def _by(day: str) -> str:
    return _("by %(day)s") % {"day": day}


def _answers_to(own: list[int]) -> Counter[int]:
    answers = Answer.objects.filter(request__in=own).exclude(state=Answer.State.WITHDRAWN)
    return Counter(answers.values_list("request", flat=True)) if own else Counter()
