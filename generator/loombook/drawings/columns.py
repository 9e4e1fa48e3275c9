"""Where each lane runs: columns on a grid of half pitches, as few as the orders allow, branches mostly straight."""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass

from loombook.drawings.model import Form
from loombook.drawings.order import Lane, Ordered

APART = 2
"""Half pitches between neighbouring columns."""
Key = tuple[str, int, str]
"""A column: branch, band, and 'chain' or 'foot'; a foot of its own only where a lane must jog."""


@dataclass(frozen=True)
class Columns:
    """The column of every lane, in half pitches from the left."""

    chain: dict[tuple[str, int], int]
    """Lane → column in which it hangs."""
    foot: dict[tuple[str, int], int]
    """Lane → column in which it arrives below; the same unless it jogs."""
    jogs: frozenset[tuple[str, int]]
    """Lanes that jog."""
    lone: dict[str, int]
    """Column of a node that has no branches."""
    count: int
    """The last column used."""


def columns(sheet: Ordered, tie_length: Callable[[str], int]) -> Columns:
    """Solve x_b ≥ x_a + d for all neighbours, then centre what hangs loose.

    Args:
        sheet: the sheet with its orders
        tie_length: half pitches that the tie between a node and its right neighbour needs, by the tie's id
    Returns:
        the columns
    """
    name: dict[tuple[str, int, str], Key] = {}
    rules: dict[tuple[Key, Key], int] = {}
    chains, feet, jogs = {}, {}, set()
    for band in sheet.bands:
        tops, bottoms = _tops(sheet, band), _bottoms(sheet, band)
        straight = _straight(tops, bottoms)
        chains[band] = _with_sources(tops, bottoms, straight)
        feet[band] = bottoms
        jogs |= {lane.key for lane in bottoms if lane.top and lane.key not in straight}
    for band in sheet.bands:
        for lane in chains[band]:
            passes = lane.top.startswith("|")
            above = (lane.branch.id, band - 1)
            name[(*lane.key, "chain")] = name[(*above, "foot")] if passes else (*lane.key, "chain")
            name[(*lane.key, "foot")] = (*lane.key, "foot") if lane.key in jogs else name[(*lane.key, "chain")]

    def rule(a: Key, b: Key, apart: int) -> None:
        rules[a, b] = max(rules.get((a, b), 0), apart)

    for band in sheet.bands:
        for row, part in ((chains[band], "chain"), (feet[band], "foot")):
            for a, b in zip(row, row[1:], strict=False):
                rule(name[(*a.key, part)], name[(*b.key, part)], APART)
    lone = {
        item: (item, -9, "chain")
        for row in sheet.items
        for item in row
        if not sheet.above.get(item) and not sheet.below.get(item)
    }
    _level_rules(sheet, name, lone, tie_length, rule)
    for band in range(len(sheet.items)):
        _source_rules(sheet, chains[band], name, rule)
    places = _compacted(sorted(set(name.values()) | set(lone.values())), rules)
    _centred(sheet, name, rules, places)
    shift = min(places.values(), default=0)
    places = {key: place - shift for key, place in places.items()}
    return Columns(
        {key[:2]: places[name[key]] for key in name if key[2] == "chain"},
        {key[:2]: places[name[key]] for key in name if key[2] == "foot"},
        frozenset(jogs),
        {item: places[key] for item, key in lone.items()},
        max(places.values(), default=0),
    )


def _tops(sheet: Ordered, band: int) -> list[Lane]:
    """Lanes that hang from the level over the band, from the left."""
    return [lane for item in sheet.items[band] for lane in sheet.below.get(item, ())] if band >= 0 else []


def _bottoms(sheet: Ordered, band: int) -> list[Lane]:
    """Lanes that arrive on the level under the band, from the left."""
    if band + 1 >= len(sheet.items):
        return []
    return [lane for item in sheet.items[band + 1] for lane in sheet.above.get(item, ())]


def _straight(tops: list[Lane], bottoms: list[Lane]) -> set[tuple[str, int]]:
    """The longest set of lanes that keep their order from top to bottom; the others will jog."""
    place = {lane.key: i for i, lane in enumerate(tops)}
    through = [lane.key for lane in bottoms if lane.top]
    tails: list[int] = []
    ends: list[tuple[str, int]] = []
    before: dict[tuple[str, int], tuple[str, int] | None] = {}
    for key in through:
        at = bisect_left(tails, place[key])
        before[key] = ends[at - 1] if at else None
        if at == len(tails):
            tails.append(place[key])
            ends.append(key)
        else:
            tails[at], ends[at] = place[key], key
    found: set[tuple[str, int]] = set()
    key = ends[-1] if ends else None
    while key is not None:
        found.add(key)
        key = before[key]
    return found


def _with_sources(tops: list[Lane], bottoms: list[Lane], straight: set[tuple[str, int]]) -> list[Lane]:
    """The lanes of the band from the left, sources put in beside a straight lane of the same node."""
    row = list(tops)
    fixed = [lane for lane in bottoms if not lane.top or lane.key in straight]
    for i, lane in enumerate(fixed):
        if lane.top:
            continue
        left = next((other for other in reversed(fixed[:i]) if other in row), None)
        right = next((other for other in fixed[i + 1 :] if other.top), None)
        own_right = right is not None and right.foot == lane.foot
        if left is not None and (left.foot == lane.foot or not own_right):
            row.insert(row.index(left) + 1, lane)
        elif right is not None:
            row.insert(row.index(right), lane)
        else:
            row.append(lane)
    return row


def _level_rules(
    sheet: Ordered,
    name: dict,
    lone: dict[str, Key],
    tie_length: Callable[[str], int],
    rule: Callable[[Key, Key, int], None],
) -> None:
    """All columns of an item lie left of all columns of the next one on its level."""
    ties = {frozenset((tie.upper, tie.lower)): tie.id for tie in sheet.leveled.ties}
    form = {node.id: node.form for node in sheet.leveled.nodes}
    for row in sheet.items:
        sides = []
        for item in row:
            above = [name[(*lane.key, "foot")] for lane in sheet.above.get(item, ())]
            below = [name[(*lane.key, "chain")] for lane in sheet.below.get(item, ())]
            if form.get(item) is Form.CHANGEOVER:
                _middle(above, below, rule)
            sides.append([s for s in (above, below, [lone[item]] if item in lone else []) if s])
        for (a, left), (b, right) in zip(
            zip(row, sides, strict=True), list(zip(row, sides, strict=True))[1:], strict=False
        ):
            tie = ties.get(frozenset((a, b)))
            apart = APART + (tie_length(tie) if tie else 0)
            for one in left:
                for other in right:
                    if one[-1] != other[0]:
                        rule(one[-1], other[0], apart)


def _source_rules(sheet: Ordered, row: list[Lane], name: dict, rule: Callable[[Key, Key, int], None]) -> None:
    """A source that hangs between two nodes of the level above keeps clear of both, so that it can rise beside them."""
    for i, lane in enumerate(row):
        if lane.top:
            continue
        left = next((other.top for other in reversed(row[:i]) if other.top), None)
        right = next((other.top for other in row[i + 1 :] if other.top), None)
        if left == right:
            continue
        own = name[(*lane.key, "chain")]
        if left:
            rule_from = [name[(*other.key, "foot")] for other in sheet.above.get(left, ())]
            rule_from += [name[(*other.key, "chain")] for other in sheet.below.get(left, ())]
            for key in rule_from:
                rule(key, own, APART)
        if right:
            rule_to = [name[(*other.key, "foot")] for other in sheet.above.get(right, ())]
            rule_to += [name[(*other.key, "chain")] for other in sheet.below.get(right, ())]
            for key in rule_to:
                rule(own, key, APART)


def _middle(above: list[Key], below: list[Key], rule: Callable[[Key, Key, int], None]) -> None:
    """A change-over's common line runs between its two others."""
    two, one = (above, below) if len(above) == 2 else (below, above)
    if len(two) == 2 and len(one) == 1:
        rule(two[0], one[0], 1)
        rule(one[0], two[1], 1)


def _compacted(keys: list[Key], rules: dict[tuple[Key, Key], int]) -> dict[Key, int]:
    """The leftmost places that keep all rules.

    Raises:
        ValueError: the rules contradict one another (a fault of this module)
    """
    after: dict[Key, list[tuple[Key, int]]] = defaultdict(list)
    waiting = dict.fromkeys(keys, 0)
    for (a, b), apart in rules.items():
        after[a].append((b, apart))
        waiting[b] += 1
    ready = [key for key in keys if not waiting[key]]
    places = dict.fromkeys(keys, 0)
    done = 0
    while ready:
        key = ready.pop()
        done += 1
        for other, apart in after[key]:
            places[other] = max(places[other], places[key] + apart)
            waiting[other] -= 1
            if not waiting[other]:
                ready.append(other)
    if done != len(keys):
        raise ValueError("columns: the orders contradict one another")
    return places


def _centred(sheet: Ordered, name: dict, rules: dict[tuple[Key, Key], int], places: dict[Key, int]) -> None:
    """Shift groups to the right where they have room: a node's upper lanes over the middle of its lower ones."""
    before: dict[Key, list[tuple[Key, int]]] = defaultdict(list)
    after: dict[Key, list[tuple[Key, int]]] = defaultdict(list)
    for (a, b), apart in rules.items():
        after[a].append((b, apart))
        before[b].append((a, apart))

    def shift(group: set[Key], by: int) -> int:
        """Move the group by so much, or by as much as there is room for."""
        if by > 0:
            rooms = [places[b] - places[a] - d for a in group for b, d in after[a] if b not in group]
            by = min([by, *rooms])
        elif by < 0:
            rooms = [places[b] - places[a] - d for b in group for a, d in before[b] if a not in group]
            by = -min([-by, *rooms])
        for key in group:
            places[key] += by
        return by

    def middle(keys: list[Key]) -> float:
        return (min(places[k] for k in keys) + max(places[k] for k in keys)) / 2

    for _ in range(4):
        moved = 0
        for row in reversed(sheet.items):
            for item in reversed(row):
                up = [name[(*lane.key, "foot")] for lane in sheet.above.get(item, ())]
                down = [name[(*lane.key, "chain")] for lane in sheet.below.get(item, ())]
                if not up or not down:
                    continue
                gap = middle(down) - middle(up)
                if gap > 0:
                    moved += abs(shift(set(up), int(gap)))
                elif gap < 0:
                    moved += abs(shift(set(down), int(-gap)))
        if not moved:
            break
