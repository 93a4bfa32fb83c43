"""QR codes of our own addresses, drawn here: black on white in every scheme, so that a reader finds them."""

from __future__ import annotations

from collections.abc import Sequence

from django.conf import settings
from django.urls import reverse
from django.utils.safestring import SafeString, mark_safe


def link_picture(name: str, query: str = "", *, args: Sequence[int] = ()) -> SafeString:
    """The code of a page's whole address, as inline SVG that a class sizes."""
    import segno  # only printed pages need it

    address = settings.BASE_URL + reverse(name, args=args) + (f"?{query}" if query else "")
    drawn = segno.make(address, error="m").svg_inline(
        dark="#000", light="#fff", border=2, svgclass="qr", lineclass=None, omitsize=True, title=address
    )
    return mark_safe(drawn)
