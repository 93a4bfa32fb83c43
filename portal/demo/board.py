"""Requests on the demo's board, in every state, with answers, through the verbs of sourcing."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from decimal import Decimal

from diagnostics.models import SharedSheet, SystemFamily
from network.models import Region
from parts import sourcing
from parts.models import Answer, PartRequest
from portal.demo.board_ways import (
    core_goes_back,
    load_borders,
    load_talk,
    load_watching,
    more_of,
    plate_of,
    send_off,
)
from portal.demo.network import Cast
from portal.demo.numbers import NUMBERS

HAUTPRE = "Ateliers Hautpré"

# who asks, number, what, family, marks, off the road, days until needed (None: no hurry), regions (None: all)
REQUESTS = [
    ("Garage Trois Tilleuls", "LN 40 118-2", "Charger, on board", "kestrel", "board print C or later", True, 9, None),
    ("Stroomwerk Veluwe", "LN 27 330-1", "Cabin compressor", "vireo", "green dot beside the plate", False, 21, None),
    ("Volthaus Ruhr", "TH 31 902", "Inverter, one machine stage", "tarsis", "label B2", True, 5, None),
    ("Atelier Alzette", "MK 12 700-4", "DC converter", "marsk", "", False, None, None),
    ("Accuhuis Limburg", "LN 27 014-0", "Battery block, 14.4 V", "vireo", "matched in pairs", False, 14, None),
    ("Hybridhof Rheinaue", "LN 27 411-0", "Inverter with two machine stages", "vireo", "two dots", True, 7, None),
    (HAUTPRE, "TH 31 440-1", "Coolant pump of the inverter", "tarsis", "grey plug", False, 18, ("rur", "mosel")),
    (HAUTPRE, "LN 27 418", "Coupling kit", "vireo", "", False, None, None),
    ("Garage Sûre", "LN 40 205-0", "Contactor, main plus", "kestrel", "coil 12 V, brown housing", True, 4, None),
    ("Werkplaats De Peel", "MK 12 118-7", "Insulation monitor board", "marsk", "print rev. 5", False, 25, ("ijssel",)),
    ("Garage Siebenberg", "TH 30 077", "Position sensor of the machine", "tarsis", "", False, 12, ("rur", "meuse")),
    ("Werkhuis Papegaai", "LN 27 330-1", "Cabin compressor", "vireo", "", True, 6, None),
]


@dataclass(frozen=True, kw_only=True)
class Offered:
    """An answer as its workshop would type it."""

    number: str  # of the request, and who asked it
    asker: str
    who: str
    offer: str
    price: str
    freight: str
    condition: str
    days: int
    marks: str = ""
    remark: str = ""
    currency: str = "EUR"


def _to_hautpre(who: str, offer: str, price: str, freight: str, condition: str, days: int, **more: str) -> Offered:
    return Offered(
        number="LN 27 410-0", asker=HAUTPRE, who=who, offer=offer, price=price, freight=freight, condition=condition,
        days=days, **more,
    )  # fmt: skip


ANSWERS = [
    _to_hautpre("Hybridwerk Rureifel", "have_one", "340.00", "72.50", "used", 7, marks="two dots",
                remark="Sockets and seals whole"),
    _to_hautpre("Atelier Moutfort", "can_be_repaired", "455.00", "81.00", "rebuilt", 13,
                remark="Your own unit, new power stage; carriage both ways"),
    _to_hautpre("Elektrohal De Kolk", "can_get_one", "1090.00", "58.00", "new", 6, marks="two dots", remark="Sealed"),
    Offered(number="LN 40 118-2", asker="Garage Trois Tilleuls", who="Elektrohal De Kolk", offer="have_one",
            price="610.00", freight="40.00", condition="used", days=4, marks="board print D"),
    Offered(number="LN 40 118-2", asker="Garage Trois Tilleuls", who=HAUTPRE, offer="can_be_repaired",
            price="390.00", freight="45.00", condition="rebuilt", days=10),
    Offered(number="TH 31 902", asker="Volthaus Ruhr", who="Hybridwerk Rureifel", offer="have_one", price="720.00",
            freight="35.00", condition="used", days=2, marks="label B2"),
    Offered(number="LN 27 014-0", asker="Accuhuis Limburg", who=HAUTPRE, offer="have_one", price="38.00",
            freight="14.00", condition="used", days=5, marks="one pair, 0.01 V apart"),
    Offered(number="TH 31 440-1", asker=HAUTPRE, who="Garage Hunsrückhöhe", offer="can_get_one", price="129.00",
            freight="9.80", condition="new", days=5, marks="grey plug"),
    Offered(number="LN 27 418", asker=HAUTPRE, who="Garage Klaverblad", offer="have_one", price="64.00",
            freight="12.00", condition="new_old_stock", days=3),
    Offered(number="LN 40 205-0", asker="Garage Sûre", who="Elektromeister Eifel", offer="have_one", price="88.00",
            freight="11.50", condition="new_old_stock", days=2, marks="coil 12 V, brown housing"),
    Offered(number="TH 30 077", asker="Garage Siebenberg", who="Garage Condroz-Volt", offer="can_get_one",
            price="152.00", freight="18.00", condition="new", days=8, currency="CHF",
            remark="Comes from across the border; price without their tax"),
]  # fmt: skip

# accepted of whom by whom, and what was seen on receipt: number and marks as ordered, remark (None: on its way)
SETTLED: list[tuple[str, str, str, tuple[bool, bool, str] | None]] = [
    ("LN 40 118-2", "Garage Trois Tilleuls", "Elektrohal De Kolk", None),
    ("TH 31 902", "Volthaus Ruhr", "Hybridwerk Rureifel", (True, True, "")),
    ("TH 31 440-1", HAUTPRE, "Garage Hunsrückhöhe", (True, False, "The plug is black, not grey. It does not lock.")),
    ("LN 27 418", HAUTPRE, "Garage Klaverblad", None),
    ("LN 27 014-0", "Accuhuis Limburg", HAUTPRE, None),
    ("LN 40 205-0", "Garage Sûre", "Elektromeister Eifel", (True, True, "")),
]
WITHDRAWN = [("MK 12 700-4", "Atelier Alzette")]


def load_board(*, cast: Cast, families: dict[str, SystemFamily], today: datetime.date) -> None:
    """A dozen requests in every state; three answers wait for Ateliers Hautpré, whose job asked for an inverter."""
    load_borders(cast=cast, today=today)
    load_watching(cast=cast)
    regions = {region.code: region for region in Region.objects.all()}
    kinds = {number: kind for number, _maker, kind, *_more in NUMBERS}
    for who, number, what, family, marks, off_road, days, codes in REQUESTS:
        sourcing.ask(
            request=PartRequest(
                number=number, description=what, family=families[family], marks=marks, off_road=off_road,
                part_kind=kinds.get(number, ""),
                needed_by=today + datetime.timedelta(days=days) if days is not None else None,
            ),
            regions=[regions[code] for code in codes or regions],
            by=cast.member(who),
        )  # fmt: skip
    given = {(one.number, one.asker, one.who): _answer(cast, one) for one in ANSWERS}
    for number, asker, chosen, seen in SETTLED:
        accepted = given[number, asker, chosen]
        sourcing.accept(answer=accepted, by=cast.member(asker))
        if seen is not None or chosen == "Garage Klaverblad":
            send_off(cast=cast, answer=accepted, today=today)
        if seen is not None:
            as_ordered, marked, remark = seen
            sourcing.receive(
                request=_asked(number, asker), by=cast.member(asker), number_as_ordered=as_ordered,
                marks_as_ordered=marked, remark=remark,
            )  # fmt: skip
        if seen is not None and accepted.core_deposit is not None:
            core_goes_back(cast=cast, answer=accepted, asker=asker, today=today)
    for number, asker in WITHDRAWN:
        sourcing.withdraw(request=_asked(number, asker), by=cast.member(asker))
    load_talk(cast=cast, asked=_asked("LN 27 410-0", HAUTPRE))


def _asked(number: str, asker: str) -> PartRequest:
    return PartRequest.objects.get(number=number, asked_by_workshop__name=asker)


def _answer(cast: Cast, given: Offered) -> Answer:
    by = cast.member(given.who)
    facts = {
        "offer": given.offer, "price": Decimal(given.price), "freight": Decimal(given.freight),
        "currency": given.currency, "condition": given.condition, "days_to_arrive": given.days, "marks": given.marks,
        "remark": given.remark,
    }  # fmt: skip
    answer = Answer(**facts | more_of(given.number, given.who))
    if given.offer == "have_one" and given.number == "LN 27 410-0":
        answer.sheet = SharedSheet.objects.of_workshop(by.workshop).filter(part_number=given.number).first()
    request = _asked(given.number, given.asker)
    return sourcing.answer(answer=answer, request=request, by=by, plate=plate_of(given.number, given.who))
