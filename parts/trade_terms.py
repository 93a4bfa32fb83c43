"""Terms of trade between sender and receiver: Incoterms 2020 of the International Chamber of Commerce."""

from django.db import models
from django.utils.translation import gettext_lazy as _


class TradeTerms(models.TextChoices):
    """The eleven of 2020. Any mode of carriage for the first seven; the last four are for ships only."""

    EXW = "EXW", _("EXW: ex works")
    FCA = "FCA", _("FCA: free carrier")
    CPT = "CPT", _("CPT: carriage paid to")
    CIP = "CIP", _("CIP: carriage and insurance paid to")
    DAP = "DAP", _("DAP: delivered at place")
    DPU = "DPU", _("DPU: delivered at place unloaded")
    DDP = "DDP", _("DDP: delivered, duty paid")
    FAS = "FAS", _("FAS: free alongside ship")
    FOB = "FOB", _("FOB: free on board")
    CFR = "CFR", _("CFR: cost and freight")
    CIF = "CIF", _("CIF: cost, insurance and freight")


def sender_pays_at_border(terms: str) -> bool:
    """Under DDP alone the sender pays duty and tax of the import (from memory); the price holds them then."""
    return terms == TradeTerms.DDP


def receiver_fetches(terms: str) -> bool:
    """Ex works the receiver has it fetched (from memory): the freight in the answer is the sender's estimate."""
    return terms == TradeTerms.EXW
