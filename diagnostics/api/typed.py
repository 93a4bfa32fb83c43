"""A record as a program sends it: its shape by kind, and turned into what the page's form would have been sent.

Figures are JSON numbers; a reading that may be a bound may also be a text as somebody types it: "> 550", "< 0.01",
"OL". Cleaning, limits of what can be and sentences are those of the form: there is one `RecordForm` for both.
"""

from __future__ import annotations

from functools import cache
from typing import Any

from django.utils.translation import gettext as _
from drf_spectacular.utils import PolymorphicProxySerializer, extend_schema_field
from rest_framework import serializers

from diagnostics import kind as declared
from diagnostics.kind import Kind
from diagnostics.kinds import all_kinds
from diagnostics.record_form import ANY_TEMPERATURE, TEMPERATURE

LARGEST_KEY = 10**18
KEYS = {"stood_by", "taken_by", "instrument_range"}


class Mistyped(Exception):
    """Fields that are not of their type: the field, and the sentences about it."""

    def __init__(self, errors: dict[str, list[str]]) -> None:
        super().__init__(errors)
        self.errors = errors


# What the description says


@cache
def shape_of(code: str) -> type[serializers.Serializer[Any]]:
    """The body of a record of this kind, every field with its unit and range."""
    kind = all_kinds()[code]
    fields: dict[str, Any] = {"kind": serializers.ChoiceField(choices=[code])}
    fields["state"] = serializers.ChoiceField(choices=list(kind.states), help_text="State of the car or part.")
    if kind.per_subject:
        fields["subject"] = serializers.ChoiceField(choices=["1", "2", "3", "4"], help_text=str(kind.per_subject))
    fields["taken_by"] = _key("Who took it, of /people; whoever made the token, where left out.")
    fields["stood_by"] = _key("The second person, of /people.")
    if kind.needs_instrument:
        fields["instrument_range"] = _key(f"Of /instruments, one that measures in {kind.unit}.")
    fields["temperature_c"] = _described(TEMPERATURE if kind.needs_temperature else ANY_TEMPERATURE)
    fields |= {one.name: _described(one) for one in kind.fields}
    fields["remark"] = serializers.CharField(required=False, allow_blank=True, max_length=1000)
    name = "".join(word.title() for word in kind.code.split("_"))
    return type(f"New{name}Shape", (serializers.Serializer,), {**fields, "__doc__": str(kind.purpose)})


def any_kind() -> PolymorphicProxySerializer:
    return PolymorphicProxySerializer(
        component_name="NewRecord",
        serializers={code: shape_of(code) for code in all_kinds()},
        resource_type_field_name="kind",
    )


def _key(words: str) -> serializers.IntegerField:
    return serializers.IntegerField(required=False, allow_null=True, min_value=1, help_text=words)


def _described(field: declared.Field) -> serializers.Field[Any, Any, Any, Any]:
    words = ". ".join(str(part).rstrip(".") for part in (field.label, field.help) if part) + "."
    words += f" In {field.unit}." if isinstance(field, declared.Figure | declared.Figures) and field.unit else ""
    match field:
        case declared.Figure():
            return _schema(_number_or_bound(field), words, field.required)
        case declared.Figures():
            many = {"type": "array", "items": _number(field), "maxItems": field.most} | (
                {"minItems": 1} if field.required else {}
            )
            return _schema(many, words, field.required)
        case declared.Choice():
            codes = [code for code, _words in field.choices]
            return serializers.ChoiceField(choices=codes, required=field.required, help_text=words)
        case declared.Tick():
            return serializers.BooleanField(required=False, help_text=words)
        case declared.Text():
            return serializers.CharField(
                required=field.required, allow_blank=not field.required, max_length=200, help_text=words
            )
        case declared.Meter():
            return _key(f"{words}: of /instruments, one that measures in {field.unit}.")
        case declared.Log():
            return serializers.IntegerField(
                required=field.required, min_value=1, help_text=f"{words}: a log that was uploaded to this sheet."
            )


def _number(field: declared.Figure | declared.Figures) -> dict[str, Any]:
    ends = {"minimum": field.low, "maximum": field.high}
    return {"type": "number"} | {end: figure for end, figure in ends.items() if figure is not None}


def _number_or_bound(field: declared.Figure) -> dict[str, Any]:
    if not field.may_be_bound:
        return _number(field)
    bound = {"type": "string", "maxLength": 40, "description": 'A bound: "> 550", "< 0.01" or "OL".'}
    return {"oneOf": [_number(field), bound]}


def _schema(schema: dict[str, Any], words: str, required: bool) -> serializers.Field[Any, Any, Any, Any]:
    made = extend_schema_field(schema)(type("DescribedField", (serializers.Field,), {}))
    field: serializers.Field[Any, Any, Any, Any] = made(required=required, help_text=words)
    return field


# What is done with it


def as_typed(kind: Kind, body: dict[str, Any]) -> dict[str, str]:
    """The body as the form's fields; raises Mistyped for what is of another type, or no field of this kind."""
    known = {field.name: field for field in kind.fields}
    if kind.needs_temperature:
        known[TEMPERATURE.name] = TEMPERATURE
    first = {"state", "remark", *KEYS} | ({"subject"} if kind.per_subject else set())
    typed, errors = {}, {}
    for name, value in body.items():
        if name == "kind" or value is None:
            continue
        try:
            if name in known:
                typed[name] = _typed(known[name], value)
            elif name in first:
                typed[name] = _key_typed(value) if name in KEYS else _text_typed(value)
            else:
                raise ValueError(_("There is no such field in this kind of record."))
        except ValueError as error:
            errors[name] = [str(error)]
    if errors:
        raise Mistyped(errors)
    return typed


def _typed(field: declared.Field, value: Any) -> str:
    match field:
        case declared.Figure() if field.may_be_bound and isinstance(value, str):
            return value
        case declared.Figure():
            return _figure_typed(value)
        case declared.Figures():
            if not isinstance(value, list):
                raise ValueError(_("Send a list of numbers."))
            return " ".join(_figure_typed(one) for one in value)
        case declared.Tick():
            if not isinstance(value, bool):
                raise ValueError(_("Send true or false."))
            return "on" if value else ""
        case declared.Meter() | declared.Log():
            return _key_typed(value)
    return _text_typed(value)


def _figure_typed(value: Any) -> str:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ValueError(_("Send a number."))
    try:
        # Twelve digits: more than any meter shows, and 0.1 + 0.2 is 0.3 again.
        return f"{value:.12g}"
    except OverflowError as error:
        raise ValueError(_("This number is too large.")) from error


def _key_typed(value: Any) -> str:
    if isinstance(value, bool) or not isinstance(value, int) or not 0 < value < LARGEST_KEY:
        raise ValueError(_("Send the id, a whole number."))
    return str(value)


def _text_typed(value: Any) -> str:
    if not isinstance(value, str):
        raise ValueError(_("Send a text."))
    return value
