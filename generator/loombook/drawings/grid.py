"""The sheet's columns in pixels: where lanes run, where a node begins and ends."""

from __future__ import annotations

from dataclasses import dataclass

from loombook.drawings.columns import Columns
from loombook.drawings.model import Form, Node
from loombook.drawings.order import Lane, Ordered
from loombook.drawings.symbols import glyph

STUB = 15
"""How far a bar reaches over its outermost branches [px]."""

ASIDE = 1 / 8
"""How far beside its column a jogging lane arrives, as a part of the distance between columns."""


@dataclass(frozen=True)
class Room:
    """Widths that all columns of a sheet share [px]."""

    pitch: float
    left: float
    """From the edge of a column's cell to its line."""

    def beside(self, kind: str) -> float:
        """Room for a label right of a symbol."""
        return self.cable - max(0.0, glyph(kind).box.right) + 2

    @property
    def cable(self) -> float:
        """Room for a label right of a line."""
        return self.pitch - self.left - 7 - 4

    @property
    def under(self) -> float:
        """Room for a label over a source or under a load."""
        return self.pitch - 8

    @property
    def boxed(self) -> float:
        """Room for a label in a box of one column."""
        return self.under - 12


@dataclass(frozen=True)
class Grid:
    """Orders and columns put together."""

    order: Ordered
    places: Columns
    room: Room

    def x(self, column: float) -> float:
        """Where a column's line runs."""
        return round(self.room.left + column * self.room.pitch / 2, 1)

    @property
    def width(self) -> float:
        """Width of all cells."""
        return round(self.x(self.places.count) - self.room.left + self.room.pitch, 1)

    def chain_x(self, lane: Lane) -> float:
        """Where a lane hangs."""
        return self.x(self.places.chain[lane.key])

    def foot_x(self, lane: Lane) -> float:
        """Where a lane arrives; a jogging lane a little aside, so that it lies on no other line."""
        aside = self.room.pitch * ASIDE if lane.key in self.places.jogs else 0
        return round(self.x(self.places.foot[lane.key]) + aside, 1)

    def cell(self, x: float) -> tuple[float, float]:
        """Left and right edge of the cell about a line."""
        return x - self.room.left, x - self.room.left + self.room.pitch

    def spots(self, node: Node) -> tuple[list[float], list[float]]:
        """Where the node's lines arrive from above and leave below, from the left."""
        up = [self.foot_x(lane) for lane in self.order.above.get(node.id, ())]
        down = [self.chain_x(lane) for lane in self.order.below.get(node.id, ())]
        if node.id in self.places.lone:
            down = [self.x(self.places.lone[node.id])]
        return sorted(up), sorted(down)

    def span(self, node: Node) -> tuple[float, float]:
        """Left and right end of the node's line, or of its box."""
        up, down = self.spots(node)
        if self.boxed(node):
            left = min(up + down) - self.room.left + 3
            return left, max(max(up + down) + self.room.left - 3, left + self.room.pitch - 8)
        stub = STUB if node.form is Form.BAR else 0
        return min(up + down) - stub, max(up + down) + stub

    def cell_end(self, node: Node) -> float:
        """Right edge of the node's last column."""
        up = [self.places.foot[lane.key] for lane in self.order.above.get(node.id, ())]
        down = [self.places.chain[lane.key] for lane in self.order.below.get(node.id, ())]
        return self.cell(self.x(max([*up, *down, self.places.lone.get(node.id, 0)])))[1]

    def changes(self, node: Node) -> bool:
        """True for a change-over switch between one line and two; with other numbers it is drawn as a box."""
        sides = (len(self.order.above.get(node.id, ())), len(self.order.below.get(node.id, ())))
        return node.form is Form.CHANGEOVER and sides in ((2, 1), (1, 2))

    def boxed(self, node: Node) -> bool:
        """True for a node drawn as a box."""
        return node.form is Form.BOX or (node.form is Form.CHANGEOVER and not self.changes(node))

    def lanes(self, band: int) -> list[Lane]:
        """All lanes of a band."""
        tops = [lane for item in self.order.items[band] for lane in self.order.below.get(item, ())] if band >= 0 else []
        foot = self.order.items[band + 1] if band + 1 < len(self.order.items) else ()
        return tops + [lane for item in foot for lane in self.order.above.get(item, ()) if not lane.top]
