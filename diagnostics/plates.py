"""Numbers on a part's plate as they are compared: the same part is found however somebody spaced its number."""

from __future__ import annotations

import unicodedata


def flat(text: str) -> str:
    """Letters and digits only, upper case, compatibility forms folded: "ov-33 10" and "OV3310" are one number."""
    return "".join(sign for sign in unicodedata.normalize("NFKC", text).upper() if sign.isalnum())


def shortened(serial: str) -> str:
    """The last signs of a serial number, never more than half of it: enough to know one's own part again."""
    kept = min(3, len(serial) // 2)
    return "…" + serial[len(serial) - kept :] if serial else ""
