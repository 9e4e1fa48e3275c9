"""Outlines on a location plan: their sides, what lies inside them, and where a name finds room in one."""

from __future__ import annotations

from loombook.drawings.geometry import Box, Point, box_of, passes_through
from loombook.drawings.labels import Line, block, height
from loombook.drawings.metrics import clean, width, wrap
from loombook.drawings.model import Space
from loombook.drawings.scene import Text

STEP = 9
"""Grid on which names and dots look for a free place [px]."""
Leg = tuple[Point, Point]


def legs(corners: tuple[Point, ...]) -> list[Leg]:
    """The sides of an outline."""
    return list(zip(corners, corners[1:] + corners[:1], strict=True))


def name_in(space: Space, corners: tuple[Point, ...], lines: list[Leg], taken: list[Box]) -> tuple[Text, ...]:
    """The space's name inside its outline, clear of other names, as far up as it fits; nothing where it fits nowhere."""
    box = box_of(corners)
    for room in (box.width - 14, box.width * 0.6, box.width * 0.4):
        name: list[Line] = [((text, False),) for text in _lines(space.label, room)]
        if not name or room < 30:
            return ()
        wide = max(width(line[0][0]) for line in name)
        y = box.top + 4
        while y + height(name) < box.bottom:
            x = box.left + 7
            while x + wide < box.right - 3:
                around = Box(x - 2, y, x + wide + 2, y + height(name))
                clear = not any(passes_through(leg, around) for leg in lines) and not any(around.meets(b) for b in taken)
                if clear and inside_all(around, corners):
                    return block(round(x, 1), y, name, muted=True)
                x += STEP
            y += STEP
    return ()


def _lines(label: str, room: float) -> list[str]:
    """The name on two lines at most, with a hyphen where a word had to be cut.

    >>> _lines("Lazarette", 60), _lines("Engine space", 70)
    (['Lazaret-', 'te'], ['Engine', 'space'])
    """
    whole, lines = clean(label), wrap(label, room, most=2)
    if any(word not in whole.split() for line in lines for word in line.rstrip("…").split()):
        lines = wrap(label, room - width("-"), most=2)
        if len(lines) == 2 and lines[0] + lines[1].rstrip("…") in whole:
            return [f"{lines[0]}-", lines[1]]
    return lines


def inside_all(box: Box, corners: tuple[Point, ...]) -> bool:
    """True when the outline neither cuts nor leaves the box out."""
    xs = (box.left, (box.left + box.right) / 2, box.right)
    if not all(_within(Point(x, y), corners) for x in xs for y in (box.top, (box.top + box.bottom) / 2, box.bottom)):
        return False
    return not any(box.has(p) for p in corners)


def _within(p: Point, corners: tuple[Point, ...]) -> bool:
    """True for a point inside the outline (even-odd rule)."""
    inside = False
    for a, b in zip(corners, corners[1:] + corners[:1], strict=True):
        if (a.y > p.y) != (b.y > p.y) and p.x < (b.x - a.x) * (p.y - a.y) / (b.y - a.y) + a.x:
            inside = not inside
    return inside
