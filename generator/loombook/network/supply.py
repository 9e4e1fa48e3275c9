"""The way from each source to each consumer and back, with what every way must pass."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from functools import cache

import networkx as nx

from .core import Core
from .live import alive
from .model import PRIMARY, Edge, Network

_LIKE_METRES = {"conductor": 0.0, "joint": 0.01, "bond": 0.01}
"""Weights for choosing the way to show where there are several: least length × 1/area, devices a little."""


@dataclass(frozen=True)
class Hop:
    """One edge of a supply path. `forward` tells that it is passed from its `a` to its `b`."""

    edge: Edge
    forward: bool
    needed: bool
    """Whether every way from this source to this consumer passes it (a dominator): open it and this source is cut off."""

    @property
    def into(self) -> str:
        """The node that the hop leads to."""
        return self.edge.b if self.forward else self.edge.a

    @property
    def out_of(self) -> str:
        return self.edge.a if self.forward else self.edge.b


@dataclass(frozen=True)
class SupplyPath:
    """From a source with energy of its own to a consumer, and back."""

    consumer: str
    source: str
    """Id of the primary source's edge."""
    out: tuple[Hop, ...]
    """From the source's positive to the consumer; a converter is passed by its `input` and its own edge."""
    back: tuple[Hop, ...]
    """From the consumer to the negative of the last source, converter or not."""
    through: tuple[str, ...] = ()
    """Ids of the converters passed, in order."""

    def needed(self) -> tuple[Edge, ...]:
        """The edges without which this source does not reach the consumer, source to consumer and back."""
        return tuple(hop.edge for hop in (*self.out, *self.back) if hop.needed and hop.edge.conducts)


class Supply:
    """Supply paths in one state of the boat."""

    def __init__(self, core: Core, on: Iterable[str]) -> None:
        self.core = core
        self.network: Network = core.network
        self.alive = alive(core, on)
        self._graph = nx.Graph()
        self._graph.add_nodes_from(core.nodes)
        for edge in core.ties:
            weight = _weight(edge)
            if not self._graph.has_edge(edge.a, edge.b) or self._graph[edge.a][edge.b]["weight"] > weight:
                self._graph.add_edge(edge.a, edge.b, id=edge.id, weight=weight)
        self._ways: dict[str, dict[str, list[str]]] = {}
        self._legs: dict[tuple[str, str], tuple[Hop, ...]] = {}
        self._ends: dict[str, tuple[Hop, ...]] = {}
        self._fed: dict[str, list[tuple[str, tuple[Hop, ...], tuple[str, ...]]]] = {}

    def paths(self, consumer: str, known: Collection[tuple[str, tuple[str, ...]]] = ()) -> tuple[SupplyPath, ...]:
        """The supply paths of a consumer, nearest source first; empty where nothing reaches it.

        Args:
            consumer: its id
            known: the paths to leave out, each as its source and the converters that it passes
        """
        record = self.network.consumers[consumer]
        found = [
            SupplyPath(
                consumer, primary, out + self._leg(source.b, record.plus), self._back(source.a, record.minus), through
            )
            for source in self._joined(self.alive.supplied_by.get(consumer, ()))
            for primary, out, through in self._ways_to(source)
            if (primary, through) not in known
        ]
        return tuple(
            sorted(found, key=lambda p: (_rank(self.network.edges[p.source].kind), len(p.through), len(p.out)))
        )

    def _joined(self, ids: Iterable[str]) -> list[Edge]:
        return [self.network.edges[id] for id in ids]

    def _ways_to(self, source: Edge) -> list[tuple[str, tuple[Hop, ...], tuple[str, ...]]]:
        """`_feeding`, worked out once for all the consumers of a source."""
        if source.id not in self._fed:
            self._fed[source.id] = self._feeding(source, ())
        return self._fed[source.id]

    def _feeding(self, source: Edge, seen: tuple[str, ...]) -> list[tuple[str, tuple[Hop, ...], tuple[str, ...]]]:
        """How energy gets to a source's positive: (primary source, hops so far, converters passed)."""
        if source.kind in PRIMARY:
            return [(source.id, (), ())]
        if source.id in seen:
            return []
        entry = self.network.input_of(source)
        own = (Hop(entry, True, True), Hop(source, True, True))
        return [
            (primary, out + self._leg(upstream.b, entry.a) + own, (*through, source.item))
            for upstream in self._joined(self._sources_of(entry))
            for primary, out, through in self._feeding(upstream, (*seen, source.id))
        ]

    def _sources_of(self, entry: Edge) -> list[str]:
        core = self.core
        pair = (core.part[core.attach(entry.a)], core.part[core.attach(entry.b)])
        edges = self._joined(sorted(self.alive.sources))
        return [e.id for e in edges if (core.part[core.attach(e.b)], core.part[core.attach(e.a)]) == pair]

    def _back(self, negative: str, minus: str) -> tuple[Hop, ...]:
        hops = self._leg(negative, minus)
        return tuple(Hop(h.edge, not h.forward, h.needed) for h in reversed(hops))

    def _leg(self, start: str, end: str) -> tuple[Hop, ...]:
        """The hops from a core terminal to any node."""
        key = (start, self.core.attach(end))
        if key not in self._legs:
            self._legs[key] = self._core_leg(*key)
        if end not in self._ends:
            self._ends[end] = _hops(self.core.outward(end), key[1], lambda edge: True)
        return self._legs[key] + self._ends[end]

    def _core_leg(self, start: str, end: str) -> tuple[Hop, ...]:
        if start not in self._ways:
            self._ways[start] = nx.single_source_dijkstra_path(self._graph, start)
        nodes = self._ways[start][end]
        edges = [self.network.edges[self._graph[a][b]["id"]] for a, b in zip(nodes, nodes[1:])]
        return _hops(edges, start, lambda edge: edge.id in self.core.bridges)


def _hops(edges: Iterable[Edge], start: str, needed) -> tuple[Hop, ...]:
    hops, here = [], start
    for edge in edges:
        hops.append(Hop(edge, edge.a == here, needed(edge)))
        here = edge.other(here)
    return tuple(hops)


@cache
def _rank(kind: str) -> int:
    return {"battery": 0, "shore": 1, "generator": 2, "alternator": 3, "solar array": 4}.get(kind, 5)


def _weight(edge: Edge) -> float:
    """Roughly its resistance in milliohms: enough to choose which way to show."""
    if edge.cable:
        length = edge.cable.length.value if edge.cable.length else 3.0
        area = edge.cable.area.value if edge.cable.area else 2.5
        return 0.01 + 17 * length / area / edge.cable.parallel
    return _LIKE_METRES.get(edge.kind, 0.3)
