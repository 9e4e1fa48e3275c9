"""The location plan: spaces seen from above, bow to the right, with numbered dots and the list of what they are."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from math import hypot

from loombook.drawings.geometry import Box, Point, box_of, passes_through
from loombook.drawings.labels import Line, block, height
from loombook.drawings.metrics import PITCH, SIZE, clean, width, wrap
from loombook.drawings.model import Dot, Plan, Space
from loombook.drawings.oneline import Laid
from loombook.drawings.paper import A3, A4, Paper
from loombook.drawings.planlist import legend
from loombook.drawings.scene import Item, Part, Shape, Text, rectangle, ring

STEP = 9
"""Grid on which dots look for a free place [px]."""
AIR = 8
"""Between dots, and between dots and names [px]."""
RADIUS = 12
"""Half the size of a dot [px]."""
ROW = 2 * RADIUS + AIR + 2
"""Height of a row of dots under the plan [px]."""
Leg = tuple[Point, Point]
BOX = (190, 120)
"""Size of a space in the default arrangement [px]."""


def laid(plan: Plan) -> list[tuple[Plan, Paper, Laid]]:
    """The plan on the paper it needs; with too many dots for one sheet, on several, each with its share of them."""
    for paper in (A4, A3):
        content = _content(plan, paper.room, paper.height_for(0))
        if content.height <= paper.height_for(0):
            return [(plan, paper, content)]
    if len(plan.dots) < 2:
        return [(plan, A3, _content(plan, A3.room, A3.height_for(0)))]
    half = -(-len(plan.dots) // 2)
    parts = [part for dots in (plan.dots[:half], plan.dots[half:]) for part in laid(replace(plan, dots=dots))]
    return [
        (
            replace(
                piece, name=plan.name if n == 1 else f"{plan.name}.{n}", title=f"{plan.title} ({n} of {len(parts)})"
            ),
            paper,
            content,
        )
        for n, (piece, paper, content) in enumerate(parts, 1)
    ]


def _content(plan: Plan, wide: float, high: float) -> Laid:
    listed, legend_height = legend(plan, wide)
    tall = high - legend_height - ROW - 20 - _loose_height(plan, wide)
    spaces = placed_spaces(plan, wide, tall)
    items: list[Item] = []
    taken: list[Box] = []
    drawn_to_scale = any(space.outline for space in plan.spaces)
    if drawn_to_scale and plan.length and plan.beam:
        items.append(Item("~hull", "note", (hull(plan, wide, tall),)))
    outline = items[0].parts[0].points if items else ()
    lines = [leg for corners in (outline, *(found for _, found in spaces)) for leg in legs(corners)]
    for space, corners in spaces:
        texts = name_in(space, corners, lines, taken)
        taken += [text.box.grown(4) for text in texts]
        outline = Shape(corners, "line", weight=1.5, faint=True)
        items.append(Item(space.id, "space", (outline, *texts), clean(space.label), space.href))
    bottom = max((p.y for _, corners in spaces for p in corners), default=0.0)
    if items and items[0].key == "~hull":
        bottom = max(bottom, items[0].box.bottom)
    outlines = {space.id: corners for space, corners in spaces}
    under = {item.key: max((text.box.bottom for text in item.texts), default=0.0) for item in items}
    scale = scale_of(plan, wide, tall)
    lowest = bottom
    for dot in plan.dots:
        parts, box = _dot(
            dot, outlines.get(dot.space), under.get(dot.space, 0.0), scale, taken, lines, wide, bottom
        )
        taken.append(box)
        name = f"{dot.number}: " + ", ".join(clean(t) for t in (dot.label, dot.place) if clean(t))
        items.append(Item(f"dot {dot.number}", "device", parts, name, dot.href, dot.state, False))
        lowest = max(lowest, box.bottom)
    top = max(bottom, lowest) + 18
    items += [replace(item, parts=tuple(replace(t, y=round(t.y + top, 1)) for t in item.parts)) for item in listed]
    if not drawn_to_scale and plan.spaces:
        note = block(
            0, top + legend_height, [(("Not to scale: the spaces in the order of the list.", False),)], muted=True
        )
        items.append(Item("~scale", "note", note))
        legend_height += PITCH + 2
    return Laid(tuple(items), wide, round(top + legend_height, 1))


# --- spaces -------------------------------------------------------------------------------------------------------


def _extent(plan: Plan) -> Box:
    """The hull or, without its size, all spaces [m]."""
    points = [Point(x, y) for space in plan.spaces for x, y in space.outline]
    if plan.length and plan.beam:
        points += [Point(0, -plan.beam / 2), Point(plan.length, plan.beam / 2)]
    return box_of(points)


def scale_of(plan: Plan, wide: float, tall: float) -> tuple[float, float, float] | None:
    """Pixels in a metre, and what to add; None without outlines."""
    if not any(space.outline for space in plan.spaces):
        return None
    extent = _extent(plan)
    factor = min((wide - 4) / max(extent.width, 0.1), max(tall - 4, 60) / max(extent.height, 0.1))
    return factor, (wide - factor * extent.width) / 2 - factor * extent.left, 2 - factor * extent.top


def at_scale(scale: tuple[float, float, float], x: float, y: float) -> Point:
    factor, dx, dy = scale
    return Point(round(x * factor + dx, 1), round(y * factor + dy, 1))


def placed_spaces(plan: Plan, wide: float, tall: float) -> list[tuple[Space, tuple[Point, ...]]]:
    """Each space with its corners on the sheet; spaces without an outline stand in rows."""
    scale = scale_of(plan, wide, tall)
    out, loose = [], []
    for space in plan.spaces:
        if space.outline and scale:
            out.append((space, tuple(at_scale(scale, x, y) for x, y in space.outline)))
        else:
            loose.append(space)
    top = max((p.y for _, corners in out for p in corners), default=-12.0) + 12
    if plan.beam and plan.length and scale:
        top = max(top, at_scale(scale, 0, plan.beam / 2).y + 12)
    for group, high in _loose_rows(plan, loose, wide):
        each = wide / len(group) if len(group) == len(loose) else wide / _across(loose, wide)
        for place, space in enumerate(group):
            b = Box(round(place * each + 3, 1), round(top, 1), round((place + 1) * each - 3, 1), round(top + high, 1))
            out.append((space, rectangle(b).points))
        top += high + 8
    return out


def _across(loose: list[Space], wide: float) -> int:
    """How many spaces without an outline stand in a row."""
    return max(1, min(int(wide // BOX[0]), len(loose)))


def _loose_rows(plan: Plan, loose: list[Space], wide: float) -> list[tuple[list[Space], float]]:
    """Rows of spaces without an outline, each with the height its dots need."""
    across = _across(loose, wide)
    per_row = max(1, int((wide / across - 20) // 32))
    counts = {space.id: sum(dot.space == space.id for dot in plan.dots) for space in loose}
    least = BOX[1] if len(loose) <= 8 else 70
    groups = [loose[row : row + across] for row in range(0, len(loose), across)]
    return [(group, max(least, max(-(-counts[space.id] // per_row) for space in group) * 34 + 54)) for group in groups]


def _loose_height(plan: Plan, wide: float) -> float:
    """Height of all rows of spaces without an outline."""
    loose = [space for space in plan.spaces if not space.outline]
    if len(loose) == len(plan.spaces):
        return 0.0
    return sum(high + 8 for _, high in _loose_rows(plan, loose, wide)) + 24


def hull(plan: Plan, wide: float, tall: float) -> Shape:
    """A plain hull outline: transom left, bow right."""
    scale = scale_of(plan, wide, tall)
    long, half = plan.length, plan.beam / 2
    shape = [(0, 0.9), (0.2, 0.98), (0.45, 1), (0.65, 0.93), (0.8, 0.74), (0.92, 0.4), (1, 0)]
    port = [at_scale(scale, x * long, -y * half) for x, y in shape]
    starboard = [at_scale(scale, x * long, y * half) for x, y in reversed(shape[:-1])]
    return Shape((*port, *starboard), "line", weight=2)


def name_in(space: Space, corners: tuple[Point, ...], lines: list[Leg], taken: list[Box]) -> tuple[Text, ...]:
    """The space's name inside its outline, clear of other names, as far up as it fits; nothing where it fits nowhere."""
    box = box_of(corners)
    for room in (box.width - 14, box.width * 0.6, box.width * 0.4):
        name: list[Line] = [((text, False),) for text in wrap(space.label, room, most=2)]
        if not name or room < 30:
            return ()
        wide = max(width(line[0][0]) for line in name)
        y = box.top + 4
        while y + height(name) < box.bottom:
            x = box.left + 7
            while x + wide < box.right - 3:
                around = Box(x - 2, y, x + wide + 2, y + height(name))
                clear = not any(passes_through(leg, around) for leg in lines) and not any(around.meets(b) for b in taken)
                if clear and _inside_all(around, corners):
                    return block(round(x, 1), y, name, muted=True)
                x += STEP
            y += STEP
    return ()


def _inside_all(box: Box, corners: tuple[Point, ...]) -> bool:
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


# --- dots ---------------------------------------------------------------------------------------------------------


def half(dot: Dot) -> tuple[float, float]:
    """Half width and half height of a dot."""
    wide = max(RADIUS, width(clean(dot.number), bold=True) / 2 + 5)
    return (wide + 4 if dot.kind == "panel" else wide), RADIUS


def _dot(
    dot: Dot,
    corners: tuple[Point, ...] | None,
    under: float,
    scale: tuple[float, float, float] | None,
    taken: list[Box],
    lines: list[Leg],
    room: float,
    bottom: float,
) -> tuple[tuple[Part, ...], Box]:
    """The dot at its place, or at the nearest free one; one without a place fills its space in rows under the name."""
    wide, tall = half(dot)
    spots = list(_spots(corners, wide, tall)) if corners else []
    spots.sort(key=lambda p: (p.y - tall < under, p.y, p.x))
    if dot.at and scale:
        home = at_scale(scale, *dot.at)
        spots = [home, *sorted(spots, key=lambda p: (round(hypot(p.x - home.x, p.y - home.y), 1), p))]

    page = Box(0, 0, room, bottom)

    def free(p: Point) -> bool:
        box = around(p, wide, tall)
        return (
            page.holds(box)
            and not any(box.grown(AIR).meets(other) for other in taken)
            and not any(passes_through(leg, box.grown(1)) for leg in lines)
        )

    at = next((p for p in spots if free(p)), None)
    if at is None:  # no room in its space: in rows under the plan
        at = Point(round(wide + 4, 1), round(bottom + RADIUS + AIR, 1))
        while any(around(at, wide, tall).grown(AIR).meets(box) for box in taken):
            at = at.moved(STEP, 0) if at.x + STEP + wide < room else Point(round(wide + 4, 1), at.y + ROW)
    text = Text(at.x, round(at.y + SIZE * 0.36, 1), clean(dot.number), bold=True, anchor="middle")
    return (dot_shape(dot, at, wide, tall), text), around(at, wide, tall)


def legs(corners: tuple[Point, ...]) -> list[Leg]:
    """The sides of an outline."""
    return list(zip(corners, corners[1:] + corners[:1], strict=True))


def around(p: Point, wide: float, tall: float) -> Box:
    return Box(p.x - wide, p.y - tall, p.x + wide, p.y + tall)


@lru_cache(maxsize=256)
def _spots(corners: tuple[Point, ...], wide: float, tall: float) -> tuple[Point, ...]:
    """Places in the outline where a dot may stand, row by row, with air to the edge."""
    box = box_of(corners)
    out = []
    y = box.top + tall + 5
    while y + tall + 4 <= box.bottom:
        x = box.left + wide + 6
        while x + wide + 4 <= box.right:
            p = Point(round(x, 1), round(y, 1))
            if _inside_all(around(p, wide + 2, tall + 2), corners):
                out.append(p)
            x += STEP
        y += STEP
    return tuple(out)


def dot_shape(dot: Dot, at: Point, wide: float, tall: float) -> Shape:
    """Isolators are square, panels long, banks cornered, all else round."""
    box = around(at, wide, tall)
    if dot.kind in ("isolator", "panel"):
        return rectangle(box, paint="paper", weight=2.5 if dot.kind == "isolator" else 1.5)
    if dot.kind == "bank":
        c = 6
        return Shape(
            (
                Point(box.left + c, box.top),
                Point(box.right - c, box.top),
                Point(box.right, box.top + c),
                Point(box.right, box.bottom - c),
                Point(box.right - c, box.bottom),
                Point(box.left + c, box.bottom),
                Point(box.left, box.bottom - c),
                Point(box.left, box.top + c),
            ),
            "paper",
            weight=2,
        )
    if wide > tall:
        return rectangle(box, paint="paper", rounded=tall)
    return ring(at, tall, paint="paper")
