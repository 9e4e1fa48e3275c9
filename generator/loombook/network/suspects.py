"""From what is dead and what still works to what can have failed, and to the one measurement that tells most.

A suspect is a group of parts that a look at dead and living consumers cannot tell apart: a fuse, the cable behind it
and the device at its end die together. One or two faults are looked for. The same reckoning runs as plain script in
the fault finder; both are held together by a test.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import combinations

from .core import Core
from .live import alive, lost_with
from .model import Edge, Network
from .supply import SupplyPath

LIKELY: Mapping[str, float] = {
    "fuse": 4, "breaker": 2, "switch": 2, "conductor": 2, "joint": 1, "shunt": 0.5, "bms": 2, "bond": 0.2, "load": 3,
    "battery": 1, "converter": 2, "inverter": 2, "charger": 1, "controller": 1, "alternator": 1, "shore": 2,
    "solar array": 0.5, "input": 0,
}  # fmt: skip
"""How often a part is the one that failed, against the others: common practice, no source. A cable counts its two ends."""

MOST = 24
"""Answers shown at the most."""


@dataclass(frozen=True)
class Suspect:
    """Parts whose failure looks the same, and the consumers that it takes."""

    edges: tuple[str, ...]
    lost: tuple[str, ...]
    weight: float
    pair: bool = False
    """Two parts that must both have failed, such as both sides of a ring; `edges` is one of each."""


@dataclass(frozen=True)
class Explanation:
    """One or two suspects that together explain all that is dead."""

    suspects: tuple[int, ...]
    """Indices into the list of suspects."""
    untold: int
    """Consumers that would be dead too and that nobody has looked at."""
    weight: float


def suspects_of(core: Core, on: Iterable[str]) -> tuple[Suspect, ...]:
    """Every group of parts of which a failure would be noticed, in the order of the network."""
    network, on = core.network, frozenset(on)
    lost = dict(lost_with(core, on))
    lost |= _lost_with_sources(core, on)
    for consumer in network.consumers.values():
        lost[consumer.edge] = (consumer.id,) if consumer.id in alive(core, on).consumers else ()
    groups: dict[tuple[str, ...], list[str]] = {}
    for id in network.edges:
        if lost.get(id):
            groups.setdefault(lost[id], []).append(id)
    found = [Suspect(tuple(ids), taken, sum(_weight(network.edges[id]) for id in ids)) for taken, ids in groups.items()]
    return tuple(found + _pairs(core, on, lost))


def _weight(edge: Edge) -> float:
    hidden = getattr(edge.record, "hidden", False)
    return LIKELY.get(edge.kind, 1.0) * (1.5 if hidden else 1.0)


def _lost_with_sources(core: Core, on: frozenset[str]) -> dict[str, tuple[str, ...]]:
    """Source edge → consumers that die when it gives nothing."""
    network = core.network
    before = alive(core, on)
    found = {}
    for id in before.sources:
        after = alive(core, on - {id}, without={id}).consumers
        found[id] = tuple(c for c in network.consumers if c in before.consumers and c not in after)
    return found


def _pairs(core: Core, on: frozenset[str], lost: Mapping[str, tuple[str, ...]]) -> list[Suspect]:
    """Pairs of failures that take more together than one by one: both sides of a ring, the fuses of both strings."""
    network = core.network
    before = alive(core, on)
    classes = _weakening(core, on, before.supplied_by)
    rings = _two_cuts(core)
    order = {c: i for i, c in enumerate(network.consumers)}
    found: dict[tuple[str, ...], Suspect] = {}
    for first, second in [*combinations(classes, 2), *rings]:
        opened = {id for id in (first[0], second[0]) if network.edges[id].conducts}
        silent = {first[0], second[0]} - opened
        after = alive(core.reopened(opened), on - silent, without=silent).consumers
        taken = set(before.consumers) - set(after)
        if taken <= set(lost.get(first[0], ())) | set(lost.get(second[0], ())):
            continue
        key = tuple(sorted(taken, key=order.__getitem__))
        weight = 0.05 * sum(_weight(network.edges[id]) for id in first) * sum(_weight(network.edges[id]) for id in second)
        if key not in found or found[key].weight < weight:
            found[key] = Suspect((*first, *second), key, weight, pair=True)
    return list(found.values())


def _weakening(core: Core, on: frozenset[str], supplied: Mapping[str, tuple[str, ...]]) -> list[tuple[str, ...]]:
    """Core edges and sources that take one of several supplies from somebody, grouped by whose."""
    network = core.network
    groups: dict[frozenset, list[str]] = {}
    for id in sorted({*core.bridges, *alive(core, on).sources}):
        conducts = network.edges[id].conducts
        there = core.reopened({id}) if conducts else core
        after = alive(there, on - {id}, without=frozenset() if conducts else {id}).supplied_by
        weakened = frozenset((c, by) for c, by in after.items() if by and by != supplied[c])
        if weakened:
            groups.setdefault(weakened, []).append(id)
    return [tuple(ids) for ids in groups.values()]


def _two_cuts(core: Core) -> list[tuple[tuple[str, ...], tuple[str, ...]]]:
    """Pairs of core edges, neither a bridge, that cut a part in two together."""
    ring = [id for _, _, id in core.graph.edges(keys=True) if id not in core.bridges]
    pairs = []
    for id in ring:
        for other in sorted(core.reopened({id}).bridges - core.bridges):
            if id < other:
                pairs.append(((id,), (other,)))
    return pairs


def explain(suspects: tuple[Suspect, ...], dead: Iterable[str], working: Iterable[str]) -> tuple[Explanation, ...]:
    """What explains all that is dead and nothing that works, likeliest first.

    Args:
        suspects: from `suspects_of`
        dead: ids of the consumers that do not work
        working: ids of the consumers that do
    Returns:
        single faults; where there is none, pairs of faults. At most `MOST`.
    """
    dead, working = frozenset(dead), frozenset(working)
    if not dead:
        return ()
    possible = [i for i, s in enumerate(suspects) if not working & set(s.lost) and dead & set(s.lost)]
    singles = [
        Explanation((i,), len(set(suspects[i].lost) - dead), suspects[i].weight)
        for i in possible
        if dead <= set(suspects[i].lost)
    ]
    found = singles or [
        Explanation((i, j), len((set(suspects[i].lost) | set(suspects[j].lost)) - dead), suspects[i].weight * suspects[j].weight)
        for i, j in combinations(possible, 2)
        if dead <= set(suspects[i].lost) | set(suspects[j].lost)
    ]
    return tuple(sorted(found, key=lambda e: (e.untold, -e.weight, e.suspects))[:MOST])


@dataclass(frozen=True)
class Loop:
    """The whole way round one consumer: out, through it, and back; the points where a meter can be put."""

    consumer: str
    points: tuple[str, ...]
    """Node ids, from the source's positive round to its negative."""
    edges: tuple[str, ...]
    """`edges[k]` lies between `points[k]` and `points[k + 1]`."""


def loop_of(network: Network, path: SupplyPath) -> Loop:
    """The last system's part of a supply path, closed through the consumer.

    With the meter's black lead on the source's negative, every point before a break reads full voltage and every point
    behind it reads nothing, on the return too. So one row of points serves both poles.
    """
    out = path.out
    last = max((i for i, hop in enumerate(out) if not hop.edge.conducts), default=-1)
    hops = out[last + 1 :]
    consumer = network.consumers[path.consumer]
    start = hops[0].out_of if hops else consumer.plus
    points = [start, *(hop.into for hop in hops), consumer.minus, *(hop.into for hop in path.back)]
    edges = [*(hop.edge.id for hop in hops), consumer.edge, *(hop.edge.id for hop in path.back)]
    return Loop(path.consumer, tuple(points), tuple(edges))


def best_point(loop: Loop, weights: Mapping[str, float]) -> int | None:
    """The point of the loop that splits the remaining suspicion best: index into `points`; None where one part is left.

    Args:
        weights: edge id → how likely it is; edges left out are not suspected
    """
    row = [weights.get(id, 0.0) for id in loop.edges]
    total, before, best, where = sum(row), 0.0, 0.0, None
    for i, weight in enumerate(row[:-1]):
        before += weight
        split = min(before, total - before)
        if split > best + 1e-9:
            best, where = split, i + 1
    return where

