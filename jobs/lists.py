"""Lists of fitting and proving: the network's, or the workshop's own once it has changed something.

Every member of the workshop may change its lists, and each change is an event. What may never be waived stays on them.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from diagnostics.kinds import kind_of
from jobs.models import ListedStep
from jobs.requirements.fitting import FITTING
from jobs.requirements.kinds import ByCodes, ByEntry, ByOutlook, ByRecord, Requirement
from jobs.requirements.proving import PROVING
from network.models import Event, Membership, Workshop

Stage, How = ListedStep.Stage, ListedStep.How
NETWORKS: dict[str, dict[str, tuple[Requirement, ...]]] = {Stage.FITTING: FITTING, Stage.PROVING: PROVING}


class CannotBeChanged(Exception):
    """The list stays as it is; the text says why."""


def steps_of(part: str, stage: str) -> tuple[Requirement, ...]:
    """The acting workshop's list for this part, in its order."""
    return own_lists(part=part, stage=stage).get((part, stage)) or NETWORKS[stage][part]


def stages_of(part: str) -> dict[str, tuple[Requirement, ...]]:
    """The lists for this part by their stage, read at once."""
    own = own_lists(part=part)
    return {stage: own.get((part, stage)) or NETWORKS[stage][part] for stage in Stage.values}


@dataclass(frozen=True, kw_only=True)
class Shown:
    """One step as the page of the list shows it."""

    code: str
    title: str
    ask: str
    how: str
    waivable: bool
    stays: bool


def shown(part: str, stage: str) -> list[Shown]:
    """The list with what meets each step, in words."""
    kept = _stay(part, stage)
    return [
        Shown(
            code=one.code, title=str(one.title), ask=str(getattr(one, "ask", "")), how=_how_words(one),
            waivable=one.waivable, stays=one.code in kept,
        )
        for one in steps_of(part, stage)
    ]  # fmt: skip


def _how_words(one: Requirement) -> str:
    how = str(How(_as_row(one)["how"]).label)
    if isinstance(one, ByRecord):
        how = ", ".join(str(kind.title) for code in one.kinds if (kind := kind_of(code)))
    return _("%(how)s, dead") % {"how": how} if getattr(one, "dead", False) else how


def _stay(part: str, stage: str) -> set[str]:
    """What stays on every list: steps of the network's that are never waived."""
    return {one.code for one in NETWORKS[stage][part] if not one.waivable}


def own_lists(**only: str) -> dict[tuple[str, str], tuple[Requirement, ...]]:
    """By part and stage, each list that the acting workshop has made its own; `only` those of a part or stage."""
    rows = groupby(ListedStep.objects.filter(**only), key=lambda row: (row.part, row.stage))
    return {which: tuple(map(_as_requirement, steps)) for which, steps in rows}


@transaction.atomic
def add(*, part: str, stage: str, by: Membership, **typed: Any) -> ListedStep:
    """Put a step at the end of the list."""
    rows = _made_own(part, stage, by)
    taken = {row.code for row in rows}
    code = next(f"own_{n}" for n in range(1, len(taken) + 2) if f"own_{n}" not in taken)
    row = ListedStep(part=part, stage=stage, code=code, position=len(rows) + 1, **typed)
    row.save()
    _changed("step_listed", row, by)
    return row


@transaction.atomic
def change(*, part: str, stage: str, code: str, title: str, ask: str, by: Membership) -> None:
    """Call a step otherwise, or ask for other words; what meets it stays."""
    row = _row_of(_made_own(part, stage, by), code)
    row.title, row.ask = title, ask
    row.save(update_fields=["title", "ask"])
    _changed("listed_step_changed", row, by)


@transaction.atomic
def move(*, part: str, stage: str, code: str, up: bool, by: Membership) -> None:
    """One place towards the top or the end of the list; at its end it stays."""
    rows = _made_own(part, stage, by)
    here = rows.index(_row_of(rows, code))
    there = max(0, here - 1) if up else min(len(rows) - 1, here + 1)
    rows.insert(there, rows.pop(here))
    _number(rows)
    _changed("listed_step_moved", rows[there], by)


@transaction.atomic
def take_out(*, part: str, stage: str, code: str, by: Membership) -> None:
    """Do without a step from now on. Raises CannotBeChanged for what is never waived, and for the last step."""
    rows = _made_own(part, stage, by)
    row = _row_of(rows, code)
    if code in _stay(part, stage):
        raise CannotBeChanged(_("“%(title)s” stays on every list.") % {"title": row.title})
    if len(rows) == 1:
        raise CannotBeChanged(_("A list has at least one step."))
    _changed("listed_step_taken_out", row, by)
    row.delete()
    _number([one for one in rows if one is not row])


@transaction.atomic
def back_to_the_networks(*, part: str, stage: str, by: Membership) -> None:
    """The network's list holds again."""
    rows = list(ListedStep.objects.filter(part=part, stage=stage))
    for row in rows:
        row.delete()
    if rows:
        Event.record("list_given_up", by.workshop, by=by.person, workshop=by.workshop, part=part, stage=stage)


@dataclass(frozen=True, kw_only=True)
class Change:
    """One change of a list: when, who, and what."""

    at: datetime.datetime
    by: str
    words: str


def changes(workshop: Workshop, part: str, stage: str) -> list[Change]:
    """Who changed this list, newest first; the newest twenty."""
    words = {
        "step_listed": _("put on the list: %(step)s"),
        "listed_step_changed": _("called otherwise: %(step)s"),
        "listed_step_moved": _("moved: %(step)s"),
        "listed_step_taken_out": _("taken out: %(step)s"),
        "list_given_up": _("the network’s list again"),
    }
    titles = {one.code: str(one.title) for one in (*NETWORKS[stage][part], *steps_of(part, stage))}
    found = Event.objects.filter(workshop=workshop, verb__in=words, facts__part=part, facts__stage=stage)
    return [
        Change(
            at=one.at,
            by=str(one.by),
            words=words[one.verb] % {"step": titles.get(one.facts.get("code", ""), _("a step of its own"))},
        )
        for one in found.select_related("by").order_by("-at", "-pk")[:20]
    ]


def _changed(verb: str, row: ListedStep, by: Membership) -> None:
    Event.record(verb, row, by=by.person, workshop=by.workshop, part=row.part, stage=row.stage, code=row.code)


def _made_own(part: str, stage: str, by: Membership) -> list[ListedStep]:
    """The workshop's own rows, in order; at the first change they are made from the network's list."""
    Workshop.objects.select_for_update().get(pk=by.workshop_id)  # two who change at once come one after the other
    rows = list(ListedStep.objects.filter(part=part, stage=stage))
    if rows:
        return rows
    for position, one in enumerate(NETWORKS[stage][part], start=1):
        row = ListedStep(part=part, stage=stage, position=position, **_as_row(one))
        row.save()
        rows.append(row)
    return rows


def _number(rows: list[ListedStep]) -> None:
    for position, row in enumerate(rows, start=1):
        ListedStep.objects.filter(pk=row.pk).update(position=position)


def _row_of(rows: list[ListedStep], code: str) -> ListedStep:
    row = next((one for one in rows if one.code == code), None)
    if row is None:
        raise CannotBeChanged(_("Somebody took this step out meanwhile."))
    return row


def _as_row(one: Requirement) -> dict[str, Any]:
    row: dict[str, Any] = {"code": one.code, "title": str(one.title), "waivable": one.waivable}
    match one:
        case ByEntry():
            return row | {"how": How.TORQUE if one.torque else How.WORDS, "ask": str(one.ask), "dead": one.dead}
        case ByRecord():
            return row | {"how": How.RECORD, "kinds": list(one.kinds)}
        case ByCodes():
            return row | {"how": How.CODES}
        case _:
            return row | {"how": How.OUTLOOK}


def _as_requirement(row: ListedStep) -> Requirement:
    same: dict[str, Any] = {"code": row.code, "title": row.title, "waivable": row.waivable}
    match row.how:
        case How.RECORD:
            return ByRecord(kinds=tuple(row.kinds), **same)
        case How.CODES:
            return ByCodes(**same)
        case How.OUTLOOK:
            return ByOutlook(**same)
        case _:
            return ByEntry(ask=row.ask, torque=row.how == How.TORQUE, dead=row.dead, **same)
