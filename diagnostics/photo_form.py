"""The form that takes a photograph of a display: one picture, on a phone straight from its camera."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy

from network.pictures import PicturesField


class PhotoForm(forms.Form):
    picture = PicturesField(
        most=1,
        required=True,
        label=gettext_lazy("Photograph of the display"),
        help_text=gettext_lazy("The whole display, sharp, unit and range too. The position in it is removed."),
    )

    def __init__(self, *args: object, **kwargs: object) -> None:
        super().__init__(*args, **kwargs)  # type: ignore[arg-type]
        self.fields["picture"].widget.attrs["capture"] = "environment"
