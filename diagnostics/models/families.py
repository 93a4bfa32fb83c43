"""System families: cars that share one high-voltage system, what is expected of them, and where each limit comes from.

Families and their limits are common knowledge of the network. A limit that one workshop entered binds that workshop
only, and only where it is stricter, until a second workshop confirms it (`diagnostics/limits.py`). What is expected of
a reading is shown to its own workshop until then, and judges nothing (`diagnostics/expected.py`).
"""

from __future__ import annotations

from typing import Any, ClassVar

from django.db import models, transaction
from django.db.models import F, Q
from django.db.models.functions import Lower
from django.utils.translation import gettext_lazy as _

from diagnostics.kinds import kind_of
from network.models import Event, Membership


class SystemFamily(models.Model):
    class Drive(models.TextChoices):
        HYBRID = "hybrid", _("hybrid")
        ELECTRIC = "electric", _("electric")

    class Chemistry(models.TextChoices):
        NICKEL = "nickel_metal_hydride", _("nickel-metal hydride")
        LITHIUM = "lithium_ion", _("lithium-ion")
        IRON_PHOSPHATE = "lithium_iron_phosphate", _("lithium iron phosphate")

    class Machine(models.TextChoices):
        PERMANENT_MAGNET = "permanent_magnet", _("permanent magnet")
        INDUCTION = "induction", _("induction")
        WOUND_ROTOR = "wound_rotor", _("wound rotor")

    class Connection(models.TextChoices):
        WYE = "wye", _("star (wye)")
        DELTA = "delta", _("delta")

    maker = models.CharField(_("maker"), max_length=80)
    name = models.CharField(_("system family"), max_length=120)
    drive = models.CharField(_("drive"), max_length=8, choices=Drive)
    nominal_v = models.FloatField(_("nominal voltage"), help_text=_("of the traction battery"))
    highest_working_v = models.FloatField(_("highest working voltage"), help_text=_("boost included"))
    chemistry = models.CharField(_("chemistry of the battery"), max_length=24, choices=Chemistry)
    blocks = models.PositiveSmallIntegerField(_("blocks or cells in a row"))
    rated_ah = models.FloatField(_("rated capacity"))
    machines = models.PositiveSmallIntegerField(_("electric machines in the car"), default=1)
    machine_type = models.CharField(_("machine"), max_length=16, choices=Machine)
    connection = models.CharField(_("connection of the windings"), max_length=5, choices=Connection)
    entered_by = models.ForeignKey("network.Workshop", on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["maker", "name"]
        verbose_name_plural = "system families"
        constraints = [
            models.UniqueConstraint(Lower("maker"), Lower("name"), name="family_once"),
            models.CheckConstraint(
                condition=Q(
                    nominal_v__gt=0, highest_working_v__gte=F("nominal_v"), rated_ah__gt=0, blocks__gt=0, machines__gt=0
                ),
                name="family_figures_possible",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.maker} {self.name}"


class FamilyFactQuerySet(models.QuerySet[Any]):
    def standing(self) -> FamilyFactQuerySet:
        """Drops what its workshop took back before a second one confirmed it."""
        return self.filter(taken_back_at__isnull=True)


class FamilyFact(models.Model):
    """What a member entered about one quantity of a kind of record, with its source; confirmed by a second workshop."""

    kind = models.CharField(max_length=40)
    quantity = models.CharField(max_length=60)
    unit = models.CharField(max_length=20)
    source = models.CharField(_("source: document, edition, page"), max_length=200)
    entered_by = models.ForeignKey("network.Workshop", on_delete=models.PROTECT, related_name="+")
    confirmed_by = models.ForeignKey("network.Workshop", on_delete=models.PROTECT, null=True, related_name="+")
    entered_at = models.DateTimeField(auto_now_add=True)
    taken_back_at = models.DateTimeField(null=True)

    family: models.ForeignKey[Any, SystemFamily]
    word: ClassVar[str]  # what its events are called after
    objects: ClassVar[Any] = FamilyFactQuerySet.as_manager()

    class Meta:
        abstract = True
        ordering = ["kind", "quantity", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(taken_back_at__isnull=True) | Q(confirmed_by__isnull=True),
                name="%(class)s_confirmed_is_not_taken_back",
            ),
            models.CheckConstraint(
                condition=Q(confirmed_by__isnull=True) | ~Q(confirmed_by=F("entered_by")),
                name="%(class)s_confirmed_by_a_second",
            ),
        ]

    @property
    def kind_title(self) -> str:
        kind = kind_of(self.kind)
        return str(kind.title) if kind else self.kind

    @property
    def quantity_title(self) -> str:
        kind = kind_of(self.kind)
        return kind.name_of(self.quantity) if kind else self.quantity

    @transaction.atomic
    def confirm(self, *, by: Membership) -> bool:
        """A second workshop has the same figure from the same source: it now holds for everybody."""
        changed = (
            type(self)
            .objects.standing()
            .filter(pk=self.pk, confirmed_by__isnull=True)
            .exclude(entered_by=by.workshop)
            .update(confirmed_by=by.workshop)
        )
        if changed:
            Event.record(f"{self.word}_confirmed", self, by=by.person, workshop=by.workshop)
        return bool(changed)


class FamilyLimit(FamilyFact):
    """A limit for one quantity of one kind of record."""

    class Shape(models.TextChoices):
        MINIMUM = "minimum", _("at least")
        MAXIMUM = "maximum", _("at most")
        RANGE = "range", _("between")

    class Authority(models.TextChoices):
        MAKER = "maker", _("the maker")
        STANDARD = "standard", _("a standard")
        COMMON_PRACTICE = "common practice", _("common practice")

    word = "limit"
    family = models.ForeignKey(SystemFamily, on_delete=models.PROTECT, related_name="limits")
    shape = models.CharField(_("the limit is"), max_length=7, choices=Shape)
    value = models.FloatField(_("limit"))
    upper = models.FloatField(_("upper end of the range"), null=True, blank=True)
    authority = models.CharField(_("given by"), max_length=15, choices=Authority)

    class Meta(FamilyFact.Meta):
        abstract = False
        constraints = [
            *FamilyFact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(shape="range", upper__gt=F("value")) | (~Q(shape="range") & Q(upper__isnull=True)),
                name="limit_range_has_upper_end",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.family}: {self.quantity}"

    @property
    def figures(self) -> str:
        end = f" – {self.upper:g}" if self.upper is not None else ""
        return f"{self.get_shape_display()} {self.value}{end} {self.unit}"


class ExpectedReading(FamilyFact):
    """What a sound car of the family usually reads: a hint beside the limit, and never a limit itself."""

    word = "expected"
    family = models.ForeignKey(SystemFamily, on_delete=models.PROTECT, related_name="expected")
    typical = models.FloatField(_("typical value"))
    low = models.FloatField(_("usually not below"))
    high = models.FloatField(_("usually not above"))

    class Meta(FamilyFact.Meta):
        abstract = False
        constraints = [
            *FamilyFact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(low__lte=F("typical"), high__gte=F("typical"), high__gt=F("low")),
                name="expected_in_its_band",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.family}: {self.quantity}"

    @property
    def figures(self) -> str:
        return f"{self.typical:g} ({self.low:g} – {self.high:g}) {self.unit}"
