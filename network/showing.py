"""What the finding pages show of a workshop: who is proved to be qualified for what, and until when."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from network import finding, work
from network.models import Qualification

SOON = datetime.timedelta(days=60)


@dataclass(frozen=True, kw_only=True)
class ProofLine:
    """A proof on its line: how far today lies between the day it was seen and the day it runs out."""

    who: str
    what: str
    how: str
    title: str
    issuer: str
    today: float
    state: str
    from_text: str
    until_text: str


def proof_line(proof: Qualification, on: datetime.date | None = None) -> ProofLine:
    day = on or timezone.localdate()
    seen = proof.verified_on or day
    span = max((proof.expires_on - seen).days, 1)
    state = "over" if proof.expires_on < day else "soon" if proof.expires_on - day < SOON else "valid"
    return ProofLine(
        who=proof.holder.name,
        what=", ".join(label.lower() for label in proof.covers),
        how=proof.get_proof_display(),
        title=proof.title,
        issuer=proof.issuer,
        today=100 * (day - seen).days / span,
        state=state,
        from_text=_("seen %(day)s") % {"day": date_format(seen, "j M Y")},
        until_text=_("runs to %(day)s") % {"day": date_format(proof.expires_on, "j M Y")},
    )


def lines_for(proofs: Sequence[Qualification], codes: Sequence[str]) -> list[ProofLine]:
    """The proofs that bear on the wanted work, the one that runs longest first; all of them where nothing is wanted."""
    bits = work.to_bits(codes)
    bearing = [proof for proof in proofs if not bits or proof.work_bits & bits]
    return [proof_line(proof) for proof in sorted(bearing, key=lambda proof: proof.expires_on, reverse=True)]


def kilometres(distance_km: float) -> str:
    """A distance as people say it: one decimal below ten kilometres, whole ones above."""
    return f"{distance_km:.1f}" if distance_km < 9.95 else f"{distance_km:.0f}"


@dataclass(frozen=True, kw_only=True)
class Shown:
    """A found workshop in the list: its number on the map, distance in words, and its proofs."""

    number: int
    found: finding.Found
    distance: str
    proofs: list[ProofLine]


def shown(found: Sequence[finding.Found], codes: Sequence[str]) -> list[Shown]:
    return [
        Shown(number=n, found=one, distance=kilometres(one.distance_km), proofs=lines_for(one.proofs, codes))
        for n, one in enumerate(found, start=1)
    ]
