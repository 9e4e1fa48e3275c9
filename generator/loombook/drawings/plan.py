"""The location plan: the boat from above and from the side, bow to the right, with numbered dots and the list of them."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import replace

from loombook.drawings.callouts import called_out, tall
from loombook.drawings.geometry import Box, Point
from loombook.drawings.labels import block
from loombook.drawings.metrics import PITCH, clean
from loombook.drawings.model import Dot, Plan, Space
from loombook.drawings.oneline import Laid
from loombook.drawings.outlines import Corners, inside, legs, name_in
from loombook.drawings.paper import A3, A4, Paper
from loombook.drawings.plandots import AIR, ROW, around, drawn, half, in_row, placed
from loombook.drawings.planlist import legend
from loombook.drawings.planside import side_view
from loombook.drawings.planviews import Scale, hull, loose_height, placed_spaces, scale_of
from loombook.drawings.scene import Item, Shape

LEAST = 0.6
"""Part of the smaller paper's width that the hull must take there; else the larger paper is taken."""


def laid(plan: Plan) -> list[tuple[Plan, Paper, Laid]]:
    """The plan on the paper it needs; with too many dots for one sheet, on several, each with its share of them."""
    for paper in (A4, A3):
        if paper is A3 or _is_wide(plan, paper):
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


def _is_wide(plan: Plan, paper: Paper) -> bool:
    """Whether the hull is long enough on the paper to find things in it; without a hull there is nothing to be small."""
    scale = _scale(plan, paper.room, paper.height_for(0), 0.0)
    return not (scale and plan.length and plan.beam) or scale.factor * plan.length >= LEAST * paper.room


def _scale(plan: Plan, wide: float, high: float, band: float) -> Scale | None:
    """The scale at which both views stand over the list."""
    _, legend_height = legend(plan, wide)
    return scale_of(plan, wide, high - legend_height - max(ROW, band) - 20 - loose_height(plan, wide))


def _content(plan: Plan, wide: float, high: float) -> Laid:
    """The plan with its list; with room under the hull for names and dots that find none elsewhere."""
    content = _with_band(plan, wide, high, 0.0)
    dots, names = _homeless(plan, content), _nameless(content)
    if not plan.length or not dots and not names:
        return content
    return _with_band(plan, wide, high, tall(True, max(Counter(dots).values(), default=0)) + 2 * AIR + 12)


def _homeless(plan: Plan, content: Laid) -> list[str]:
    """The space of each dot that stands in no space."""
    spaces = [item.parts[0].points for item in content.items if item.role == "space"]
    boxes = {item.key: item.box for item in content.items}
    middles = [(dot.space, _middle(boxes[f"dot {dot.number}"])) for dot in plan.dots]
    return [space for space, middle in middles if not any(inside(middle, corners) for corners in spaces)]


def _nameless(content: Laid) -> list[str]:
    """Spaces, seen from above, whose name stands neither in them nor beside the hull."""
    told = {item.key.removeprefix("callout ") for item in content.items if item.key.startswith("callout ")}
    spaces = (item for item in content.items if item.role == "space" and not item.key.startswith("side "))
    return [item.key for item in spaces if item.name and not item.texts and item.key not in told]


def _middle(box: Box) -> Point:
    return Point((box.left + box.right) / 2, (box.top + box.bottom) / 2)


def _with_band(plan: Plan, wide: float, high: float, band: float) -> Laid:
    listed, legend_height = legend(plan, wide)
    scale = _scale(plan, wide, high, band)
    items: list[Item] = side_view(plan, scale, wide) if plan.depth and scale else []
    if scale and plan.length and plan.beam:
        items.append(Item("~hull", "note", (hull(plan, scale),)))
    items += _from_above(plan, placed_spaces(plan, wide, scale, band), scale, items, wide, band)
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
    plan: Plan, spaces: list[tuple[Space, Corners]], scale: Scale | None, before: list[Item], wide: float, band: float
) -> list[Item]:
    """Spaces with their names, and the dots: in their spaces, beside the hull with a line to the space, or in rows."""
    edge = next((item.parts[0].points for item in before if item.key == "~hull"), ())
    lines = [leg for corners in (edge, *(corners for _, corners in spaces)) for leg in legs(corners)]
    top = min((p.y for leg in lines for p in leg), default=0.0) - 2
    bottom = max((p.y for leg in lines for p in leg), default=0.0)
    taken: list[Box] = []
    names = {}
    for space, corners in spaces:
        names[space.id] = name_in(space, corners, lines, taken)
        taken += [text.box.grown(4) for text in names[space.id]]
    page = Box(0, top if plan.depth else 0, wide, max([bottom, *(p.y + band for p in edge)]))
    at: dict[str, Point] = {}
    homeless: dict[str, list[Dot]] = defaultdict(list)
    outlines = {space.id: corners for space, corners in spaces}
    for dot in plan.dots:
        home = scale.at(*dot.at) if dot.at and scale else None
        under = max((text.box.bottom for text in names.get(dot.space, ())), default=0.0)
        if spot := placed(dot, home, outlines.get(dot.space), under, taken, lines, page):
            at[dot.number] = spot
            taken.append(around(spot, *half(dot)))
        else:
            homeless[dot.space].append(dot)
    corners_of_all = [corners for corners in (edge, *outlines.values()) if corners]
    items: list[Item] = []
    callouts: list[Item] = []
    for space, corners in spaces:
        left = homeless[space.id]
        name = "" if names[space.id] else clean(space.label)
        callout = called_out(name, left, corners, corners_of_all, taken, lines, page) if name or left else None
        if callout:
            at |= {dot.number: spot for dot, spot in callout.dots}
            taken.append(callout.box)
            lines += callout.leader.legs
            callouts.append(Item(f"callout {space.id}", "note", callout.parts))
        outline = Shape(corners, "line", weight=1.5, faint=True)
        items.append(Item(space.id, "space", (outline, *names[space.id]), clean(space.label), space.href))
    items += callouts
    for dot in plan.dots:
        if dot.number not in at:
            at[dot.number] = in_row(dot, taken, wide, bottom)
            taken.append(around(at[dot.number], *half(dot)))
        name = f"{dot.number}: " + ", ".join(clean(t) for t in (dot.label, dot.place) if clean(t))
        items.append(Item(f"dot {dot.number}", "device", drawn(dot, at[dot.number]), name, dot.href, dot.state, False))
    return items
