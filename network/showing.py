"""What the finding pages show of a workshop: who is proved to be qualified for what, and until when."""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

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


def proof_line(proof: Qualification, wanted: int = 0) -> ProofLine:
    """The proof as it stands today; `wanted` are the bits of the work that was asked for, which is named first."""
    day = timezone.localdate()
    seen = proof.verified_on or day
    span = max((proof.expires_on - seen).days, 1)
    state = "over" if proof.expires_on < day else "soon" if proof.expires_on - day < SOON else "valid"
    return ProofLine(
        who=proof.holder.name,
        what=_what(proof.work_bits, wanted),
        how=proof.get_proof_display(),
        title=proof.title,
        issuer=proof.issuer,
        today=100 * (day - seen).days / span,
        state=state,
        from_text=_("seen %(day)s") % {"day": date_format(seen, "j M Y")},
        until_text=_("runs to %(day)s") % {"day": date_format(proof.expires_on, "j M Y")},
    )


def _what(bits: int, wanted: int) -> str:
    """The work that a proof covers: all of it, or what was asked for and how much besides."""
    asked = work.phrases(bits & wanted)
    besides = len(work.from_bits(bits & ~wanted))
    if not asked:
        return ", ".join(work.phrases(bits))
    if not besides:
        return ", ".join(asked)
    return ngettext("%(asked)s, and one other kind of work", "%(asked)s, and %(n)d other kinds of work", besides) % {
        "asked": ", ".join(asked),
        "n": besides,
    }


def lines_for(proofs: Sequence[Qualification], codes: Sequence[str]) -> list[ProofLine]:
    """The proofs that bear on the wanted work, the one that runs longest first; all of them where nothing is wanted."""
    bits = work.to_bits(codes)
    bearing = [proof for proof in proofs if not bits or proof.work_bits & bits]
    return [proof_line(proof, bits) for proof in sorted(bearing, key=lambda proof: proof.expires_on, reverse=True)]


def kilometres(distance_km: float) -> str:
    """A distance as people say it, in whole kilometres: a postcode's point is no more exact."""
    return f"{distance_km:.0f}" if distance_km >= 1.0 else _("less than 1")


def spelt(number: int) -> str:
    """A number that begins a sentence: in letters up to nine."""
    words = (_("One"), _("Two"), _("Three"), _("Four"), _("Five"), _("Six"), _("Seven"), _("Eight"), _("Nine"))
    return words[number - 1] if 0 < number <= len(words) else str(number)


@dataclass(frozen=True, kw_only=True)
class Shown:
    """A found workshop in the list: its number on the map, distance in words, and its proofs."""

    number: int
    found: finding.Found
    distance: str
    proofs: list[ProofLine]
    abroad: str  # the country's name where it is another one than the searched place's


def shown(
    found: Sequence[finding.Found], codes: Sequence[str], *, country: str, countries: Mapping[str, str], first: int = 1
) -> list[Shown]:
    return [
        Shown(
            number=number,
            found=one,
            distance=kilometres(one.distance_km),
            proofs=lines_for(one.proofs, codes),
            abroad="" if one.workshop.country == country else countries.get(one.workshop.country, one.workshop.country),
        )
        for number, one in enumerate(found, start=first)
    ]
