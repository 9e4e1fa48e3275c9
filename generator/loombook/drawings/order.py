"""Who stands left of whom: the order of nodes on each level and of branches at each node, with few crossings."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from loombook.drawings.levels import Leveled
from loombook.drawings.model import Branch

SWEEPS = 6
"""Passes down and up before the exchange of neighbours; more change nothing on the vessels tried."""


Links = dict[int, list[tuple[str, str, int]]]
"""Band → its lanes between two levels: upper item, lower item, and the lane's seat where that may not change."""


@dataclass(frozen=True)
class Lane:
    """The stretch of one branch between two neighbouring levels."""

    branch: Branch
    band: int
    """The level it hangs from; -1 over the top level."""
    top: str = ""
    """The node it hangs from, or the passing branch; empty: it begins here with a source."""
    foot: str = ""
    """The node it ends on, or the passing branch; empty: it ends here with a load."""
    first: bool = True
    """True where the chain is drawn; false where a long branch only passes."""

    @property
    def key(self) -> tuple[str, int]:
        """Unique."""
        return self.branch.id, self.band


@dataclass(frozen=True)
class Ordered:
    """The sheet with every order decided."""

    leveled: Leveled
    items: tuple[tuple[str, ...], ...]
    """On each level, from the left: node ids, and `|level|id` where a branch passes."""
    above: dict[str, tuple[Lane, ...]]
    """Lanes that come to an item from above, from the left."""
    below: dict[str, tuple[Lane, ...]]
    """Lanes that leave an item downwards, from the left."""

    @property
    def bands(self) -> range:
        """The bands from the one over the top level to the one under the lowest."""
        return range(-1, len(self.items))


def ordered(sheet: Leveled) -> Ordered:
    """Orders found by barycentres swept down and up, then by exchanging neighbours while crossings fall."""
    lanes = _lanes(sheet)
    links: Links = defaultdict(list)
    sacred = {node.id for node in sheet.nodes if node.ordered}
    for seat, lane in enumerate(lanes):
        if lane.top and lane.foot:
            links[lane.band].append((lane.top, lane.foot, seat if lane.top in sacred else 0))
    rows = _first_rows(sheet, lanes)
    blocks = _Blocks(sheet)
    best, fewest = rows, _crossings(rows, links)
    for sweep in range(SWEEPS):
        rows = _swept(rows, links, blocks, down=sweep % 2 == 0)
        crossings = _crossings(rows, links)
        if crossings < fewest or (crossings == fewest and sweep == 0):
            best, fewest = rows, crossings
    best = _exchanged(best, links, blocks) if fewest else best
    above, below = _ports(sheet, lanes, best)
    return Ordered(sheet, tuple(tuple(row) for row in best), above, below)


def _lanes(sheet: Leveled) -> list[Lane]:
    lanes = []
    for b in sheet.branches:
        upper = sheet.level[b.upper] if isinstance(b.upper, str) else None
        lower = sheet.level[b.lower] if isinstance(b.lower, str) else None
        if upper is None:
            lanes.append(Lane(b, lower - 1, "", b.lower))
        elif lower is None:
            lanes.append(Lane(b, upper, b.upper, ""))
        else:
            for band in range(upper, lower):
                top = b.upper if band == upper else f"|{band}|{b.id}"
                foot = b.lower if band == lower - 1 else f"|{band + 1}|{b.id}"
                lanes.append(Lane(b, band, top, foot, band == upper))
    return lanes


class _Blocks:
    """Rows of tied nodes move as one, in the order of their ties."""

    def __init__(self, sheet: Leveled):
        beside: dict[str, list[str]] = defaultdict(list)
        for tie in sheet.ties:
            beside[tie.upper].append(tie.lower)
            beside[tie.lower].append(tie.upper)
        self.row: dict[str, tuple[str, ...]] = {}
        for node in (n.id for n in sheet.nodes):
            if node in self.row or len(beside[node]) != 1:
                continue
            row = [node]
            while following := [n for n in beside[row[-1]] if n not in row]:
                row.append(following[0])
            self.row.update(dict.fromkeys(row, tuple(row)))

    def of(self, row: list[str]) -> list[tuple[str, ...]]:
        """The row cut into blocks."""
        out, seen = [], set()
        for item in row:
            if item not in seen:
                block = self.row.get(item, (item,))
                seen.update(block)
                out.append(tuple(sorted(block, key=row.index)) if _runs(block, row) else block)
        return out


def _runs(block: tuple[str, ...], row: list[str]) -> bool:
    """True when the block's members stand in the order of their ties, in either direction."""
    places = [row.index(item) for item in block]
    return places in (sorted(places), sorted(places, reverse=True))


def _first_rows(sheet: Leveled, lanes: list[Lane]) -> list[list[str]]:
    """Each level in the order in which the lanes from above arrive; the rest as given."""
    depth = max(sheet.level.values(), default=-1) + 1
    rows: list[list[str]] = [[] for _ in range(depth)]
    below: dict[str, list[str]] = defaultdict(list)
    for lane in lanes:
        if lane.top and lane.foot:
            below[lane.top].append(lane.foot)
    for k in range(depth):
        arrivals = [foot for item in rows[k - 1] for foot in below[item]] if k else []
        own = [node.id for node in sheet.nodes if sheet.level[node.id] == k]
        given = {node: place for place, node in enumerate(own)}
        arrived = list(dict.fromkeys(arrivals))
        for node in own:  # what nothing above feeds goes in at its given place among those that are fed
            if node not in arrived:
                place = next((i for i, other in enumerate(arrived) if given.get(other, -1) > given[node]), len(arrived))
                arrived.insert(place, node)
        rows[k] = arrived
    blocks = _Blocks(sheet)
    return [[item for block in blocks.of(row) for item in block] for row in rows]


def _swept(rows: list[list[str]], links: Links, blocks: _Blocks, down: bool) -> list[list[str]]:
    """Each level sorted by where its neighbours on the level before it stand."""
    rows = [list(row) for row in rows]
    levels = range(1, len(rows)) if down else range(len(rows) - 2, -1, -1)
    for k in levels:
        other = {item: place for place, item in enumerate(rows[k - 1] if down else rows[k + 1])}
        wants: dict[str, list[int]] = defaultdict(list)
        for top, foot, _ in links[k - 1 if down else k]:
            mine, theirs = (foot, top) if down else (top, foot)
            wants[mine].append(other[theirs])
        rows[k] = _sorted(rows[k], wants, blocks)
    return rows


def _sorted(row: list[str], wants: dict[str, list[int]], blocks: _Blocks) -> list[str]:
    """Blocks with a wish sorted by it; blocks without keep their places."""
    parts = blocks.of(row)
    mean: dict[tuple[str, ...], float] = {}
    turned = []
    for block in parts:
        places = [p for item in block for p in wants[item]]
        means = [sum(wants[i]) / len(wants[i]) for i in block if wants[i]]
        block = tuple(reversed(block)) if means != sorted(means) and means == sorted(means, reverse=True) else block
        turned.append(block)
        if places:
            mean[block] = sum(places) / len(places)
    queue = iter(sorted((b for b in turned if b in mean), key=lambda b: mean[b]))
    return [item for block in turned for item in (next(queue) if block in mean else block)]


def _crossings(rows: list[list[str]], links: Links) -> int:
    """How many pairs of lanes cross between the levels."""
    return sum(_band_crossings(rows, links, band) for band in range(len(rows) - 1))


def _band_crossings(rows: list[list[str]], links: Links, band: int) -> int:
    if not 0 <= band < len(rows) - 1:
        return 0
    top = {item: place for place, item in enumerate(rows[band])}
    foot = {item: place for place, item in enumerate(rows[band + 1])}
    pairs = sorted((top[a], seat, foot[b]) for a, b, seat in links[band])
    return sum(1 for i, (a, s, b) in enumerate(pairs) for c, t, d in pairs[i + 1 :] if (a, s) < (c, t) and b > d)


def _exchanged(rows: list[list[str]], links: Links, blocks: _Blocks) -> list[list[str]]:
    """Neighbouring blocks exchanged, and rows of ties turned, wherever that takes crossings away."""
    rows = [list(row) for row in rows]
    for _ in range(10):
        better = False
        for k in range(len(rows)):
            parts = blocks.of(rows[k])
            trials = [parts[:i] + [parts[i + 1], parts[i]] + parts[i + 2 :] for i in range(len(parts) - 1)]
            trials += [parts[:i] + [tuple(reversed(p))] + parts[i + 1 :] for i, p in enumerate(parts) if len(p) > 1]
            for trial in trials:
                row = [item for block in trial for item in block]
                tried = [*rows[:k], row, *rows[k + 1 :]]
                now = _band_crossings(rows, links, k - 1) + _band_crossings(rows, links, k)
                then = _band_crossings(tried, links, k - 1) + _band_crossings(tried, links, k)
                if then < now:
                    rows, better = tried, True
                    break
        if not better:
            break
    return rows


def _ports(
    sheet: Leveled, lanes: list[Lane], rows: list[list[str]]
) -> tuple[dict[str, tuple[Lane, ...]], dict[str, tuple[Lane, ...]]]:
    """Lanes at each item from the left: as given, but lanes to other nodes sorted by where those stand."""
    place = {item: position for row in rows for position, item in enumerate(row)}
    sacred = {node.id for node in sheet.nodes if node.ordered}
    above: dict[str, list[Lane]] = defaultdict(list)
    below: dict[str, list[Lane]] = defaultdict(list)
    for lane in lanes:
        if lane.foot:
            above[lane.foot].append(lane)
        if lane.top:
            below[lane.top].append(lane)
    up = {item: _by_place(group, lambda lane: place[lane.top] if lane.top else None) for item, group in above.items()}
    down = {item: tuple(group) if item in sacred else _outward(item, group, up, place) for item, group in below.items()}
    return up, down


def _outward(item: str, lanes: list[Lane], up: dict[str, tuple[Lane, ...]], place: dict[str, int]) -> tuple[Lane, ...]:
    """Lanes to other nodes on the two sides, loads between them; right goes what is fed from farther right as well."""

    def right(lane: Lane) -> bool:
        others = [place[other.top] for other in up[lane.foot] if other.top and other.top != item]
        return bool(others) and sum(others) / len(others) > place[item]

    onward = sorted((lane for lane in lanes if lane.foot), key=lambda lane: place[lane.foot])
    turn = next((i for i, lane in enumerate(onward) if right(lane)), len(onward))
    return (*onward[:turn], *(lane for lane in lanes if not lane.foot), *onward[turn:])


def _by_place(lanes: list[Lane], place) -> tuple[Lane, ...]:
    """The lanes with a place sorted among their own seats; the others stay in theirs."""
    queue = iter(sorted((lane for lane in lanes if place(lane) is not None), key=place))
    return tuple(next(queue) if place(lane) is not None else lane for lane in lanes)
