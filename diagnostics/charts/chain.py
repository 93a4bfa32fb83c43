"""A chain of part numbers: which followed which, what each region knows of them, and what does not fit backwards.

Numbers stand in columns by how often the part was superseded before; a second branch stands below the first.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar, Literal

from diagnostics.charts import scale

Standing = Literal["available", "back-ordered", "withdrawn", "unknown"]

NODE_WIDTH = 214.0
COLUMN = 261.0
HEAD = 66.0  # number and note
LINE = 27.0  # one row of two regions
TOP = 28.0  # room for the word above the wanted one
GAP = 54.0  # between two rows of nodes


@dataclass(frozen=True, kw_only=True)
class Number:
    """A part number, a note (years or "exchange unit"), and what the regions say of it."""

    number: str
    note: str = ""
    regions: Sequence[tuple[str, Standing]] = ()


@dataclass(frozen=True, kw_only=True)
class Step:
    """One number followed by another; ``backwards`` tells whether the later one fits where the earlier was."""

    old: str
    new: str
    backwards: bool = True


@dataclass(frozen=True, kw_only=True)
class Region:
    """A region's word on a number: mark and name."""

    name: str
    standing: Standing
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
    heads: str
    backwards: str
    crosses: str


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


def _region(index: int, name: str, standing: Standing, x: float, y: float) -> Region:
    mark_x, mark_y = x + (19 if index % 2 == 0 else 117), y + HEAD + 17 + LINE * (index // 2)
    cross = scale.cross(mark_x, mark_y, 4.5) if standing == "withdrawn" else ""
    return Region(name=name, standing=standing, x=mark_x, y=mark_y, mark=cross)


def _nodes(numbers: Sequence[Number], wanted: str, cells: dict[str, tuple[int, int]]) -> tuple[Node, ...]:
    lines = max((-(-len(part.regions) // 2) for part in numbers), default=0)
    nodes = []
    for part in numbers:
        column, row = cells[part.number]
        x = 2 + column * COLUMN
        y = TOP + row * (HEAD + LINE * lines + 10 + GAP)
        own = -(-len(part.regions) // 2)
        nodes.append(
            Node(
                part=part,
                wanted=part.number == wanted,
                x=x,
                y=y,
                height=HEAD + (LINE * own + 10 if own else 0),
                rule_y=y + HEAD,
                regions=tuple(_region(i, name, standing, x, y) for i, (name, standing) in enumerate(part.regions)),
            )
        )
    return tuple(nodes)


def _arrow(old: Node, new: Node) -> tuple[str, str]:
    """The way from one node to the next: level to the right, or straight down to a branch."""
    if abs(new.x - old.x) < 1:
        x, start, end = old.x + NODE_WIDTH / 2, old.y + old.height, new.y
        return scale.line(x, start, x, end - 9), scale.arrowhead(x, end, down=True)
    y, start, end = min(old.y, new.y) + 44, old.x + NODE_WIDTH, new.x
    if abs(new.y - old.y) < 1:
        return scale.line(start, y, end - 9, y), scale.arrowhead(end, y)
    bend, low = (start + end) / 2, new.y + 44
    way = scale.polyline([(start, old.y + 44), (bend, old.y + 44), (bend, low), (end - 9, low)])
    return way, scale.arrowhead(end, low)


def build(*, key: str, title: str, numbers: Sequence[Number], steps: Sequence[Step], wanted: str = "") -> Chain:
    """The chain with the wanted number marked."""
    cells = _rows(numbers, steps, _columns(numbers, steps))
    nodes = _nodes(numbers, wanted, cells)
    by_number = {node.part.number: node for node in nodes}
    arrows, heads, backwards, crosses = [], [], [], []
    for step in steps:
        old, new = by_number.get(step.old), by_number.get(step.new)
        if old is None or new is None or old is new:
            continue
        way, head = _arrow(old, new)
        arrows.append(way)
        heads.append(head)
        if not step.backwards and new.x > old.x and new.y == old.y:
            y, left, right = old.y + 98, old.x + NODE_WIDTH + 4, new.x - 4
            backwards.append(scale.line(left, y, right, y))
            crosses.append(scale.cross((left + right) / 2, y))
    return Chain(
        key=key,
        title=title,
        width=max((node.x + NODE_WIDTH + 2 for node in nodes), default=NODE_WIDTH),
        height=max((node.y + node.height + 4 for node in nodes), default=0.0),
        node_width=NODE_WIDTH,
        wanted=wanted,
        nodes=nodes,
        steps=tuple(steps),
        arrows=scale.joined(arrows),
        heads=scale.joined(heads),
        backwards=scale.joined(backwards),
        crosses=scale.joined(crosses),
    )
