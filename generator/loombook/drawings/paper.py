"""Sheets of paper: sizes, the frame with its zones, and the title block at the foot."""

from __future__ import annotations

from dataclasses import dataclass

from loombook.drawings.geometry import MM, Box, Point
from loombook.drawings.metrics import ASCENT, PITCH, SIZE, clean, width, wrap
from loombook.drawings.model import Service, TitleBlock
from loombook.drawings.scene import Item, Shape, Text, Wire, rectangle

MARGIN = 4 * MM
"""From the edge of the paper to the zone strip [px]."""
STRIP = 5 * MM
"""Width of the zone strip [px]."""
INSIDE = 8
"""Between the frame and what is drawn [px]."""
BLOCK = 2 * PITCH + 12
"""Height of the title block [px]."""
ZONE = 50 * MM
"""Zones are about this wide and exactly this high [px]."""


@dataclass(frozen=True)
class Paper:
    """A sheet of paper, lying."""

    name: str
    wide: float
    high: float

    @property
    def room(self) -> float:
        """Width for what is drawn [px]."""
        return self.wide - 2 * (MARGIN + STRIP + INSIDE)

    def height_for(self, notes: int) -> float:
        """Height for what is drawn [px], with so many lines of notes."""
        return self.high - 2 * (MARGIN + STRIP + INSIDE) - BLOCK - _notes_height(notes)

    @property
    def columns(self) -> int:
        """Number of zones from left to right."""
        return round(self.wide / ZONE)

    def zone(self, at: Point) -> str:
        """Name of the zone a point lies in, such as B3.

        >>> A3.zone(Point(0, 0)), A3.zone(Point(1580, 300))
        ('A1', 'B8')
        """
        inner = self.wide - 2 * MARGIN
        column = min(max(int((at.x - MARGIN) / inner * self.columns), 0), self.columns - 1)
        row = max(int((at.y - MARGIN) / ZONE), 0)
        return f"{'ABCDEFGHJKLM'[row]}{column + 1}"


A4 = Paper("A4", round(297 * MM, 1), round(210 * MM, 1))
A3 = Paper("A3", round(420 * MM, 1), round(297 * MM, 1))


def _notes_height(notes: int) -> float:
    return notes * PITCH + 8 if notes else 0.0


def note_lines(notes: tuple[str, ...], paper: Paper) -> list[str]:
    """Notes wrapped to the paper."""
    return [line for note in notes for line in wrap(note, paper.room, most=3)]


@dataclass(frozen=True)
class Placing:
    """Where the content goes on the paper, and how high the paper is left."""

    shift: Point
    high: float


def placing(paper: Paper, wide: float, tall: float, notes: int) -> Placing:
    """Content in the middle of the width; what the height has to spare is cut off the paper."""
    top = MARGIN + STRIP + INSIDE
    left = round((paper.wide - wide) / 2, 1)
    high = min(paper.high, top + tall + INSIDE + _notes_height(notes) + BLOCK + STRIP + MARGIN)
    return Placing(Point(left, round(top, 1)), round(high, 1))


def frame(paper: Paper, high: float, title: str, number: str, block: TitleBlock, notes: tuple[str, ...]) -> list[Item]:
    """The frame, its zones, the notes and the title block."""
    outer = Box(MARGIN, MARGIN, paper.wide - MARGIN, high - MARGIN)
    inner = Box(MARGIN + STRIP, MARGIN + STRIP, paper.wide - MARGIN - STRIP, high - MARGIN - STRIP)
    parts = [rectangle(_rounded(outer), weight=1, faint=True), rectangle(_rounded(inner), weight=1.7)]
    parts += _zones(paper, outer, inner, high)
    items = [Item("~frame", "frame", tuple(parts))]
    lines = note_lines(notes, paper)
    if lines:
        top = inner.bottom - BLOCK - _notes_height(len(lines))
        texts = tuple(
            Text(round(inner.left + INSIDE, 1), round(top + ASCENT * SIZE + row * PITCH, 1), line, muted=True)
            for row, line in enumerate(lines)
        )
        items.append(Item("~notes", "note", texts))
    return [*items, Item("~block", "note", tuple(_block(inner, title, number, block)))]


def _zones(paper: Paper, outer: Box, inner: Box, high: float) -> list[Text | Wire]:
    """Numbers along top and foot, letters along the sides."""
    parts: list[Text | Wire] = []
    base = STRIP / 2 + SIZE * 0.36
    step = outer.width / paper.columns
    for k in range(paper.columns):
        middle = outer.left + (k + 0.5) * step
        for y in (outer.top, inner.bottom):
            parts.append(Text(round(middle, 1), round(y + base, 1), str(k + 1), anchor="middle", muted=True))
        if k:
            for top, foot in ((outer.top, inner.top), (inner.bottom, outer.bottom)):
                parts.append(_tick(outer.left + k * step, top, outer.left + k * step, foot))
    row = 0
    while (top := outer.top + row * ZONE) < outer.bottom:
        foot = min(top + ZONE, outer.bottom)
        letter = "ABCDEFGHJKLM"[row]
        if foot - top > 2 * STRIP + SIZE:
            middle = (max(top, inner.top) + min(foot, inner.bottom)) / 2 + SIZE * 0.36
            for x in (outer.left, inner.right):
                parts.append(Text(round(x + STRIP / 2, 1), round(middle, 1), letter, anchor="middle", muted=True))
        if row and foot - top > STRIP:
            for left, right in ((outer.left, inner.left), (inner.right, outer.right)):
                parts.append(_tick(left, top, right, top))
        row += 1
    return parts


def _tick(x0: float, y0: float, x1: float, y1: float) -> Wire:
    return Wire((Point(round(x0, 1), round(y0, 1)), Point(round(x1, 1), round(y1, 1))), Service.CONTROL)


def _block(inner: Box, title: str, number: str, block: TitleBlock) -> list[Text | Shape]:
    """One row of cells: vessel, title, sheet, revision, date, remark."""
    top = round(inner.bottom - BLOCK, 1)
    small = [("Sheet", number), ("Revision", block.revision), ("Date", block.date)]
    small = [(head, value) for head, value in small if value]
    widths = [max(width(head), width(clean(value))) + 16 for head, value in small]
    widths = [min(wide, 150) for wide in widths]
    remark = min(width(clean(block.remark), bold=True) + 16, 210) if block.remark else 0
    left = inner.width - sum(widths) - remark
    cells = [("Vessel", block.vessel, left * 0.36, False), ("Drawing", title, left * 0.64, True)]
    cells += [(head, value, wide, False) for (head, value), wide in zip(small, widths, strict=True)]
    parts: list[Text | Shape] = []
    x = inner.left
    for head, value, wide, bold in cells:
        parts += _framed(x, top, wide, inner.bottom)
        parts.append(Text(round(x + 8, 1), round(top + 4 + ASCENT * SIZE, 1), head, muted=True))
        for line in wrap(value, wide - 16, bold=bold, most=1):
            parts.append(Text(round(x + 8, 1), round(top + 4 + ASCENT * SIZE + PITCH, 1), line, bold=bold))
        x += wide
    if block.remark:
        parts += _framed(x, top, remark, inner.bottom)
        lines = wrap(block.remark, remark - 15.9, bold=True, most=2)
        first = top + (BLOCK - len(lines) * PITCH) / 2 + ASCENT * SIZE
        parts += [
            Text(round(x + 8, 1), round(first + row * PITCH, 1), line, bold=True) for row, line in enumerate(lines)
        ]
    return parts


def _framed(x: float, top: float, wide: float, foot: float) -> list[Shape]:
    return [rectangle(_rounded(Box(x, top, x + wide, foot)), weight=1)]


def _rounded(box: Box) -> Box:
    return Box(round(box.left, 1), round(box.top, 1), round(box.right, 1), round(box.bottom, 1))
