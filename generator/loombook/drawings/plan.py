"""The location plan: the boat from above and from the side, bow to the right, with numbered dots and the list of them."""

from __future__ import annotations

from dataclasses import replace

from loombook.drawings.geometry import Box, Point
from loombook.drawings.labels import block
from loombook.drawings.metrics import PITCH, clean
from loombook.drawings.model import Plan, Space
from loombook.drawings.oneline import Laid
from loombook.drawings.outlines import legs, name_in
from loombook.drawings.paper import A3, A4, Paper
from loombook.drawings.plandots import ROW, around, drawn, half, in_row, placed
from loombook.drawings.planlist import legend
from loombook.drawings.planside import side_view
from loombook.drawings.planviews import Scale, hull, loose_height, placed_spaces, scale_of
from loombook.drawings.scene import Item, Shape

LEAST = 0.6
"""Part of the smaller paper's width that the hull must take there; else the larger paper is taken."""


def laid(plan: Plan) -> list[tuple[Plan, Paper, Laid]]:
    """The plan on the paper it needs; with too many dots for one sheet, on several, each with its share of them."""
    for paper in (A4, A3):
        content = _content(plan, paper.room, paper.height_for(0))
        if content.height <= paper.height_for(0) and (paper is A3 or _is_wide(content, paper)):
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


def _is_wide(content: Laid, paper: Paper) -> bool:
    """Whether the hull is long enough on the paper to find things in it; without a hull there is nothing to be small."""
    hulls = [item.box.width for item in content.items if item.key == "~hull"]
    return all(width >= LEAST * paper.room for width in hulls)


def _content(plan: Plan, wide: float, high: float) -> Laid:
    listed, legend_height = legend(plan, wide)
    tall = high - legend_height - ROW - 20 - loose_height(plan, wide)
    scale = scale_of(plan, wide, tall)
    items: list[Item] = side_view(plan, scale, wide) if plan.depth and scale else []
    if scale and plan.length and plan.beam:
        items.append(Item("~hull", "note", (hull(plan, scale),)))
    items += _from_above(plan, placed_spaces(plan, wide, scale), scale, items, wide)
    top = max((item.box.bottom for item in items), default=0.0) + 18
    items += [replace(item, parts=tuple(replace(t, y=round(t.y + top, 1)) for t in item.parts)) for item in listed]
    if not scale and plan.spaces:
        note = block(
            0, top + legend_height, [(("Not to scale: the spaces in the order of the list.", False),)], muted=True
        )
        items.append(Item("~scale", "note", note))
        legend_height += PITCH + 2
    return Laid(tuple(items), wide, round(top + legend_height, 1))


def _from_above(
    plan: Plan, spaces: list[tuple[Space, tuple[Point, ...]]], scale: Scale | None, before: list[Item], wide: float
) -> list[Item]:
    """Spaces with their names, and the dots: in their spaces, or in rows under the plan where there is no room."""
    edge = next((item.parts[0].points for item in before if item.key == "~hull"), ())
    lines = [leg for corners in (edge, *(corners for _, corners in spaces)) for leg in legs(corners)]
    top = min((p.y for leg in lines for p in leg), default=0.0) - 2
    bottom = max((p.y for leg in lines for p in leg), default=0.0)
    items: list[Item] = []
    taken: list[Box] = []
    for space, corners in spaces:
        texts = name_in(space, corners, lines, taken)
        taken += [text.box.grown(4) for text in texts]
        outline = Shape(corners, "line", weight=1.5, faint=True)
        items.append(Item(space.id, "space", (outline, *texts), clean(space.label), space.href))
    outlines = {space.id: corners for space, corners in spaces}
    under = {item.key: max((text.box.bottom for text in item.texts), default=0.0) for item in items}
    page = Box(0, top if plan.depth else 0, wide, bottom)
    for dot in plan.dots:
        home = scale.at(*dot.at) if dot.at and scale else None
        at = placed(dot, home, outlines.get(dot.space), under.get(dot.space, 0.0), taken, lines, page)
        at = at or in_row(dot, taken, wide, bottom)
        taken.append(around(at, *half(dot)))
        name = f"{dot.number}: " + ", ".join(clean(t) for t in (dot.label, dot.place) if clean(t))
        items.append(Item(f"dot {dot.number}", "device", drawn(dot, at), name, dot.href, dot.state, False))
    return items
