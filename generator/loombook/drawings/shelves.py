"""Things kept by their height on the sheet, so that whoever asks what lies at a box need not look at all of them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from typing import Generic, TypeVar

from loombook.drawings.geometry import Box

HIGH = 32
"""Height of a shelf [px]: about two lines of text."""
T = TypeVar("T")


class Shelves(Generic[T]):
    """Boxes with what belongs to them.

    >>> shelves = Shelves([(Box(0, 0, 10, 500), "tall"), (Box(20, 400, 30, 410), "low")])
    >>> list(shelves.near(Box(0, 395, 50, 420)))
    ['tall', 'low']
    >>> list(shelves.near(Box(0, 10, 50, 20)))
    ['tall']
    """

    def __init__(self, things: Iterable[tuple[Box, T]]) -> None:
        self._rows: dict[int, list[tuple[int, Box, T]]] = defaultdict(list)
        for number, (box, thing) in enumerate(things):
            for row in _rows(box):
                self._rows[row].append((number, box, thing))

    def near(self, box: Box) -> Iterator[T]:
        """What shares a point with the box, edges too, each once and in the order in which it was put."""
        found: dict[int, T] = {}
        left, top, right, bottom = box.left, box.top, box.right, box.bottom
        for row in _rows(box):
            for number, other, thing in self._rows.get(row, ()):
                if other.left <= right and left <= other.right and other.top <= bottom and top <= other.bottom:
                    found[number] = thing
        return (found[number] for number in sorted(found))


def _rows(box: Box) -> range:
    return range(int(box.top // HIGH), int(box.bottom // HIGH) + 1)
