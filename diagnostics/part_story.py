"""What was measured on one part over time: the own sheets and what other members show, by serial and part number.

A part is followed by what stands on its plate. Two makers may use one serial number, so copies of other members are
only taken for the same part when the part number is the same as well; where it wasn't asked, each row names it.
"""

from __future__ import annotations

import datetime
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.db.models import Prefetch
from django.urls import reverse
from django.utils import timezone

from diagnostics.calculations.verdicts import Verdict
from diagnostics.models import Record, SharedSheet, Sheet
from diagnostics.plates import flat
from network.models import Workshop

WORST_FIRST = (Verdict.OUTSIDE, Verdict.UNPROVEN, Verdict.WITHIN)
MOST = 200


@dataclass(frozen=True, kw_only=True)
class Stage:
    """One sheet in the life of the part."""

    on: datetime.date
    occasion: str
    title: str
    number: str
    serial: str
    workshop: Workshop
    url: str
    own: bool
    counted: Counter[str]  # standing records by verdict

    @property
    def verdict(self) -> str:
        """The worst of its standing records; empty where there is none."""
        return next((one.value for one in WORST_FIRST if self.counted[one.value]), "")

    @property
    def records(self) -> int:
        return self.counted.total()


def story(*, number: str, serial: str, workshop: Workshop) -> list[Stage]:
    """Every stage of the part, in order of time; empty where neither number nor serial holds a letter or digit."""
    wanted = {name: text for name, text in (("flat_number", flat(number)), ("flat_serial", flat(serial))) if text}
    if not wanted:
        return []
    standing = Prefetch("records", Record.objects.standing(), to_attr="standing_records")
    own = Sheet.objects.filter(**wanted).order_by("-made_at").prefetch_related(standing)[:MOST]
    shown = SharedSheet.objects.shown().filter(**wanted).exclude(shared_by_workshop=workshop)
    others = shown.select_related("shared_by_workshop")[:MOST]
    stages = [_own(sheet, workshop) for sheet in own] + [_shown(copy) for copy in others]
    return sorted(stages, key=lambda stage: stage.on)


def _own(sheet: Any, workshop: Workshop) -> Stage:
    records: list[Record] = sheet.standing_records
    first = min((record.taken_at for record in records), default=sheet.made_at)
    return Stage(
        on=timezone.localdate(first),
        occasion=sheet.get_occasion_display(),
        title=sheet.title,
        number=sheet.part_number,
        serial=sheet.part_serial,
        workshop=workshop,
        url=reverse("sheet", args=[sheet.pk]),
        own=True,
        counted=Counter(record.verdict for record in records),
    )


def _shown(copy: SharedSheet) -> Stage:
    records: Iterable[dict[str, Any]] = copy.body["records"]
    corrected = {one["replaces"] for one in records}
    days = [datetime.date.fromisoformat(one["taken_on"]) for one in records]
    occasions = dict(Sheet.Occasion.choices)
    return Stage(
        on=min(days, default=timezone.localdate(copy.shared_at)),
        occasion=str(occasions.get(copy.occasion, "")),
        title=copy.title,
        number=copy.part_number,
        serial=copy.part_serial,
        workshop=copy.shared_by_workshop,
        url=reverse("shared_sheet", args=[copy.pk]),
        own=False,
        counted=Counter(one["verdict"] for one in records if one["sequence"] not in corrected),
    )
