"""What finds no room in its space on a plan: name and dots beside the hull, with a line that leads to the space."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import hypot

from loombook.drawings.geometry import Box, Point, box_of, passes_through
from loombook.drawings.labels import Line, block, height, widest
from loombook.drawings.metrics import PITCH, clean, longest_word, wrap
from loombook.drawings.model import Dot, Service
from loombook.drawings.outlines import STEP, Corners, Leg, inside, inside_all, legs
from loombook.drawings.plandots import AIR, RADIUS, around, half
from loombook.drawings.scene import Part, Shape, Text, Wire, ring
from loombook.drawings.shelves import Shelves

NAME = 150
"""A name beside the hull is wrapped to this width [px]."""
IN_ROW = 8
"""So many dots stand side by side."""
CROSSING = 40
"""An outline that a line crosses counts as so much of its length [px]."""
REACH = 330
"""A longer line would not be followed by eye [px]."""
END = 2.5
"""Radius of the point in which a line ends in its space [px]."""


@dataclass(frozen=True)
class Callout:
    """A callout in its place."""

    box: Box
    name: tuple[Text, ...]
    dots: tuple[tuple[Dot, Point], ...]
    leader: Wire
    end: Shape

    @property
    def parts(self) -> tuple[Part, ...]:
        """All but the dots, which lead to their things each by itself."""
        return (self.leader, self.end, *self.name)


def tall(name: bool, count: int) -> float:
    """Height of a callout with so many dots, under a name of one line if it has one [px]."""
    rows = -(-count // IN_ROW)
    return (PITCH + 4 if name else 0.0) + rows * (2 * RADIUS + AIR) - (AIR if rows else 0)


def called_out(
    name: str, dots: list[Dot], corners: Corners, outlines: list[Corners], taken: list[Box], lines: list[Leg], page: Box
) -> Callout | None:
    """The nearest place outside all outlines from which a straight line reaches the space over nothing written.

    Args:
        name: the space's name; empty where it stands in the space
        dots: the dots that found no room there
        corners: the space's outline
        outlines: all outlines, which it keeps out of
        taken: where names and dots stand
        lines: outlines, and lines of other callouts, that it must not lie on
        page: the part of the sheet it may stand on
    Returns:
        None where there is no such place
    """
    text = _wrapped(name)
    rows = [dots[n : n + IN_ROW] for n in range(0, len(dots), IN_ROW)]
    wide = max([widest(text), *(sum(2 * half(dot)[0] + AIR for dot in row) - AIR for row in rows)])
    high = height(text) + tall(False, len(dots)) + (4 if text and rows else 0)
    home = box_of(corners)
    ends = [p for p in _points(corners) if not any(box.has(p) for box in taken)]
    lanes = Shelves((box_of(leg), leg) for leg in lines)
    rooms = [(box_of(other), other) for other in outlines]
    others = [leg for other in outlines if other != corners for leg in legs(other)]
    best: tuple[float, Box, Leg] | None = None
    for apart, at in sorted((_apart(Box(p.x, p.y, p.x + wide, p.y + high), home), p) for p in _spots(page, wide, high)):
        if apart > (best[0] if best else REACH):
            break
        box = Box(at.x, at.y, at.x + wide, at.y + high)
        if _is_free(box, rooms, taken, lanes):
            leader, cost = _leader(box, ends, taken, others)
            if leader and cost < (best[0] if best else REACH):
                best = cost, box, leader
    if best is None:
        return None
    _, box, leader = best
    names, line = block(box.left, box.top, text, muted=True), Wire(leader, Service.CONTROL)
    return Callout(box, names, tuple(_standing(rows, box)), line, ring(leader[1], END, paint="solid"))


def _leader(box: Box, ends: list[Point], taken: list[Box], others: list[Leg]) -> tuple[Leg | None, float]:
    """The line from the box to a free point of the space, and how far it is to follow: an outline it crosses adds to that."""
    middle = Point((box.left + box.right) / 2, (box.top + box.bottom) / 2)
    for end in sorted(ends, key=lambda p: (round(hypot(p.x - middle.x, p.y - middle.y), 1), p))[:4]:
        leader = (_edge(box, end), end)
        if not any(passes_through(leader, other) for other in taken):
            crossed = sum(_cross(leader, other) for other in others)
            return leader, round(hypot(leader[0].x - end.x, leader[0].y - end.y) + CROSSING * crossed, 1)
    return None, 0.0


def _wrapped(name: str) -> list[Line]:
    room = max(NAME, longest_word(name))
    return [((line, False),) for line in wrap(name, room, most=4)] if clean(name) else []


def _standing(rows: list[list[Dot]], box: Box) -> Iterator[tuple[Dot, Point]]:
    """The dots in their rows over the foot of the callout, from the left."""
    for up, row in enumerate(reversed(rows)):
        x = box.left
        for dot in row:
            wide, tall = half(dot)
            yield dot, Point(round(x + wide, 1), round(box.bottom - tall - up * (2 * RADIUS + AIR), 1))
            x += 2 * wide + AIR


def _spots(page: Box, wide: float, high: float) -> Iterator[Point]:
    """Upper left corners on the page, on a grid."""
    for row in range(int((page.height - high) / STEP) + 1):
        for column in range(int((page.width - wide - 8) / (2 * STEP)) + 1):
            yield Point(round(page.left + 4 + column * 2 * STEP, 1), round(page.top + row * STEP, 1))


def _points(corners: Corners) -> list[Point]:
    """Points inside an outline, clear of its sides."""
    box = box_of(corners)
    across = [round(box.left + (n + 0.5) * STEP, 1) for n in range(int(box.width / STEP) + 1)]
    down = [round(box.top + (n + 0.5) * STEP, 1) for n in range(int(box.height / STEP) + 1)]
    grid = [Point(x, y) for y in down for x in across]
    return [p for p in grid if inside_all(around(p, END + 1, END + 1), corners)]


def _is_free(box: Box, rooms: list[tuple[Box, Corners]], taken: list[Box], lanes: Shelves[Leg]) -> bool:
    air = box.grown(AIR)
    if any(air.meets(other) for other in taken):
        return False
    air = box.grown(5)
    if any(passes_through(leg, air) for leg in lanes.near(air)):
        return False
    corner = Point(box.left, box.top)
    return not any(bounds.has(corner) and inside(corner, corners) for bounds, corners in rooms)


def _cross(a: Leg, b: Leg) -> bool:
    """Whether two stretches cross."""

    def side(leg: Leg, p: Point) -> float:
        return (leg[1].x - leg[0].x) * (p.y - leg[0].y) - (leg[1].y - leg[0].y) * (p.x - leg[0].x)

    return side(a, b[0]) * side(a, b[1]) < 0 and side(b, a[0]) * side(b, a[1]) < 0


def _apart(a: Box, b: Box) -> float:
    """Distance between two boxes [px]."""
    across = max(a.left - b.right, b.left - a.right, 0.0)
    down = max(a.top - b.bottom, b.top - a.bottom, 0.0)
    return round(hypot(across, down), 1)


def _edge(box: Box, to: Point) -> Point:
    """The point of the box's edge, a little off, that is nearest to a point outside it."""
    box = box.grown(2)
    return Point(round(min(max(to.x, box.left), box.right), 1), round(min(max(to.y, box.top), box.bottom), 1))
