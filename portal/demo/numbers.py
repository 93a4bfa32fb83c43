"""Part numbers of the invented makers: what replaced what, revisions under one number, each region's supply."""

from __future__ import annotations

import datetime
import io
from typing import Any

from PIL import Image, ImageDraw, ImageFont

from diagnostics.models import SystemFamily
from network.models import Region
from network.pictures import Cleaned
from parts import correcting, entering, superseding
from parts.models import PartNumber, PartRevision, Supersession, SupplyReport
from portal.demo.network import Cast

HAUTPRE, RUREIFEL, MOUTFORT = "Ateliers Hautpré", "Hybridwerk Rureifel", "Atelier Moutfort"
DE_KOLK, SCHELDE, RUHR = "Elektrohal De Kolk", "Garage Schelde-Oost", "Volthaus Ruhr"

# number, maker, kind, description, families, who entered it
NUMBERS: list[tuple[str, str, str, str, tuple[str, ...], str]] = [
    ("LN 27 408-0", "Lanner", "inverter", "Inverter, first series", ("vireo",), HAUTPRE),
    ("LN 27 410-0", "Lanner", "inverter", "Inverter, two machine stages", ("vireo",), HAUTPRE),
    ("LN 27 410-9", "Lanner", "inverter", "Exchange unit, core needed", ("vireo",), RUREIFEL),
    ("LN 27 411-0", "Lanner", "inverter", "Inverter, second series", ("vireo",), RUREIFEL),
    ("LN 27 418", "Lanner", "other", "Coupling kit for the 411", ("vireo",), RUREIFEL),
    ("LN 27 014-0", "Lanner", "battery_module", "Battery block, 14.4 V", ("vireo",), HAUTPRE),
    ("LN 27 330-1", "Lanner", "cabin_compressor", "Cabin compressor", ("vireo",), MOUTFORT),
    ("LN 40 001-3", "Lanner", "traction_battery", "Traction battery, 62 kWh", ("kestrel",), DE_KOLK),
    ("LN 40 090-0", "Lanner", "pyro_switch", "Pyrotechnic disconnect", ("kestrel",), DE_KOLK),
    ("LN 40 118-2", "Lanner", "charger", "Charger, on board", ("kestrel",), DE_KOLK),
    ("LN 40 118-3", "Lanner", "charger", "Charger, on board, 11 kW", ("kestrel",), DE_KOLK),
    ("LN 40 205-0", "Lanner", "contactors", "Contactor, main plus", ("kestrel",), RUHR),
    ("TH 31 902", "Tarnholt", "inverter", "Inverter, one machine stage", ("tarsis",), RUHR),
    ("TH 31 440-1", "Tarnholt", "cooling", "Coolant pump of the inverter", ("tarsis",), HAUTPRE),
    ("MK 12 700-4", "Marsk", "dc_converter", "DC converter", ("marsk",), SCHELDE),
    ("MK 12 118-7", "Marsk", "control_board", "Insulation monitor board", ("marsk",), SCHELDE),
]

# number, who, what is known; the dots of a photo are those of the revision
REVISIONS: list[tuple[str, str, dict[str, Any]]] = [
    ("LN 27 410-0", HAUTPRE, {
        "name": "No dot", "dots": 0, "made": "To week 14 of 2014", "standing": "known_to_fail",
        "fault": "the control board loses a gate driver when warm and burns a new power stage",
        "board_print": "CB-3", "software_number": "27410-A1",
    }),
    ("LN 27 410-0", HAUTPRE, {
        "name": "One dot", "dots": 1, "made": "To week 40 of 2015", "why": "New control board, old power stage",
        "board_print": "CB-4", "software_number": "27410-A3",
    }),
    ("LN 27 410-0", RUREIFEL, {
        "name": "Two dots", "dots": 2, "made": "From week 41 of 2015", "why": "Both renewed: ask for this one",
        "standing": "no_fault_known", "board_print": "CB-4", "connector_colour": "grey signal plug",
        "software_number": "27410-B1", "donor_lock": "codable",
        "coding_route": "maker’s diagnostic licence; immobiliser learnt with both keys",
    }),
    ("TH 31 440-1", HAUTPRE, {
        "name": "Grey plug", "connector_colour": "grey", "why": "Plug that locks", "standing": "no_fault_known",
    }),
    ("TH 31 440-1", RUHR, {
        "name": "Black plug", "connector_colour": "black", "made": "First series", "standing": "known_to_fail",
        "fault": "the plug does not lock and shakes loose",
    }),
    ("LN 40 118-2", DE_KOLK, {
        "name": "Print C", "board_print": "C or later", "why": "Relay of the neutral renewed",
        "donor_lock": "uncodable", "coding_route": "paired with the car’s control unit for good",
    }),
]  # fmt: skip

# old, new, who states it, who confirms it, facts; a region by its code
STATEMENTS: list[tuple[str, str, str, str, dict[str, Any]]] = [
    ("LN 27 408-0", "LN 27 410-0", HAUTPRE, RUREIFEL, {
        "since": "2013-03-01", "backwards": "no", "evidence": "Lanner parts bulletin 13-22",
        "conditions": "the 410 has another coolant elbow: take the hose of the 410",
    }),
    ("LN 27 410-0", "LN 27 411-0", RUREIFEL, MOUTFORT, {
        "since": "2016-09-01", "backwards": "no", "evidence": "Lanner parts bulletin 16-77",
        "conditions": "needs coupling kit LN 27 418; a 410 does not go where a 411 was",
    }),
    ("LN 27 410-0", "LN 27 410-9", RUREIFEL, "", {
        "kind": "instead", "region": "rur", "since": "2019-02-01", "evidence": "label of a delivered exchange unit",
        "conditions": "only against the old unit; the core must be whole",
    }),
    ("LN 40 118-2", "LN 40 118-3", DE_KOLK, "", {
        "region": "ijssel", "since": "2021-05-01", "evidence": "the counter’s list of May 2021",
    }),
]  # fmt: skip

# number, region, standing, how many days ago, who, where seen
SUPPLY: list[tuple[str, str, str, int, str, str]] = [
    ("LN 27 408-0", "meuse", "withdrawn", 12, HAUTPRE, "the maker’s counter"),
    ("LN 27 408-0", "rur", "withdrawn", 40, RUREIFEL, "the maker’s counter"),
    ("LN 27 410-0", "meuse", "withdrawn", 3, HAUTPRE, "the maker’s counter"),
    ("LN 27 410-0", "rur", "back-ordered", 9, RUREIFEL, "a wholesaler’s list"),
    ("LN 27 410-0", "ijssel", "back-ordered", 230, DE_KOLK, "the maker’s counter"),
    ("LN 27 410-0", "mosel", "refused", 21, MOUTFORT, "letter of the importer"),
    ("LN 27 410-9", "rur", "available", 9, RUREIFEL, "the maker’s counter"),
    ("LN 27 411-0", "meuse", "available", 3, HAUTPRE, "the maker’s counter"),
    ("LN 27 411-0", "rur", "available", 95, RUREIFEL, "a wholesaler’s list"),
    ("LN 27 411-0", "mosel", "refused", 21, MOUTFORT, "letter of the importer"),
    ("LN 40 118-2", "ijssel", "withdrawn", 60, DE_KOLK, "the maker’s counter"),
    ("LN 40 118-3", "ijssel", "back-ordered", 14, DE_KOLK, "the maker’s counter"),
    ("LN 40 001-3", "ijssel", "refused", 33, DE_KOLK, "the maker’s counter"),
]


def load_numbers(*, cast: Cast, families: dict[str, SystemFamily], today: datetime.date) -> None:
    """Through the verbs that members use; the second workshops confirm, and one disputes."""
    regions = {region.code: region for region in Region.objects.all()}
    known = {
        number: entering.enter_number(
            number=PartNumber(number=number, maker=maker, kind=kind, description=what),
            families=[families[key] for key in fits],
            by=cast.member(who),
        )
        for number, maker, kind, what, fits, who in NUMBERS
    }
    for number, who, facts in REVISIONS:
        photos = [plate_photo(number, facts["dots"])] if facts.get("dots") else []
        revision = PartRevision(part_number=known[number], **facts)
        entering.enter_revision(revision=revision, photos=photos, by=cast.member(who))
    _second_looks(cast, known)
    for old, new, who, second, facts in STATEMENTS:
        where = {"region": regions[facts["region"]]} if "region" in facts else {}
        statement = Supersession(old=known[old], new=known[new], **facts | where)
        superseding.state(statement=statement, by=cast.member(who))
        if second:
            superseding.confirm(statement=statement, by=cast.member(second))
    superseding.dispute(
        statement=Supersession.objects.get(old=known["LN 40 118-2"]), by=cast.member(SCHELDE),
        reason="Ours came with another bracket and no cable: it does not fit without both.",
    )  # fmt: skip
    for number, region, standing, days, who, source in SUPPLY:
        report = SupplyReport(
            part_number=known[number], region=regions[region], standing=standing, source=source,
            seen_on=today - datetime.timedelta(days=days),
        )  # fmt: skip
        entering.report_supply(report=report, by=cast.member(who))


def _second_looks(cast: Cast, known: dict[str, PartNumber]) -> None:
    """Second workshops confirm two revisions; a revision and a number are put right, what stood stays to be read."""
    for number, name, second in (("LN 27 410-0", "Two dots", HAUTPRE), ("LN 27 410-0", "No dot", RUHR)):
        seen = PartRevision.objects.get(part_number=known[number], name=name)
        read = correcting.sign_of_revision(seen)
        correcting.confirm_revision(revision=seen, seen=read, by=cast.member(second))
    revision = PartRevision.objects.get(part_number=known["LN 27 410-0"], name="One dot")
    read, revision.made = correcting.sign_of_revision(revision), "Weeks 15 of 2014 to 40 of 2015"
    correcting.correct_revision(
        revision=revision, seen=read, why="the plates we keep say from when as well", by=cast.member(HAUTPRE)
    )
    pump = known["TH 31 440-1"]
    read, pump.description = correcting.sign_of_number(pump), "Coolant pump of the inverter, 12 V"
    correcting.correct_number(
        number=pump, families=pump.families.all(), seen=read, why="the plate says 12 V", by=cast.member(RUHR)
    )


def plate_photo(number: str, dots: int) -> Cleaned:
    """A drawing that stands for a photo of a plate: its number and its dots."""
    picture = Image.new("RGB", (640, 360), "#8b8f90")
    draw = ImageDraw.Draw(picture)
    draw.rectangle((60, 60, 580, 300), fill="#d7d4c8", outline="#55534c", width=4)
    draw.text((100, 90), number, fill="#1f1c17", font=ImageFont.load_default(size=64))
    draw.rectangle((100, 200, 330, 214), fill="#a7a396")
    draw.rectangle((100, 236, 260, 250), fill="#a7a396")
    for place in range(dots):
        draw.ellipse((400 + 70 * place, 200, 445 + 70 * place, 245), fill="#8c3d25")
    written = io.BytesIO()
    picture.save(written, "JPEG", quality=80)
    return Cleaned(data=written.getvalue(), width=picture.width, height=picture.height)
