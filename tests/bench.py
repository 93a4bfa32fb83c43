"""The bench of the tests: Ateliers Hautpré with two authorised people, meters in date, and one job."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from django.utils import timezone

from diagnostics.kinds import all_kinds
from diagnostics.models import Instrument, InstrumentRange, Record, Sheet
from diagnostics.recording import Entry, add_record
from jobs import codes, evidence, finishing, making_safe, working
from jobs.models import CodeReading, Customer, Job, Vehicle
from jobs.requirements import ByEntry
from jobs.standing import held_by
from network.access import acting_for
from network.models import Membership, Workshop
from tests import scene
from tests.diagnostics.sound import SOUND

PROOF = {
    "makers_wait": "Lanner 14-001", "points": "inverter inlet", "meter_proved_before": True, "meter_proved_after": True,
    "positive_to_negative_v": 0.3, "positive_to_body_v": 0.1, "negative_to_body_v": 0.2,
}  # fmt: skip
ISOLATION = {
    "pole_to_pole_v": 201.6, "negative_to_body_v": 100.8, "positive_to_body_v": 100.8, "resistor_kilohm": 100.8,
    "resistor_tolerance_percent": 1.0, "with_resistor_v": 9.23, "monitor": "off",
}  # fmt: skip
WINDINGS = {"leads_milliohm": 0.4, "uv_milliohm": 93.6, "vw_milliohm": 93.9, "wu_milliohm": 95.4}
INSULATION = {"test_v": "500", "seconds": 60.0, "resistance_megohm": 212.0, "filling": "dry", "damp": False}


@dataclass(frozen=True, kw_only=True)
class Bench:
    cast: scene.Scene
    workshop: Workshop
    ilse: Membership
    bram: Membership
    ranges: dict[str, InstrumentRange]
    job: Job

    @property
    def sheet(self) -> Sheet:
        return Sheet.objects.select_related("family").get(pk=self.job.sheet_id)

    def entry(self, kind: str, values: dict[str, Any], **more: Any) -> Entry:
        """An entry by Ilse with Bram beside her, in the kind's first state, with a meter in date, at 24.5 °C."""
        declared = all_kinds()[kind]
        facts: dict[str, Any] = {
            "sheet": self.sheet,
            "kind": declared,
            "taken_by": self.ilse,
            "stood_by": self.bram.person,
            "state": declared.states[0],
            "values": values,
            "subject": "1" if declared.per_subject else "",
            "instrument_range": self.ranges.get(declared.unit),
            "temperature_c": 24.5,
        }
        return Entry(**(facts | more))

    def steps(self) -> None:
        """Every step of making safe, by Ilse with Bram present, an hour ago by the clock of the maker's wait."""
        make_safe(self.job, self.ilse, self.bram)

    def record(self, kind: str, values: dict[str, Any], **more: Any) -> Record:
        """A record; before a proof the steps of making safe, where they don't stand."""
        if kind == "absence_of_voltage" and "sheet" not in more and not self.sheet.steps_done:
            self.steps()
        return add_record(self.entry(kind, values, **more))

    def everything_measured(self) -> None:
        """The records that an inverter's clearance asks for, all within their limits, in the order of the work."""
        self.record("vehicle_isolation", ISOLATION)
        self.record("fan_sweep", {k: v for k, v in SOUND["fan_sweep"].values.items() if k != "expected"})
        self.record("absence_of_voltage", PROOF)
        for kind in ("interlock_bonding", "contactors"):
            self.record(kind, SOUND[kind].values, state="dead")
        self.machine_measured("1")
        for stage in ("machine_1", "boost"):
            self.stage_measured(stage)

    def stage_measured(self, stage: str) -> None:
        """The diode check of one stage, which needs a range that shows millivolts."""
        self.record("power_stage_diodes", diodes(stage), state="bench", instrument_range=self.ranges["diode"])

    def fit(self) -> None:
        """Every step of fitting signed or measured, and the fitting signed; the ring must be closed."""
        self.sign_list("fitting")
        self.record("interlock_bonding", SOUND["interlock_bonding"].values, state="dead")
        self.sign("fitted")

    def prove(self) -> None:
        """What proves an inverter's repair, all within its limits, and the proof signed; only the outlook is waived."""
        self.record("vehicle_isolation", ISOLATION)
        self.record("fan_sweep", {k: v for k, v in SOUND["fan_sweep"].values.items() if k != "expected"})
        self.record("load_run", SOUND["load_run"].values)
        self.sign_list("proving")
        codes.add(job=self.job, codes=(), by=self.ilse, stage=CodeReading.Stage.AFTER)
        evidence.waive(job=self.job, requirement="outlook", reason="no cell was asked for", by=self.ilse)
        self.sign("proved")

    def hand_over(self) -> None:
        """Fitted, proved and handed over."""
        self.fit()
        self.prove()
        self.sign("handed_over")

    def sign(self, step: str, **more: Any) -> None:
        working.sign(job=self.job, step=step, **({"words": "seen and done", "good": True, "by": self.ilse} | more))

    def sign_list(self, stage: str) -> None:
        """All steps of the list that are signed and stand open, in its order."""
        for one in finishing.how_it_stands(held_by(Job.objects.with_facts().get(pk=self.job.pk)), stage).standings:
            if isinstance(one.requirement, ByEntry) and not one.met:
                torque = {"torque_nm": 9.0, "tool": "DM-20"} if one.requirement.torque else {}
                self.sign(one.code, **torque)

    def machine_measured(self, machine: str) -> None:
        """What clearance asks of one machine."""
        self.record("machine_windings", WINDINGS, subject=machine)
        self.record("winding_insulation", INSULATION, subject=machine)
        for kind in ("winding_inductance", "position_sensor"):
            self.record(kind, SOUND[kind].values, subject=machine)


def diodes(stage: str) -> dict[str, Any]:
    """A sound stage of silicon switches; a boost converter has one pair of them, typed as U."""
    typed = SOUND["power_stage_diodes"].values | {"stage": stage}
    return {k: v for k, v in typed.items() if not (stage == "boost" and k[:2] in ("v_", "w_"))}


SAFE_STEPS: dict[str, dict[str, Any]] = {
    "charge_lead": {"done": True}, "wheels": {"done": True}, "key": {"where": "box 3"}, "twelve_volt": {"done": True},
    "gloves": {"glove_class": "0", "in_date_until": "2099-01-01", "air_tested": True},
    "disconnect": {"how": "box 3, key with Ilse"}, "wait": {"minutes": 5.0, "source": "Lanner 14-001", "done": True},
    "proving_source": {"proving_source": "battery box 88"}, "points": {"points": "inverter inlet"},
}  # fmt: skip


def make_safe(job: Job, by: Membership, beside: Membership) -> None:
    for code, facts in SAFE_STEPS.items():
        past = timezone.now() - datetime.timedelta(minutes=0 if code in ("wait", "proving_source", "points") else 60)
        making_safe.do(job=job, step=code, facts=facts, by=by, beside=beside.person, at=past)


@contextmanager
def acting() -> Iterator[Bench]:
    """Build the bench and act for its workshop inside the block."""
    cast = scene.build()
    papers = [paper for _m, held in cast.application.people for paper in held]
    cast.application.approve(by=cast.administrator, reason="welcome", seen={p.pk: "paper_seen" for p in papers})
    workshop = cast.application.workshop
    for named in workshop.memberships.filter(state="named"):
        named.agree(by=named.person)
    members = {m.person_id: m for m in workshop.memberships.select_related("person", "workshop")}
    ilse, bram = members[cast.ilse.pk], members[cast.bram.pk]
    with acting_for(workshop):
        job = working.book_in(
            by=ilse,
            customer=Customer(name="Anneke Terwold", email="anneke@terwold.example", phone="+49 30 23125 900"),
            vehicle=Vehicle(
                description="Lanner Vireo, 2016", family=cast.family, registration="1-LNR-208", odometer_km=186_240,
                vin="JH2RC3605MM101581",
            ),
            complaint="Stops uphill.",
            codes=("P0A94",),
        )  # fmt: skip
        yield Bench(cast=cast, workshop=workshop, ilse=ilse, bram=bram, ranges=_meters(), job=job)


def _meters() -> dict[str, InstrumentRange]:
    due = timezone.localdate() + datetime.timedelta(days=100)
    made = {}
    for key, highest, resolution in (
        ("diode", 10, 0.001), ("V", 1000, 0.1), ("milliohm", 200, 0.1), ("megohm", 550, 0.1), ("A", 60, 0.01),
        ("ohm", 1e8, 0.001), ("microhenry", 2000, 0.01), ("rpm", 9999, 1), ("°C", 400, 0.1),
    ):  # fmt: skip
        unit = {"diode": "V"}.get(key, key)
        meter = Instrument(name=f"Meter {key}", serial="4471", calibration_due=due)
        meter.save()
        made[key] = InstrumentRange(
            instrument=meter, unit=unit, highest=highest, percent_of_reading=0.25, counts=3, resolution=resolution
        )
        made[key].save()
    return made
