"""The form of one kind of record: what every record asks first, then the kind's own fields in their order."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import UploadedFile
from django.utils.functional import cached_property
from django.utils.html import format_html
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from diagnostics import kind as declared
from diagnostics import photographing
from diagnostics.calculations.measurement_log import MeasurementLog
from diagnostics.expected import expected_of, expected_words
from diagnostics.form_fields import FigureField, FiguresField, MeterField, RangeField
from diagnostics.kind import Kind
from diagnostics.log_reading import LARGEST, read_whole, samples_of
from diagnostics.models import DisplayPhoto, InstrumentRange, Record, Sheet
from diagnostics.models import MeasurementLog as StoredLog
from diagnostics.models.sheets import CarState
from diagnostics.recording import Entry, from_json
from network.asked import NO_KEY, key_of
from network.models import Membership, User


@dataclass(frozen=True, kw_only=True)
class Mistake:
    """Something typed that can't be, with the sentence that says why."""

    label: Any
    sentence: Any


TEMPERATURE = declared.Figure(name="temperature_c", label=gettext_lazy("Part at"), unit="°C", low=-50, high=300)
ANY_TEMPERATURE = replace(TEMPERATURE, required=False)  # where nothing is corrected to it: kept with the record


class RecordForm(forms.Form):
    """Built from a kind for a sheet; `entry(...)` is what `diagnostics.recording` judges and stores."""

    remark = forms.CharField(
        label=gettext_lazy("Remark"), required=False, max_length=1000, widget=forms.Textarea(attrs={"rows": 2})
    )

    def __init__(
        self,
        *args: Any,
        kind: Kind,
        sheet: Sheet,
        membership: Membership,
        corrects: Record | None = None,
        **kwargs: Any,
    ) -> None:
        self.kind, self.sheet, self.membership, self.corrects = kind, sheet, membership, corrects
        self.logs: dict[str, tuple[MeasurementLog, bytes]] = {}
        self.from_log: MeasurementLog | None = None
        kwargs["initial"] = _first_values(kind, sheet, corrects) | kwargs.get("initial", {})
        super().__init__(*args, **kwargs)
        remark = self.fields.pop("remark")
        self._add_first_fields()
        for declaration in kind.fields:
            if getattr(declaration, "of_family", False) and sheet.family_id and not self.data.get(declaration.name):
                continue
            self.fields[declaration.name] = made = _field(declaration, kind)
            if isinstance(made, FigureField) and (made.declaration.meter or made.unit == kind.unit):
                # The figure is complete with the last decimal that this instrument shows.
                made.widget.attrs["data-read-with"] = made.declaration.meter or "instrument_range"
        self.fields["remark"] = remark
        for hint in expected_of(kind, sheet.family):
            if isinstance(field := self.fields.get(hint.quantity), FigureField):
                # What a member typed stands here: escaped, since help may hold markup.
                field.help_text = format_html("{} {}", field.help_text, expected_words(hint)).strip()
        # A log of this sheet that was read before: what is judged of it needs no second upload.
        self.fields["stored_log"] = forms.ModelChoiceField(
            queryset=StoredLog.objects.filter(sheet=sheet, state=StoredLog.State.READ),
            required=False,
            widget=forms.HiddenInput,
        )

        # A photograph of the display that waits to be typed: the record was taken when it was.
        self.fields["photo"] = forms.ModelChoiceField(
            queryset=photographing.waiting(sheet, kind),
            required=False,
            widget=forms.HiddenInput,
            error_messages={"invalid_choice": _("Somebody typed this photograph, or put it aside, meanwhile.")},
        )

    @cached_property
    def photos(self) -> list[DisplayPhoto]:
        """Photographs of this kind that wait on the sheet."""
        return list(photographing.waiting(self.sheet, self.kind))

    @property
    def shown_photo(self) -> DisplayPhoto | None:
        """The photograph that is being typed from."""
        chosen = str(self["photo"].value() or "")
        return next((photo for photo in self.photos if str(photo.pk) == chosen), None)

    def _add_first_fields(self) -> None:
        kind, sheet = self.kind, self.sheet
        self.fields["state"] = forms.ChoiceField(
            label=_("State of the car"), choices=[(s, CarState(s).label) for s in kind.states]
        )
        if kind.per_subject:
            machines = sheet.family.machines if sheet.family else 4
            self.fields["subject"] = forms.ChoiceField(
                label=kind.per_subject, choices=[(str(n), str(n)) for n in range(1, machines + 1)]
            )
        colleagues = User.objects.filter(
            memberships__in=Membership.objects.able_to_act().filter(workshop=self.membership.workshop)
        ).exclude(pk=self.membership.person_id)
        self.fields["stood_by"] = forms.ModelChoiceField(
            label=_("Who stands by"), queryset=colleagues.order_by("name"), required=False, empty_label=_("nobody yet")
        )
        if kind.needs_instrument:
            self.fields["instrument_range"] = RangeField(unit=kind.unit, label=_("Instrument"))
        self.fields["temperature_c"] = FigureField(TEMPERATURE if kind.needs_temperature else ANY_TEMPERATURE)

    def full_clean(self) -> None:
        """Tell "OL" how far the chosen range reaches before the figures are read."""
        highest: dict[str, float | None] = {}
        for field in self.fields.values():
            if isinstance(field, FigureField):
                meter = field.declaration.meter or "instrument_range"
                if meter not in highest:
                    highest[meter] = self._highest_of(meter)
                field.highest_of_range = highest[meter]
        super().full_clean()

    def _highest_of(self, meter: str) -> float | None:
        key = key_of(self.data.get(self.add_prefix(meter)))
        chosen = InstrumentRange.objects.filter(pk=key).first() if key != NO_KEY else None
        return chosen.highest if chosen else None

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        for declaration in self.kind.logs:
            upload = cleaned.get(declaration.name)
            if isinstance(upload, UploadedFile):
                self._read_log(declaration.name, upload)
                cleaned["stored_log"] = None  # the newer file goes before the one that led here
        if cleaned.get("stored_log") and self.kind.logs:
            self.from_log = samples_of(cleaned["stored_log"])
        if not self.errors and not self.from_log and self._says_nothing(cleaned):
            self.add_error(None, _("Nothing was found yet. Type one reading at least."))
        return cleaned

    def _says_nothing(self, cleaned: dict[str, Any]) -> bool:
        """Whether nothing but how it is measured was given, as where the button was pressed by mistake."""
        findings = [field for field in self.kind.fields if not _only_a_setting(field)]
        return bool(findings) and all(cleaned.get(field.name) in (None, "", (), False) for field in findings)

    def _read_log(self, name: str, upload: UploadedFile) -> None:
        if upload.size is None or upload.size > LARGEST:
            self.add_error(name, _("The file is larger than 64 MB. Log fewer samples, or cut the log."))
            return
        data = upload.read()
        try:
            self.logs[name] = read_whole(data), data
        except ValidationError as bad_lines:
            self.add_error(name, bad_lines)

    @property
    def mistakes(self) -> list[Mistake]:
        """What was typed and can't be, in the order of the fields."""
        wrong = [field for field in self if field.errors and field.value() not in (None, "")]
        return [Mistake(label=field.label, sentence=field.errors[0]) for field in wrong]

    @property
    def still_needed(self) -> list[Any]:
        """The names of the fields that were left empty and may not be."""
        return [field.label for field in self if field.errors and field.value() in (None, "")]

    def entry(self) -> Entry:
        """The cleaned form as an entry; a log's samples stand in the values under the field's own name."""
        typed = self.cleaned_data
        values = {d.name: typed.get(d.name) for d in self.kind.fields if not isinstance(d, declared.Log)}
        for name, (log, _data) in self.logs.items():
            values |= {name: log}
        if self.from_log is not None:
            values |= {self.kind.logs[0].name: self.from_log}
        return Entry(
            sheet=self.sheet,
            kind=self.kind,
            taken_by=self.membership,
            state=typed["state"],
            subject=typed.get("subject", ""),
            stood_by=typed.get("stood_by"),
            instrument_range=typed.get("instrument_range"),
            temperature_c=typed.get("temperature_c"),
            values=values,
            remark=typed.get("remark", ""),
            log=typed.get("stored_log"),
            replaces=self.corrects,
            photo=typed.get("photo"),
            **({"taken_at": typed["photo"].taken_at} if typed.get("photo") else {}),
        )


def _only_a_setting(field: declared.Field) -> bool:
    """What always has a value, or is the same from one record to the next, is nothing that was found."""
    chosen = isinstance(field, declared.Choice) and field.required
    return chosen or isinstance(field, declared.Meter) or getattr(field, "setup", False)


def _field(declaration: declared.Field, kind: Kind) -> forms.Field:
    """The form field for one declared field of a kind."""
    match declaration:
        case declared.Figure():
            return FigureField(declaration)
        case declared.Figures():
            return FiguresField(declaration)
        case declared.Choice():
            empty = [] if declaration.required else [("", "—")]
            return forms.ChoiceField(
                label=declaration.label,
                choices=[*empty, *declaration.choices],
                required=declaration.required,
                help_text=declaration.help,
            )
        case declared.Tick():
            return forms.BooleanField(label=declaration.label, required=False, help_text=declaration.help)
        case declared.Meter():
            return MeterField(declaration, kind=kind.code)
        case declared.Log():
            return forms.FileField(
                label=declaration.label,
                required=declaration.required,
                help_text=declaration.help,
                widget=forms.ClearableFileInput(attrs={"accept": ".csv,.txt,text/csv,text/plain"}),
            )
        case declared.Text():
            return forms.CharField(
                label=declaration.label, required=declaration.required, max_length=200, help_text=declaration.help
            )


def _first_values(kind: Kind, sheet: Sheet, corrects: Record | None) -> dict[str, Any]:
    """The last set-up again: what a correction corrects, else who stood by and what was used the last time.

    How it was measured is repeated from a car of the same family only: another one has another waiting time.
    """
    of_kind = Record.objects.filter(sheet__workshop=sheet.workshop_id, kind=kind.code).select_related("sheet")
    last = corrects or of_kind.order_by("pk").last()
    if last is None:
        return {}
    used = last.body["instrument"]
    instrument_range = (
        used
        and InstrumentRange.objects.filter(
            instrument__name=used["name"], unit=used["unit"], highest=used["highest"]
        ).first()
    )
    first = {"stood_by": last.stood_by_id, "instrument_range": instrument_range}
    alike = sheet.family_id is not None and last.sheet.family_id == sheet.family_id
    repeated = [d.name for d in kind.fields if isinstance(d, declared.Meter) or (alike and getattr(d, "setup", False))]
    first |= {name: from_json(last.body["values"].get(name)) for name in repeated}
    if corrects:
        first |= {name: from_json(value) for name, value in corrects.body["values"].items()}
        first |= {"temperature_c": corrects.body["temperature_c"], "subject": corrects.subject}
        first |= {"state": corrects.state, "remark": corrects.remark}
    return first
