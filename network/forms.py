"""Forms of the network's pages: they clean and convert once, and refuse with a sentence at the field."""

from django import forms
from django.http import HttpRequest
from django.utils.translation import gettext_lazy as _

from network.models import User


class SignupName(forms.Form):
    """What signing up asks beside e-mail and password."""

    name = forms.CharField(label=_("Your name"), max_length=120, widget=forms.TextInput(attrs={"autocomplete": "name"}))

    field_order = ["name", "email", "password1"]

    def signup(self, request: HttpRequest, user: User) -> None:
        user.name = self.cleaned_data["name"]
        user.save(update_fields=["name"])
