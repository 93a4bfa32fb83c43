"""What looks private in a text is read in `network/private_text.py`, which measuring needs as well."""

from network.private_text import IN_A_NUMBER, IN_A_TEXT, MAIL, PHONE, VIN, Shape, private_pieces

__all__ = ["IN_A_NUMBER", "IN_A_TEXT", "MAIL", "PHONE", "VIN", "Shape", "private_pieces"]
