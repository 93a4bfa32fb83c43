"""Two hundred outcomes from the demo's workshops, drawn with a fixed seed so that every start shows the same."""

from __future__ import annotations

import datetime
import random

from diagnostics.models import SystemFamily
from jobs.models import Outcome, OutcomeCode, OutcomePart
from network.models import Workshop
from parts.numbers import normalise
from portal.demo.network import Cast

COUNT = 200
# family, symptom, cause, codes, part numbers, methods that were tried
STORIES = [
    ("vireo", "Stops uphill after ten minutes, restarts when cool",
     "Low-side switch of phase V burnt; the duct of its fan was blocked with dog hair", ["P0A94", "P0A78"],
     ["LN 27 410-0"], ["power_stage_replaced", "used_part_tested", "revised_part", "same_part"]),
    ("vireo", "Will not go ready, warning triangle", "Control board with the known cold joint at the gate supply",
     ["P0A1D", "P3004"], ["LN 27 410-0"], ["board_repaired", "device_replaced_on_board", "revised_part"]),
    ("vireo", "Loses charge within two streets, petrol engine runs all the time",
     "Two weak blocks; bus bars corroded under the cover", ["P0A80"], ["LN 27 014-0"],
     ["used_part_tested", "used_part_untested", "rebuilt_unit"]),
    ("kestrel", "Charges only at half power, then stops", "Coolant pump of the charger ran without moving coolant",
     ["P0D57"], ["LN 40 118-2"], ["same_part", "board_repaired", "used_part_untested"]),
    ("tarsis", "Jerks at pull-away, then limp mode", "Winding insulation weak when warm; burnt a second time",
     ["P0A90", "P0A78"], ["TH 31 902"], ["rebuilt_unit", "used_part_untested", "revised_part"]),
    ("marsk", "12 V battery flat every second morning", "DC converter's input filter capacitor open", ["P0A08"],
     ["MK 12 700-4"], ["device_replaced_on_board", "same_part"]),
]  # fmt: skip


def load_outcomes(*, cast: Cast, families: dict[str, SystemFamily], today: datetime.date) -> None:
    """Rows as workshops shared them over the last three years; the figures of the jobs behind them are not kept."""
    draw = random.Random(2611)
    sharing = [w for w in cast.workshops.values() if w.state == Workshop.State.APPROVED][:23]
    for _number in range(COUNT):
        family, symptom, cause, codes, parts, methods = draw.choice(STORIES)
        repaired = (today - datetime.timedelta(days=draw.randrange(20, 1100))).replace(day=1)
        lower = draw.randrange(1, 6) * 50
        outcome = Outcome.objects.create(
            workshop=draw.choice(sharing),
            family=families[family],
            part_kind="inverter" if "inverter" in cause or family in ("vireo", "tarsis") else "other",
            symptom=symptom,
            cause=cause,
            repair_method=draw.choice(methods),
            hours=draw.randrange(10, 120) / 10,
            mileage_band=f"{lower} to {lower + 50} thousand km",
            repaired_on=repaired,
        )
        OutcomeCode.objects.bulk_create(OutcomeCode(outcome=outcome, code=code) for code in codes)
        OutcomePart.objects.bulk_create(
            OutcomePart(outcome=outcome, number=number, normalised=normalise(number=number)) for number in parts
        )
