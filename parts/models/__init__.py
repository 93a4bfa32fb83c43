"""Sourcing: part numbers and what is known of them; requests that members see in their regions, and the answers."""

from parts.models.answers import Answer
from parts.models.borders import BorderRate
from parts.models.numbers import PartNumber, PartNumberQuerySet
from parts.models.requests import NEWEST_FIRST, PartRequest, PartRequestQuerySet
from parts.models.revisions import PartRevision
from parts.models.supersessions import Supersession, SupersessionQuerySet
from parts.models.supply import SupplyReport
from parts.numbers import LONGEST_NUMBER

__all__ = [
    "LONGEST_NUMBER",
    "NEWEST_FIRST",
    "Answer",
    "BorderRate",
    "PartNumber",
    "PartNumberQuerySet",
    "PartRequest",
    "PartRequestQuerySet",
    "PartRevision",
    "Supersession",
    "SupersessionQuerySet",
    "SupplyReport",
]
