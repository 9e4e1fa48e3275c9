"""Which level each node stands on, which ties lie level, and which branches are drawn upside down."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace

from loombook.drawings.model import Branch, Element, Form, Node, OneLine

OTHER_WAY_UP = {
    "charger": "inverter",
    "inverter": "charger",
    "battery": "battery up",
    "battery up": "battery",
    "cell": "cell up",
    "cell up": "cell",
    "diode": "diode up",
    "diode up": "diode",
    "changeover": "changeover up",
    "changeover up": "changeover",
}
"""The symbol to take when a branch is drawn from its lower end."""


@dataclass(frozen=True)
class Leveled:
    """A sheet with every branch pointing down and every node on a level."""

    nodes: tuple[Node, ...]
    branches: tuple[Branch, ...]
    """All but the ties; both a node's upper and lower branches in the order given."""
    ties: tuple[Branch, ...]
    level: dict[str, int]


def leveled(sheet: OneLine) -> Leveled:
    """Levels by the longest way down from the top; ties keep their two nodes on one level where that can be.

    Raises:
        ValueError: an id is used twice, or a branch ends on a node that is not on the sheet
    """
    _check(sheet)
    nodes, branches = _with_nodes(sheet)
    ids = [node.id for node in nodes]
    plain = [b for b in branches if not b.tie]
    lined = {node.id for node in nodes if node.form in (Form.BAR, Form.JUNCTION)}
    wanted = [b for b in branches if b.tie and _both(b) and {b.upper, b.lower} <= lined]
    ties, group = _ties(wanted, plain, ids)
    upright = [b for b in branches if b not in ties]
    turned = _turned(upright, group, ids)
    upright = [_other_way_up(b) if b.id in turned else b for b in upright]
    return Leveled(tuple(nodes), tuple(upright), tuple(ties), _longest(nodes, upright, group))


def _check(sheet: OneLine) -> None:
    """Refuse what no drawing can show."""
    nodes, branches = [node.id for node in sheet.nodes], [branch.id for branch in sheet.branches]
    for kind, names in (("nodes", nodes), ("branches", branches)):
        if twice := sorted({name for name in names if names.count(name) > 1}):
            raise ValueError(f"sheet {sheet.name}: {kind} with the same id: {', '.join(twice)}")
    if unknown := sorted(ends(sheet.branches) - set(nodes)):
        raise ValueError(f"sheet {sheet.name}: branches end on unknown nodes: {', '.join(unknown)}")


def _both(branch: Branch) -> bool:
    return isinstance(branch.upper, str) and isinstance(branch.lower, str)


def _with_nodes(sheet: OneLine) -> tuple[list[Node], list[Branch]]:
    """The sheet with an unlabelled junction in each branch that joins no node."""
    nodes, branches = list(sheet.nodes), []
    for b in sheet.branches:
        if isinstance(b.upper, str) or isinstance(b.lower, str):
            branches.append(replace(b, tie=False) if b.tie and not _both(b) else b)
            continue
        between = Node(f"~~{b.id}", form=Form.JUNCTION, state=b.state)
        nodes.append(between)
        branches.append(replace(b, lower=between.id))
        branches.append(replace(b, id=f"{b.id}~", upper=between.id, chain=()))
    return nodes, branches


def _reach(start: str, below: dict[str, list[str]]) -> set[str]:
    """All groups below this one."""
    found: set[str] = set()
    open_ = [start]
    while open_:
        for follower in below[open_.pop()]:
            if follower not in found:
                found.add(follower)
                open_.append(follower)
    return found


def _ties(wanted: list[Branch], plain: list[Branch], ids: list[str]) -> tuple[list[Branch], dict[str, str]]:
    """The ties that can lie level, and each node's group: the first node of the row of ties it belongs to.

    A node has a tie on its left and one on its right at most, a row of ties does not close, and no node of a row
    feeds another one of it.
    """
    group = {node: node for node in ids}
    count: dict[str, int] = defaultdict(int)
    taken: list[Branch] = []
    for tie in wanted:
        a, b = group[tie.upper], group[tie.lower]
        below: dict[str, list[str]] = defaultdict(list)
        for branch in plain:
            if _both(branch):
                below[group[branch.upper]].append(group[branch.lower])
        busy = count[tie.upper] > 1 or count[tie.lower] > 1
        if a == b or busy or b in _reach(a, below) or a in _reach(b, below):
            continue
        group = {node: a if g == b else g for node, g in group.items()}
        count[tie.upper] += 1
        count[tie.lower] += 1
        taken.append(tie)
    return taken, group


def _turned(branches: list[Branch], group: dict[str, str], ids: list[str]) -> set[str]:
    """Ids of the branches that point back up to where a walk from the top came from."""
    below: dict[str, list[Branch]] = defaultdict(list)
    entered: set[str] = set()
    for b in branches:
        if _both(b):
            below[group[b.upper]].append(b)
            entered.add(group[b.lower])
    turned: set[str] = set()
    state: dict[str, str] = {}
    starts = [g for g in dict.fromkeys(group[i] for i in ids) if g not in entered]
    for start in dict.fromkeys([*starts, *(group[i] for i in ids)]):
        walk = [(start, iter(below[start]))] if start not in state else []
        state.setdefault(start, "open")
        while walk:
            at, branches_left = walk[-1]
            branch = next(branches_left, None)
            if branch is None:
                state[at] = "done"
                walk.pop()
                continue
            to = group[branch.lower]
            if state.get(to) == "open":
                turned.add(branch.id)
            elif to not in state:
                state[to] = "open"
                walk.append((to, iter(below[to])))
    return turned


def _other_way_up(branch: Branch) -> Branch:
    chain = tuple(
        replace(link, kind=OTHER_WAY_UP.get(link.kind, link.kind)) if isinstance(link, Element) else link
        for link in reversed(branch.chain)
    )
    return replace(branch, upper=branch.lower, lower=branch.upper, chain=chain)


def _longest(nodes: list[Node], branches: list[Branch], group: dict[str, str]) -> dict[str, int]:
    """Level of each node: under everything that feeds it; what nothing feeds stands close over what it feeds."""
    steps = [(group[b.upper], group[b.lower]) for b in branches if _both(b)]
    level = {g: 0 for g in group.values()}
    fixed = set()
    for node in nodes:
        if node.level is not None:
            level[group[node.id]] = max(level[group[node.id]], node.level)
            fixed.add(group[node.id])
    for _ in range(len(level) + 1):
        changed = False
        for a, b in steps:
            if level[b] <= level[a]:
                level[b], changed = level[a] + 1, True
        if not changed:
            break
    fed = {b for _, b in steps}
    for top in sorted(set(level) - fed - fixed):
        if below := [level[b] for a, b in steps if a == top]:
            level[top] = min(below) - 1
    return _dense({node.id: level[group[node.id]] for node in nodes})


def _dense(level: dict[str, int]) -> dict[str, int]:
    """The same levels counted without gaps from 0."""
    rank = {value: place for place, value in enumerate(sorted(set(level.values())))}
    return {node: rank[value] for node, value in level.items()}


def ends(branches: Iterable[Branch]) -> set[str]:
    """Ids of all nodes the branches name."""
    return {end for b in branches for end in (b.upper, b.lower) if isinstance(end, str)}
