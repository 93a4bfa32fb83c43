"""Windings: how far each pair lies from the mean of all, as bars from zero, with whiskers and the limit."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from diagnostics.charts import scale


@dataclass(frozen=True, kw_only=True)
class Pair:
    """One pair of terminals: its reading at the reference temperature, its deviation and that one's uncertainty."""

    label: str
    value: float
    deviation_percent: float
    uncertainty_percent: float = 0.0
    decimals: int = 1


@dataclass(frozen=True, kw_only=True)
class Bar:
    """A pair, drawn: its bar from zero, and the point that it ends in."""

    pair: Pair
    y: float
    x: float
    width: float
    point: float
    whisker: str
    outside: bool


@dataclass(frozen=True, kw_only=True)
class Drawing:
    """One size of the chart."""

    size: str
    width: int
    height: float
    left: float
    right: float
    top: float
    bottom: float
    zero: float
    bars: tuple[Bar, ...]
    inside: str
    outside: str
    whiskers: str
    dots: str
    ticks: tuple[scale.Tick, ...]
    texts: tuple[scale.Text, ...]
    grid: str
    limit_lines: str
    hatches: str
    limit_word_at: float


@dataclass(frozen=True, kw_only=True)
class DeviationBars:
    """The chart. ``reference`` says to which condition the values belong ("at 20 °C")."""

    template: ClassVar[str] = "charts/deviation_bars.html"
    key: str
    title: str
    unit: str
    reference: str
    limit_percent: float | None
    pairs: tuple[Pair, ...]
    wide: Drawing
    phone: Drawing

    @property
    def rows(self) -> list[tuple[str, float, float, float]]:
        """Label, value, deviation and its uncertainty: the table."""
        return [(p.label, p.value, p.deviation_percent, p.uncertainty_percent) for p in self.pairs]


def _bar(pair: Pair, y: float, x: scale.Linear, limit: float | None) -> Bar:
    point, spread = x(pair.deviation_percent), pair.uncertainty_percent
    ends = x(pair.deviation_percent - spread), x(pair.deviation_percent + spread)
    return Bar(
        pair=pair,
        y=y,
        x=min(point, x(0)),
        width=scale.rounded(abs(point - x(0))),
        point=point,
        whisker=scale.whisker(*ends, y) if spread else "",
        outside=limit is not None and abs(pair.deviation_percent) > limit,
    )


def _ticks(x: scale.Linear, limit: float | None, size: str) -> tuple[scale.Tick, ...]:
    """The wide drawing has a figure at every step, the phone's only zero and the limit."""
    ticks = list(x.ticks(6)) if size == scale.WIDE else [scale.Tick(at=x(0), value=0.0, decimals=0)]
    if limit is not None:
        decimals = scale.decimals_of(limit)
        marks = [scale.Tick(at=x(v), value=v, decimals=decimals, strong=True) for v in (-limit, limit)]
        # A plain figure that would touch the limit's gives way to it.
        ticks = [t for t in ticks if all(abs(t.at - m.at) > 24 for m in marks)] + marks
    return tuple(sorted(ticks, key=lambda tick: tick.at))


def _texts(
    bars: Sequence[Bar], ticks: Sequence[scale.Tick], bottom: float, width: float, unit: str
) -> tuple[scale.Text, ...]:
    texts = []
    for bar in bars:
        texts.append(scale.Text(x=0, y=bar.y + 5, css="strong", words=bar.pair.label))
        value, digits = bar.pair.value, bar.pair.decimals
        texts.append(scale.Text(x=width, y=bar.y + 5, css="end", value=value, digits=digits, unit=unit))
    for tick in ticks:
        css = "middle limit-word" if tick.strong else "middle soft"
        texts.append(
            scale.Text(x=tick.at, y=bottom + 20, css=css, value=tick.value, style="signed", digits=tick.decimals)
        )
    return tuple(texts)


def _draw(pairs: Sequence[Pair], limit: float | None, unit: str, size: str) -> Drawing:
    width, left, right = (620, 50.0, 502.0) if size == scale.WIDE else (296, 40.0, 244.0)
    top, pitch = 28.0, 44.0
    bottom = top + pitch * len(pairs) + 6
    furthest = max((abs(p.deviation_percent) + p.uncertainty_percent for p in pairs), default=0.0)
    reach = max(1.6 * (limit or 0.0), 1.12 * furthest) or 1.0
    x = scale.Linear(-reach, reach, left, right)
    bars = tuple(_bar(pair, top + 3 + pitch * (index + 0.5), x, limit) for index, pair in enumerate(pairs))
    edges = () if limit is None else tuple(max(left, min(x(end), right)) for end in (-limit, limit))
    ticks = _ticks(x, limit, size)
    return Drawing(
        size=size,
        width=width,
        height=bottom + 44,
        left=left,
        right=right,
        top=top,
        bottom=bottom,
        zero=x(0),
        bars=bars,
        inside=scale.joined(scale.rectangle(b.x, b.y - 9, b.width, 18) for b in bars if not b.outside),
        outside=scale.joined(scale.rectangle(b.x, b.y - 9, b.width, 18) for b in bars if b.outside),
        whiskers=scale.joined(b.whisker for b in bars),
        dots=scale.joined(scale.circle(b.point, b.y, 4) for b in bars),
        ticks=ticks,
        texts=_texts(bars, ticks, bottom, width, unit if size == scale.WIDE else ""),
        grid=scale.joined(scale.line(t.at, top, t.at, bottom) for t in x.ticks(6) if left < t.at < right and t.value),
        limit_lines=scale.joined(scale.line(edge, top - 6, edge, bottom + 5) for edge in edges),
        hatches=scale.joined(
            scale.hatch(start, top, stop - start, bottom - top)
            for start, stop in ([(left, edges[0]), (edges[1], right)] if edges else [])
        ),
        limit_word_at=x(limit) if limit is not None else x(0),
    )


def build(
    *,
    key: str,
    title: str,
    pairs: Sequence[Pair],
    unit: str,
    limit_percent: float | None = None,
    reference: str = "",
) -> DeviationBars:
    """The deviations of these pairs against the limit (percent, the same on both sides; None: none is known)."""
    return DeviationBars(
        key=key,
        title=title,
        unit=unit,
        reference=reference,
        limit_percent=limit_percent,
        pairs=tuple(pairs),
        wide=_draw(pairs, limit_percent, unit, scale.WIDE),
        phone=_draw(pairs, limit_percent, unit, scale.PHONE),
    )
