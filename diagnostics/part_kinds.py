"""Kinds of part, one list for all: what a sheet measured, a number is, a request asks for, and carriage looks at."""

from django.db import models
from django.utils.translation import gettext_lazy as _


class PartKind(models.TextChoices):
    """The codes are stored and part of addresses; add new ones, never rename."""

    INVERTER = "inverter", _("inverter")
    MACHINE = "machine", _("electric machine")
    TRACTION_BATTERY = "traction_battery", _("traction battery")
    BATTERY_MODULE = "battery_module", _("battery module or block")
    BATTERY_12V = "battery_12v", _("12 V battery")
    CAPACITOR = "capacitor", _("double-layer capacitor")
    DC_CONVERTER = "dc_converter", _("DC converter")
    CHARGER = "charger", _("charger")
    CHARGE_INLET = "charge_inlet", _("charge inlet or cable")
    CABIN_COMPRESSOR = "cabin_compressor", _("cabin compressor")
    CONTACTORS = "contactors", _("contactors and fuses")
    PYRO_SWITCH = "pyro_switch", _("pyrotechnic switch or fuse")
    AIRBAG = "airbag", _("airbag or belt tensioner")
    COOLING = "cooling", _("fan, pump or cooler")
    CONTROL_BOARD = "control_board", _("control unit or board")
    SENSOR = "sensor", _("sensor")
    OTHER = "other", _("another part")
