"""One example of every chart, with figures that can be found again in its table."""

from diagnostics.charts import blocks, chain, curve, deviation_bars, fade, limit_line, steps, survival

PAIR = deviation_bars.Pair
READING = limit_line.Reading


def windings() -> deviation_bars.DeviationBars:
    # Figures of the design's own example: 91.6, 91.9 and 93.3 milliohm, mean 92.267.
    return deviation_bars.build(
        key="windings",
        title="Windings of machine 1",
        unit="milliohm",
        reference="at 20 °C",
        limit_percent=2.0,
        pairs=[
            PAIR(label="U–V", value=91.6, deviation_percent=-0.72, uncertainty_percent=0.4),
            PAIR(label="V–W", value=91.9, deviation_percent=-0.40, uncertainty_percent=0.4),
            PAIR(label="W–U", value=93.3, deviation_percent=1.12, uncertainty_percent=0.4),
        ],
    )


def insulation() -> limit_line.LimitLine:
    return limit_line.build(
        key="insulation",
        title="Winding insulation",
        unit="megohm",
        minimum=5.0,
        readings=[
            READING(label="U to body", value=550.0, bound="at_least"),
            READING(label="V to body", value=120.0, low=110.0, high=130.0, verdict="within"),
            READING(label="W to body", value=1.4, low=1.3, high=1.5, verdict="outside"),
        ],
    )


def supply() -> limit_line.LimitLine:
    return limit_line.build(
        key="supply",
        title="12 V supply",
        unit="V",
        minimum=13.0,
        maximum=14.8,
        readings=[READING(label="loaded", value=12.8, low=12.7, high=12.9, verdict="outside")],
    )


def discharge() -> curve.Curve:
    return curve.build(
        key="discharge",
        title="Link-capacitor discharge",
        x_label="seconds",
        y_label="V",
        series=[curve.Series(label="Link", x=[0.0, 1.0, 2.0, 4.0], y=[300.0, 150.0, 60.0, 12.5])],
        limits=[curve.Limit(kind="maximum", value=60.0, after=5.0)],
        marks=[curve.Mark(x=2.0, y=60.0, label="60 V after 2 s")],
        zero=True,
    )


def sweep() -> steps.Steps:
    measured = [(20, 905.0), (40, 1750.0), (60, 1745.0), (100, 3310.0)]
    return steps.build(
        key="sweep",
        title="Cooling fan sweep",
        unit="rpm",
        steps=[steps.Step(commanded=c, measured=m, uncertainty=60.0) for c, m in measured],
        flat=[1],
    )


def pack() -> blocks.Blocks:
    return blocks.build(
        key="pack",
        title="Block voltages",
        unit="V",
        values=[14.41, 14.38, 13.27, 14.43, 14.36],
        weak=[3],
        spread=0.3,
    )


def lasting() -> survival.Survival:
    group = survival.Group(
        label="Power stage replaced",
        months=[5.0, 11.0, 20.0],
        survival=[0.9, 0.8, 0.7],
        lower=[0.8, 0.6, 0.5],
        upper=[0.97, 0.9, 0.85],
        last_seen=[7.0, 22.0],
        at_risk=[20, 17, 13, 9],
        at=0.7,
        at_low=0.5,
        at_high=0.85,
    )
    return survival.build(key="lasting", title="Still running", groups=[group], months=[0, 6, 12, 24], horizon=24)


def ageing() -> fade.Fade:
    return fade.build(
        key="ageing",
        title="Capacity over the years",
        limit_percent=40.0,
        history=[fade.Finding(age_years=8.0, capacity_percent=69.0, uncertainty_percent=4.0)],
        linear_age=15.5,
        square_root_age=23.0,
    )


def numbers() -> chain.Chain:
    number = chain.Number
    return chain.build(
        key="chain",
        title="Chain of part numbers",
        wanted="LN 27 410-0",
        numbers=[
            number(number="LN 27 408-0", note="2011 to 2013", regions=[("Meuse", "withdrawn")]),
            number(number="LN 27 410-0", note="2013 to 2016", regions=[("Meuse", "back-ordered")]),
            number(number="LN 27 411-0", note="from 2016", regions=[("Meuse", "available")]),
            number(number="LN 27 410-9", note="exchange unit", regions=[("Rhine", "unknown")]),
        ],
        steps=[
            chain.Step(old="LN 27 408-0", new="LN 27 410-0"),
            chain.Step(old="LN 27 410-0", new="LN 27 411-0", backwards=False),
            chain.Step(old="LN 27 410-0", new="LN 27 410-9"),
        ],
    )


# What the table of each chart must hold, besides being there.
EVERY = [
    (windings, ["U–V", "91.6", "−0.72", "1.12", "0.40", "2.0"]),
    (insulation, ["U to body", "550", "120", "110", "130", "1.40", "5"]),
    (supply, ["loaded", "12.8", "12.7", "12.9", "13", "14.8"]),
    (discharge, ["Link", "300", "150", "12.5", "60"]),
    (sweep, ["20", "905", "1\u202f745", "3\u202f310", "60"]),
    (pack, ["14.41", "13.27", "14.38", "0.30", "stands out"]),
    (lasting, ["Power stage replaced", "90", "60", "70", "85", "13"]),
    (ageing, ["69.0", "15.5", "23.0", "40"]),
    (numbers, ["LN 27 408-0", "Meuse", "withdrawn", "back-ordered", "available", "not known"]),
]
