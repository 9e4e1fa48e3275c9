"""Points and boxes on the sheet: pixels at 96 to the inch, x to the right, y downwards."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import NamedTuple

MM = 96 / 25.4
"""Pixels in a millimetre of paper."""


class Point(NamedTuple):
    """A place on the sheet."""

    x: float
    y: float

    def moved(self, dx: float, dy: float) -> Point:
        """The point shifted."""
        return Point(self.x + dx, self.y + dy)


@dataclass(frozen=True)
class Box:
    """An upright rectangle, left, top, right, bottom."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        """Extent along x."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Extent along y."""
        return self.bottom - self.top

    def moved(self, dx: float, dy: float) -> Box:
        """The box shifted."""
        return Box(self.left + dx, self.top + dy, self.right + dx, self.bottom + dy)

    def grown(self, by: float) -> Box:
        """The box with a margin all round; a negative margin shrinks it."""
        return Box(self.left - by, self.top - by, self.right + by, self.bottom + by)

    def meets(self, other: Box) -> bool:
        """True when the two share an area; touching edges do not count."""
        return (
            self.left < other.right and other.left < self.right and self.top < other.bottom and other.top < self.bottom
        )

    def holds(self, other: Box) -> bool:
        """True when the other lies wholly inside."""
        return (
            self.left <= other.left
            and other.right <= self.right
            and self.top <= other.top
            and other.bottom <= self.bottom
        )

    def has(self, point: Point) -> bool:
        """True when the point lies inside or on the edge."""
        return self.left <= point.x <= self.right and self.top <= point.y <= self.bottom


def around(boxes: Iterable[Box]) -> Box:
    """The smallest box that holds all of them.

    >>> around([Box(0, 0, 1, 1), Box(4, -2, 5, 0)])
    Box(left=0, top=-2, right=5, bottom=1)
    """
    boxes = list(boxes)
    return Box(
        min(b.left for b in boxes), min(b.top for b in boxes), max(b.right for b in boxes), max(b.bottom for b in boxes)
    )


def box_of(points: Iterable[Point]) -> Box:
    """The smallest box that holds the points."""
    points = list(points)
    xs, ys = [p.x for p in points], [p.y for p in points]
    return Box(min(xs), min(ys), max(xs), max(ys))


def passes_through(leg: tuple[Point, Point], box: Box) -> bool:
    """True when the stretch passes through the inside of the box (Liang and Barsky's clipping)."""
    a, b = leg
    enter, leave = 0.0, 1.0
    for step, low, high in ((b.x - a.x, box.left - a.x, box.right - a.x), (b.y - a.y, box.top - a.y, box.bottom - a.y)):
        if step == 0:
            if low >= 0 or high <= 0:
                return False
            continue
        first, last = sorted((low / step, high / step))
        enter, leave = max(enter, first), min(leave, last)
    return enter < leave
