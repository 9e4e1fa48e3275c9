"""The whole way round one consumer, out and back, and how few measurements on it find the fault: halve, do not walk."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from .core import Core
from .live import alive
from .model import CONVERTS, Consumer, Network
from .supply import Supply, SupplyPath


@dataclass(frozen=True)
class Loop:
    """From the positive of a consumer's last source through the consumer to that source's negative.

    With the meter's black lead on the source's negative and the consumer switched on, every point before a break reads
    full voltage and every point behind it reads next to nothing, on the way back too: the consumer itself carries the
    voltage over. So one row of points serves both poles. A poor joint does the same by halves.
    """

    consumer: str
    source: str
    """Id of the source edge at both ends: a battery, a converter."""
    points: tuple[str, ...]
    """Node ids where a meter can be put, from the source's positive round to its negative."""
    edges: tuple[str, ...]
    """`edges[k]` lies between `points[k]` and `points[k + 1]`."""
    hidden: tuple[bool, ...]
    """For each point, whether nobody would look for it there."""
    turn: int
    """Index of the first point on the way back; the edge before it is the consumer itself."""


def loops_of(core: Core, on: Iterable[str]) -> Mapping[str, Loop]:
    """The loop of every consumer that is supplied, and of every converter that is awake, by its item's id.

    Args:
        core: the network in the switch positions in which the fault is looked for
        on: ids of the primary sources that are on
    """
    on = frozenset(on)
    network = _with_converters(core.network, alive(core, on).sources)
    supply = Supply(replace(core, network=network), on)
    hidden = hidden_nodes(network)
    return {id: loop_of(network, paths[0], hidden) for id in network.consumers if (paths := supply.paths(id))}


def hidden_nodes(network: Network) -> frozenset[str]:
    """Terminals and joints where nobody would look: of hidden items, and the joints within a circuit's cable."""
    items = {
        i.id for i in network.inventory.items() if getattr(i, "hidden", False) or getattr(i, "access", None) == "hidden"
    }
    return frozenset(node.id for node in network.nodes.values() if node.item in items or " joint " in node.id)


def _with_converters(network: Network, awake: Iterable[str]) -> Network:
    """The network in which a converter is a consumer of what it takes in."""
    more = {}
    for id in sorted(awake):
        source = network.edges[id]
        if source.kind in CONVERTS:
            entry = network.input_of(source)
            more[source.item] = Consumer(source.item, source.item, source.record, entry.a, entry.b, entry.id)
    return replace(network, consumers={**network.consumers, **more})


def loop_of(network: Network, path: SupplyPath, hidden: frozenset[str]) -> Loop:
    """The last system's part of a supply path, closed through its consumer.

    What lies inside the source's own case, such as the management unit between a battery's cells and its post, is part
    of the source: nobody puts a meter there.

    Args:
        network: the boat
        path: from `Supply.paths` or the study
        hidden: from `hidden_nodes`
    """
    consumer = network.consumers[path.consumer]
    last = max((i for i, hop in enumerate(path.out) if not hop.edge.conducts), default=-1)
    source = path.out[last].edge if last >= 0 else network.edges[path.source]
    out, back = list(path.out[last + 1 :]), list(path.back)
    while out and out[0].edge.item == source.item:
        out.pop(0)
    while back and back[-1].edge.item == source.item:
        back.pop()
    own = network.edges[consumer.edge]
    through = own.item if own.kind == "input" else own.id
    points = [
        out[0].out_of if out else consumer.plus,
        *(hop.into for hop in out),
        consumer.minus,
        *(hop.into for hop in back),
    ]
    edges = [*(hop.edge.id for hop in out), through, *(hop.edge.id for hop in back)]
    return Loop(
        consumer.id, source.id, tuple(points), tuple(edges), tuple(node in hidden for node in points), len(out) + 1
    )


def best_point(loop: Loop, weights: Mapping[str, float]) -> int | None:
    """The point that splits the remaining suspicion best: index into `loop.points`; None where no point splits it.

    A hidden point is taken only where no other splits anything.

    Args:
        weights: edge id → how likely it is; edges left out are not suspected
    """
    row = [weights.get(id, 0.0) for id in loop.edges]
    total = sum(row)
    for hidden in (False, True):
        before, best, where = 0.0, 0.0, None
        for i, weight in enumerate(row[:-1], start=1):
            before += weight
            split = min(before, total - before)
            if loop.hidden[i] == hidden and split > best + 1e-9:
                best, where = split, i
        if where is not None:
            return where
    return None


def narrowed(loop: Loop, weights: Mapping[str, float], point: int, further: bool) -> dict[str, float]:
    """What is still suspected after a reading: what lies behind the point, or what lies before it."""
    left = loop.edges[point:] if further else loop.edges[:point]
    return {id: weights[id] for id in left if id in weights}


@dataclass(frozen=True)
class Step:
    """One line of the tree on paper: where to measure, and what to do then."""

    point: int
    """Index into the loop's points."""
    further: int | tuple[str, ...]
    """When the reading says that the fault is further on: the number of the next step, or the edges left."""
    before: int | tuple[str, ...]
    """When it says that the fault lies before this point."""


def half_split(loop: Loop, weights: Mapping[str, float]) -> tuple[Step, ...]:
    """The whole search as numbered steps, the first of which is step 1; empty where no point splits the suspicion."""
    steps: list[Step | None] = []

    def grow(weights: Mapping[str, float]) -> int | tuple[str, ...]:
        point = best_point(loop, weights)
        if point is None:
            return tuple(id for id in loop.edges if weights.get(id))
        number = len(steps)
        steps.append(None)
        branches = [grow(narrowed(loop, weights, point, further)) for further in (True, False)]
        steps[number] = Step(point, *branches)
        return number + 1

    grow(weights)
    return tuple(steps)
