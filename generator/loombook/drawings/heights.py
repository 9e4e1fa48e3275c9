"""How high everything stands: each node as far up as what hangs over it allows, neighbours of a level in line."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from loombook.drawings import nodes as node_parts
from loombook.drawings import ties
from loombook.drawings.grid import Grid
from loombook.drawings.model import Branch, Node
from loombook.drawings.order import Lane
from loombook.drawings.stacks import Stack

TRACK = 10
"""Between two level stretches of jogging branches [px]."""
AIR = 5
"""Between what hangs from above and what stands below it [px]."""
BELOW = 4
"""Between a node's line and the first thing under it [px]."""
Lanes = tuple[str, int]


@dataclass(frozen=True)
class Heights:
    """Every height of a sheet [px from the top]."""

    line: dict[str, float]
    """A node's line, or the top of its box."""
    foot: dict[str, float]
    """Where a node's lower lanes begin."""
    start: dict[Lanes, float]
    """Where a lane that begins with a source starts."""
    load: dict[Lanes, float]
    """Where a lane's load stands."""
    jog: dict[Lanes, float]
    """The level stretch of a jogging lane."""
    total: float


class _Skyline:
    """How far down each stretch of the width is taken."""

    def __init__(self) -> None:
        self.taken: list[tuple[float, float, float]] = []

    def put(self, left: float, right: float, bottom: float) -> None:
        """Take the stretch down to the bottom."""
        self.taken.append((left, right, bottom))

    def over(self, left: float, right: float) -> float:
        """The lowest bottom over the stretch."""
        return max((bottom for a, b, bottom in self.taken if a < right and left < b), default=0.0)


def heights(grid: Grid, stacks: dict[Lanes, Stack], in_line: bool) -> Heights:
    """Settle all heights from the top level down.

    Args:
        grid: the columns
        stacks: what hangs in each lane
        in_line: True puts all nodes of a level in one line; False lets each stand as high as it can
    """
    sky = _Skyline()
    out = Heights({}, {}, {}, {}, {}, 0.0)
    named = {node.id: node for node in grid.order.leveled.nodes}
    for level, row in enumerate(grid.order.items):
        nodes = [named[item] for item in row if item in named]
        jogging = [lane for lane in grid.lanes(level - 1) if lane.key in grid.places.jogs]
        tracks = _tracks(grid, jogging)
        channel = _channel(grid, sky, out, stacks, jogging, level, nodes) if jogging else 0.0
        for group in _groups(grid, nodes, whole=in_line or bool(jogging)):
            _settle(grid, sky, out, stacks, group, channel, (max(tracks.values()) + 2) * TRACK if tracks else 0.0)
        for lane in jogging:
            out.jog[lane.key] = round(channel + (tracks[lane.key] + 1) * TRACK, 1)
    total = max((bottom for _, _, bottom in sky.taken), default=0.0)
    return Heights(out.line, out.foot, out.start, out.load, out.jog, round(total, 1))


def _groups(grid: Grid, nodes: list[Node], whole: bool) -> list[list[Node]]:
    """Nodes that share a line: the whole level, or each row of tied nodes."""
    if whole:
        return [nodes] if nodes else []
    tied = {frozenset((tie.upper, tie.lower)) for tie in grid.order.leveled.ties}
    groups: list[list[Node]] = []
    for node in nodes:
        if groups and frozenset((groups[-1][-1].id, node.id)) in tied:
            groups[-1].append(node)
        else:
            groups.append([node])
    return groups


def _between(grid: Grid, group: list[Node]) -> list[tuple[Branch, Node, Node]]:
    """The ties of a group with the nodes on their left and right."""
    ties_of = {frozenset((tie.upper, tie.lower)): tie for tie in grid.order.leveled.ties}
    pairs = zip(group, group[1:], strict=False)
    return [(ties_of[key], a, b) for a, b in pairs if (key := frozenset((a.id, b.id))) in ties_of]


def _settle(
    grid: Grid, sky: _Skyline, out: Heights, stacks: dict[Lanes, Stack], group: list[Node], channel: float, jogs: float
) -> None:
    """Put a group of nodes under all that must stay over it, then hang its lanes.

    Args:
        grid: the columns
        sky: what is taken so far
        out: takes the heights
        stacks: what hangs in each lane
        group: nodes that share a line
        channel: where the zone of level stretches over them begins
        jogs: its height; 0 without one
    """
    pairs = _between(grid, group)
    y = 0.0
    for node in group:
        y = max(y, max(channel + jogs, _needed(grid, sky, out, stacks, node)) + node_parts.strip(grid, node))
    for tie, left, right in pairs:
        y = max(y, sky.over(*ties.region(grid, left, right)) + AIR + ties.above(tie))
    y = round(y, 1)
    for node in group:
        out.line[node.id] = y
        out.foot[node.id] = round(y + node_parts.depth(grid, node), 1)
    for node in group:
        _start(grid, sky, out, stacks, node, channel if jogs else y)
    for node in group:
        _arrived(grid, sky, out, node)
    for tie, left, right in pairs:
        sky.put(*ties.region(grid, left, right), y + ties.below(tie) + AIR / 2)
    for node in group:
        _hang(grid, sky, out, stacks, node)


def _needed(grid: Grid, sky: _Skyline, out: Heights, stacks: dict[Lanes, Stack], node: Node) -> float:
    """The least height of the top of the node's label strip."""
    left, right = grid.span(node)
    bottoms = [sky.over(left - 2, max(right, grid.cell_end(node)) - 1) + AIR]
    for lane in grid.order.above.get(node.id, ()):
        stack = stacks[lane.key]
        if lane.top:
            continue  # what hangs from above is in the skyline already
        bottoms.append(sky.over(*_inside(grid, lane)) + (AIR if lane.band >= 0 else 0) + stack.body)
    return max(bottoms) if grid.order.above.get(node.id) or sky.taken else 0.0


def _inside(grid: Grid, lane: Lane) -> tuple[float, float]:
    """The cell of a lane, a little narrower so that neighbours do not count."""
    left, right = grid.cell(grid.chain_x(lane))
    return left + 1, right - 1


def _start(grid: Grid, sky: _Skyline, out: Heights, stacks: dict[Lanes, Stack], node: Node, ceiling: float) -> None:
    """Sources of one node begin in line and end over the ceiling."""
    y = out.line[node.id] - node_parts.strip(grid, node)
    own = [lane for lane in grid.order.above.get(node.id, ()) if not lane.top]
    tallest = max((stacks[lane.key].body for lane in own), default=0.0)
    for lane in own:
        free = sky.over(*_inside(grid, lane)) + (AIR if lane.band >= 0 and sky.taken else 0)
        out.start[lane.key] = round(max(free, min(y, ceiling) - tallest), 1)


def _arrived(grid: Grid, sky: _Skyline, out: Heights, node: Node) -> None:
    """The node and every line that arrives at it take their place."""
    strip = out.line[node.id] - node_parts.strip(grid, node)
    for lane in grid.order.above.get(node.id, ()):
        x = grid.foot_x(lane)
        sky.put(x - 4, x + 4, out.line[node.id])
        if not lane.top:
            sky.put(*_inside(grid, lane), strip)
    left, right = grid.span(node)
    sky.put(left, max(right, grid.cell_end(node) - 1), out.line[node.id] + 3)


def _hang(grid: Grid, sky: _Skyline, out: Heights, stacks: dict[Lanes, Stack], node: Node) -> None:
    """Lanes that leave a node downwards; its loads stand in line."""
    foot = out.foot[node.id]
    below = grid.order.below.get(node.id, ())
    deepest = max((stacks[lane.key].body for lane in below if not lane.foot), default=0.0)
    for lane in below:
        stack = stacks[lane.key]
        bottom = foot + BELOW + stack.body
        if stack.load:
            out.load[lane.key] = round(foot + BELOW + deepest, 1)
            bottom = out.load[lane.key] + stack.load.height
        sky.put(*_inside(grid, lane), bottom)
    if grid.boxed(node) or grid.changes(node):
        sky.put(*grid.span(node), foot)
        sky.put(grid.cell(grid.span(node)[0])[0], grid.cell_end(node) - 1, foot)


def _channel(
    grid: Grid,
    sky: _Skyline,
    out: Heights,
    stacks: dict[Lanes, Stack],
    jogging: list[Lane],
    level: int,
    nodes: list[Node],
) -> float:
    """Where the zone of level stretches begins: under all that hangs and all sources of the level."""
    top = max((bottom for _, _, bottom in sky.taken), default=0.0)
    for node in nodes:
        for lane in grid.order.above.get(node.id, ()):
            if not lane.top:
                top = max(top, sky.over(*_inside(grid, lane)) + AIR + stacks[lane.key].body)
    return top


def _tracks(grid: Grid, jogging: list[Lane]) -> dict[Lanes, int]:
    """Level stretches packed so that none lies on another."""
    spans = sorted((*sorted((grid.chain_x(lane), grid.foot_x(lane))), lane.key) for lane in jogging)
    ends: list[float] = []
    tracks: dict[Lanes, int] = defaultdict(int)
    for start, end, key in spans:
        track = next((i for i, taken in enumerate(ends) if taken + 4 < start), len(ends))
        ends[track : track + 1] = [end]
        tracks[key] = track
    return tracks
