"""Part numbers that members know, shared by all: what each is, whose, and which system families it fits."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.db import models
from django.db.models import F, Lookup, Q
from django.db.models.functions import Lower
from django.utils.translation import gettext_lazy as _

from diagnostics.models import SystemFamily
from diagnostics.part_kinds import PartKind
from network.models import Workshop
from parts.numbers import LONGEST_NUMBER, normalise, sign_after


class NumberKey(models.CharField):
    """A normalised number, compared by the values of its signs whatever the language of the database.

    PostgreSQL compares texts by the rules of its language unless its column says otherwise; SQLite compares by value.
    """

    def db_parameters(self, connection: Any) -> dict[str, Any]:
        return {**super().db_parameters(connection), "collation": "C" if connection.vendor == "postgresql" else None}


@NumberKey.register_lookup
class Begins(Lookup):
    """`normalised__begins="LN27"`: a range of the index, where `startswith` reads the whole table on SQLite."""

    lookup_name = "begins"

    def as_sql(self, compiler: Any, connection: Any) -> tuple[str, Any]:
        column, params = self.process_lhs(compiler, connection)
        after = sign_after(self.rhs)
        if not after:
            return f"{column} >= %s", [*params, self.rhs]
        return f"({column} >= %s AND {column} < %s)", [*params, self.rhs, *params, after]


@NumberKey.register_lookup
class Holds(Lookup):
    """`normalised__holds="410"`: somewhere after its first sign. A number has letters and digits, nothing to escape.

    One comparison for each row, and a LIKE: of a function PostgreSQL expects every third number to fit, and reads them
    one after the other (`contains` and leaving out those that begin so took it longer than reading the table).
    """

    lookup_name = "holds"

    def as_sql(self, compiler: Any, connection: Any) -> tuple[str, Any]:
        column, params = self.process_lhs(compiler, connection)
        return f"{column} LIKE %s", [*params, f"_%{self.rhs}%"]


class PartNumberQuerySet(models.QuerySet["PartNumber"]):
    def in_order(self) -> PartNumberQuerySet:
        """By number, then by when it was entered (several makers may print the same number)."""
        return self.order_by("normalised", "pk")

    def called(self, number: str) -> PartNumberQuerySet:
        """Drops every number but this one, however it is written."""
        return self.filter(normalised=normalise(number=number))


class PartNumber(models.Model):
    number = models.CharField(_("part number, as printed"), max_length=LONGEST_NUMBER)
    normalised = NumberKey(max_length=LONGEST_NUMBER, editable=False)
    reversed = NumberKey(max_length=LONGEST_NUMBER, editable=False)  # finds a typo in the first half
    maker = models.CharField(_("maker"), max_length=80)
    kind = models.CharField(_("what kind of part"), max_length=20, choices=PartKind)
    description = models.CharField(_("what it is"), max_length=120)
    families = models.ManyToManyField(
        SystemFamily, verbose_name=_("fits these system families"), related_name="part_numbers", blank=True
    )
    entered_by_workshop = models.ForeignKey(Workshop, on_delete=models.PROTECT, related_name="+")
    entered_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    entered_at = models.DateTimeField(auto_now_add=True)

    objects = PartNumberQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(condition=~Q(normalised=""), name="part_number_has_signs"),
            models.UniqueConstraint(F("normalised"), Lower("maker"), name="part_number_once_a_maker"),
        ]
        indexes = [
            # With the key, so that a search for a piece of a number reads the index and not the rows.
            models.Index(fields=["normalised", "id"], name="part_number_begins"),
            models.Index(fields=["reversed", "id"], name="part_number_ends"),
        ]

    def __str__(self) -> str:
        return self.number

    def save(self, *args: Any, **kwargs: Any) -> None:
        self.normalised = normalise(number=self.number)
        self.reversed = self.normalised[::-1]
        super().save(*args, **kwargs)
