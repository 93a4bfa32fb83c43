"""Reading a drawing back: coordinates out of path data, pictures and tables out of a rendered page."""

import re
from html.parser import HTMLParser
from xml.etree import ElementTree


def strokes(d: str) -> list[tuple[float, float, float, float]]:
    """Straight strokes of path data made of M and L with absolute coordinates."""
    found = re.findall(r"M(-?[\d.]+) (-?[\d.]+)L(-?[\d.]+) (-?[\d.]+)", d)
    return [(float(a), float(b), float(c), float(e)) for a, b, c, e in found]


def corners(d: str) -> list[tuple[float, float]]:
    """All absolute points of path data made of M and L."""
    return [(float(x), float(y)) for x, y in re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", d)]


def pictures(html: str) -> list[ElementTree.Element]:
    """Every SVG of a page, parsed strictly; those that say nothing by themselves (keys, icons) are left out."""
    found = [ElementTree.fromstring(svg) for svg in re.findall(r"<svg.*?</svg>", html, flags=re.DOTALL)]
    return [svg for svg in found if svg.get("role") == "img"]


class _Cells(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.cells: list[str] = []
        self.open = False

    def handle_starttag(self, tag, attrs):
        if tag in ("td", "th"):
            self.cells.append("")
            self.open = True

    def handle_endtag(self, tag):
        if tag in ("td", "th"):
            self.open = False

    def handle_data(self, data):
        if self.open:
            self.cells[-1] += data


def cells(html: str) -> list[str]:
    """What stands in the cells of the page's tables."""
    parser = _Cells()
    parser.feed(html)
    return [" ".join(cell.split()) if "\u202f" not in cell else cell.strip() for cell in parser.cells]
