"""Branches between two nodes of one level: devices in the line, their labels under it, cables' labels over it."""

from __future__ import annotations

from loombook.drawings.geometry import Point
from loombook.drawings.grid import Grid
from loombook.drawings.labels import Line, block, height, label_of, longest, widest
from loombook.drawings.model import Branch, Cable, Element, Link, Node
from loombook.drawings.pen import Pen
from loombook.drawings.scene import Symbol
from loombook.drawings.symbols import glyph

LEAD = 16
"""Level line between the things of a tie [px]."""
WIDE = 100
"""Room for the label of a device in a tie [px]."""
WIDEST = 400
"""The same for one with a long word [px]."""


def cells(tie: Branch) -> list[tuple[Link, list[Line], float]]:
    """Things of a tie from its first end, with label and width."""
    out = []
    for link in tie.chain:
        lines = label_of(link, min(max(WIDE, longest(link)), WIDEST), most=3)
        shape = glyph(link.kind, True).box.width if isinstance(link, Element) else 0
        out.append((link, lines, max(widest(lines), shape) + LEAD))
    return out


def length(tie: Branch) -> float:
    """Width that the tie needs between the cells of its two nodes [px]."""
    return sum(wide for _, _, wide in cells(tie)) + LEAD


def above(tie: Branch) -> float:
    """Height over the level line."""
    tops = [-glyph(link.kind, True).box.top + 4 for link in tie.chain if isinstance(link, Element)]
    return max([*tops, *(height(lines) + 8 for link, lines, _ in cells(tie) if isinstance(link, Cable))], default=0)


def below(tie: Branch) -> float:
    """Height under the level line."""
    return max(
        (
            glyph(link.kind, True).box.bottom + 8 + height(lines)
            for link, lines, _ in cells(tie)
            if isinstance(link, Element)
        ),
        default=0,
    )


def region(grid: Grid, left: Node, right: Node) -> tuple[float, float]:
    """From the end of the left node's last cell to the beginning of the right node's first cell."""
    up, down = grid.spots(right)
    return grid.cell_end(left), grid.cell(min(up + down))[0]


def draw(grid: Grid, pen: Pen, tie: Branch, left: Node, right: Node, y: float) -> None:
    """Draw the tie between its neighbours.

    Args:
        grid: the columns
        pen: takes what is drawn
        tie: the branch
        left: the node on the left
        right: the node on the right
        y: the level line
    """
    things = cells(tie) if tie.upper == left.id else list(reversed(cells(tie)))
    start, end = region(grid, left, right)
    at = start + (end - start - sum(wide for _, _, wide in things)) / 2
    pen.begin(tie, Point(grid.span(left)[1], y), left.id)
    for link, lines, wide in things:
        middle = at + wide / 2
        left_edge = middle - widest(lines) / 2
        if isinstance(link, Cable):
            pen.cable(tie, link, Point(round(at, 1), y), block(left_edge, y - 5 - height(lines), lines, muted=True))
        else:
            shape = glyph(link.kind, True)
            symbol = Symbol(link.kind, Point(round(middle - shape.end.x / 2, 1), y), True)
            pen.device(tie, link, symbol, block(left_edge, y + shape.box.bottom + 4, lines))
        at += wide
    pen.end(tie, Point(grid.span(right)[0], y), right.id)
