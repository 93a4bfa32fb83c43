"""Who and where: people, places, workshops, applications, pictures; what happened (events), who was told (notices)."""

from network.models.api_tokens import ApiToken, KeptAnswer
from network.models.applications import Application
from network.models.events import Event
from network.models.notices import Notice
from network.models.people import User
from network.models.pictures import Picture, SharedPicture
from network.models.places import Place, Region
from network.models.signing import SigningCode
from network.models.workshops import Membership, Qualification, Workshop

__all__ = [
    "ApiToken",
    "Application",
    "Event",
    "KeptAnswer",
    "Membership",
    "Notice",
    "Picture",
    "Place",
    "Qualification",
    "Region",
    "SharedPicture",
    "SigningCode",
    "User",
    "Workshop",
]
