"""Sources and loads as IEC 60617 draws them: what a line begins or ends with (from memory, like `iec`)."""

from __future__ import annotations

from schemdraw.elements import Element
from schemdraw.segments import SegmentBezier, SegmentCircle, SegmentPoly

from loombook.drawings.iec import Across, Part, Upright, box, letter, line, wave


def battery() -> Element:
    """Battery of cells: long plate positive, on the supplying side below."""
    cells = [
        part for y in (-0.3, -0.78) for part in (line((-0.24, y), (0.24, y)), line((-0.5, y - 0.17), (0.5, y - 0.17)))
    ]
    between = line((0, -0.47), (0, -0.78), dashed=True)
    plus = [line((0.3, -1.18), (0.5, -1.18)), line((0.4, -1.08), (0.4, -1.28))]
    return Upright([line((0, 0), (0, -0.3)), *cells, between, line((0, -0.95), (0, -1.3)), *plus], 1.3)


UNIT = (-1.5, -0.9)
"""Left and right side of the box that stands for the unit that watches cells; ours, put together from plain signs."""


def sensed() -> Element:
    """Battery of cells, positive on top, with a sense lead from each cell's pole to the unit that watches them."""
    cells = [
        part
        for y in (-0.3, -0.8, -1.5)
        for part in (line((-0.5, y), (0.5, y)), line((-0.24, y - 0.17), (0.24, y - 0.17)))
    ]
    joints = [line((0, -0.47), (0, -0.8)), line((0, -0.97), (0, -1.5), dashed=True)]
    plus = [line((0.3, -0.14), (0.5, -0.14)), line((0.4, -0.04), (0.4, -0.24))]
    leads = [line((0, y), (UNIT[1], y), thin=True) for y in (-0.2, -0.64, -1.24, -1.8)]
    left, right = UNIT
    unit = SegmentPoly([(left, -0.1), (right, -0.1), (right, -1.9), (left, -1.9)])
    return Upright([line((0, 0), (0, -0.3)), *cells, *joints, *plus, *leads, unit, line((0, -1.67), (0, -2.0))], 2.0)


def balanced() -> Element:
    """The same with a resistor in the unit: each cell may be drained by itself."""
    left, right = UNIT
    middle = (left + right) / 2
    bleeder = SegmentPoly([(middle - 0.1, -0.7), (middle + 0.1, -0.7), (middle + 0.1, -1.2), (middle - 0.1, -1.2)])
    ends = [line((right, -0.5), (middle, -0.5), (middle, -0.7)), line((middle, -1.2), (middle, -1.4), (right, -1.4))]
    whole = sensed()
    return Upright([*whole.segments, bleeder, *ends], 2.0)


def cell() -> Element:
    """One cell, positive below."""
    return Upright(
        [
            line((0, 0), (0, -0.4)),
            line((-0.24, -0.4), (0.24, -0.4)),
            line((-0.5, -0.6), (0.5, -0.6)),
            line((0, -0.6), (0, -1.0)),
        ],
        1.0,
    )


def machine(sign: str, *more: Part, y: float = -0.6) -> Element:
    """Rotating machine: a ring with its letter."""
    return Upright([SegmentCircle((0, -0.6), 0.58), letter(sign, y), *more], 1.18)


def alternator() -> Element:
    """Alternator: G over the sine sign."""
    return machine("G", wave(0, -0.88, 0.22), y=-0.48)


def alternator_across() -> Element:
    """The same, its line at the right."""
    return Across([SegmentCircle((0.6, 0), 0.58), letter("G", 0.12, 0.6), wave(0.6, -0.28, 0.22)], 1.18)


def pump_across() -> Element:
    """Motor pump, its line at the left."""
    triangle = SegmentPoly([(0.4, -0.24), (0.8, -0.24), (0.6, -0.5)], fill="black")
    return Across([SegmentCircle((0.6, 0), 0.58), letter("M", 0.1, 0.6), triangle], 1.18)


def source_below(parts: list[Part], height: float, end: float) -> Element:
    """A source whose line leaves at the bottom."""
    return Upright([*parts, line((0, -end), (0, -height))], height)


def solar() -> Element:
    """Photovoltaic generator: a cell in a ring, and the light that falls on it."""
    rays = [
        part
        for dx in (0.0, 0.24)
        for part in (
            line((-0.6 + dx, 0), (-0.4 + dx, -0.2)),
            SegmentPoly([(-0.36 + dx, -0.24), (-0.5 + dx, -0.19), (-0.41 + dx, -0.1)], fill="black"),
        )
    ]
    return source_below(
        [
            SegmentCircle((0, -0.72), 0.5),
            line((0, -0.3), (0, -0.62)),
            line((-0.15, -0.62), (0.15, -0.62)),
            line((-0.3, -0.8), (0.3, -0.8)),
            line((0, -0.8), (0, -1.22)),
            *rays,
        ],
        1.3,
        1.22,
    )


def shore() -> Element:
    """Shore inlet: plug into socket, alternating current."""
    return source_below(
        [
            SegmentPoly([(-0.08, -0.1), (0.08, -0.1), (0.08, -0.6), (-0.08, -0.6)], fill="black"),
            SegmentBezier([(-0.3, -0.42), (-0.3, -0.95), (0.3, -0.95), (0.3, -0.42)]),
            wave(0.36, -0.3, 0.18),
        ],
        1.2,
        0.82,
    )


def turbine() -> Element:
    """Wind or water generator: G in a ring with a two-bladed wheel over it."""
    blades = [
        SegmentBezier([(0, -0.18), (-0.2, 0), (-0.45, -0.05), (-0.5, -0.18)]),
        SegmentBezier([(0, -0.18), (0.2, -0.36), (0.45, -0.31), (0.5, -0.18)]),
    ]
    return Upright(
        [
            SegmentCircle((0, -0.86), 0.52),
            letter("G", -0.86),
            line((0, -0.18), (0, -0.34)),
            *blades,
            line((0, -1.38), (0, -1.4)),
        ],
        1.4,
    )


def motor() -> Element:
    """Motor."""
    return machine("M")


def pump() -> Element:
    """Motor pump: M over the pump's triangle."""
    return machine("M", SegmentPoly([(-0.2, -0.84), (0.2, -0.84), (0, -1.1)], fill="black"), y=-0.5)


def lamp() -> Element:
    """Lamp: a ring with a cross."""
    d = 0.5 * 0.7071
    return Upright(
        [
            line((0, 0), (0, -0.1)),
            SegmentCircle((0, -0.6), 0.5),
            line((-d, -0.6 - d), (d, -0.6 + d)),
            line((-d, -0.6 + d), (d, -0.6 - d)),
        ],
        1.1,
    )


def load() -> Element:
    """Load of any kind: an arrowhead at the end of the line."""
    return Upright([line((0, 0), (0, -0.5)), SegmentPoly([(-0.28, -0.5), (0.28, -0.5), (0, -1.0)])], 1.0)


def heater() -> Element:
    """Heating element: a rectangle cut in four."""
    bars = [line((-0.5, y), (0.5, y)) for y in (-0.38, -0.6, -0.82)]
    return Upright([line((0, 0), (0, -0.16)), box(0.5, -0.16, -1.04), *bars], 1.04)


def electronics() -> Element:
    """Electronic apparatus: a square with a screen."""
    return Upright(
        [
            line((0, 0), (0, -0.1)),
            box(0.52, -0.1, -1.06),
            box(0.34, -0.26, -0.74),
            line((-0.3, -0.9), (-0.06, -0.9)),
            SegmentCircle((0.26, -0.9), 0.06),
        ],
        1.06,
    )


def socket() -> Element:
    """Socket outlet."""
    return Upright(
        [
            line((0, 0), (0, -0.4)),
            line((-0.4, -0.4), (0.4, -0.4)),
            SegmentBezier([(-0.4, -0.82), (-0.4, -0.26), (0.4, -0.26), (0.4, -0.82)]),
        ],
        0.85,
    )


def horn() -> Element:
    """Horn or siren."""
    return Upright(
        [
            line((0, 0), (0, -0.2)),
            box(0.2, -0.2, -0.55),
            SegmentPoly([(-0.2, -0.55), (0.2, -0.55), (0.45, -1.0), (-0.45, -1.0)]),
        ],
        1.0,
    )


def earth() -> Element:
    """Earth."""
    return Upright(
        [
            line((0, 0), (0, -0.4)),
            line((-0.42, -0.4), (0.42, -0.4)),
            line((-0.27, -0.54), (0.27, -0.54)),
            line((-0.12, -0.68), (0.12, -0.68)),
        ],
        0.7,
    )


def hull() -> Element:
    """Bonded to hull or frame."""
    slants = [line((x, -0.4), (x - 0.17, -0.65)) for x in (-0.3, 0, 0.3)]
    return Upright([line((0, 0), (0, -0.4)), line((-0.42, -0.4), (0.42, -0.4)), *slants], 0.66)


def anode() -> Element:
    """Anode or earth plate in the water."""
    return Upright(
        [line((0, 0), (0, -0.3)), SegmentPoly([(-0.4, -0.3), (0.4, -0.3), (0.4, -0.55), (-0.4, -0.55)], fill="black")],
        0.6,
    )


def spare() -> Element:
    """Nothing connected: a line that ends."""
    return Upright([line((0, 0), (0, -0.35)), line((-0.14, -0.35), (0.14, -0.35))], 0.4)
