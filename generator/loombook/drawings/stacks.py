"""What hangs in one lane, from the top: each device and cable with its label and the height it takes."""

from __future__ import annotations

from dataclasses import dataclass

from loombook.drawings.grid import Room
from loombook.drawings.labels import Line, height, label_of
from loombook.drawings.model import Cable, Element, Link, Reference
from loombook.drawings.order import Lane
from loombook.drawings.symbols import glyph

LEAD = 5
"""Free line over and under a symbol [px]."""
DEVICE = 44
"""A device takes at least this height, so that neighbours line up [px]."""
CABLE = 40
"""A labelled cable takes at least this height [px]."""
FACE = 38
"""Symbols of sources and loads are given this height, so that their labels stand in line [px]."""
SMALL = 24
"""Symbols lower than this keep their own height [px]."""
TAG = 22
"""Height of a reference's tag [px]."""


@dataclass(frozen=True)
class Cell:
    """One thing in a lane."""

    what: Link | Reference
    lines: tuple[Line, ...]
    height: float
    down: float = 0.0
    """From the top of the lane to the top of the cell."""


@dataclass(frozen=True)
class Stack:
    """A lane's things."""

    source: Cell | None
    """On top, where the lane begins with a source or an incoming reference."""
    chain: tuple[Cell, ...]
    load: Cell | None
    """At the foot, where the lane ends with a load or an outgoing reference."""

    @property
    def body(self) -> float:
        """Height of source and chain."""
        return (self.source.height if self.source else 0.0) + sum(cell.height for cell in self.chain)


def stack_of(lane: Lane, room: Room) -> Stack:
    """The things of a lane with their heights."""
    branch = lane.branch
    source = load = None
    if not isinstance(branch.upper, str) and not lane.top:
        source = _end(branch.upper, room)
    if not isinstance(branch.lower, str):
        load = _end(branch.lower, room)
    down = source.height if source else 0.0
    chain = []
    for link in branch.chain if lane.first else ():
        cell = _link(link, room, down)
        chain.append(cell)
        down += cell.height
    return Stack(source, tuple(chain), load)


def _link(link: Link, room: Room, down: float) -> Cell:
    if isinstance(link, Cable):
        lines = label_of(link, room.cable)
        return Cell(link, tuple(lines), max(CABLE, height(lines) + 8) if lines else 0.0, down)
    lines = label_of(link, room.beside(link.kind))
    return Cell(link, tuple(lines), max(DEVICE, glyph(link.kind).box.height + 2 * LEAD, height(lines) + 6), down)


def _end(end: Element | Reference, room: Room) -> Cell:
    lines = label_of(end, room.under, most=5, joined=False)
    tall = TAG if isinstance(end, Reference) else face(end.kind)
    return Cell(end, tuple(lines), LEAD + tall + 4 + height(lines) + LEAD)


def face(kind: str) -> float:
    """Height that the symbol of a source or load is given [px]."""
    tall = glyph(kind).box.height
    return max(FACE, tall) if tall > SMALL else tall
