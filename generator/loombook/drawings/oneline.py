"""A single-line sheet laid out: sources above, bars level, loads below, every line upright or level."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from math import ceil

from loombook.drawings import nodes as node_parts
from loombook.drawings import ties
from loombook.drawings.columns import Columns, columns
from loombook.drawings.geometry import Point
from loombook.drawings.grid import ASIDE, STUB, Grid, Room
from loombook.drawings.heights import BELOW, Heights, heights
from loombook.drawings.labels import WORDS, block, full_name, height, longest, state_width
from loombook.drawings.levels import Leveled, leveled
from loombook.drawings.metrics import SIZE, width
from loombook.drawings.model import Branch, Cable, Element, Form, OneLine, Reference
from loombook.drawings.order import Lane, Ordered, ordered
from loombook.drawings.pen import Pen
from loombook.drawings.scene import Item, Shape, Symbol, Text
from loombook.drawings.stacks import LEAD, TAG, Cell, Stack, face, stack_of
from loombook.drawings.symbols import glyph

TAG_ROOM = "88/H88"
"""The longest text of a reference's tag."""
ONE_WAY = ("charger", "inverter", "converter", "ac converter", "transformer", "diode")
"""Symbols of things through which nothing flows back."""
MOST_TURNS = 5
"""Other orders of the top level that are tried where the given one does not fit."""


@dataclass(frozen=True)
class Laid:
    """The content of a sheet, not yet on paper."""

    items: tuple[Item, ...]
    width: float
    height: float


def orders(sheet: OneLine) -> Iterator[Ordered]:
    """The orders worth trying: as given first, then with the nodes of the top level in other turns."""
    flat = leveled(sheet)
    first = ordered(flat)
    yield first
    seen = {first.items}
    top = [node for node in flat.nodes if not flat.level[node.id]]
    rest = [node for node in flat.nodes if flat.level[node.id]]
    turns = [top[k:] + top[:k] for k in range(1, len(top))] + [list(reversed(top))] if len(top) > 1 else []
    for turn in turns[:MOST_TURNS]:
        other = ordered(replace(flat, nodes=(*turn, *rest)))
        if other.items not in seen:
            seen.add(other.items)
            yield other


def grids(sheet: OneLine, order: Ordered, pitches: tuple[float, ...]) -> list[Grid]:
    """The columns of the sheet at each of these distances between neighbours [px]; only ties make them differ."""
    solved: dict[tuple[int, ...], Columns] = {}
    left, out = _left(sheet), []
    for pitch in pitches:
        needs = {tie.id: ceil(ties.length(tie) / (pitch / 2)) for tie in order.leveled.ties}
        key = tuple(needs.values())
        if key not in solved:
            solved[key] = columns(order, needs.__getitem__)
        out.append(Grid(order, solved[key], Room(pitch, left)))
    return out


def laid(sheet: OneLine, grid: Grid, in_line: bool = True) -> Laid:
    """Lay the sheet out on its columns.

    Args:
        sheet: what to show
        grid: its columns
        in_line: all nodes of a level in one line; False saves height
    """
    lanes = [lane for band in grid.order.bands for lane in grid.lanes(band)]
    stacks = {lane.key: stack_of(lane, grid.room) for lane in lanes}
    high = heights(grid, stacks, in_line)
    pen = Pen(sheet.here, _one_way(grid.order.leveled))
    for lane in lanes:
        _lane(grid, high, pen, lane, stacks[lane.key])
    _ties(grid, high, pen)
    _nodes(grid, high, pen)
    return Laid(pen.items, grid.width, high.total)


def _one_way(leveled: Leveled) -> frozenset[str]:
    """Ids of the branches with a converter in them or a change-over switch at an end, which never feeds back."""
    closed = {node.id for node in leveled.nodes if node.form is Form.CHANGEOVER}
    return frozenset(
        b.id
        for b in leveled.branches + leveled.ties
        if any(isinstance(link, Element) and link.kind in ONE_WAY for link in b.chain) or {b.upper, b.lower} & closed
    )


def least_pitch(sheet: OneLine, room: float) -> float:
    """The least distance between columns at which no word of a label is cut, those of nodes apart [px].

    Args:
        sheet: what to show
        room: width of the paper [px]; a word for which all of it is not enough does not count, unless it tells a state
    """
    whole = (wide for wide in _wants(sheet, longest) if wide <= room)
    return max([*whole, state_pitch(sheet)], default=0.0)


def state_pitch(sheet: OneLine) -> float:
    """The least distance between columns at which no word for a state is cut [px]."""
    nodes = (state_width(node) - Room(0.0, _left(sheet)).cable for node in sheet.nodes if node.state in WORDS)
    return max([*_wants(sheet, state_width), *nodes], default=0.0)


def node_pitch(sheet: OneLine, room: float) -> float:
    """A distance between columns at which no word of a node is cut, whatever arrives there [px]."""
    none = Room(0.0, _left(sheet))
    wants = (longest(node) - (none.boxed if node.form is Form.BOX else none.cable) for node in sheet.nodes)
    return max((wide / (1 - ASIDE) for wide in wants if wide <= room), default=0.0)


def _wants(sheet: OneLine, word: Callable[[Element | Cable | Reference], float]) -> Iterator[float]:
    """For each label the distance between columns at which its word fits: the word, and what a column has beside it."""
    none = Room(0.0, _left(sheet))
    for branch in sheet.branches:
        for end in (branch.upper, branch.lower):
            if isinstance(end, Element | Reference):
                yield word(end) - none.under
        for link in branch.chain:
            yield word(link) - (none.beside(link.kind) if isinstance(link, Element) else none.cable)


def _left(sheet: OneLine) -> float:
    """Room that the widest symbol needs left of its line."""
    kinds = {end.kind for b in sheet.branches for end in (b.upper, b.lower, *b.chain) if isinstance(end, Element)}
    return max([STUB + 2, *(4 - glyph(kind).box.left for kind in kinds)])


def _nodes(grid: Grid, high: Heights, pen: Pen) -> None:
    tied = Counter(end for tie in grid.order.leveled.ties for end in (tie.upper, tie.lower))
    for node in grid.order.leveled.nodes:
        parts = node_parts.drawn(grid, node, high.line[node.id], high.foot[node.id], tied[node.id])
        if parts:
            pen.things.append(
                Item(
                    node.id, "node", tuple(parts), full_name(node), node.href, node.state, node.id == pen.here, node.id
                )
            )


def _ties(grid: Grid, high: Heights, pen: Pen) -> None:
    nodes = {node.id: node for node in grid.order.leveled.nodes}
    for tie in grid.order.leveled.ties:
        row = grid.order.items[grid.order.leveled.level[tie.upper]]
        left, right = sorted((tie.upper, tie.lower), key=row.index)
        ties.draw(grid, pen, tie, nodes[left], nodes[right], high.line[left])


def _lane(grid: Grid, high: Heights, pen: Pen, lane: Lane, stack: Stack) -> None:
    """Draw what stands in the lane, and the line from one thing to the next."""
    branch, x = lane.branch, grid.chain_x(lane)
    if stack.source:
        top = high.start[lane.key]
        _source(grid, pen, branch, stack.source, x, top)
    elif lane.first:
        pen.begin(branch, Point(x, high.foot[lane.top]), lane.top)
        top = high.foot[lane.top] + BELOW
    for cell in stack.chain:
        _link(pen, branch, cell, x, top + cell.down)
    if stack.load:
        _load(grid, pen, branch, stack.load, x, high.load[lane.key])
        return
    if lane.key in grid.places.jogs:
        y = high.jog[lane.key]
        pen.run(branch, Point(x, y), Point(grid.foot_x(lane), y))
    if not lane.foot.startswith("|"):
        pen.end(branch, Point(grid.foot_x(lane), high.line[lane.foot]), lane.foot)


def _link(pen: Pen, branch: Branch, cell: Cell, x: float, top: float) -> None:
    """A device in the line, its label on its right; or a cable's label beside the line."""
    lines, what = list(cell.lines), cell.what
    if isinstance(what, Cable):
        texts = block(x + 7, top + (cell.height - height(lines)) / 2, lines, muted=True)
        pen.cable(branch, what, Point(x, round(top, 1)), texts)
        return
    shape = glyph(what.kind)
    middle = top + cell.height / 2
    symbol = Symbol(what.kind, Point(x, round(middle - shape.end.y / 2, 1)))
    pen.device(branch, what, symbol, block(x + max(0, shape.box.right) + 5, middle - height(lines) / 2, lines))


def _source(grid: Grid, pen: Pen, branch: Branch, cell: Cell, x: float, top: float) -> None:
    """A source: its label on top, its line leaves below."""
    lines, left = list(cell.lines), x - grid.room.left + 3
    foot = round(top + cell.height - LEAD, 1)
    if isinstance(cell.what, Reference):
        outline, text = _tag(left, foot - TAG)
        pen.thing(branch, cell.what, (outline, text, *block(left, foot - TAG - 4 - height(lines), lines)))
        pen.begin(branch, Point(x, foot), cell.what.key)
        return
    shape = glyph(cell.what.kind)
    symbol = Symbol(cell.what.kind, Point(x, round(foot - shape.end.y, 1)))
    texts = block(left, foot - max(face(cell.what.kind), shape.end.y - shape.box.top) - 3 - height(lines), lines)
    pen.thing(branch, cell.what, (symbol, *texts))
    pen.begin(branch, symbol.ports[1], cell.what.id)


def _load(grid: Grid, pen: Pen, branch: Branch, cell: Cell, x: float, row: float) -> None:
    """A load: its line arrives on top, its label stands under it."""
    lines, left = list(cell.lines), x - grid.room.left + 3
    top = Point(x, round(row + LEAD, 1))
    pen.end(branch, top, cell.what.id)
    if isinstance(cell.what, Reference):
        pen.thing(branch, cell.what, (*_tag(left, top.y), *block(left, top.y + TAG + 4, lines)))
        return
    shape = glyph(cell.what.kind)
    pen.thing(
        branch,
        cell.what,
        (Symbol(cell.what.kind, top), *block(left, top.y + max(face(cell.what.kind), shape.box.bottom) + 3, lines)),
    )


def _tag(left: float, top: float) -> tuple[Shape, Text]:
    """The tag of a reference; the set fills in sheet and zone."""
    right, tip = left + width(TAG_ROOM, bold=True) + 18, TAG / 2
    outline = Shape(
        (
            Point(left, top),
            Point(right - tip, top),
            Point(right, top + tip),
            Point(right - tip, top + TAG),
            Point(left, top + TAG),
        )
    )
    return outline, Text(round(left + 6, 1), round(top + TAG / 2 + SIZE * 0.36, 1), TAG_ROOM, bold=True)
