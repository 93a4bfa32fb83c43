"""What happens round the demo's requests: evidence, cores, what travels, questions, watches, a shelf, a border."""

from __future__ import annotations

import datetime
import io
from decimal import Decimal
from typing import Any

from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image, ImageDraw

from network.access import acting_for
from network.pictures import Cleaned
from parts import asking_back, sending, shelf, watching
from parts.models import Answer, BorderRate, PartRequest, Watch
from parts.shelf_table import read_table
from portal.demo.network import Cast

HAUTPRE, RUREIFEL = "Ateliers Hautpré", "Hybridwerk Rureifel"
ELSEWHERE = "a third workshop that both name"

# Beside what the table of answers says: by number of the request and who answers.
MORE: dict[tuple[str, str], dict[str, Any]] = {
    ("LN 27 410-0", RUREIFEL): {
        "packing": Decimal("12.50"), "freight": Decimal("60.00"), "days_to_ship": 1, "trade_terms": "DAP",
        "donor_km": 92_000, "removal_reason": "car hit from behind", "storage": "dry, in the hall, ports closed",
        "warranty_months": 12, "warranty_km": 20_000, "warranty_freight": "sender",
        "warranty_exclusions": "fitted with the cause unnamed", "warranty_decided_by": ELSEWHERE,
    },
    ("LN 27 410-0", "Atelier Moutfort"): {
        "days_to_ship": 2, "warranty_months": 24, "warranty_labour": "to_a_sum",
        "warranty_labour_limit": Decimal(300), "warranty_decided_by": ELSEWHERE,
    },
    ("LN 27 410-0", "Elektrohal De Kolk"): {
        "warranty_months": 24, "core_deposit": Decimal(180), "core_criteria": "housing whole, all plugs on it",
        "core_days": 21,
    },
    ("TH 31 902", RUREIFEL): {
        "donor_km": 61_000, "removal_reason": "battery given up", "storage": "dry", "warranty_months": 6,
        "core_deposit": Decimal(150), "core_criteria": "opened by nobody", "core_days": 20,
    },
    ("LN 27 418", "Garage Klaverblad"): {"days_to_ship": 1, "warranty_months": 3},
}  # fmt: skip
PLATES = {("LN 27 410-0", RUREIFEL): ("LN 27 410-0", "LN27-104-33871", 2)}
SHELF = """Teilenummer;Bezeichnung;Menge;Zustand;Lagerort
LN 27 411-0;Inverter, second series;1;used, tested;Rack 2
LN 27 330-1;Cabin compressor;2;new, old stock;Rack 4
TH 31 440-1;Coolant pump;3;new;Drawer 11
LN 40 205-0;Contactor, main plus;1;used;Drawer 7
"""


def more_of(number: str, who: str) -> dict[str, Any]:
    """Evidence, core and warranty of an answer."""
    return dict(MORE.get((number, who), {}))


def plate_of(number: str, who: str) -> list[Cleaned]:
    """A picture of its serial plate, drawn, where the answer shows one."""
    found = PLATES.get((number, who))
    return [_plate(*found)] if found else []


def _plate(number: str, serial: str, dots: int) -> Cleaned:
    picture = Image.new("RGB", (480, 300), "#c9c4b8")
    pen = ImageDraw.Draw(picture)
    pen.rectangle((30, 40, 450, 260), outline="#333333", width=4, fill="#efece4")
    pen.text((60, 70), number, fill="#222222", font_size=44)
    pen.text((60, 150), serial, fill="#222222", font_size=30)
    for place in range(dots):
        pen.ellipse((330 + 50 * place, 200, 360 + 50 * place, 230), fill="#8c3d25")
    written = io.BytesIO()
    picture.save(written, "JPEG", quality=85)
    return Cleaned(data=written.getvalue(), width=480, height=300)


def load_borders(*, cast: Cast, today: datetime.date) -> None:
    """Two rates for ways across a border of customs; the figures are made up, as their source says."""
    for country, fee in (("BE", "14.50"), ("DE", "12.00")):
        BorderRate(
            from_country="CH", into_country=country, duty_percent=Decimal("2.7"),
            tax_percent=Decimal(21 if country == "BE" else 19), fee=Decimal(fee), currency="EUR", tax_reclaimed=True,
            valid_from=today.replace(month=1, day=1), source="figures of this demo, of no tariff",
        ).enter(by=cast.administrator)  # fmt: skip


def load_watching(*, cast: Cast) -> None:
    """Rureifel has a shelf list, and a technician who watches for inverters; before anything is asked for."""
    by = cast.member(RUREIFEL)
    with acting_for(by.workshop):
        table = read_table(SimpleUploadedFile("shelf.csv", SHELF.encode()))
        upload = shelf.put_aside(name="shelf.csv", table=table, by=by)
        shelf.take_in(upload=upload, columns=shelf.guessed(table.headers), by=by)
        watching.watch(wanted=Watch(part_kind="inverter"), by=by)


def load_talk(*, cast: Cast, asked: PartRequest) -> None:
    """A question of another workshop, and the reply that everybody reads."""
    question = asking_back.ask(
        request=asked, text="Is the coolant elbow of the 410 still on the car, or do you need it as well?",
        by=cast.member(RUREIFEL),
    )  # fmt: skip
    asking_back.ask(request=asked, text="It is on the car and whole.", by=cast.member(HAUTPRE), replies_to=question)


def send_off(*, cast: Cast, answer: Answer, today: datetime.date) -> None:
    """The part leaves."""
    sending.send(
        answer=answer, by=cast.member(answer.workshop.name), sent_on=today, carrier="Maasbode",
        tracking=f"MB 2611 {answer.pk:04d}",
    )  # fmt: skip


def core_goes_back(*, cast: Cast, answer: Answer, asker: str, today: datetime.date) -> None:
    """The core is sent, looked at, and its deposit settled but for a bent pin."""
    sending.send_core(answer=answer, by=cast.member(asker), sent_on=today, carrier="Rijnpost", tracking="RP 77 120")
    other = cast.member(answer.workshop.name)
    sending.look_at_core(
        answer=answer, by=other, arrived_on=today, as_described=False, remark="One pin of the signal plug is bent."
    )
    sending.settle_deposit(answer=answer, by=other, given_back=Decimal(130), reason="20 for the bent pin")
