"""Put right what is stated of a part number or a revision; the earlier words stay to be read, with who changed them.

Who may: what a number is and which families it fits, every member (all of them know it alike, and each correction says
why); how it is printed and whose it is, only the workshop that entered it, as long as nobody else's statement hangs on
it: then it is another number, to be entered beside it. A revision is corrected by the workshop that entered it, or by
any once that one has left the network. A second workshop confirms a revision; a correction ends the confirmation, and
whoever had confirmed it is told.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.db import IntegrityError, models, transaction
from django.db.models import Q
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from diagnostics.chain import hash_of_body
from diagnostics.models import SystemFamily
from network.models import Event, Membership, Workshop
from network.pictures import Cleaned
from network.telling import tell
from parts.entering import KnownAlready, NamedAlready, share_all
from parts.models import Correction, PartNumber, PartRevision, Supersession
from parts.numbers import normalise
from parts.sourcing import reach

OF_NUMBER = ("number", "maker", "kind", "description")
PRINTED = ("number", "maker")
OF_REVISION = (
    "name", "made", "label_mark", "dots", "board_print", "connector_colour", "why", "standing", "fault",
    "software_number", "donor_lock", "coding_route",
)  # fmt: skip


class CorrectedMeanwhile(Exception):
    """Somebody else corrected it after it was read; nothing was changed."""


class NothingDiffers(Exception):
    """What was sent is what stands."""


class NotYours(Exception):
    """These words are another workshop's to correct."""


def may_rename(number: PartNumber, *, by: Membership) -> bool:
    """Whether the number as printed, and its maker, may be put right: one's own, and nobody else has built on it."""
    if number.entered_by_workshop_id != by.workshop_id:
        return False
    others = ~Q(entered_by_workshop=by.workshop_id)
    said = Supersession.objects.filter(Q(old=number) | Q(new=number))
    return not (
        number.revisions.filter(others | Q(confirmed_by_workshop__isnull=False)).exists()
        or number.supply.exclude(seen_by_workshop=by.workshop_id).exists()
        or said.filter(others | Q(confirmed_by_workshop__isnull=False) | Q(disputed_by_workshop__isnull=False)).exists()
    )


def may_correct(revision: PartRevision, *, by: Membership) -> bool:
    entered = revision.entered_by_workshop
    return entered.pk == by.workshop_id or entered.state != Workshop.State.APPROVED


def sign_of_number(number: PartNumber) -> str:
    return hash_of_body(_words(number, OF_NUMBER) | {"families": _names(number.families.all())})


def sign_of_revision(revision: PartRevision) -> str:
    return hash_of_body(_words(revision, OF_REVISION))


@transaction.atomic
def correct_number(
    *, number: PartNumber, families: Iterable[SystemFamily], why: str, seen: str, by: Membership
) -> Correction:
    """Keep the words of `number` (a row with other words than it was read with) in place of those that stand.

    Raises CorrectedMeanwhile, NothingDiffers, NotYours, or KnownAlready where the new number is there.
    """
    standing = PartNumber.objects.select_for_update().get(pk=number.pk)
    if sign_of_number(standing) != seen:
        raise CorrectedMeanwhile
    earlier = _differing(standing, number, OF_NUMBER)
    if earlier.keys() & set(PRINTED) and not may_rename(standing, by=by):
        raise NotYours
    chosen, stood = list(families), _names(standing.families.all())
    if _names(chosen) != stood:
        earlier["families"] = stood
    if not earlier:
        raise NothingDiffers
    try:
        with transaction.atomic():
            number.save(update_fields=[*OF_NUMBER, "normalised", "reversed"])
    except IntegrityError:
        same = PartNumber.objects.filter(normalised=normalise(number=number.number), maker__iexact=number.maker)
        raise KnownAlready(same.get()) from None
    number.families.set(chosen)
    kept = Correction(part_number=number, earlier=earlier, why=why, by_workshop=by.workshop, by=by.person)
    kept.save()
    Event.record("part_number_corrected", number, by=by.person, workshop=by.workshop, fields=sorted(earlier))
    return kept


@transaction.atomic
def correct_revision(
    *, revision: PartRevision, photos: Iterable[Cleaned] = (), why: str, seen: str, by: Membership
) -> Correction:
    """Keep the words of `revision` for those that stand; further photos are added. Raises as `correct_number`."""
    standing = _locked(revision)
    if not may_correct(standing, by=by):
        raise NotYours
    if sign_of_revision(standing) != seen:
        raise CorrectedMeanwhile
    earlier, more = _differing(standing, revision, OF_REVISION), list(photos)
    if not earlier and not more:
        raise NothingDiffers
    confirmer = standing.confirmed_by, standing.confirmed_by_workshop
    revision.confirmed_by_workshop = revision.confirmed_by = revision.confirmed_at = None
    try:
        with transaction.atomic():
            revision.save()
    except IntegrityError:
        raise NamedAlready from None
    revision.pictures.add(*share_all(more, caption=f"{revision.part_number}, {revision.name}", by=by))
    kept = Correction(
        part_number=revision.part_number, revision=revision, earlier=earlier, why=why,
        was_confirmed_by=confirmer[1], by_workshop=by.workshop, by=by.person,
    )  # fmt: skip
    kept.save()
    event = Event.record("revision_corrected", revision, by=by.person, workshop=by.workshop, fields=sorted(earlier))
    if confirmer[0] and confirmer[1]:
        _tell(event, revision, people=reach(confirmer[0], confirmer[1]), by=by)
    return kept


@transaction.atomic
def confirm_revision(*, revision: PartRevision, seen: str, by: Membership) -> bool:
    """A second workshop saw the same marks. False: it is confirmed, or their own; raises CorrectedMeanwhile."""
    standing = _locked(revision)
    if sign_of_revision(standing) != seen:
        raise CorrectedMeanwhile
    open_ones = PartRevision.objects.filter(pk=revision.pk, confirmed_at__isnull=True)
    changed = open_ones.exclude(entered_by_workshop=by.workshop_id).update(
        confirmed_by_workshop=by.workshop, confirmed_by=by.person, confirmed_at=timezone.now()
    )
    if changed:
        Event.record("revision_confirmed", revision, by=by.person, workshop=by.workshop)
    return bool(changed)


def _locked(revision: PartRevision) -> PartRevision:
    rows = PartRevision.objects.select_for_update(of=("self",)).select_related(
        "entered_by_workshop", "confirmed_by_workshop", "confirmed_by"
    )
    return rows.get(pk=revision.pk)


def _tell(event: Event, revision: PartRevision, *, people: list[Any], by: Membership) -> None:
    facts = {"number": revision.part_number, "revision": revision, "who": by.workshop}
    path = reverse("number", args=[revision.part_number_id])
    tell(event, people=people, template="mail/revision_corrected.txt", facts=facts, path=path)


def _words(row: models.Model, names: Iterable[str]) -> dict[str, Any]:
    return {name: getattr(row, name) for name in names}


def _names(families: Iterable[SystemFamily]) -> list[str]:
    return sorted(str(one) for one in families)


def _differing(standing: models.Model, wanted: models.Model, names: Iterable[str]) -> dict[str, Any]:
    """The standing words of each field that is wanted otherwise."""
    stood, asked = _words(standing, names), _words(wanted, names)
    return {name: stood[name] for name in stood if stood[name] != asked[name]}


@dataclass(frozen=True, kw_only=True)
class Line:
    """One correction as it is read: what stood before, field by field; who by name for their own workshop only."""

    kept: Correction
    person: str
    earlier: tuple[tuple[str, str], ...]


def history(number: PartNumber, *, shown_to: Workshop) -> list[Line]:
    """Every correction of the number and its revisions, newest first."""
    rows = number.corrections.select_related("revision", "by_workshop", "by", "was_confirmed_by")
    return [
        Line(
            kept=one,
            person=one.by.name if one.by_workshop_id == shown_to.pk else "",
            earlier=tuple(_told(_about(one), name, stood) for name, stood in one.earlier.items()),
        )
        for one in rows
    ]


def _about(kept: Correction) -> type[models.Model]:
    return PartRevision if kept.revision_id else PartNumber


def _told(model: type[models.Model], name: str, stood: Any) -> tuple[str, str]:
    """A field and how it stood, in the words of the page."""
    field = model._meta.get_field(name)
    if isinstance(stood, list):
        words = ", ".join(stood)
    else:
        words = str(dict(getattr(field, "flatchoices", ())).get(stood, "" if stood is None else stood))
    return str(getattr(field, "verbose_name", name)), words or _("nothing")
