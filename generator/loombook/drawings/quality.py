"""How good a laid-out drawing is: faults that none may have, and figures of pleasantness to watch."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

from loombook.drawings.geometry import Box, Point, box_of, passes_through
from loombook.drawings.scene import Item, Scene, Shape, Symbol, Text, Wire
from loombook.drawings.shelves import Shelves

TOUCH = 0.6
"""Boxes may share so little [px]."""
Leg = tuple[Point, Point]


@dataclass(frozen=True)
class Pleasantness:
    """What makes a sheet easy or hard on the eye."""

    crossings: int
    """Pairs of conductors that cross."""
    bends: int
    """Corners in conductors."""
    fill: float
    """Share of the sheet's area that its items cover."""


def pleasantness(scene: Scene) -> Pleasantness:
    """Count crossings and bends, and measure how full the sheet is."""
    wires = [part for item in scene.items for part in item.parts if isinstance(part, Wire) and any(part.ends)]
    crossings = sum(1 for a, b in combinations(wires, 2) for p in a.legs for q in b.legs if _cross(p, q))
    bends = sum(len(wire.points) - 2 for wire in wires)
    area = sum(item.box.width * item.box.height for item in scene.items if item.role != "frame")
    return Pleasantness(crossings, bends, round(min(area / (scene.width * scene.height), 1.0), 3))


def faults(scene: Scene) -> list[str]:
    """Every overlap, cut, and loose end, in words; empty for a good drawing."""
    return [*_outside(scene), *_texts_on_texts(scene), *_texts_on_lines(scene), *_symbols(scene), *_loose_ends(scene)]


def _outside(scene: Scene) -> Iterator[str]:
    sheet = Box(0, 0, scene.width, scene.height)
    frames = [item for item in scene.items if item.key == "~frame"]
    inner = frames[0].parts[1].box if frames else sheet
    for item in scene.items:
        edge = sheet if item.role == "frame" else inner
        for part in item.parts:
            if not edge.grown(TOUCH).holds(part.box):
                yield f"{item.key}: {_told(part)} leaves the frame"


def _texts(scene: Scene) -> list[tuple[Item, Text]]:
    return [(item, part) for item in scene.items for part in item.parts if isinstance(part, Text)]


def _texts_on_texts(scene: Scene) -> Iterator[str]:
    boxes = [(text.box.grown(-TOUCH), item, text) for item, text in _texts(scene)]
    shelves = Shelves((row[0], (place, row)) for place, row in enumerate(boxes))
    for place, (box, item, text) in enumerate(boxes):
        for later, (other, neighbour, words) in shelves.near(box):
            if later > place and box.meets(other):
                yield f"{item.key}: “{text.text}” lies on “{words.text}” of {neighbour.key}"


def _texts_on_lines(scene: Scene) -> Iterator[str]:
    lines = Shelves((box_of(leg), (item, leg)) for item in scene.items for part in item.parts for leg in _legs(part))
    symbols = Shelves(
        (part.box, (item, part.box)) for item in scene.items for part in item.parts if isinstance(part, Symbol)
    )
    for item, text in _texts(scene):
        box = text.box.grown(-TOUCH)
        for owner, leg in lines.near(box):
            if passes_through(leg, box):
                yield f"{item.key}: “{text.text}” lies on a line of {owner.key}"
        for owner, symbol in symbols.near(box):
            if symbol.meets(box):
                yield f"{item.key}: “{text.text}” lies on the symbol of {owner.key}"


def _symbols(scene: Scene) -> Iterator[str]:
    """Symbols on symbols, and lines that run through a symbol they do not belong to."""
    symbols = [
        (part.box.grown(-TOUCH), item, part)
        for item in scene.items
        for part in item.parts
        if isinstance(part, Symbol) and part.kind not in ("junction", "terminal")
    ]
    shelves = Shelves((row[2].box, (place, row)) for place, row in enumerate(symbols))
    for place, (inner, a, _) in enumerate(symbols):
        for later, (_, b, two) in shelves.near(inner):
            if later > place and inner.meets(two.box):
                yield f"symbols of {a.key} and {b.key} overlap"
    for item in scene.items:
        for wire in item.parts:
            if not isinstance(wire, Wire) or not any(wire.ends):
                continue
            for _, (inner, owner, _) in shelves.near(wire.box):
                if any(passes_through(leg, inner) for leg in wire.legs):
                    yield f"{item.key}: a line runs through the symbol of {owner.key}"


def _loose_ends(scene: Scene) -> Iterator[str]:
    """Ends of conductors that meet nothing of the item they are said to meet."""
    holders: dict[str, list[Item]] = {}
    for item in scene.items:
        holders.setdefault(item.key, []).append(item)
    wires = [part for item in scene.items for part in item.parts if isinstance(part, Wire) and any(part.ends)]
    meeting: dict[tuple[str, Point], int] = {}
    for wire in wires:
        for key, point in zip(wire.ends, (wire.points[0], wire.points[-1]), strict=True):
            meeting[key, point] = meeting.get((key, point), 0) + 1
    for wire in wires:
        for key, point in zip(wire.ends, (wire.points[0], wire.points[-1]), strict=True):
            parts = [part for item in holders.get(key, ()) if item.role != "cable" for part in item.parts]
            if not any(_touches(part, point) for part in parts) and meeting[key, point] < 2:
                yield f"a line of {wire.ends} ends at {point.x:g}, {point.y:g} beside {key}"
        if any(a.x != b.x and a.y != b.y for a, b in wire.legs):
            yield f"a line of {wire.ends} is neither upright nor level"


def _touches(part: object, point: Point) -> bool:
    if isinstance(part, Symbol):
        return point in part.ports or (part.box.grown(0.2).has(point) and not part.box.grown(-0.2).has(point))
    if isinstance(part, Wire | Shape):
        return any(_on(leg, point) for leg in _legs(part))
    return False


def _legs(part: object) -> tuple[Leg, ...]:
    if isinstance(part, Wire):
        return part.legs
    if isinstance(part, Shape):
        return tuple(zip(part.points, part.points[1:] + part.points[:1], strict=True))
    return ()


def _on(leg: Leg, point: Point) -> bool:
    a, b = leg
    return (
        min(a.x, b.x) - 0.2 <= point.x <= max(a.x, b.x) + 0.2 and min(a.y, b.y) - 0.2 <= point.y <= max(a.y, b.y) + 0.2
    )


def _cross(p: Leg, q: Leg) -> bool:
    """True when a level and an upright stretch cross inside both."""
    for level, upright in ((p, q), (q, p)):
        (a, b), (c, d) = level, upright
        if a.y == b.y and c.x == d.x:
            left, right = sorted((a.x, b.x))
            top, foot = sorted((c.y, d.y))
            if left < c.x < right and top < a.y < foot:
                return True
    return False


def _told(part: object) -> str:
    if isinstance(part, Text):
        return f"“{part.text}”"
    return {Wire: "a line", Symbol: "a symbol", Shape: "an outline"}[type(part)]
