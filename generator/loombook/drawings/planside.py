"""The side view over a location plan, seen from starboard: hull, spaces at their height, and dots whose height is known."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from math import hypot

from loombook.drawings.callouts import called_out
from loombook.drawings.geometry import Box, Point, box_of
from loombook.drawings.labels import block
from loombook.drawings.metrics import clean
from loombook.drawings.model import Dot, Plan, Space
from loombook.drawings.outlines import Leg, legs, name_in
from loombook.drawings.plandots import RADIUS, around, drawn, half, placed
from loombook.drawings.planviews import CAPTION, Scale
from loombook.drawings.scene import Item, Shape

SHEER = ((0.0, 0.9), (0.5, 0.86), (1.0, 1.0))
"""Edge of the deck of a plain hull: part of the length from the stern, part of the depth."""
BOTTOM = ((0.0, 0.5), (0.08, 0.3), (0.25, 0.06), (0.5, 0.0), (0.75, 0.1), (0.9, 0.36), (0.97, 0.72), (1.0, 1.0))
REACH = 70
"""So far from its place a dot may stand [px]."""
LEAST = 0.15
"""A space lower than this is not drawn by default [m]."""
WORDS = "Seen from starboard. Left out: a space behind another, and a dot without room or without a known height."


def side_view(plan: Plan, scale: Scale, wide: float) -> list[Item]:
    """The view with its words, over the plan and at the plan's scale."""
    items = [_words("~side words", WORDS, 0.0)]
    profile = Shape(
        tuple(scale.beside(x * plan.length, z * plan.depth) for x, z in (*SHEER, *BOTTOM[-2::-1])), weight=2
    )
    items.append(Item("~side hull", "note", (profile,)))
    spaces = [(space, tuple(scale.beside(x, z) for x, z in space.side)) for space in arranged(plan)]
    lines = [leg for corners in (profile.points, *(corners for _, corners in spaces)) for leg in legs(corners)]
    taken: list[Box] = []
    outlines = {space.id: corners for space, corners in spaces}
    dots = _dots(plan, scale, outlines, profile.points, lines, taken, wide)
    taken += [text.box.grown(4) for item in items for text in item.texts]
    nameless = []
    for space, corners in spaces:
        texts = name_in(space, corners, lines, taken)
        taken += [text.box.grown(4) for text in texts]
        if not texts:
            nameless.append((space, corners))
        outline = Shape(corners, weight=1.5, faint=True)
        name = f"{clean(space.label)}, from the side"
        items.append(Item(f"side {space.id}", "space", (outline, *texts), name, space.href))
    page, edges = Box(0, CAPTION, wide, scale.side + 2), [profile.points, *outlines.values()]
    for space, corners in nameless:
        if callout := called_out(clean(space.label), [], corners, edges, taken, lines, page):
            taken.append(callout.box)
            lines += callout.leader.legs
            items.append(Item(f"side callout {space.id}", "note", callout.parts))
    return [*items, *dots, _words("~plan words", "Seen from above.", scale.side + 8)]


def _words(key: str, words: str, top: float) -> Item:
    return Item(key, "note", block(0, round(top, 1), [((words, False),)], muted=True))


def _dots(
    plan: Plan,
    scale: Scale,
    outlines: Mapping[str, tuple[Point, ...]],
    hull: tuple[Point, ...],
    lines: list[Leg],
    taken: list[Box],
    wide: float,
) -> list[Item]:
    """Each dot at its height, or near it in its space where another stands; one without room there is left to the plan."""
    page = Box(0, CAPTION, wide, scale.side + 2)
    along = {space.id: [x for x, _ in (space.side or space.outline)] for space in plan.spaces}
    items = []
    for dot in plan.dots:
        home = _home(dot, along.get(dot.space, []), plan, scale)
        room = outlines.get(dot.space, hull)
        at = placed(dot, home, room, 0.0, taken, lines, page) if home else None
        if at and hypot(at.x - home.x, at.y - home.y) <= REACH:
            taken.append(around(at, *half(dot)))
            name = f"{dot.number}, from the side: {clean(dot.label)}"
            items.append(Item(f"side dot {dot.number}", "device", drawn(dot, at), name, dot.href, dot.state))
    return items


def _home(dot: Dot, along: list[float], plan: Plan, scale: Scale) -> Point | None:
    """Where a dot belongs on the view, inside the hull; one without a point on the plan in the middle of its space."""
    if dot.height is None or not (dot.at or along):
        return None
    x = dot.at[0] if dot.at else (min(along) + max(along)) / 2
    return scale.beside(x, max(dot.height, _height(BOTTOM, x, plan) + (RADIUS + 4) / scale.factor))


# --- spaces -------------------------------------------------------------------------------------------------------


def arranged(plan: Plan) -> list[Space]:
    """Spaces with corners on the view: those that have some, then by default the nearest that hide none of these."""
    found = [space for space in plan.spaces if space.side]
    boxes = [box_of([Point(*corner) for corner in space.side]) for space in found]
    usual = [space for space in plan.spaces if not space.side and space.outline and space.floor is not None]
    for space in sorted(usual, key=_to_port):
        corners = () if space.outside else _usual(space, plan)
        if corners and not any(_meet(box_of(corners), box) for box in boxes):
            boxes.append(box_of(corners))
            found.append(replace(space, side=tuple(corners)))
    return found


def _to_port(space: Space) -> float:
    return -sum(y for _, y in space.outline) / len(space.outline)


def _meet(a: Box, b: Box) -> bool:
    return a.grown(-0.01).meets(b)


def _usual(space: Space, plan: Plan) -> tuple[Point, ...]:
    """From its floor, or the hull above it, up to the next floor over it or to the deck."""
    ends = min(x for x, _ in space.outline), max(x for x, _ in space.outline)
    over = min(_floors_over(space, plan), default=plan.depth)
    along = [ends[0], *(x * plan.length for x, _ in BOTTOM if ends[0] < x * plan.length < ends[1]), ends[1]]
    feet = [Point(x, max(space.floor, _height(BOTTOM, x, plan))) for x in along]
    heads = [Point(x, min(over, _height(SHEER, x, plan))) for x in reversed(ends)]
    low, high = max(p.y for p in feet), min(p.y for p in heads)
    return (*feet, *heads) if high - low >= LEAST else ()


def _floors_over(space: Space, plan: Plan) -> Iterator[float]:
    own = box_of([Point(*corner) for corner in space.outline])
    for other in plan.spaces:
        if other.outline and other.floor is not None and other.floor >= space.floor + LEAST:
            if _meet(own, box_of([Point(*corner) for corner in other.outline])):
                yield other.floor


def _height(curve: tuple[tuple[float, float], ...], x: float, plan: Plan) -> float:
    """Height of an edge of the hull so far from the stern [m]."""
    part = min(max(x / plan.length, 0.0), 1.0)
    for (x0, z0), (x1, z1) in zip(curve, curve[1:], strict=False):
        if part <= x1:
            return plan.depth * (z0 + (z1 - z0) * (part - x0) / (x1 - x0))
    return plan.depth * curve[-1][1]
