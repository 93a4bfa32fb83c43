"""Three workshops in three regions round the board: Hautpré asks, Rureifel and Moutfort can answer."""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from network.models import Membership, Notice
from parts.models import PartRequest
from tests.cast import make_member, make_region, make_request, make_workshop


@dataclass(frozen=True, kw_only=True)
class Board:
    asker: Membership  # a technician of Ateliers Hautpré, in "meuse"
    colleague: Membership  # the manager of Ateliers Hautpré
    rureifel: Membership  # the manager of Hybridwerk Rureifel, in "rur"
    moutfort: Membership  # the manager of Atelier Moutfort, in "mosel"
    request: PartRequest  # of the asker, to every region, open


def make_board() -> Board:
    meuse, rur, mosel = make_region("meuse"), make_region("rur"), make_region("mosel")
    asking = make_workshop("Ateliers Hautpré", region=meuse)
    asker = make_member(asking, name="Ilse Vandamme")
    colleague = make_member(asking, "manager", name="Corinne Hautpré")
    rureifel = make_member(make_workshop("Hybridwerk Rureifel", region=rur), "manager", name="Anke Brockhausen")
    moutfort = make_member(make_workshop("Atelier Moutfort", region=mosel), "manager", name="Claude Moutfort")
    request = make_request(asker)
    return Board(asker=asker, colleague=colleague, rureifel=rureifel, moutfort=moutfort, request=request)


@pytest.fixture
def board(db: None) -> Board:
    return make_board()


def told(verb: str) -> set[str]:
    """Names of the people who have a notice about events of this kind; founders of workshops are left out."""
    names = Notice.objects.filter(event__verb=verb).values_list("person__name", flat=True)
    return {str(name) for name in names if not str(name).startswith("Founder of")}
