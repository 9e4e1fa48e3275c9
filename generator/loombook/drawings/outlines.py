"""Outlines on a location plan: their sides, what lies inside them, and where a name finds room in one."""

from __future__ import annotations

from loombook.drawings.geometry import Box, Point, box_of, passes_through
from loombook.drawings.labels import Line, block, height
from loombook.drawings.metrics import longest_word, width, wrap
from loombook.drawings.model import Space
from loombook.drawings.scene import Text

STEP = 9
"""Grid on which names and dots look for a free place [px]."""
Leg = tuple[Point, Point]
Corners = tuple[Point, ...]


def legs(corners: Corners) -> list[Leg]:
    """The sides of an outline."""
    return list(zip(corners, corners[1:] + corners[:1], strict=True))


def name_in(space: Space, corners: Corners, lines: list[Leg], taken: list[Box]) -> tuple[Text, ...]:
    """The whole name inside the outline, clear of other names, as far up as it fits; nothing where it fits nowhere."""
    box = box_of(corners)
    for room in (box.width - 14, box.width * 0.6, box.width * 0.4):
        name: list[Line] = [((text, False),) for text in _lines(space.label, room)]
        if not name:
            continue
        wide = max(width(line[0][0]) for line in name)
        y = box.top + 4
        while y + height(name) < box.bottom:
            x = box.left + 7
            while x + wide < box.right - 3:
                around = Box(x - 2, y, x + wide + 2, y + height(name))
                clear = not any(passes_through(leg, around) for leg in lines) and not any(
                    around.meets(b) for b in taken
                )
                if clear and inside_all(around, corners):
                    return block(round(x, 1), y, name, muted=True)
                x += STEP
            y += STEP
    return ()


def _lines(label: str, room: float) -> list[str]:
    """The name on two lines at most; nothing where a word would be cut or left out.

    >>> _lines("Engine space", 70), _lines("Lazarette", 60)
    (['Engine', 'space'], [])
    """
    lines = wrap(label, room, most=3) if longest_word(label) <= room else []
    return lines if len(lines) <= 2 else []


def inside_all(box: Box, corners: Corners) -> bool:
    """True when the outline neither cuts nor leaves the box out."""
    xs = (box.left, (box.left + box.right) / 2, box.right)
    if not all(inside(Point(x, y), corners) for x in xs for y in (box.top, (box.top + box.bottom) / 2, box.bottom)):
        return False
    return not any(box.has(p) for p in corners)


def inside(p: Point, corners: Corners) -> bool:
    """True for a point inside the outline (even-odd rule)."""
    inside = False
    for a, b in zip(corners, corners[1:] + corners[:1], strict=True):
        if (a.y > p.y) != (b.y > p.y) and p.x < (b.x - a.x) * (p.y - a.y) / (b.y - a.y) + a.x:
            inside = not inside
    return inside
