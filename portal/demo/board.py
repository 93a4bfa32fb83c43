"""Requests on the demo's board, in every state, with answers, through the verbs of sourcing."""

from __future__ import annotations

import datetime
from decimal import Decimal

from diagnostics.models import SystemFamily
from network.models import Region
from parts import sourcing
from parts.models import Answer, PartRequest
from portal.demo.network import Cast

# who asks, number, what, family, marks, off the road, days until needed
REQUESTS = [
    ("Garage Trois Tilleuls", "LN 40 118-2", "Charger, on board", "kestrel", "board print C or later", True, 9),
    ("Stroomwerk Veluwe", "LN 27 330-1", "Cabin compressor", "vireo", "green dot beside the plate", False, 21),
    ("Volthaus Ruhr", "TH 31 902", "Inverter, one machine stage", "tarsis", "label B2", True, 5),
    ("Atelier Alzette", "MK 12 700-4", "DC converter", "marsk", "", False, 30),
    ("Accuhuis Limburg", "LN 27 014-0", "Battery block, 14.4 V", "vireo", "matched in pairs", False, 14),
    ("Hybridhof Rheinaue", "LN 27 411-0", "Inverter with two machine stages", "vireo", "two dots", True, 7),
]

# who answers, offer, price, freight, condition, days, marks; to the request of Ateliers Hautpré
ANSWERS = [
    ("Hybridwerk Rureifel", "have_one", "340.00", "72.50", "used", 7, "two dots"),
    ("Atelier Moutfort", "can_be_repaired", "455.00", "81.00", "rebuilt", 13, ""),
    ("Elektrohal De Kolk", "can_get_one", "1090.00", "58.00", "new", 6, "two dots"),
]


def load_board(*, cast: Cast, families: dict[str, SystemFamily], today: datetime.date) -> None:
    """A few requests of others, one answered and accepted, one received, and three answers for Ateliers Hautpré."""
    asked = [_ask(cast, families, today, *facts) for facts in REQUESTS]
    own = PartRequest.objects.get(asked_by_workshop=cast.hautpre, state=PartRequest.State.OPEN)
    for facts in ANSWERS:
        _answer(cast, own, *facts)
    settled = _answer(cast, asked[0], "Elektrohal De Kolk", "have_one", "610.00", "40.00", "used", 4, "board print D")
    sourcing.accept(answer=settled, by=cast.member("Garage Trois Tilleuls"))
    arrived = _answer(cast, asked[2], "Hybridwerk Rureifel", "have_one", "720.00", "35.00", "used", 2, "label B2")
    asker = cast.member("Volthaus Ruhr")
    sourcing.accept(answer=arrived, by=asker)
    sourcing.receive(request=asked[2], by=asker, number_as_ordered=True, marks_as_ordered=True, remark="")
    sourcing.withdraw(request=asked[3], by=cast.member("Atelier Alzette"))


def _ask(
    cast: Cast,
    families: dict[str, SystemFamily],
    today: datetime.date,
    who: str,
    number: str,
    what: str,
    family: str,
    marks: str,
    off_road: bool,
    days: int,
) -> PartRequest:
    request = PartRequest(
        number=number,
        description=what,
        family=families[family],
        marks=marks,
        off_road=off_road,
        needed_by=today + datetime.timedelta(days=days),
    )
    return sourcing.ask(request=request, regions=list(Region.objects.all()), by=cast.member(who))


def _answer(
    cast: Cast,
    request: PartRequest,
    who: str,
    offer: str,
    price: str,
    freight: str,
    condition: str,
    days: int,
    marks: str,
) -> Answer:
    answer = Answer(
        offer=offer,
        price=Decimal(price),
        freight=Decimal(freight),
        currency="EUR",
        condition=condition,
        days_to_arrive=days,
        marks=marks,
    )
    return sourcing.answer(answer=answer, request=request, by=cast.member(who))
