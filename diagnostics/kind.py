"""What a kind of record is: its fields in the order in which they are typed, its judgement, chart and cautions.

Each kind is one file in `diagnostics/kinds/` with a `KIND`; the registry there finds it. The form, the page, the
clearance, the report and the tests of "every kind" are made from what is declared here.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, NamedTuple, TypeAlias

from diagnostics.calculations.verdicts import Assessment, Limit, instrument_uncertainty

if TYPE_CHECKING:
    from django.utils.functional import _StrPromise

    Words: TypeAlias = str | _StrPromise


class Value(NamedTuple):
    """A typed figure: exact, or a bound ("> 550", "OL", "< 0.01")."""

    figure: float
    bound: str | None = None


@dataclass(frozen=True, kw_only=True)
class Figure:
    """A figure to be typed. `low` and `high` are what is possible at all; outside of them the form asks again."""

    name: str
    label: Words
    unit: str = ""
    required: bool = True
    low: float | None = None
    high: float | None = None
    may_be_bound: bool = False
    reading: bool = False  # drawn large, as one of the readings that the kind is about
    meter: str = ""  # the `Meter` that it is read with; empty: the record's own instrument
    setup: bool = False  # how it is measured, not what was found: repeated from the last record of the kind
    help: Words = ""


@dataclass(frozen=True, kw_only=True)
class Choice:
    name: str
    label: Words
    choices: tuple[tuple[str, Words], ...]
    required: bool = True
    of_family: bool = False  # the system family says it: asked only where the sheet names none
    setup: bool = False  # as in `Figure`
    help: Words = ""


@dataclass(frozen=True, kw_only=True)
class Text:
    name: str
    label: Words
    required: bool = True
    setup: bool = False  # as in `Figure`
    help: Words = ""


@dataclass(frozen=True, kw_only=True)
class Tick:
    """Something done or seen, ticked."""

    name: str
    label: Words
    help: Words = ""


@dataclass(frozen=True, kw_only=True)
class Figures:
    """A row of figures, typed or pasted, parted by spaces, semicolons or line ends; each between `low` and `high`."""

    name: str
    label: Words
    unit: str = ""
    required: bool = True
    low: float | None = None
    high: float | None = None
    help: Words = ""
    most: int = 400


@dataclass(frozen=True, kw_only=True)
class Log:
    """A logger's CSV file; `columns` are what the kind needs of it."""

    name: str
    label: Words
    required: bool = True
    help: Words = ""


@dataclass(frozen=True, kw_only=True)
class Meter:
    """A second instrument, where a kind needs two. Its value is what the record keeps of it, with its concerns."""

    name: str
    label: Words
    unit: str
    help: Words = ""


Field = Figure | Choice | Text | Tick | Figures | Log | Meter


@dataclass(frozen=True, kw_only=True)
class Accuracy:
    """What the data sheet of the instrument states for the range in use."""

    percent_of_reading: float
    counts: float
    resolution: float

    def of(self, reading: float) -> float:
        """The uncertainty (k = 2) of one reading in this range."""
        return instrument_uncertainty(
            reading=reading,
            percent_of_reading=self.percent_of_reading,
            counts=self.counts,
            resolution=self.resolution,
        )


def stated(accuracy: Accuracy | None) -> tuple[float | None, float | None, float | None]:
    """Percent of reading, counts and resolution, as the calculations take them; None thrice where they aren't known."""
    return (accuracy.percent_of_reading, accuracy.counts, accuracy.resolution) if accuracy else (None, None, None)


@dataclass(frozen=True, kw_only=True)
class Family:
    """What a kind may need of the system family; None where the sheet names no family."""

    drive: str
    nominal_v: float
    highest_working_v: float
    chemistry: str
    blocks: int
    rated_ah: float
    machines: int
    machine_type: str
    connection: str


@dataclass(frozen=True, kw_only=True)
class Reading:
    """Everything that a kind judges from: the typed values and what the record knows beside them."""

    values: Mapping[str, Any]
    temperature_c: float | None = None
    accuracy: Accuracy | None = None
    family: Family | None = None
    limits: Mapping[str, tuple[Limit, ...]] = field(default_factory=dict)
    concerns: tuple[str, ...] = ()
    state: str = ""  # of the car

    def figure(self, name: str) -> float | None:
        """A typed figure without its bound; None where it was left out."""
        value = self.values.get(name)
        return None if value is None else float(value.figure if isinstance(value, Value) else value)

    def bound(self, name: str) -> str | None:
        value = self.values.get(name)
        return value.bound if isinstance(value, Value) else None

    def accuracy_of(self, meter: str) -> Accuracy | None:
        """The accuracy of a second instrument; None where none was named."""
        used = self.values.get(meter)
        return Accuracy(**{name: used[name] for name in Accuracy.__dataclass_fields__}) if used else None

    def concerns_with(self, *meters: str) -> tuple[str, ...]:
        """The record's concerns and those of its second instruments."""
        used = [self.values.get(meter) or {"concerns": ()} for meter in meters]
        return (*self.concerns, *(code for one in used for code in one["concerns"]))

    def spread(self, name: str, meter: str = "") -> float | None:
        """U (k = 2) of a typed figure by the instrument that it was read with; None without either."""
        figure, accuracy = self.figure(name), self.accuracy_of(meter) if meter else self.accuracy
        return None if figure is None or accuracy is None else accuracy.of(figure)

    def limits_for(self, quantity: str) -> tuple[Limit, ...]:
        """Every limit that counts for this quantity: the family's, the workshop's own and the general ones."""
        return self.limits.get(quantity, ())


class Names(dict[str, "Words"]):
    """What is judged, by its code. A code with `{}` in it stands for every code with a figure there."""

    def __missing__(self, code: str) -> str:
        for pattern, words in self.items():
            if "{}" in pattern and (found := re.fullmatch(pattern.replace("{}", r"([\d.e+-]+)"), code)):
                return str(words).format(*found.groups())
        raise KeyError(code)

    def get(self, code: str, default: Any = None) -> Any:
        try:
            return self[code]
        except KeyError:
            return default


@dataclass(frozen=True, kw_only=True)
class Kind:
    code: str
    order: int  # in the list of kinds: the order of the work
    title: Words
    purpose: Words
    states: tuple[str, ...]
    unit: str  # what the instrument measures; its ranges are offered
    fields: tuple[Field, ...]
    assess: Callable[[Reading], Assessment]
    chart: Callable[[Reading, Assessment], Any]  # a chart with a `template`, or None when nothing can be drawn
    cautions: tuple[Words, ...]
    quantities: Mapping[str, Words]  # the codes of what is judged, with the names that pages show
    per_subject: Words = ""  # "machine", "stage": a car may have several, and each has its own record
    needs_temperature: bool = False
    needs_instrument: bool = True
    second_person: bool = False  # asked for in every state; a live record always needs one
    # What a family may limit: the quantity, with the shape and unit that its limit has.
    limitable: Mapping[str, tuple[str, str]] = field(default_factory=dict)
    # What standards or the trade say whatever the family, by quantity.
    general_limits: Callable[[Family | None], Mapping[str, tuple[Limit, ...]]] = lambda family: {}
    bear_in_mind: tuple[Words, ...] = ()

    @property
    def logs(self) -> tuple[Log, ...]:
        return tuple(f for f in self.fields if isinstance(f, Log))

    @property
    def units(self) -> set[str]:
        """What its instruments measure."""
        return {self.unit, *(f.unit for f in self.fields if isinstance(f, Meter))}

    @property
    def expectable(self) -> Mapping[str, str]:
        """What a family may be expected to read, with its unit: what a limit judges, and the readings as typed."""
        typed = {f.name: f.unit for f in self.fields if isinstance(f, Figure) and f.reading}
        return {quantity: unit for quantity, (_shape, unit) in self.limitable.items()} | typed

    def name_of(self, code: str) -> str:
        """The name that pages show for a quantity, or for a field."""
        fields = {f.name: str(f.label) for f in self.fields}
        return str(self.quantities.get(code) or fields.get(code, code))
