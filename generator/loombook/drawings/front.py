"""A panel's front as the eye meets it: rows and ways in their places, label, rating, what each feeds, spare ways."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import product
from math import ceil

from loombook.drawings.geometry import Box, Point
from loombook.drawings.labels import WORDS, Line, block, height, widest
from loombook.drawings.metrics import PITCH, clean, longest_word, width, wrap
from loombook.drawings.model import Front, Service, State, Way
from loombook.drawings.oneline import Laid
from loombook.drawings.paper import A3, A4, Paper
from loombook.drawings.scene import Item, Part, Shape, Wire, rectangle, ring

PAD = 5
"""Between a cell's edge and what stands in it [px]."""
BESIDE = 8
"""Between a face and the words beside it [px]."""
PLATE = 14
"""Between the plate's edge and its cells [px]."""
ROWS = 2
"""Between rows of cells [px]."""
FACE = (28, 36)
"""Width and height of a device's face [px]."""
WIDTHS = (340, 300, 270, 240, 210, 185, 165, 150, 135, 120)
"""Widths of a cell that are tried, the widest first [px]."""


@dataclass(frozen=True)
class _Cell:
    """One way with its wrapped texts."""

    way: Way
    lines: list[Line]

    @property
    def height(self) -> float:
        return 2 * PAD + max(FACE[1], height(self.lines))


def laid(front: Front) -> list[tuple[Front, Paper, Laid]]:
    """The front on the paper it needs; one too big for a sheet is cut between rows, or between ways of a long row."""
    ways = max((len(row) for row in front.rows), default=1)
    for paper, widths in product((A4, A3), (_widths(front, _words), _widths(front, _state))):
        wide = next((wide for wide in widths if ways * wide + 2 * PLATE <= paper.room), None)
        if wide:
            content = _content(front, wide)
            if content.height <= paper.height_for(0):
                return [(front, paper, content)]
    halves = _halves(front)
    if not halves:
        return [(front, A3, _content(front, _widths(front, _state)[-1]))]
    parts = [part for half in halves for part in laid(half)]
    return [
        (
            replace(
                piece, name=front.name if n == 1 else f"{front.name}.{n}", title=f"{front.title} ({n} of {len(parts)})"
            ),
            paper,
            content,
        )
        for n, (piece, paper, content) in enumerate(parts, 1)
    ]


def _widths(front: Front, said: Callable[[Way], float]) -> list[float]:
    """The widths of a cell that take what is said of each way in one piece."""
    beside = 2 * PAD + FACE[0] + BESIDE
    wants = (said(way) + beside for row in front.rows for way in row)
    least = max((wide for wide in wants if wide + 2 * PLATE <= A3.room), default=0.0)
    return [wide for wide in WIDTHS if wide >= least] or [ceil(least)]


def _words(way: Way) -> float:
    """Width of a way's longest word [px]; a word of it that is cut reads worse than a larger sheet."""
    bold = max(longest_word(text, bold=True) for text in (way.number, way.id, way.label))
    return max(bold, longest_word(way.rating), longest_word(way.feeds), _state(way))


def _state(way: Way) -> float:
    """Width of the word for its state [px]."""
    return width(WORDS.get(way.state, ""), bold=True)


def _halves(front: Front) -> list[Front]:
    ways = max((len(row) for row in front.rows), default=1)
    if ways * _widths(front, _state)[-1] + 2 * PLATE > A3.room:
        half = -(-ways // 2)
        sides = (tuple(row[:half] for row in front.rows), tuple(row[half:] for row in front.rows))
        return [replace(front, rows=tuple(row for row in side if row)) for side in sides]
    if len(front.rows) > 1:
        half = -(-len(front.rows) // 2)
        return [replace(front, rows=front.rows[:half]), replace(front, rows=front.rows[half:])]
    return []


def _content(front: Front, wide: float) -> Laid:
    """Rows of cells on a plate."""
    rows = [[_cell(way, wide) for way in row] for row in front.rows]
    across = max((len(row) for row in rows), default=1)
    plate_wide = across * wide + 2 * PLATE
    head = [line for text in front.heading for line in wrap(text, plate_wide - 2 * PLATE - 8, bold=True, most=2)]
    y = PLATE + (len(head) * PITCH + 8 if head else 0)
    items: list[Item] = []
    for cells in rows:
        tall = max((cell.height for cell in cells), default=0)
        for place, cell in enumerate(cells):
            items.append(_way(cell, Box(PLATE + place * wide, y, PLATE + (place + 1) * wide, y + tall), front.here))
        y += tall + ROWS
    bottom = y - ROWS + PLATE
    plate: list[Part] = [rectangle(Box(0, 0, round(plate_wide, 1), round(bottom, 1)), rounded=10, weight=2)]
    plate += block(PLATE + 4, PLATE, [((line, place == 0),) for place, line in enumerate(head)])
    return Laid((Item("~plate", "note", tuple(plate)), *items), round(plate_wide, 1), round(bottom, 1))


def _cell(way: Way, wide: float) -> _Cell:
    """Beside the face: number, id, rating and label, on one line where they fit, and under them what the way feeds."""
    room = wide - 2 * PAD - FACE[0] - BESIDE
    named = " ".join(part for part in (way.number, way.id) if part)
    label = clean(way.label) or {"spare": "spare", "blank": "blind cover"}.get(way.kind, "")
    said = ((named, True), (WORDS.get(way.state, ""), True), (way.rating, False), (label, bool(way.label)))
    words = [(clean(text), bold) for text, bold in said if clean(text)]
    lines = [tuple(words)] if words else []
    if widest(lines) > room:
        lines = [((line, bold),) for text, bold in words for line in wrap(text, room, bold=bold, most=2)]
    feeds = way.feeds if clean(way.feeds).casefold() != label.casefold() else ""
    return _Cell(way, lines + [((text, False),) for text in wrap(feeds, room, most=2)])


def _way(cell: _Cell, box: Box, here: str) -> Item:
    way = cell.way
    face = Box(box.left + PAD, box.top + PAD, box.left + PAD + FACE[0], box.top + PAD + FACE[1])
    parts: list[Part] = [rectangle(_rounded(box), weight=1, faint=True), *_face(way.kind, face, way.state)]
    parts += block(face.right + BESIDE, box.top + PAD + max(0.0, (FACE[1] - height(cell.lines)) / 2), cell.lines)
    facts = ", ".join(clean(t) for t in (way.id, way.label, way.rating, way.feeds) if clean(t))
    name = f"way {way.number}: {facts or way.kind}"
    key = way.id or f"way {way.number}"
    return Item(key, "device", tuple(parts), name, way.href, way.state, bool(way.id) and way.id == here)


def _face(kind: str, box: Box, state: State) -> list[Part]:
    """What the hand meets: a fuse cap, a breaker's lever, a rocker, a blind cover."""
    x, y = (box.left + box.right) / 2, (box.top + box.bottom) / 2
    plate = rectangle(_rounded(box), rounded=3, dashed=kind == "spare")
    if kind == "spare":
        return [plate]
    if kind == "blank":
        cross = [
            Wire((Point(box.left + 5, box.top + 5), Point(box.right - 5, box.bottom - 5)), Service.CONTROL, state),
            Wire((Point(box.right - 5, box.top + 5), Point(box.left + 5, box.bottom - 5)), Service.CONTROL, state),
        ]
        return [plate, *cross]
    if kind == "fuse":
        return [plate, ring(Point(x, y), 10), Wire((Point(x - 6, y), Point(x + 6, y)), Service.POWER, state)]
    lever = rectangle(Box(x - 5, box.top + 8, x + 5, y), rounded=2, paint="solid")
    slot = rectangle(Box(x - 8, box.top + 5, x + 8, box.bottom - 5), rounded=3)
    if kind == "rcd":
        return [plate, slot, lever, ring(Point(x, box.bottom - 12), 3, paint="solid")]
    if kind == "switch":
        rocker = Shape((Point(x - 8, box.top + 5), Point(x + 8, box.top + 5), Point(x + 8, y), Point(x - 8, y)), "fill")
        return [plate, slot, rocker]
    return [plate, slot, lever]


def _rounded(box: Box) -> Box:
    return Box(round(box.left, 1), round(box.top, 1), round(box.right, 1), round(box.bottom, 1))
