"""Who and where: people, places, workshops, applications; and what happened (events) and who was told (notices)."""

from network.models.applications import Application
from network.models.events import Event
from network.models.notices import Notice
from network.models.people import User
from network.models.places import Place, Region
from network.models.workshops import Membership, Qualification, Workshop

__all__ = [
    "Application",
    "Event",
    "Membership",
    "Notice",
    "Place",
    "Qualification",
    "Region",
    "User",
    "Workshop",
]
