"""Regions of the network, and places by postcode (loaded from open data, see `network/place_loading.py`)."""

from django.db import models
from django.utils.translation import gettext_lazy as _


class Region(models.Model):
    """A part of the network that a part request can be sent to."""

    code = models.SlugField(max_length=20, unique=True)
    name = models.CharField(_("name"), max_length=80)

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class Place(models.Model):
    """A postcode with a point, or a town by its name alone (then `postcode` is empty).

    `postcode` is as the post writes it; `normalised` is what is matched: the bare code, or the plain name of a town.
    """

    class Precision(models.TextChoices):
        CODE = "code", _("the point of the postcode")
        PLACE = "place", _("the point of the place of that name")
        PREFIX = "prefix", _("the mean of the postcodes that begin alike")

    country = models.CharField(max_length=2)
    postcode = models.CharField(max_length=12, blank=True)
    normalised = models.CharField(max_length=120)
    name = models.CharField(max_length=120)
    latitude = models.FloatField()
    longitude = models.FloatField()
    precision = models.CharField(max_length=6, choices=Precision)
    people = models.IntegerField(default=0)  # who live in a town, 0 where nobody knows: the larger ones orient on a map

    class Meta:
        constraints = [models.UniqueConstraint(fields=["country", "normalised"], name="place_once")]

    def __str__(self) -> str:
        return f"{self.postcode} {self.name}".strip()
