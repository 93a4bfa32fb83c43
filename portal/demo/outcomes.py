"""Two hundred outcomes from the demo's workshops, drawn with a fixed seed so that every start shows the same.

They come from the workshops' own books, through the verb that people use for those; how long each lasted is drawn by
a chance a month that belongs to its way of repair. All of it is invented and says nothing of real repairs.
"""

from __future__ import annotations

import datetime
import random

from diagnostics.models import SystemFamily
from jobs import following, opinions, sharing
from jobs.models import FollowedRepair, Outcome
from network.access import acting_for
from network.models import Membership, Workshop
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


# chance a month that the same fault comes back
COMES_BACK = {
    "revised_part": 0.006, "same_part": 0.018, "used_part_tested": 0.016, "used_part_untested": 0.05,
    "rebuilt_unit": 0.02, "power_stage_replaced": 0.012, "device_replaced_on_board": 0.02, "board_repaired": 0.035,
}  # fmt: skip
OPINIONS = [
    (True, "Same here on two cars; the duct was blocked each time."),
    (True, "Seen once, with the same part number."),
    (False, "On ours the switch was sound; the current sensor read 12 A at rest."),
    (False, "Came back after five months although the duct was clean."),
]
# months since repairs of the demo's two workshops that one signs in to: their follow-ups are due on the day it is made
DUE_TODAY = {"Ateliers Hautpré": (6,), "Hybridwerk Rureifel": (3, 12)}


def load_outcomes(*, cast: Cast, families: dict[str, SystemFamily], today: datetime.date) -> None:
    """Repairs of the last three years, each with how it stood when it was last looked at."""
    draw = random.Random(2611)
    members = [cast.member(w) for w in cast.workshops.values() if w.state == Workshop.State.APPROVED][:23]
    due = [(cast.member(name), following.months_after(today, -n)) for name, months in DUE_TODAY.items() for n in months]
    drawn = [(draw.choice(members), today - datetime.timedelta(days=draw.randrange(20, 1100))) for _ in range(COUNT)]
    for number, (by, repaired_on) in enumerate([*drawn, *due]):
        with acting_for(by.workshop):
            repair, method = _repair(draw, by, repaired_on, families, number)
            if number < COUNT:
                _what_became_of_it(draw, repair, method, by, today)
    following.ask_due(today)
    _opinions(draw, members)


def _repair(
    draw: random.Random, by: Membership, repaired_on: datetime.date, families: dict[str, SystemFamily], number: int
) -> tuple[FollowedRepair, str]:
    family, symptom, cause, codes, parts, methods = draw.choice(STORIES)
    method = draw.choice(methods)
    outcome = sharing.share_earlier(
        by=by,
        symptom=symptom,
        cause=cause,
        repair_method=method,
        family=families[family],
        part_kind="inverter",
        repaired_on=repaired_on,
        known_as=f"book {repaired_on:%y}-{number:03d}",
        codes=codes,
        parts=parts,
        hours=draw.randrange(10, 120) / 10,
        odometer_km=draw.randrange(50_000, 290_000),
    )
    return FollowedRepair.objects.select_related("outcome").get(outcome=outcome), method


def _what_became_of_it(
    draw: random.Random, repair: FollowedRepair, method: str, by: Membership, today: datetime.date
) -> None:
    """It came back, or ended otherwise, or ran when it was last looked at."""
    age = following.completed_months(repair.repaired_on, today)
    failed = next((month for month in range(age) if draw.random() < COMES_BACK[method]), None)
    chance = draw.random()
    if failed is not None:
        answer, month = ("same_fault" if chance < 0.85 else "related"), failed
    elif chance < 0.1 and age > 2:
        answer, month = draw.choice(["sold", "scrapped", "unrelated"]), draw.randrange(1, age)
    else:
        seen = [month for month in following.MONTHS if month <= age]
        answer, month = "still_runs", (seen[-1] if seen and chance < 0.5 else age)
    following.say(
        repair=repair,
        answer=answer,
        by=by,
        seen_on=min(
            following.months_after(repair.repaired_on, month) + datetime.timedelta(days=draw.randrange(3)), today
        ),
    )


def _opinions(draw: random.Random, members: list[Membership]) -> None:
    """Some outcomes are confirmed or contradicted by workshops that saw the same fault."""
    for outcome in draw.sample(list(Outcome.objects.shown().order_by("pk")), 24):
        confirms, words = draw.choice(OPINIONS)
        by = draw.choice([one for one in members if one.workshop_id != outcome.workshop_id])
        opinions.give(outcome=outcome, by=by, confirms=confirms, words=words)
