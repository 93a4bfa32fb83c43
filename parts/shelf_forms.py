"""Forms of the shelf list: the file, and what its columns are."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from parts.shelf import COLUMNS, guessed
from parts.shelf_table import read_table

LABELS = {
    "number": gettext_lazy("Part number"),
    "description": gettext_lazy("What it is"),
    "quantity": gettext_lazy("Pieces"),
    "condition": gettext_lazy("Condition"),
    "place": gettext_lazy("Where it lies"),
}


class TableField(forms.FileField):
    """An uploaded file, with its `table` read."""

    def clean(self, data: Any, initial: Any = None) -> Any:
        file = super().clean(data, initial)
        file.table = read_table(file)
        return file


class ShelfForm(forms.Form):
    file = TableField(
        label=gettext_lazy("List of your shelf"),
        help_text=gettext_lazy("CSV or XLSX, the first row names the columns; at most 5 MB and 20 000 rows"),
        widget=forms.FileInput(attrs={"accept": ".csv,.xlsx,.txt"}),
    )


class ColumnsForm(forms.Form):
    """A choice of the table's headers for each column of the list; only the number has to be there."""

    def __init__(self, *args: Any, headers: list[str], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        known = guessed(headers)
        named = [(str(place), header or _("column %(n)d") % {"n": place + 1}) for place, header in enumerate(headers)]
        for name in COLUMNS:
            self.fields[name] = forms.ChoiceField(
                label=LABELS[name],
                choices=[("", gettext_lazy("not in the table")), *named],
                required=name == "number",
                initial=str(known[name]) if name in known else "",
            )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        chosen = [place for place in cleaned.values() if place]
        if len(chosen) != len(set(chosen)):
            raise ValidationError(_("One column of the table is chosen twice."))
        return cleaned

    @property
    def columns(self) -> dict[str, int]:
        """Which column of the table each is."""
        return {name: int(place) for name, place in self.cleaned_data.items() if place}
