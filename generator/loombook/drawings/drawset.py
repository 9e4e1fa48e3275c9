"""A set of sheets drawn together: each on the paper it needs, references filled in with sheet and zone."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from functools import lru_cache

from loombook.drawings.geometry import Point
from loombook.drawings.model import DrawingSet, OneLine, TitleBlock
from loombook.drawings.oneline import Laid, gridded, laid, orders
from loombook.drawings.paper import A3, A4, Paper, frame, note_lines, placing
from loombook.drawings.scene import Item, Part, Scene, Shape, Symbol, Text, Wire
from loombook.drawings.svg import written

PITCHES = (150, 142, 134, 126, 118, 111, 105)
"""Distances between columns that are tried, the widest first [px]."""


@dataclass(frozen=True)
class Placed:
    """A sheet's content on its paper, references still empty."""

    sheet: OneLine
    paper: Paper
    high: float
    items: tuple[Item, ...]


@lru_cache(maxsize=512)
def fitted(sheet: OneLine) -> Placed | None:
    """The sheet on the smallest paper that holds it, at the widest pitch; None if none does."""
    tried = list(orders(sheet))
    for paper, in_line in ((A4, True), (A3, True), (A3, False)):
        notes = len(note_lines(sheet.notes, paper))
        for order in tried:
            grids = (gridded(sheet, order, pitch) for pitch in PITCHES)
            grid = next((grid for grid in grids if grid.width <= paper.room), None)
            if grid is None:
                continue
            content = laid(sheet, grid, in_line)
            if content.height <= paper.height_for(notes):
                return _on(sheet, paper, content, notes)
    return None


def _on(sheet: OneLine, paper: Paper, content: Laid, notes: int) -> Placed:
    where = placing(paper, content.width, content.height, notes)
    return Placed(sheet, paper, where.high, tuple(moved(item, *where.shift) for item in content.items))


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
