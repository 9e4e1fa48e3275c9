"""From metres to the sheet: the hull and the spaces seen from above, and those of which nobody has given the outline."""

from __future__ import annotations

from typing import NamedTuple

from loombook.drawings.geometry import Box, Point, box_of
from loombook.drawings.metrics import longest_word
from loombook.drawings.model import Plan, Space
from loombook.drawings.scene import Shape, rectangle

BOX = (190, 120)
"""Size of a space in the default arrangement [px]."""
CAPTION = 20
"""Height of the words over a view, where there are two [px]."""
GAP = 12
"""Between the side view and the plan's words [px]."""


def _extent(plan: Plan) -> Box:
    """The hull or, without its size, all spaces [m]."""
    points = [Point(x, y) for space in plan.spaces for x, y in space.outline]
    if plan.length and plan.beam:
        points += [Point(0, -plan.beam / 2), Point(plan.length, plan.beam / 2)]
    return box_of(points)


class Scale(NamedTuple):
    """How metres become places on the sheet."""

    factor: float
    """Pixels in a metre."""
    dx: float
    dy: float
    """What to add [px]."""
    side: float = 0.0
    """Where the lowest point of the hull inside stands on the side view, downwards on the sheet [px]."""

    def at(self, x: float, y: float) -> Point:
        """A point of the plan: metres from the stern, and to starboard."""
        return Point(round(x * self.factor + self.dx, 1), round(y * self.factor + self.dy, 1))

    def beside(self, x: float, z: float) -> Point:
        """A point of the side view: metres from the stern, and upwards."""
        return Point(round(x * self.factor + self.dx, 1), round(self.side - z * self.factor, 1))


def scale_of(plan: Plan, wide: float, tall: float) -> Scale | None:
    """One scale for both views, the side view over the plan; None without outlines."""
    if not any(space.outline for space in plan.spaces):
        return None
    extent, over = _extent(plan), 2 * CAPTION + GAP if plan.depth else 0.0
    high = max(tall - 4 - over, 60)
    factor = min((wide - 4) / max(extent.width, 0.1), high / max(extent.height + plan.depth, 0.1))
    dx, dy = (wide - factor * extent.width) / 2 - factor * extent.left, 2 - factor * extent.top
    if not plan.depth:
        return Scale(factor, dx, dy)
    return Scale(factor, dx, dy + factor * plan.depth + over, 2 + CAPTION + factor * plan.depth)


def placed_spaces(
    plan: Plan, wide: float, scale: Scale | None, band: float = 0.0
) -> list[tuple[Space, tuple[Point, ...]]]:
    """Each space with its corners on the sheet; spaces without an outline stand in rows.

    Args:
        plan: the plan
        wide: width of the sheet [px]
        scale: of its views
        band: height left free between the hull and these rows [px]
    """
    out, loose = [], []
    for space in plan.spaces:
        if space.outline and scale:
            out.append((space, tuple(scale.at(x, y) for x, y in space.outline)))
        elif not _is_at_the_side(space, plan):
            loose.append(space)
    top = max((p.y for _, corners in out for p in corners), default=-12.0) + 12
    if plan.beam and plan.length and scale:
        top = max(top, scale.at(0, plan.beam / 2).y + 12) + band
    for group, high in _loose_rows(plan, loose, wide):
        each = wide / len(group) if len(group) == len(loose) else wide / _across(loose, wide)
        for place, space in enumerate(group):
            b = Box(round(place * each + 3, 1), round(top, 1), round((place + 1) * each - 3, 1), round(top + high, 1))
            out.append((space, rectangle(b).points))
        top += high + 8
    return out


def _is_at_the_side(space: Space, plan: Plan) -> bool:
    """Whether a space without an outline has its place on the side view, and nothing that must be shown from above."""
    return bool(plan.depth and space.side) and all(dot.space != space.id for dot in plan.dots)


def _across(loose: list[Space], wide: float) -> int:
    """How many spaces without an outline stand in a row."""
    each = max([BOX[0], *(longest_word(space.label) + 24 for space in loose)])
    return max(1, min(int(wide // each), len(loose)))


def _loose_rows(plan: Plan, loose: list[Space], wide: float) -> list[tuple[list[Space], float]]:
    """Rows of spaces without an outline, each with the height its dots need."""
    across = _across(loose, wide)
    per_row = max(1, int((wide / across - 20) // 32))
    counts = {space.id: sum(dot.space == space.id for dot in plan.dots) for space in loose}
    groups = [loose[row : row + across] for row in range(0, len(loose), across)]
    least = BOX[1] if len(groups) == 1 and len(loose) == len(plan.spaces) else 32
    most = [max(-(-counts[space.id] // per_row) for space in group) for group in groups]
    return [(group, max(least, rows * 34 + (54 if rows else 0))) for group, rows in zip(groups, most, strict=True)]


def loose_height(plan: Plan, wide: float) -> float:
    """Height of all rows of spaces without an outline."""
    loose = [space for space in plan.spaces if not space.outline and not _is_at_the_side(space, plan)]
    if len(loose) == len(plan.spaces):
        return 0.0
    return sum(high + 8 for _, high in _loose_rows(plan, loose, wide)) + 24 if loose else 0.0


def hull(plan: Plan, scale: Scale) -> Shape:
    """A plain hull outline: transom left, bow right."""
    long, half = plan.length, plan.beam / 2
    shape = [(0, 0.9), (0.2, 0.98), (0.45, 1), (0.65, 0.93), (0.8, 0.74), (0.92, 0.4), (1, 0)]
    port = [scale.at(x * long, -y * half) for x, y in shape]
    starboard = [scale.at(x * long, y * half) for x, y in reversed(shape[:-1])]
    return Shape((*port, *starboard), "line", weight=2)
