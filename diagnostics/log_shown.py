"""What was found in a log, as its page shows it: the answer, facts, what is odd about it, pulses and chart."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import islice
from typing import Any

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from diagnostics.calculations.measurement_log import encoding
from diagnostics.kind import Kind
from diagnostics.kinds import all_kinds
from diagnostics.log_reading import settings_of
from diagnostics.models import MeasurementLog
from diagnostics.summary import figure_words, rounded

CARRIED = ("zero_before_a", "zero_after_a", "cut_off_v")
AROUND = 2  # lines shown before and after a bad one


@dataclass(frozen=True, kw_only=True)
class ShownPulse:
    number: int
    at: str
    seconds: str
    amperes: str
    volts: str
    resistance: str
    url: str


def lasting(seconds: float) -> str:
    """A length of time as a person says it."""
    if seconds < 120:
        return _("%(n)s s") % {"n": rounded(seconds, 3)}
    minutes = round(seconds / 60)
    if minutes < 120:
        return _("%(n)d min") % {"n": minutes}
    return _("%(h)d h %(m)d min") % {"h": minutes // 60, "m": minutes % 60}


def answer_of(log: MeasurementLog) -> str:
    """The page's first sentence."""
    found = log.found
    said = [
        _("%(ah)s Ah and %(wh)s Wh in %(time)s")
        % {
            "ah": rounded(found["charge_ah"], 4),
            "wh": rounded(found["energy_wh"], 4),
            "time": lasting(found["counted_s"]),
        }
    ]
    if found["rests"]:
        said.append(_("at rest %(v)s V") % {"v": rounded(found["rests"][-1]["voltage_v"], 4)})
    if found["median_ohm"] is not None:
        number = found["pulse_count"]
        pulses = ngettext("one pulse", "%(n)d pulses", number) % {"n": number}
        said.append(f"{pulses}: {figure_words(found['median_ohm'], None, 'ohm', None)}")
    return ", ".join(said) + "."


def facts_of(log: MeasurementLog) -> list[tuple[str, str]]:
    """Each figure with its name."""
    found = log.found
    charge = figure_words(found["charge_ah"], found["drift_ah"], "Ah", None)
    if found["cut_off_reached"] is False:
        charge = _("at least %(ah)s: the cut-off wasn’t reached") % {"ah": charge}
    zeroed = found["drift_ah"] is not None
    facts = [
        (_("Charge"), charge),
        (_("Energy"), f"{rounded(found['energy_wh'], 4)} Wh"),
        (_("Counted over"), lasting(found["counted_s"])),
        (
            _("Clamp zero"),
            _("mean taken off; half its drift is the ± of the charge")
            if zeroed
            else _("not entered: an offset of the clamp adds up, 0.5 A over three hours are 1.5 Ah"),
        ),
        (_("Voltage"), _between(found["lowest_v"], found["highest_v"], "V")),
        (_("Current"), _between(found["smallest_a"], found["largest_a"], "A")),
    ]
    facts += [
        (
            _("At rest"),
            _("%(v)s V after %(time)s, still moving by %(drift)s mV an hour")
            % {
                "v": rounded(rest["voltage_v"], 5),
                "time": lasting(rest["rested_s"]),
                "drift": rounded(1000 * rest["drift_v_per_hour"], 2),
            },
        )
        for rest in found["rests"][-3:]
    ]
    if found["temperature_c"]:
        facts.append((_("Temperature"), _between(found["temperature_c"][0], found["temperature_c"][1], "°C")))
    rows = ngettext("one sample", "%(n)s samples", found["rows"]) % {"n": f"{found['rows']:,}".replace(",", "\u202f")}
    facts.append((_("Samples"), f"{rows}, {_('usually every')} {lasting(found['median_step_s'])}"))
    return facts


def _between(low: float, high: float, unit: str) -> str:
    return _("%(low)s to %(high)s %(unit)s") % {"low": rounded(low, 4), "high": rounded(high, 4), "unit": unit}


def odd_things(log: MeasurementLog) -> list[str]:
    """What is odd about the log, told and not hidden."""
    found, said = log.found, []
    if found["charge_ah"] < 0 or (found["median_ohm"] or 0) < 0:
        said.append(_("Voltage and current rise together, or the charge is below zero: the current’s sign is wrong."))
    if found["gap_count"]:
        gaps = ngettext("One gap", "%(n)d gaps", found["gap_count"]) % {"n": found["gap_count"]}
        said.append(
            _("%(gaps)s, %(time)s in all: a straight line over them is %(ah)s Ah of the charge, which nobody measured.")
            % {"gaps": gaps, "time": lasting(found["gap_s"]), "ah": rounded(found["charge_in_gaps_ah"], 3)}
        )
    for gap in found["gaps"]:
        if gap["clock_set"]:
            said.append(
                _("After %(after)s the time jumps by %(by)s: a clock that was set, rather than samples missing.")
                % {"after": lasting(gap["after_s"]), "by": lasting(gap["lasts_s"])}
            )
    if found["equal_times"]:
        number = found["equal_times"]
        said.append(
            ngettext(
                "One sample has the time of the one before it.",
                "%(n)d samples have the time of the one before them.",
                number,
            )
            % {"n": number}
        )
    return said


def gaps_of(log: MeasurementLog) -> list[tuple[str, str]]:
    return [(lasting(gap["after_s"]), lasting(gap["lasts_s"])) for gap in log.found["gaps"]]


def pulses_of(log: MeasurementLog) -> list[ShownPulse]:
    """The pulses, each with the way to make a record of it."""
    way = reverse("record_new", args=[log.sheet_id, "pulse_resistance"])
    return [
        ShownPulse(
            number=number,
            at=lasting(one["start_s"] - log.found["first_s"]),
            seconds=f"{rounded(one['seconds'], 3)} s",
            amperes=f"{rounded(one['before_a'], 3)} → {rounded(one['after_a'], 3)} A",
            volts=f"{rounded(one['before_v'], 5)} → {rounded(one['after_v'], 5)} V",
            resistance=figure_words(one["resistance_ohm"], None, "ohm", None),
            url=f"{way}?log={log.pk}&pulse={number}",
        )
        for number, one in enumerate(log.found["pulses"], start=1)
    ]


def ways_to_a_record(log: MeasurementLog) -> list[tuple[str, str]]:
    """The kinds of record that a log can be judged as."""
    return [
        (str(kind.title), f"{reverse('record_new', args=[log.sheet_id, kind.code])}?log={log.pk}")
        for kind in sorted(all_kinds().values(), key=lambda kind: kind.code != "battery_capacity")
        if kind.logs
    ]


def chart_of(log: MeasurementLog) -> Any:
    """Voltage and current over time; of each stretch the lowest and the highest value."""
    from diagnostics.charts import trace  # loaded where one is drawn

    found = log.found
    span = found["duration_s"]
    unit, label = (1, _("seconds")) if span < 300 else (60, _("minutes")) if span < 10_800 else (3600, _("hours"))
    return trace.build(
        key="log",
        title=_("Voltage and current of the log"),
        x_label=label,
        volt_label=_("volt"),
        ampere_label=_("ampere, discharge positive"),
        at=[one / unit for one in found["at_s"]],
        volts=tuple(found["volts"]),
        currents=tuple(found["currents"]),
        gaps=[(gap["after_s"] / unit, (gap["after_s"] + gap["lasts_s"]) / unit) for gap in found["gaps"]],
        marks=[(one["start_s"] - found["first_s"]) / unit for one in found["pulses"]],
    )


def lines_around(log: MeasurementLog) -> list[tuple[int, str, bool]]:
    """The bad line with those around it, as they stand in the file."""
    if not log.problem_line:
        return []
    with log.file.open("rb") as stored:
        try:
            text = encoding.to_utf8(data=stored.read())
        except ValueError:
            return []
    first = max(log.problem_line - AROUND, 1)
    offset = 0
    for _line in range(first - 1):
        offset = text.find(b"\n", offset) + 1
        if offset == 0:
            return []
    rows = islice(text[offset : offset + 20_000].split(b"\n"), log.problem_line + AROUND + 1 - first)
    return [
        (number, row.decode(errors="replace")[:160], number == log.problem_line)
        for number, row in enumerate(rows, start=first)
    ]


def log_initial(log: MeasurementLog, kind: Kind, pulse: int) -> dict[str, Any]:
    """What a record's form takes from a log: the log itself, the clamp's zero and cut-off, the figures of a pulse."""
    first: dict[str, Any] = {"stored_log": log.pk}
    typed = settings_of(log)
    first |= {name: typed[name] for name in CARRIED if name in typed}
    pulses = log.found.get("pulses", [])
    if kind.code == "pulse_resistance" and 0 < pulse <= len(pulses):
        one = pulses[pulse - 1]
        figures = {name: round(one[name], 6) for name in ("before_v", "after_v", "before_a", "after_a")}
        first |= figures | {"seconds": round(max(one["seconds"], 0.01), 3), "part": "pack"}
    return first
