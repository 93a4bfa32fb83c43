"""A chain of part numbers: which followed which, what each region knows of them, and what does not fit backwards.

Numbers stand in columns by how often the part was superseded before; a second branch stands below the first.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar, Literal

from diagnostics.charts import scale

Standing = Literal["available", "back-ordered", "withdrawn", "refused", "unknown"]

NODE_WIDTH = 214.0
COLUMN = 261.0
HEAD = 66.0  # number and note
LINE = 27.0  # one row of two regions
TOP = 28.0  # room for the word above the wanted one
SHORT_NAME = 11  # signs of a region's name, of which two stand side by side
GAP = 54.0  # between two rows of nodes
BACK = 30.0  # how far below the nodes an arrow runs that leads back


@dataclass(frozen=True, kw_only=True)
class Number:
    """A part number, a note (what it is), what the regions say of it, and which of them said so long ago."""

    number: str
    note: str = ""
    regions: Sequence[tuple[str, Standing]] = ()
    long_ago: frozenset[str] = frozenset()


@dataclass(frozen=True, kw_only=True)
class Step:
    """One number followed by another, or used ``instead``; ``backwards`` tells whether the earlier one fits still.

    ``note`` stands at the arrow: since when, a few signs wide.
    """

    old: str
    new: str
    backwards: bool = True
    instead: bool = False
    disputed: bool = False
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class Region:
    """A region's word on a number: mark and name, and whether it was said long ago."""

    name: str
    standing: Standing
    long_ago: bool
    x: float
    y: float
    mark: str


@dataclass(frozen=True, kw_only=True)
class Node:
    """A number, drawn."""

    part: Number
    wanted: bool
    x: float
    y: float
    height: float
    rule_y: float
    regions: tuple[Region, ...]


@dataclass(frozen=True, kw_only=True)
class Note:
    """Words at an arrow: since when, or that it is disputed."""

    text: str
    disputed: bool
    x: float
    y: float
    middle: bool


@dataclass(frozen=True, kw_only=True)
class Chain:
    """The drawing. It is one size and scrolls sideways in its own group where it does not fit."""

    template: ClassVar[str] = "charts/chain.html"
    key: str
    title: str
    width: float
    height: float
    node_width: float
    wanted: str
    nodes: tuple[Node, ...]
    steps: tuple[Step, ...]
    arrows: str
    instead: str
    heads: str
    backwards: str
    crosses: str
    notes: tuple[Note, ...]

    @property
    def refused(self) -> bool:
        return any(region.standing == "refused" for node in self.nodes for region in node.regions)

    @property
    def long_ago(self) -> bool:
        return any(region.long_ago for node in self.nodes for region in node.regions)


def _columns(numbers: Sequence[Number], steps: Sequence[Step]) -> dict[str, int]:
    """How many steps lie before each number; a circle (somebody's slip of the pen) stops after as many as there are."""
    column = {part.number: 0 for part in numbers}
    for _ in numbers:
        for step in steps:
            if step.old in column and step.new in column:
                column[step.new] = min(max(column[step.new], column[step.old] + 1), len(numbers) - 1)
    return column


def _rows(numbers: Sequence[Number], steps: Sequence[Step], column: dict[str, int]) -> dict[str, tuple[int, int]]:
    """Column and row of each number. A branch that nothing follows stands below the number it came from."""
    followed = {step.old for step in steps}
    origin = {step.new: step.old for step in steps}
    cells: dict[str, tuple[int, int]] = {}
    used: set[tuple[int, int]] = set()
    for part in sorted(numbers, key=lambda one: (column[one.number], one.number not in followed)):
        cell = (column[part.number], 0)
        if cell in used and part.number in origin:
            parent_column, parent_row = cells.get(origin[part.number], (cell[0], 0))
            cell = (parent_column, parent_row + 1)
        while cell in used:
            cell = (cell[0], cell[1] + 1)
        used.add(cell)
        cells[part.number] = cell
    return cells


def _across(numbers: Sequence[Number]) -> int:
    """How many regions stand side by side in a node: two where every name is short enough, else one."""
    longest = max((len(name) for part in numbers for name, _standing in part.regions), default=0)
    return 2 if longest <= SHORT_NAME else 1


def _region(index: int, part: Number, across: int, x: float, y: float) -> Region:
    name, standing = part.regions[index]
    mark_x, mark_y = x + 19 + 98 * (index % across), y + HEAD + 17 + LINE * (index // across)
    mark = ""
    if standing == "withdrawn":
        mark = scale.cross(mark_x, mark_y, 4.5)
    elif standing == "refused":
        mark = scale.line(mark_x - 5, mark_y, mark_x + 5, mark_y)
    return Region(name=name, standing=standing, long_ago=name in part.long_ago, x=mark_x, y=mark_y, mark=mark)


def _nodes(numbers: Sequence[Number], wanted: str, cells: dict[str, tuple[int, int]]) -> tuple[Node, ...]:
    across = _across(numbers)
    lines = max((-(-len(part.regions) // across) for part in numbers), default=0)
    nodes = []
    for part in numbers:
        column, row = cells[part.number]
        x = 2 + column * COLUMN
        y = TOP + row * (HEAD + LINE * lines + 10 + GAP)
        own = -(-len(part.regions) // across)
        nodes.append(
            Node(
                part=part,
                wanted=part.number == wanted,
                x=x,
                y=y,
                height=HEAD + (LINE * own + 10 if own else 0),
                rule_y=y + HEAD,
                regions=tuple(_region(i, part, across, x, y) for i in range(len(part.regions))),
            )
        )
    return tuple(nodes)


def _arrow(old: Node, new: Node) -> tuple[str, str]:
    """The way from one node to the next: level to the right, straight down to a branch, or below and back."""
    if abs(new.x - old.x) < 1:
        x, start, end = old.x + NODE_WIDTH / 2, old.y + old.height, new.y
        return scale.line(x, start, x, end - 9), scale.arrowhead(x, end, down=True)
    if new.x < old.x:
        low = max(old.y + old.height, new.y + new.height) + BACK
        start, end = old.x + NODE_WIDTH * 0.6, new.x + NODE_WIDTH * 0.4
        way = [(start, old.y + old.height), (start, low), (end, low), (end, new.y + new.height + 9)]
        return scale.polyline(way), scale.arrowhead(end, new.y + new.height, up=True)
    y, start, end = min(old.y, new.y) + 44, old.x + NODE_WIDTH, new.x
    if abs(new.y - old.y) < 1:
        return scale.line(start, y, end - 9, y), scale.arrowhead(end, y)
    bend, low = (start + end) / 2, new.y + 44
    way = [(start, old.y + 44), (bend, old.y + 44), (bend, low), (end - 9, low)]
    return scale.polyline(way), scale.arrowhead(end, low)


def _notes(step: Step, old: Node, new: Node) -> list[Note]:
    """Since when, and that it is disputed, at the arrow."""
    if abs(new.x - old.x) < 1:
        place = {"x": old.x + NODE_WIDTH / 2 + 10, "y": new.y - 20, "middle": False}
    elif new.x < old.x:
        low = max(old.y + old.height, new.y + new.height) + BACK
        place = {"x": (old.x + new.x + NODE_WIDTH) / 2, "y": low - 7, "middle": True}
    else:
        place = {"x": new.x - (COLUMN - NODE_WIDTH) / 2 - 3, "y": new.y + 36, "middle": True}
    words = [(step.note, False)] if step.note else []
    words += [("?", True)] if step.disputed else []
    return [
        Note(text=text, disputed=disputed, **(place | {"y": place["y"] - 17 * row}))  # type: ignore[arg-type]
        for row, (text, disputed) in enumerate(words)
    ]


def build(*, key: str, title: str, numbers: Sequence[Number], steps: Sequence[Step], wanted: str = "") -> Chain:
    """The chain with the wanted number marked."""
    cells = _rows(numbers, steps, _columns(numbers, steps))
    nodes = _nodes(numbers, wanted, cells)
    by_number = {node.part.number: node for node in nodes}
    arrows: list[str] = []
    instead: list[str] = []
    heads, backwards, crosses = [], [], []
    notes: list[Note] = []
    back = 0.0
    for step in steps:
        old, new = by_number.get(step.old), by_number.get(step.new)
        if old is None or new is None or old is new:
            continue
        way, head = _arrow(old, new)
        (instead if step.instead else arrows).append(way)
        heads.append(head)
        notes += _notes(step, old, new)
        back = BACK if new.x < old.x else back
        if not step.backwards and new.x > old.x and new.y == old.y:
            y, left, right = old.y + 98, old.x + NODE_WIDTH + 4, new.x - 4
            backwards.append(scale.line(left, y, right, y))
            crosses.append(scale.cross((left + right) / 2, y))
    return Chain(
        key=key,
        title=title,
        width=max((node.x + NODE_WIDTH + 2 for node in nodes), default=NODE_WIDTH),
        height=max((node.y + node.height + 4 + back for node in nodes), default=0.0),
        node_width=NODE_WIDTH,
        wanted=wanted,
        nodes=nodes,
        steps=tuple(steps),
        arrows=scale.joined(arrows),
        instead=scale.joined(instead),
        heads=scale.joined(heads),
        backwards=scale.joined(backwards),
        crosses=scale.joined(crosses),
        notes=tuple(notes),
    )
