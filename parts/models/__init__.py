"""Sourcing: part numbers and what is known of them; requests, the answers to them, what travels, and shelves."""

from parts.models.answers import Answer
from parts.models.borders import BorderRate
from parts.models.corrections import Correction
from parts.models.numbers import PartNumber, PartNumberQuerySet
from parts.models.questions import Question
from parts.models.requests import NEWEST_FIRST, PartRequest, PartRequestQuerySet
from parts.models.revisions import PartRevision
from parts.models.shelves import ShelfItem, ShelfUpload
from parts.models.shipments import DepositSettled, Shipment
from parts.models.supersessions import Supersession, SupersessionQuerySet
from parts.models.supply import SupplyReport
from parts.models.watches import Watch
from parts.numbers import LONGEST_NUMBER

__all__ = [
    "LONGEST_NUMBER",
    "NEWEST_FIRST",
    "Answer",
    "BorderRate",
    "Correction",
    "DepositSettled",
    "PartNumber",
    "PartNumberQuerySet",
    "PartRequest",
    "PartRequestQuerySet",
    "PartRevision",
    "Question",
    "ShelfItem",
    "ShelfUpload",
    "Shipment",
    "Supersession",
    "SupersessionQuerySet",
    "SupplyReport",
    "Watch",
]
