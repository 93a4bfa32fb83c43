"""The sourcing board: requests that members see in the regions they were sent to, and the answers to them."""

from parts.models.answers import Answer
from parts.models.borders import BorderRate
from parts.models.requests import NEWEST_FIRST, PartRequest, PartRequestQuerySet
from parts.numbers import LONGEST_NUMBER

__all__ = ["LONGEST_NUMBER", "NEWEST_FIRST", "Answer", "BorderRate", "PartRequest", "PartRequestQuerySet"]
