"""The numbered dots of a location plan: what each kind looks like, and where it finds room."""

from __future__ import annotations

from functools import lru_cache
from math import hypot

from loombook.drawings.geometry import Box, Point, box_of, passes_through
from loombook.drawings.metrics import SIZE, clean, width
from loombook.drawings.model import Dot
from loombook.drawings.outlines import STEP, Leg, inside_all
from loombook.drawings.scene import Part, Shape, Text, rectangle, ring

AIR = 8
"""Between dots, and between dots and names [px]."""
RADIUS = 12
"""Half the size of a dot [px]."""
ROW = 2 * RADIUS + AIR + 2
"""Height of a row of dots under the plan [px]."""


def half(dot: Dot) -> tuple[float, float]:
    """Half width and half height of a dot."""
    wide = max(RADIUS, width(clean(dot.number), bold=True) / 2 + 5)
    return (wide + 4 if dot.kind == "panel" else wide), RADIUS


def placed(
    dot: Dot,
    home: Point | None,
    corners: tuple[Point, ...] | None,
    under: float,
    taken: list[Box],
    lines: list[Leg],
    page: Box,
) -> Point | None:
    """Its own place, or the nearest free one in an outline; without a place of its own rows in the outline are filled.

    Args:
        dot: what to place
        home: its own place on the sheet
        corners: outline of its space
        under: foot of the space's name, below which rows begin [px]
        taken: where other dots and names stand
        lines: outlines that a dot must not lie on
        page: the part of the sheet it may stand on
    Returns:
        its middle; None where nothing is free
    """
    wide, tall = half(dot)
    spots = list(_spots(corners, wide, tall)) if corners else []
    spots.sort(key=lambda p: (p.y - tall < under, p.y, p.x))
    if home:
        spots = [home, *sorted(spots, key=lambda p: (round(hypot(p.x - home.x, p.y - home.y), 1), p))]

    def free(p: Point) -> bool:
        box = around(p, wide, tall)
        return (
            page.holds(box)
            and not any(box.grown(AIR).meets(other) for other in taken)
            and not any(passes_through(leg, box.grown(1)) for leg in lines)
        )

    return next((p for p in spots if free(p)), None)


def in_row(dot: Dot, taken: list[Box], room: float, bottom: float) -> Point:
    """A place in the rows under the plan, for a dot that finds no room in its space."""
    wide, tall = half(dot)
    at = Point(round(wide + 4, 1), round(bottom + RADIUS + AIR, 1))
    while any(around(at, wide, tall).grown(AIR).meets(box) for box in taken):
        at = at.moved(STEP, 0) if at.x + STEP + wide < room else Point(round(wide + 4, 1), at.y + ROW)
    return at


def drawn(dot: Dot, at: Point) -> tuple[Part, ...]:
    """The dot with its number."""
    text = Text(at.x, round(at.y + SIZE * 0.36, 1), clean(dot.number), bold=True, anchor="middle")
    return dot_shape(dot, at, *half(dot)), text


def around(p: Point, wide: float, tall: float) -> Box:
    return Box(p.x - wide, p.y - tall, p.x + wide, p.y + tall)


@lru_cache(maxsize=256)
def _spots(corners: tuple[Point, ...], wide: float, tall: float) -> tuple[Point, ...]:
    """Places in the outline where a dot may stand, row by row, with air to the edge."""
    box = box_of(corners)
    out = []
    y = box.top + tall + 5
    while y + tall + 4 <= box.bottom:
        x = box.left + wide + 6
        while x + wide + 4 <= box.right:
            p = Point(round(x, 1), round(y, 1))
            if inside_all(around(p, wide + 2, tall + 2), corners):
                out.append(p)
            x += STEP
        y += STEP
    return tuple(out)


def dot_shape(dot: Dot, at: Point, wide: float, tall: float) -> Shape:
    """Isolators are square, panels long, banks cornered, all else round."""
    box = around(at, wide, tall)
    if dot.kind in ("isolator", "panel"):
        return rectangle(box, paint="paper", weight=2.5 if dot.kind == "isolator" else 1.5)
    if dot.kind == "bank":
        c = 6
        return Shape(
            (
                Point(box.left + c, box.top),
                Point(box.right - c, box.top),
                Point(box.right, box.top + c),
                Point(box.right, box.bottom - c),
                Point(box.right - c, box.bottom),
                Point(box.left + c, box.bottom),
                Point(box.left, box.bottom - c),
                Point(box.left, box.top + c),
            ),
            "paper",
            weight=2,
        )
    if wide > tall:
        return rectangle(box, paint="paper", rounded=tall)
    return ring(at, tall, paint="paper")
