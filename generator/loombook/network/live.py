"""What is alive: which sources supply, which consumers work, which nodes are hot, and what dies when an edge opens."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from .core import Core, core_of
from .model import PRIMARY, Edge, Network


@dataclass(frozen=True)
class Alive:
    """One state of the boat: switch positions, edges opened, sources on."""

    sources: frozenset[str]
    """Ids of the source edges that have energy to give."""
    consumers: frozenset[str]
    """Ids of the consumers that are supplied."""
    supplied_by: Mapping[str, tuple[str, ...]] = field(repr=False)
    """Consumer id → ids of the source edges joined to it on both poles."""


def all_primary(network: Network) -> frozenset[str]:
    """Ids of every source that has energy of its own."""
    return frozenset(edge.id for edge in network.sources() if edge.kind in PRIMARY)


def sources_on(network: Network, condition: str) -> frozenset[str]:
    """Ids of the primary sources that are on in an operating condition: the batteries, and those it names."""
    batteries = {edge.id for edge in network.sources() if edge.kind == "battery"}
    record = network.inventory.conditions.get(condition)
    if record is None:
        return all_primary(network)
    named = set(record.sources or ())
    return frozenset(batteries | {e.id for e in network.sources() if e.kind in PRIMARY and e.item in named})


def alive(core: Core, on: Iterable[str], without: Iterable[str] = ()) -> Alive:
    """What works with the primary sources `on`: energy spreads through converters until nothing more wakes up.

    `without` names sources of any kind that give nothing, such as a converter that has failed.
    """
    network, part, root = core.network, core.part, core.root
    failed = frozenset(without)

    def ends(edge: Edge) -> tuple[int, int]:
        return part[root[edge.a]], part[root[edge.b]]

    living = set(on) - failed
    waiting = [e for e in network.sources() if e.kind not in PRIMARY and e.id not in failed]
    while True:
        pairs = {(b, a) for a, b in (ends(network.edges[id]) for id in living)}
        woken = [e for e in waiting if e.id not in living and ends(network.input_of(e)) in pairs]
        if not woken:
            break
        living |= {e.id for e in woken}
    by_pair: dict[tuple[int, int], list[str]] = {}
    for id in sorted(living):
        a, b = ends(network.edges[id])
        by_pair.setdefault((b, a), []).append(id)
    found = {pair: tuple(ids) for pair, ids in by_pair.items()}
    supplied = {c.id: found.get((part[root[c.plus]], part[root[c.minus]]), ()) for c in network.consumers.values()}
    return Alive(frozenset(living), frozenset(c for c, by in supplied.items() if by), supplied)


def lost_with(core: Core, on: Iterable[str]) -> Mapping[str, tuple[str, ...]]:
    """Edge id → ids of the consumers that go dead when it alone opens.

    A radial edge takes what hangs from it. An edge of the core takes something only if the core falls in two without it.
    """
    network, on = core.network, frozenset(on)
    before = alive(core, on).consumers
    lost: dict[str, tuple[str, ...]] = {edge.id: () for edge in core.ties}
    lost.update(taken_outwards(core, before))
    for id in core.bridges:
        after = alive(core.reopened({id}), on).consumers
        lost[id] = tuple(c for c in network.consumers if c in before and c not in after)
    return lost


def taken_outwards(core: Core, living: frozenset[str]) -> Mapping[str, tuple[str, ...]]:
    """Radial edge id → the living consumers that hang from it, in the order of the network."""
    hanging: dict[str, list[str]] = {}
    for consumer in core.network.consumers.values():
        if consumer.id in living:
            hanging.setdefault(consumer.plus, []).append(consumer.id)
            hanging.setdefault(consumer.minus, []).append(consumer.id)
    order = {c: i for i, c in enumerate(core.network.consumers)}
    lost = {}
    for node in core.order:
        edge, other = core.parent[node]
        taken = hanging.get(node, [])
        lost[edge.id] = tuple(sorted(set(taken), key=order.__getitem__))
        hanging.setdefault(other, []).extend(taken)
    return lost


def state(network: Network, positions: Mapping[str, str] | None = None, opened: Iterable[str] = ()) -> Core:
    """The core with the switches in `positions` (normal where left out) and the edges `opened`."""
    return core_of(network, {**network.normal, **(positions or {})}, opened)
