"""A logger's file: stored first, then read in steps that a page can show, at last summed up.

A step reads for about half a second and writes what it read beside the file. Steps may overlap (two tabs, a reload):
each writes the same samples to the same place, and only the one whose starting point still holds moves the log on.
"""

from __future__ import annotations

import dataclasses
import hashlib
import time
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import numpy as np
from django.core.exceptions import ValidationError
from django.core.files.base import ContentFile
from django.core.files.uploadedfile import UploadedFile
from django.db import transaction
from numpy.typing import NDArray

from diagnostics.calculations.measurement_log import LogError, encoding, gaps_of, layout, read_log
from diagnostics.calculations.measurement_log import MeasurementLog as Samples
from diagnostics.calculations.measurement_log.careful import Place, further_problems
from diagnostics.calculations.measurement_log.first_look import FirstLook, first_look
from diagnostics.calculations.measurement_log.steps import Standing, begin, read_on
from diagnostics.models import LogShape, MeasurementLog, Sheet
from network.models import Event, Membership

LARGEST = 64 * 1024 * 1024
HEAD = 64 * 1024
STEP_SECONDS = 0.5
STEP_BYTES = 1 << 20  # after each the clock is looked at
FIELDS = ("time", "voltage", "current", "temperature")


@transaction.atomic
def store(*, upload: UploadedFile, sheet: Sheet, by: Membership) -> MeasurementLog:
    """Keep the file as it came; nothing of it is read yet."""
    digest = hashlib.sha256()
    for chunk in upload.chunks():
        digest.update(chunk)
    log = MeasurementLog(
        sheet=sheet,
        name=Path(upload.name or "").name[-120:].replace("\x00", ""),
        sha256=digest.hexdigest(),
        size=upload.size or 0,
        stored_by=by.person,
        state=MeasurementLog.State.STORED,
    )
    log.file.save(f"{log.sha256[:16]}.csv", upload, save=False)
    log.save()
    Event.record("log_stored", log, by=by.person, workshop=by.workshop, size=log.size)
    return log


def read_whole(data: bytes) -> Samples:
    """A file that goes straight into a record; raises ValidationError with the bad lines, up to five of them."""
    try:
        return read_log(data=data)
    except LogError as problem:
        raise ValidationError([str(one) for one in (problem, *_behind(data, problem))]) from problem


def _behind(data: bytes, problem: LogError) -> Sequence[LogError]:
    """The bad lines behind the first one, where the columns at least were found."""
    try:
        lines = encoding.to_utf8(data=data)
        plan = layout.find_layout(lines=lines, wanted=None)
    except LogError:
        return ()
    return further_problems(lines=lines, plan=plan, line=problem.line)


def look_at(log: MeasurementLog, header_line: int | None = None) -> FirstLook:
    """The file's first lines; raises LogError where there is no table in them."""
    with log.file.open("rb") as stored:
        head = stored.read(HEAD)
    if len(head) == HEAD:  # cut where a line ends, in UTF-16 at least between two characters
        head = head[: head.rfind(b"\n") + 1] if b"\n" in head and b"\0" not in head[:2] else head[: len(head) // 2 * 2]
    return first_look(head=head, header_line=header_line)


def shape_of(look: FirstLook) -> str:
    """What files of one logger have in common: their headers."""
    return hashlib.sha256("\x1f".join(look.header).encode()).hexdigest()


def remembered(look: FirstLook) -> dict[str, Any]:
    """The columns that this workshop chose the last time for such headers; empty for new ones."""
    known = LogShape.objects.filter(shape=shape_of(look)).first()
    return known.columns if known else {}


@transaction.atomic
def choose(*, log: MeasurementLog, look: FirstLook, columns: Mapping[str, Any], by: Membership) -> None:
    """Begin to read the file by these columns, from its start, and remember them for files with such headers."""
    LogShape.objects.update_or_create(shape=shape_of(look), defaults={"columns": dict(columns)})
    log.columns, log.state, log.standing = dict(columns), MeasurementLog.State.READING, {}
    log.rows, log.offset, log.found, log.problem, log.problem_line, log.further = 0, 0, {}, "", None, []
    log.samples.save(f"{log.sha256[:16]}.samples", ContentFile(b""), save=False)
    log.save()
    Event.record("log_columns_chosen", log, by=by.person, workshop=by.workshop)


def step(log: MeasurementLog) -> None:
    """Read on for about half a second; at the end, or at the first bad line, the log changes its state."""
    before = log.offset
    try:
        lines, plan, standing = _plan(log)
    except LogError as problem:
        _refuse(log, before, problem)
        return
    try:
        columns, standing = _read_for_a_while(lines, plan, standing)
    except LogError as problem:
        _refuse(log, before, problem, further_problems(lines=lines, plan=plan, line=problem.line))
        return
    _write(log, columns)
    log.rows += len(columns[0])
    log.offset = standing.place.offset
    log.size = len(lines)
    log.standing = dataclasses.asdict(standing.place)
    done = standing.done
    changes: dict[str, Any] = {
        "rows": log.rows, "offset": log.offset, "size": log.size, "standing": log.standing,
        "state": MeasurementLog.State.READ if done else MeasurementLog.State.READING,
    }  # fmt: skip
    won = MeasurementLog.objects.filter(pk=log.pk, offset=before, state=MeasurementLog.State.READING).update(**changes)
    log.refresh_from_db()
    if won and done:
        sum_up(log)


def _refuse(log: MeasurementLog, before: int, problem: LogError, further: Sequence[LogError] = ()) -> None:
    waiting = MeasurementLog.objects.filter(pk=log.pk, offset=before, state=MeasurementLog.State.READING)
    waiting.update(
        state=MeasurementLog.State.REFUSED,
        problem=str(problem)[:300],
        problem_line=getattr(problem, "line", None),
        further=[str(one)[:300] for one in further],
    )
    log.refresh_from_db()


def _plan(log: MeasurementLog) -> tuple[bytes, layout.Layout, Standing]:
    """The file's text, how it is laid out by the chosen columns, and how far it was read."""
    with log.file.open("rb") as stored:
        lines = encoding.to_utf8(data=stored.read())
    chosen = log.columns
    wanted = {field: int(chosen[field]) for field in FIELDS if chosen.get(field) is not None}
    units = {field: chosen[f"{field}_unit"] for field in FIELDS if chosen.get(f"{field}_unit")}
    plan = layout.find_layout(lines=lines, wanted=wanted, units=units, first_line=int(chosen.get("header_line", 1)))
    standing = begin(lines=lines, plan=plan)
    return lines, plan, dataclasses.replace(standing, place=Place(**log.standing)) if log.standing else standing


def _read_for_a_while(
    lines: bytes, plan: layout.Layout, standing: Standing
) -> tuple[list[NDArray[np.float64]], Standing]:
    end = time.monotonic() + STEP_SECONDS
    parts: list[list[NDArray[np.float64]]] = []
    while not standing.done and (not parts or time.monotonic() < end):
        part, standing = read_on(lines=lines, plan=plan, standing=standing, at_most_bytes=STEP_BYTES)
        parts.append(part)
    return [np.concatenate([part[at] for part in parts]) for at in range(len(plan.fields))], standing


def _write(log: MeasurementLog, columns: list[NDArray[np.float64]]) -> None:
    """Put the samples where they belong, whoever else is writing the same ones."""
    table = np.column_stack(columns)
    with open(log.samples.path, "r+b") as samples:
        samples.seek(log.rows * table.shape[1] * table.itemsize)
        samples.write(np.ascontiguousarray(table).tobytes())


def samples_of(log: MeasurementLog) -> Samples:
    """What the log holds, discharge positive; the clamp's zero is not taken off."""
    if not log.samples:
        with log.file.open("rb") as stored:
            return read_log(data=stored.read())
    width = sum(1 for field in FIELDS if log.columns.get(field) is not None)
    with open(log.samples.path, "rb") as kept:
        table = np.fromfile(kept, dtype=np.float64, count=log.rows * width).reshape(-1, width)
    times, volts, currents = (np.ascontiguousarray(table[:, at]) for at in range(3))
    sign = -1.0 if log.columns.get("discharge") == "negative" else 1.0
    return Samples(times_s=times, volts_v=volts, currents_a=currents * sign, gaps=gaps_of(times_s=times))


def settings_of(log: MeasurementLog) -> dict[str, float]:
    """What was typed, the clamp's zero turned as the current is: it was read from the log's own display."""
    sign = -1.0 if log.columns.get("discharge") == "negative" else 1.0
    zeros = {name: sign * log.settings[name] for name in ("zero_before_a", "zero_after_a") if name in log.settings}
    return log.settings | zeros


def temperatures_of(log: MeasurementLog) -> NDArray[np.float64] | None:
    """The logged temperatures in degrees Celsius, where a column of them was chosen."""
    if not log.samples or log.columns.get("temperature") is None:
        return None
    return np.ascontiguousarray(np.fromfile(log.samples.path, dtype=np.float64).reshape(-1, 4)[: log.rows, 3])


def sum_up(log: MeasurementLog) -> None:
    """Find in the samples what is in them, with what was typed of clamp, cut-off and pulses."""
    from diagnostics.log_found import find

    try:
        log.found = find(samples_of(log), settings_of(log), temperatures_of(log))
    except ValueError as problem:  # figures so large that their products are none any more
        log.state, log.problem = MeasurementLog.State.REFUSED, str(problem)[:300]
    log.save(update_fields=["found", "state", "problem"])


@transaction.atomic
def change_settings(*, log: MeasurementLog, typed: Mapping[str, Any], by: Membership) -> None:
    """Sum the samples up again with another zero, cut-off, pulse length or sign."""
    settings = {name: value for name, value in typed.items() if name != "discharge" and value is not None}
    log.settings = settings
    if typed.get("discharge"):
        log.columns = log.columns | {"discharge": typed["discharge"]}
    log.save(update_fields=["settings", "columns"])
    sum_up(log)
    Event.record("log_settings_changed", log, by=by.person, workshop=by.workshop)
