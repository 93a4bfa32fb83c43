"""How a form field is drawn and what it says of a mistake, in one place for every form."""

from collections.abc import Iterator
from typing import Any

from django import forms
from django.forms.boundfield import BoundField
from django.forms.renderers import TemplatesSetting
from django.utils.translation import gettext as _


class NamedField(BoundField):
    """A field whose sentences name it and say what to write, wherever the form left Django's own standing."""

    def __init__(self, form: Any, field: Any, name: str) -> None:
        super().__init__(form, field, name)
        self.named = str(self.label).rstrip(" :?.")
        for code, sentence in _sentences(field, self.named):
            if field.error_messages.get(code) == _djangos(field, code):
                field.error_messages[code] = sentence


class FieldRenderer(TemplatesSetting):
    """Fields and forms are drawn by our own templates; widgets by Django's, but for the empty choice."""

    form_template_name = "forms/form.html"
    field_template_name = "forms/field.html"
    bound_field_class = NamedField


def _djangos(field: Any, code: str) -> Any:
    """Django's own message of this code for such a field; None where one of its validators brings it."""
    for above in type(field).__mro__:
        if above.__module__.startswith("django.") and code in vars(above).get("default_error_messages", {}):
            return vars(above)["default_error_messages"][code]
    return None


def _sentences(field: Any, label: str) -> Iterator[tuple[str, str]]:
    """By Django's code of a mistake what to write instead."""
    yield "required", _asked_for(field) % {"label": label, "unit": getattr(field, "unit", "")}
    match field:
        case forms.DateTimeField():
            yield "invalid", _("This isn’t a time. Write day and hour like 2026-03-31 14:30.")
        case forms.DateField():
            yield "invalid", _("This isn’t a day. Write it like 31/03/2026 or 2026-03-31.")
        case forms.FloatField() | forms.DecimalField():
            yield "invalid", _("This isn’t a figure. Type digits with one comma or point.")
        case forms.IntegerField():
            yield "invalid", _("This isn’t a whole number. Type digits alone, without comma, point or unit.")
        case forms.EmailField():
            yield "invalid", _("This isn’t an e-mail address. Write it like name@workshop.example.")
        case forms.FileField():
            yield "empty", _("This file is empty. Choose another one.")
        case forms.ModelMultipleChoiceField() | forms.MultipleChoiceField():
            yield "invalid_choice", _("One of these can’t be chosen, or no longer. Choose from the list again.")
        case forms.ChoiceField():
            yield "invalid_choice", _("This can’t be chosen, or no longer. Choose from the list again.")
    if not isinstance(field, forms.FileField):  # filled in by Django: what was typed, and its validator's limit
        yield "min_value", _("It can’t be %(show_value)s: the least is %(limit_value)s.")
        yield "max_value", _("It can’t be %(show_value)s: the most is %(limit_value)s.")
        yield "max_length", _("Write it shorter: %(limit_value)d characters at most, these are %(show_value)d.")


def _asked_for(field: Any) -> str:
    """What to do where nothing is written."""
    match field:
        case forms.BooleanField():
            return _("“%(label)s” isn’t ticked. Tick it once it is so.")
        case forms.MultipleChoiceField() | forms.ModelMultipleChoiceField():
            return _("Nothing is ticked at “%(label)s”. Tick one at least.")
        case forms.FileField():
            return _("No file is chosen at “%(label)s”. Choose one.")
        case forms.ChoiceField():
            return _("Nothing is chosen at “%(label)s”. Choose one.")
        case forms.DateTimeField():
            return _("“%(label)s” is empty. Give the day and the hour.")
        case forms.DateField():
            return _("“%(label)s” is empty. Give the day.")
    if getattr(field, "unit", "") and isinstance(field.widget, forms.Textarea):
        return _("“%(label)s” is empty. Type the figures, in %(unit)s.")
    if getattr(field, "unit", ""):
        return _("“%(label)s” is empty. Type the figure, in %(unit)s.")
    if isinstance(field, forms.IntegerField | forms.FloatField | forms.DecimalField):
        return _("“%(label)s” is empty. Type the figure.")
    return _("“%(label)s” is empty. Write it here.")
