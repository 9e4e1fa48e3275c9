"""A sheet too big for its paper cut into sheets that refer to one another, and a long bar folded into rows."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from loombook.drawings.levels import leveled
from loombook.drawings.model import Branch, Form, Node, OneLine, Reference, Service

ROWS = 4
"""A bar alone on a sheet is folded into so many rows at most."""
BESIDE = 11
"""So many feeders of one bar stay on a sheet that shows other nodes too."""
PER_SHEET = 30
"""So many feeders of one bar stay on a sheet of their own."""
CUT_COST = 0.12
"""What one cut line weighs against halving the sheet."""

Fits = Callable[[OneLine], bool]


def split(sheet: OneLine, fits: Fits) -> list[OneLine]:
    """The sheet itself, folded, or cut into pieces that each fit.

    The first piece keeps the sheet's name; the others are called `name.2`, `name.3` and so on.
    """
    pieces = _regrouped(list(_pieces(sheet, fits)), fits)
    if len(pieces) == 1:
        return pieces
    return [
        replace(
            piece,
            name=sheet.name if place == 1 else f"{sheet.name}.{place}",
            title=f"{sheet.title} ({place} of {len(pieces)})",
        )
        for place, piece in enumerate(pieces, 1)
    ]


def _pieces(sheet: OneLine, fits: Fits) -> Iterator[OneLine]:
    if fits(sheet):
        yield sheet
        return
    for rows in range(2, ROWS + 1):
        if (folded_ := folded(sheet, rows)) and fits(folded_):
            yield folded_
            return
    for piece in _cut(sheet):
        if piece == sheet:
            yield sheet  # nothing left to cut
        else:
            yield from _pieces(piece, fits)


def _regrouped(pieces: list[OneLine], fits: Fits) -> list[OneLine]:
    """Pieces put together again where two fit on one sheet: those first that refer to each other most."""
    while len(pieces) > 1:
        pairs = sorted(
            ((-len(_keys(a) & _keys(b)), i, j) for i, a in enumerate(pieces) for j, b in enumerate(pieces) if i < j),
        )
        joined = next(
            ((i, j, whole) for _, i, j in pairs if (whole := _together(pieces[i], pieces[j])) and fits(whole)), None
        )
        if joined is None:
            break
        i, j, whole = joined
        pieces = [whole if n == i else piece for n, piece in enumerate(pieces) if n != j]
    return pieces


def _keys(sheet: OneLine) -> set[str]:
    """Keys of the references on a sheet."""
    return {end.key for b in sheet.branches for end in (b.upper, b.lower) if isinstance(end, Reference)}


def _together(first: OneLine, second: OneLine) -> OneLine | None:
    """Two pieces as one, lines that were cut between them whole again; None where both show the same node."""
    if {node.id for node in first.nodes} & {node.id for node in second.nodes}:
        return None
    branches = [*first.branches, *second.branches]
    for key in sorted(_keys(first) & _keys(second)):
        above = next((b for b in branches if isinstance(b.lower, Reference) and b.lower.key == key), None)
        below = next((b for b in branches if isinstance(b.upper, Reference) and b.upper.key == key), None)
        if above is None or below is None:
            return None
        whole = replace(above, lower=below.lower, chain=(*above.chain, *below.chain))
        branches = [whole if b is above else b for b in branches if b is not below]
    return replace(first, nodes=(*first.nodes, *second.nodes), branches=tuple(branches))


def folded(sheet: OneLine, rows: int) -> OneLine | None:
    """The one bar of the sheet drawn in rows, joined at the left as heavy as the bar; None if it is not one bar."""
    if len(sheet.nodes) != 1 or sheet.nodes[0].form is not Form.BAR:
        return None
    bar = sheet.nodes[0]
    feeding = [b for b in sheet.branches if b.lower == bar.id]
    fed = [b for b in sheet.branches if b.upper == bar.id]
    if len(fed) + len(feeding) != len(sheet.branches) or len(fed) < 2 * rows:
        return None
    each = -(-len(fed) // rows)
    nodes, branches = [bar], list(feeding)
    for row in range(rows):
        chunk = fed[row * each : (row + 1) * each]
        here = nodes[-1].id
        if row < rows - 1:
            beneath = Node(
                f"~{bar.id}.{row + 2}",
                (f"{bar.id} continued",),
                href=bar.href,
                state=bar.state,
                ordered=bar.ordered,
                name=f"{bar.name or bar.id}, continued",
            )
            branches.append(Branch(f"~{bar.id}.{row + 2}", here, beneath.id, service=Service.BAR, state=bar.state))
            nodes.append(beneath)
        branches += [replace(b, upper=here) for b in chunk]
    return replace(sheet, nodes=tuple(nodes), branches=tuple(branches))


def _cut(sheet: OneLine) -> list[OneLine]:
    """The sheet in two or more parts: apart already, by feeders of a long bar, between nodes, or along a long line."""
    apart = islands(sheet)
    if len(apart) > 1:
        return [part(sheet, island) for island in apart]
    keep = BESIDE if len(sheet.nodes) > 1 else PER_SHEET
    node, leaves = max(
        ((node, _leaves(sheet, node.id)) for node in sheet.nodes), key=lambda pair: len(pair[1]), default=(None, [])
    )
    if node and len(leaves) > keep + 1:  # the reference onward is one more
        count = -(-len(leaves) // -(-len(leaves) // keep)) if len(sheet.nodes) == 1 else keep
        return _by_feeders(sheet, node, leaves, count)
    if len(sheet.nodes) > 1:
        return _between_nodes(sheet)
    if node and len(leaves) > 2:
        return _by_feeders(sheet, node, leaves, len(leaves) // 2)
    return _along(sheet)


def islands(sheet: OneLine) -> list[set[str]]:
    """Ids of nodes that hang together, and of branches that touch no node, in the order given."""
    parent = {node.id: node.id for node in sheet.nodes}

    def root(node: str) -> str:
        while parent[node] != node:
            node = parent[node]
        return node

    lone = []
    for b in sheet.branches:
        ends = [end for end in (b.upper, b.lower) if isinstance(end, str)]
        if len(ends) == 2:
            parent[root(ends[1])] = root(ends[0])
        elif not ends:
            lone.append({b.id})
    islands: dict[str, set[str]] = {}
    for node in sheet.nodes:
        islands.setdefault(root(node.id), set()).add(node.id)
    return [*islands.values(), *lone]


def part(sheet: OneLine, members: set[str]) -> OneLine:
    """The nodes and branches of one island."""
    nodes = tuple(node for node in sheet.nodes if node.id in members)
    branches = tuple(b for b in sheet.branches if b.id in members or b.upper in members or b.lower in members)
    return replace(sheet, nodes=nodes, branches=branches)


def _leaves(sheet: OneLine, node: str) -> list[Branch]:
    """Branches from this node to a load or a reference."""
    return [b for b in sheet.branches if b.upper == node and not isinstance(b.lower, str)]


def _by_feeders(sheet: OneLine, node: Node, leaves: list[Branch], keep: int) -> list[OneLine]:
    """The first feeders stay; the others go with the bar to the next sheet."""
    moved = leaves[keep:]
    key = f"{sheet.name}:{node.id}:{moved[0].id}"
    onward = Branch(
        f"{moved[0].id}>",
        node.id,
        Reference(key, (f"{node.id} continued",), href=node.href),
        service=Service.POWER,
        state=node.state,
    )
    back = Branch(
        f"{moved[0].id}<",
        Reference(key, (f"{node.id}",), href=node.href),
        node.id,
        service=Service.POWER,
        state=node.state,
    )
    again = replace(node, lines=(*node.lines[:1], "continued"), level=None)
    first = [onward if b is moved[0] else b for b in sheet.branches if b is moved[0] or b not in moved]
    return [replace(sheet, branches=tuple(first)), replace(sheet, nodes=(again,), branches=(back, *moved))]


def _between_nodes(sheet: OneLine) -> list[OneLine]:
    """The nodes in two groups of about the same weight with few lines between them."""
    upper = min(_groups(sheet), key=lambda group: _cost(sheet, group))
    first, second = [], []
    for b in sheet.branches:
        ends = [end for end in (b.upper, b.lower) if isinstance(end, str)]
        sides = {end in upper for end in ends}
        if len(sides) < 2:
            (first if sides == {True} or not sides else second).append(b)
            continue
        key = f"{sheet.name}:{b.id}"
        far, near = (node for end in (b.lower, b.upper) for node in sheet.nodes if node.id == end)
        out = replace(b, lower=Reference(key, _named(far), href=far.href), tie=False)
        into = Branch(
            f"{b.id}'", Reference(key, _named(near), href=near.href), b.lower, service=b.service, state=b.state
        )
        (first if b.upper in upper else second).append(out)
        (second if b.upper in upper else first).append(into)
    return [
        replace(sheet, nodes=tuple(n for n in sheet.nodes if n.id in upper), branches=tuple(first)),
        replace(sheet, nodes=tuple(n for n in sheet.nodes if n.id not in upper), branches=tuple(second)),
    ]


def _named(node: Node) -> tuple[str, ...]:
    printed = "" if node.id.startswith("~") else node.id
    return tuple(line for line in (printed, *node.lines[:1]) if line)


def _groups(sheet: OneLine) -> Iterator[frozenset[str]]:
    """Groups worth cutting off: all down to a level, and all but one node with what hangs from it alone."""
    level = leveled(sheet).level
    ids = [node.id for node in sheet.nodes]
    for depth in range(max(level[i] for i in ids)):
        yield frozenset(i for i in ids if level[i] <= depth)
    pairs = [(b.upper, b.lower) for b in sheet.branches if isinstance(b.upper, str) and isinstance(b.lower, str)]
    for a, b in pairs:
        rest = _reached(a, [pair for pair in pairs if pair != (a, b)], ids)
        if b not in rest:
            yield frozenset(rest)
    for place in range(1, len(ids)):
        yield frozenset(ids[:place])


def _reached(start: str, pairs: list[tuple[str, str]], ids: list[str]) -> set[str]:
    """Nodes that hang together with the start over these pairs."""
    found, open_ = {start}, [start]
    beside: dict[str, list[str]] = {i: [] for i in ids}
    for a, b in pairs:
        beside[a].append(b)
        beside[b].append(a)
    while open_:
        for other in beside[open_.pop()]:
            if other not in found:
                found.add(other)
                open_.append(other)
    return found


def _cost(sheet: OneLine, group: frozenset[str]) -> tuple[float, int]:
    """How uneven the two parts are, and how many lines are cut."""
    cut = weight = 0
    for b in sheet.branches:
        sides = {end in group for end in (b.upper, b.lower) if isinstance(end, str)}
        cut += len(sides) == 2
        weight += (True in sides) - (False in sides)
    total = max(len(sheet.branches), 1)
    return round(abs(weight) / total + CUT_COST * cut, 6), len(group)


def _along(sheet: OneLine) -> list[OneLine]:
    """The longest line cut in its middle; the sheet itself where no line has more than one thing."""
    longest = max(sheet.branches, key=lambda b: len(b.chain), default=None)
    if longest is None or len(longest.chain) < 2:
        return [sheet]
    half = len(longest.chain) // 2
    key = f"{sheet.name}:{longest.id}:{half} of {len(longest.chain)}"
    upper = replace(longest, lower=Reference(key, ("goes on",)), chain=longest.chain[:half])
    lower = replace(longest, id=f"{longest.id}'", upper=Reference(key, ("comes from",)), chain=longest.chain[half:])
    tail = {longest.lower} if isinstance(longest.lower, str) and longest.upper not in (longest.lower,) else set()
    stays = [b for b in sheet.branches if b is not longest]
    if tail and not isinstance(longest.upper, str):  # from a source to the node: the node goes with the lower part
        return [replace(sheet, nodes=(), branches=(upper,)), replace(sheet, branches=(*stays, lower))]
    return [replace(sheet, branches=(*stays, upper)), replace(sheet, nodes=(), branches=(lower,))]
