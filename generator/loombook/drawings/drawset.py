"""A set of sheets drawn together: each on the paper it needs, references filled in with sheet and zone."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from functools import lru_cache
from math import ceil

from loombook.drawings import front, plan
from loombook.drawings.geometry import Point
from loombook.drawings.grid import Grid
from loombook.drawings.labels import longest
from loombook.drawings.model import DrawingSet, Front, OneLine, Sheet, TitleBlock
from loombook.drawings.nodes import cut
from loombook.drawings.oneline import Laid, grids, laid, least_pitch, node_pitch, orders, state_pitch
from loombook.drawings.paper import A3, A4, Paper, frame, note_lines, placing
from loombook.drawings.packing import moved, packed
from loombook.drawings.quality import faults
from loombook.drawings.scene import Item, Scene, Text
from loombook.drawings.split import ROWS, folded, islands, part, split
from loombook.drawings.svg import written

PITCHES = (150, 142, 136, 130, 124, 118, 112, 106)
"""Distances between columns that are tried, the widest first [px]."""
PACKED = (124, 112, 106, 102)
"""The distances that are tried where parts are packed: each part is laid out again for each [px]."""


@dataclass(frozen=True)
class Placed:
    """A sheet's content on its paper, references still empty."""

    sheet: Sheet
    paper: Paper
    high: float
    items: tuple[Item, ...]


def draw(drawings: DrawingSet) -> dict[str, str]:
    """All sheets as SVG text under their names; a sheet cut into several comes as `name`, `name.2` and so on.

    Raises:
        ValueError: a reference has not exactly one counterpart
    """
    return {scene.name: written(scene) for scene in scenes(drawings)}


def scenes(drawings: DrawingSet) -> list[Scene]:
    """All sheets laid out, numbered, framed and with their references filled in.

    Raises:
        ValueError: a reference has not exactly one counterpart
    """
    placed = [piece for sheet in drawings.sheets for piece in pieces(sheet)]
    spots: dict[str, list[tuple[int, str]]] = defaultdict(list)
    for number, sheet in enumerate(placed, 1):
        for item in sheet.items:
            if item.role == "reference":
                box = item.parts[0].box
                zone = sheet.paper.zone(Point((box.left + box.right) / 2, (box.top + box.bottom) / 2))
                spots[item.key].append((number, zone))
    if single := sorted(key for key, found in spots.items() if len(found) != 2):
        raise ValueError(f"references without exactly one counterpart: {', '.join(single)}")
    return [_finished(sheet, number, len(placed), drawings.block, spots) for number, sheet in enumerate(placed, 1)]


def _finished(
    sheet: Placed, number: int, count: int, block: TitleBlock, spots: dict[str, list[tuple[int, str]]]
) -> Scene:
    """The sheet in its frame."""
    items, seen = [], set()
    for item in sheet.items:
        if item.role == "reference":
            first, second = spots[item.key]
            other = second if first[0] == number and item.key not in seen else first
            seen.add(item.key)
            item = _filled(item, f"{other[0]}/{other[1]}")
        items.append(item)
    notes = sheet.sheet.notes if isinstance(sheet.sheet, OneLine) else ()
    around = frame(sheet.paper, sheet.high, sheet.sheet.title, f"{number} of {count}", block, notes)
    zones = tuple((key, f"{n}/{zone}") for key, found in sorted(spots.items()) for n, zone in found if n == number)
    return Scene(
        sheet.sheet.name,
        sheet.sheet.title,
        sheet.sheet.about,
        sheet.paper.wide,
        sheet.high,
        (*around, *items),
        sheet.paper.name,
        zones,
    )


def _filled(item: Item, text: str) -> Item:
    """The reference with the other end's sheet and zone in its tag."""
    place = next(i for i, part in enumerate(item.parts) if isinstance(part, Text))
    parts = list(item.parts)
    parts[place] = replace(parts[place], text=text)
    name = f"{item.name}: sheet and zone {text}" if item.name else f"sheet and zone {text}"
    return replace(item, parts=tuple(parts), name=name)


@lru_cache(maxsize=1024)
def pieces(sheet: Sheet) -> tuple[Placed, ...]:
    """The sheet, in as many pieces as it needs, each on its paper."""
    if isinstance(sheet, OneLine):
        for said in (sheet, *sheet.denser):
            if (whole := fitted(_nameless(said))) and (not sheet.denser or not _faults(whole)):
                said = replace(said, denser=())
                return ((_on_small_paper(said) if whole.paper is A3 else None) or replace(whole, sheet=said),)
        sheet = replace(sheet.denser[-1] if sheet.denser else sheet, denser=())
        first, *further = split(sheet, lambda piece: fitted(_nameless(piece)) is not None)
        cut = (first, *(replace(piece, notes=()) for piece in further))  # notes are said once
        return tuple(replace(_at_last(_nameless(piece)), sheet=piece) for piece in cut)
    module = front if isinstance(sheet, Front) else plan
    return tuple(
        Placed(piece, paper, where.high, tuple(moved(item, *where.shift) for item in content.items))
        for piece, paper, content in module.laid(sheet)
        for where in (placing(paper, content.width, content.height, 0),)
    )


def _on_small_paper(sheet: OneLine) -> Placed | None:
    """A bar whose row of feeders asks for the large paper, in rows on the small one, which every printer has."""
    for rows in range(2, ROWS + 1):
        if rowed := folded(sheet, rows):
            placed = fitted(_nameless(rowed))
            if placed and placed.paper is A4:
                return replace(placed, sheet=rowed)
    return None


def _at_last(sheet: OneLine) -> Placed:
    """A piece that cannot be cut any further: with its words whole if the paper holds it so, else with long ones cut."""
    return fitted(sheet) or fitted(sheet, whole=False) or _oversize(sheet)


def _faults(placed: Placed) -> list[str]:
    """What lies on one another, for a sheet that can be said in another way if anything does."""
    return faults(Scene("", "", "", placed.paper.wide, placed.high, placed.items))


def _nameless(sheet: OneLine) -> OneLine:
    """The sheet without what does not touch its layout, so that a piece is laid out once however it is called."""
    return replace(sheet, name="", title="", about="", denser=())


@lru_cache(maxsize=1024)
def fitted(sheet: OneLine, whole: bool = True) -> Placed | None:
    """The sheet on the smallest paper that holds it, at the widest pitch; None if none does.

    Args:
        sheet: what to show
        whole: no word of a label is cut
    """
    pitches = _pitches(sheet, whole)
    tried = [_sound(grids(sheet, order, pitches), whole) for order in orders(sheet)]
    for paper, in_line in ((A4, True), (A4, False), (A3, True), (A3, False)):
        notes = len(note_lines(sheet.notes, paper))
        for choice in tried:
            grid = next((grid for grid in choice if grid.width <= paper.room), None)
            if grid is None:
                continue
            content = laid(sheet, grid, in_line)
            if content.height <= paper.height_for(notes):
                return _on(sheet, paper, content, notes)
    return _side_by_side(sheet, whole)


def _side_by_side(sheet: OneLine, whole: bool) -> Placed | None:
    """The parts of the sheet that hang together, each laid out by itself, packed on the largest paper."""
    parts = [part(sheet, members) for members in islands(sheet)]
    if len(parts) < 2:
        return None
    notes = len(note_lines(sheet.notes, A3))
    high = A3.height_for(notes)
    for pitch in PACKED:
        ways = [_ways(one, pitch, high, whole) for one in parts]
        if all(ways):
            largest = max(range(len(parts)), key=lambda n: ways[n][0].width * ways[n][0].height)
            for way in ways[largest]:
                content = packed([way if n == largest else ways[n][0] for n in range(len(parts))], A3.room, high)
                if content:
                    return _on(sheet, A3, content, notes)
    return None


def _ways(sheet: OneLine, pitch: float, high: float, whole: bool) -> list[Laid]:
    """Ways to lay a part out that the largest paper holds, the smallest first; wider where a word asks for it."""
    found = []
    least = max(pitch, _least(sheet, whole))
    pitches = tuple(sorted(wide for wide in {pitch, *_pitches(sheet, whole)} if wide >= least))
    for order in orders(sheet):
        choice = _sound(grids(sheet, order, pitches), whole)
        if choice and choice[0].width <= A3.room:
            content = laid(sheet, choice[0], False)
            if content.height <= high:
                found.append(content)
    return sorted(found, key=lambda way: way.width * way.height)


def _pitches(sheet: OneLine, whole: bool) -> tuple[float, ...]:
    """The distances between columns that leave the words whole, and last one for a node's long word."""
    least, node = _least(sheet, whole), node_pitch(sheet, A3.room) if whole else 0.0
    usual = tuple(pitch for pitch in PITCHES if pitch >= least) or (ceil(least),)
    return (*usual, ceil(node)) if node > usual[0] else usual


def _least(sheet: OneLine, whole: bool) -> float:
    return least_pitch(sheet, A3.room) if whole else state_pitch(sheet)


def _sound(choice: list[Grid], whole: bool) -> list[Grid]:
    """The columns on which no word of a node has to be cut; a word wider than the paper does not count."""
    return [
        grid
        for grid in choice
        if not whole or not any(cut(grid, node) for node in grid.order.leveled.nodes if longest(node) <= A3.room)
    ]


def _oversize(sheet: OneLine) -> Placed:
    """What cannot be cut any further, on paper as large as it takes."""
    (grid,) = grids(sheet, next(orders(sheet)), _pitches(sheet, False)[:1])
    content = laid(sheet, grid, False)
    notes = len(note_lines(sheet.notes, A3))
    paper = Paper(
        "A3", max(A3.wide, content.width + A3.wide - A3.room), content.height + A3.high - A3.height_for(notes)
    )
    return _on(sheet, paper, content, notes)


def _on(sheet: OneLine, paper: Paper, content: Laid, notes: int) -> Placed:
    where = placing(paper, content.width, content.height, notes)
    return Placed(sheet, paper, where.high, tuple(moved(item, *where.shift) for item in content.items))
