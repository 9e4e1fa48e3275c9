"""The plan on an emergency card: the boat's outline and the card's few handles, with numbers that stay large on paper."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from loombook.drawings.geometry import Box, Point, box_of, passes_through
from loombook.drawings.metrics import SIZE, clean
from loombook.drawings.model import Plan
from loombook.drawings.outlines import legs, name_in
from loombook.drawings.plandots import around, dot_shape, half
from loombook.drawings.planviews import hull, placed_spaces, scale_of
from loombook.drawings.scene import Item, Scene, Shape, Text, Wire
from loombook.drawings.svg import written

WIDE = 350
"""Width [px]: so small that its letters are 14 pt at least where it is as wide as a card on A5."""
TALL = 200
"""Greatest height of the hull [px]."""
STEP = 6
AIR = 3
"""Between dots, and between dots and words [px]."""
REACH = 40
"""So many steps from its place a dot may stand; a line then leads back."""


def drawn(plan: Plan) -> str:
    """The plan as SVG text: each dot at its place, or near it with a line to it. Without an outline, a space
    is drawn only for a dot whose place in it is not known.
    """
    needed = {dot.space for dot in plan.dots}
    unplaced = {dot.space for dot in plan.dots if not dot.at}
    plan = replace(plan, spaces=tuple(s for s in plan.spaces if s.outline or s.id in unplaced), depth=0.0)
    scale = scale_of(plan, WIDE, TALL)
    spaces = placed_spaces(plan, WIDE, scale)
    items = [Item("~hull", "note", (hull(plan, scale),))] if scale and plan.length and plan.beam else []
    lines = [leg for _, corners in spaces for leg in legs(corners)]
    places = [around(scale.at(*dot.at), *half(dot)) for dot in plan.dots if dot.at and scale]
    taken: list[Box] = []
    middles: dict[str, Point] = {}
    for space, corners in spaces:
        box = box_of(corners)
        middles[space.id] = Point((box.left + box.right) / 2, (box.top + box.bottom) / 2)
        names = name_in(space, corners, lines, [*taken, *places]) if space.id in needed else ()
        if any(text.text.endswith("…") for text in names):
            names = ()  # half a name is no help
        taken += [text.box.grown(AIR) for text in names]
        outline = Shape(corners, "line", weight=1.5, faint=True)
        items.append(Item(space.id, "space", (outline, *names), clean(space.label), space.href))
    named = tuple(taken)
    foot = max((item.box.bottom for item in items), default=0.0) + 2
    page = Box(0, 0, WIDE, foot)
    leaders: list[Wire] = []
    dots: list[Item] = []
    for dot in plan.dots:
        wide, tall = half(dot)
        home = scale.at(*dot.at) if dot.at and scale else middles.get(dot.space, Point(WIDE / 2, foot / 2))
        free = (p for p in _near(home) if _is_free(around(p, wide, tall), page, taken))
        at = next((p for p in free if not any(passes_through((home, p), box) for box in named)), home)
        taken.append(around(at, wide, tall).grown(AIR))
        if at != home:  # under every dot, for another's may lie on the way
            leaders.append(Wire((home, at)))
        number = Text(at.x, round(at.y + SIZE * 0.36, 1), dot.number, bold=True, anchor="middle")
        name = ", ".join(filter(None, (clean(dot.label), clean(dot.place))))
        parts = (dot_shape(dot, at, wide, tall), number)
        dots.append(Item(f"dot {dot.number}", "device", parts, f"{dot.number}: {name}", dot.href, dot.state))
    items += [Item("~leaders", "note", tuple(leaders))] if leaders else []
    return written(Scene(plan.name, plan.title, plan.about, WIDE, foot, (*items, *dots)))


def _near(home: Point) -> Iterator[Point]:
    """The place itself, then those around it, ring by ring."""
    yield home
    for ring in range(1, REACH):
        steps = range(-ring, ring + 1)
        rim = [(x, y) for x in steps for y in steps if max(abs(x), abs(y)) == ring]
        for x, y in sorted(rim, key=lambda p: (p[0] ** 2 + p[1] ** 2, p)):
            yield Point(round(home.x + x * STEP, 1), round(home.y + y * STEP, 1))


def _is_free(box: Box, page: Box, taken: list[Box]) -> bool:
    return page.holds(box) and not any(box.meets(other) for other in taken)
