"""Parts of one sheet that no line joins, put side by side and under one another so that they share a paper."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from loombook.drawings.geometry import Box, Point, around, box_of
from loombook.drawings.oneline import Laid
from loombook.drawings.scene import Item, Part, Symbol, Text, Wire

AIR = 14
"""Between one part and the next [px]."""
CELL = 8
"""Size of the squares in which taken ground is kept [px]."""


def packed(parts: Sequence[Laid], room: float, high: float) -> Laid | None:
    """The parts on one ground, the largest first, each as far up and then left as it finds room.

    Args:
        parts: what to place, each laid out by itself
        room: width of the ground [px]
        high: height of the ground [px]
    Returns:
        all of it as one, or None where something finds no room
    """
    taken = [0] * (int(high / CELL) + 4)
    items: list[Item] = []
    for part in sorted(parts, key=lambda part: -part.width * part.height):
        spot = _spot(part, taken, room, high)
        if spot is None:
            return None
        across, down = spot
        for row, bits in enumerate(_rows(part, 0)):
            taken[down + row] |= bits << across
        items += [moved(item, across * CELL, down * CELL) for item in part.items]
    ground = around(item.box for item in items)
    # lines first, as the pen leaves them: what stands on them is drawn over them
    items.sort(key=lambda item: item.role not in ("wire", "cable"))
    return Laid(tuple(items), ground.right, ground.bottom)


def _spot(part: Laid, taken: list[int], room: float, high: float) -> tuple[int, int] | None:
    """Column and row of the first place that is free, from the top, from the left."""
    rows = _rows(part, AIR)
    for down in range(int((high - part.height) / CELL) + 1):
        for across in range(int((room - part.width) / CELL) + 1):
            if not any(taken[down + n] & (bits << across) for n, bits in enumerate(rows) if down + n < len(taken)):
                return across, down
    return None


def _rows(part: Laid, air: float) -> list[int]:
    """The squares that a part covers with air around it, a number for each row, a bit for each square."""
    rows = [0] * (int(part.height / CELL) + 3)
    for item in part.items:
        for piece in item.parts:
            for box in _boxes(piece):
                left, right = (max(0, int((x + by) // CELL)) for x, by in ((box.left, -air), (box.right, air)))
                bits = ((1 << (right - left + 1)) - 1) << left
                for row in range(
                    max(0, int((box.top - air) // CELL)), min(len(rows), int((box.bottom + air) // CELL) + 1)
                ):
                    rows[row] |= bits
    return rows


def _boxes(part: Part) -> list[Box]:
    """What a part covers; a line by its stretches, so that its corner's inside stays free."""
    return [box_of(leg) for leg in part.legs] if isinstance(part, Wire) else [part.box]


def moved(item: Item, dx: float, dy: float) -> Item:
    """The item shifted."""
    return replace(item, parts=tuple(_moved(part, dx, dy) for part in item.parts))


def _moved(part: Part, dx: float, dy: float) -> Part:
    if isinstance(part, Text):
        return replace(part, x=round(part.x + dx, 1), y=round(part.y + dy, 1))
    if isinstance(part, Symbol):
        return replace(part, at=_tidy(part.at.moved(dx, dy)))
    return replace(part, points=tuple(_tidy(p.moved(dx, dy)) for p in part.points))


def _tidy(point: Point) -> Point:
    return Point(round(point.x, 1), round(point.y, 1))
