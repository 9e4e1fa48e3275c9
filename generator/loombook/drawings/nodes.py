"""Bars, junctions, change-over switches and boxes: their labels, their heights, and how they are drawn."""

from __future__ import annotations

from loombook.drawings.geometry import Point
from loombook.drawings.grid import Grid
from loombook.drawings.labels import Line, block, height, label_of, longest, widest
from loombook.drawings.metrics import PITCH
from loombook.drawings.model import Form, Node, Service
from loombook.drawings.scene import Part, Shape, Symbol, Wire
from loombook.drawings.symbols import glyph

BLADE = glyph("changeover").box.height
"""Height of a change-over switch [px]."""
LINES = 6
"""A node's label has so many lines at most."""
CONTACT = 12
"""From the switch's axis to its contacts [px]."""


def strip(grid: Grid, node: Node) -> float:
    """Height over the node's line in which its label stands."""
    if grid.boxed(node) or grid.changes(node):
        return 8.0
    lines = len(beside(grid, node)[1])
    return lines * PITCH + 7 if lines else 8.0


def depth(grid: Grid, node: Node) -> float:
    """Height from the node's line to where its lower lanes begin."""
    if grid.boxed(node):
        return height(_box_lines(grid, node)) + 14
    if grid.changes(node):
        return max(BLADE, height(_change_lines(grid, node)) + 8) + 2
    return 0.0


def beside(grid: Grid, node: Node) -> tuple[float, list[Line]]:
    """Where over the node's line its label begins, and its lines.

    The first gap between the arriving lines that takes the label unwrapped, or else the widest gap.
    """
    gaps = _gaps(grid, node)
    whole = label_of(node, 1e6, most=LINES)
    wants = widest(whole)
    for start, end in gaps:
        if wants <= end - start:
            return start, whole
    start, end = max(gaps, key=lambda gap: round(gap[1] - gap[0], 1))
    return start, label_of(node, end - start, most=LINES)


def _gaps(grid: Grid, node: Node) -> list[tuple[float, float]]:
    """Over the node's line, between the lines that arrive there."""
    up, _ = grid.spots(node)
    edges = [grid.span(node)[0] - 2, *up, grid.cell_end(node) - 2]
    return [(a + 6 if a in up else a, b - 6) for a, b in zip(edges, edges[1:], strict=False)]


def cut(grid: Grid, node: Node) -> bool:
    """Whether a word of the node's label has to be cut on these columns."""
    if grid.changes(node):
        room = grid.room.under
    elif grid.boxed(node):
        room = _box_room(grid, node)
    else:
        room = max(end - start for start, end in _gaps(grid, node))
    return longest(node) > room


def drawn(grid: Grid, node: Node, y: float, foot: float, tied: int) -> list[Part]:
    """The node at its height.

    Args:
        grid: the columns
        node: the node
        y: its line, or the top of its box
        foot: where its lower lanes begin
        tied: so many ties meet it; a junction without a name shows its dot where other than two lines meet
    """
    if grid.changes(node):
        return _changeover(grid, node, y, foot)
    if grid.boxed(node):
        return _box(grid, node, y, foot)
    left, right = grid.span(node)
    up, down = grid.spots(node)
    parts: list[Part] = []
    if right > left:
        parts.append(
            Wire((Point(left, y), Point(right, y)), Service.BAR if node.form is Form.BAR else Service.POWER, node.state)
        )
    start, lines = beside(grid, node)
    if node.form is Form.JUNCTION and (len(up) + len(down) + tied != 2 or lines):
        parts += [Symbol("junction", Point(x, y)) for x in sorted({*up, *down})]
    return [*parts, *block(start, y - 4 - height(lines), lines)]


def _change_lines(grid: Grid, node: Node) -> list[Line]:
    return label_of(node, grid.room.under, most=LINES)


def _changeover(grid: Grid, node: Node, y: float, foot: float) -> list[Part]:
    """The blade between its two contacts; level leads bring the lines to it."""
    up, down = grid.spots(node)
    closes_up = len(up) == 2
    pair, axis = (up, down[0]) if closes_up else (down, up[0])
    level = y if closes_up else foot
    top = y if closes_up else foot - BLADE
    leads = [
        Wire((Point(x, level), Point(c, level)), state=node.state)
        for x, c in zip(pair, (axis - CONTACT, axis + CONTACT), strict=True)
    ]
    far = (Point(axis, y + BLADE), Point(axis, foot)) if closes_up else (Point(axis, y), Point(axis, top))
    if far[1].y - far[0].y > 0.1:
        leads.append(Wire(far, state=node.state))
    lines = _change_lines(grid, node)
    texts = block(axis + CONTACT + 6, y + 5 if closes_up else foot - 5 - height(lines), lines)
    return [*leads, Symbol("changeover" if closes_up else "changeover up", Point(axis, round(top, 1))), *texts]


def _box_lines(grid: Grid, node: Node) -> list[Line]:
    return label_of(node, _box_room(grid, node), most=5)


def _box_room(grid: Grid, node: Node) -> float:
    left, right = grid.span(node)
    return right - left - 12


def _box(grid: Grid, node: Node, y: float, foot: float) -> list[Part]:
    """An apparatus with several lines: a box that carries its label."""
    left, right = grid.span(node)
    lines = _box_lines(grid, node)
    frame = Shape((Point(left, y), Point(right, y), Point(right, foot), Point(left, foot)), "line")
    return [frame, *block(left + 6, (y + foot - height(lines)) / 2, lines)]
