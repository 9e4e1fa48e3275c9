"""The live wiring cut apart at its fuses and breakers: what each of them protects, and what nothing protects.

A zone is everything joined with no fuse or breaker between. A feed is one way by which fault current gets into a zone:
through a device, or from a source that stands in the zone itself.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from math import inf

from ..network import Edge, Network
from ..study.joined import is_spare_link

OVERCURRENT = ("fuse", "breaker")
SOLAR_MARGIN = 1.25
"""An array in cold bright weather gives more than its rated current: a usual margin (from memory)."""


@dataclass(frozen=True)
class Zone:
    """What is joined with no fuse or breaker between."""

    number: int
    nodes: tuple[str, ...]
    conductors: tuple[Edge, ...] = field(repr=False)
    outlets: tuple[tuple[Edge, str], ...] = field(repr=False)
    """Fuses and breakers at its border, each with its node in the zone."""
    loads: tuple[tuple[str, str], ...]
    """(id, node) of the consumers and of the inputs of converters in it."""
    sources: tuple[Edge, ...] = field(repr=False)
    """Sources whose positive or line is in it."""


@dataclass(frozen=True)
class Feed:
    """Fault current into a zone by one way, and the zone seen from there outwards."""

    zone: Zone
    entry: str
    """The node where it comes in."""
    device: str
    """Id of the edge of the fuse or breaker that it comes through; empty where the source stands in the zone."""
    sources: tuple[str, ...]
    """Ids of the source edges behind it."""
    amps: float
    """What they can give together [A]; infinite where a battery is among them."""
    parent: Mapping[str, Edge] = field(repr=False)
    """Node → the edge towards the entry."""
    order: tuple[str, ...] = field(repr=False)
    """The zone's nodes, nearest first."""

    def way(self, node: str) -> tuple[Edge, ...]:
        """The edges from the entry to a node."""
        edges: list[Edge] = []
        while node in self.parent:
            edges.append(self.parent[node])
            node = edges[-1].other(node)
        return tuple(reversed(edges))

    def far(self, edge: Edge) -> str:
        """The end of an edge that lies away from the entry."""
        return max((edge.a, edge.b), key=lambda node: self._depth.get(node, 0))

    @cached_property
    def _depth(self) -> Mapping[str, int]:
        return {node: i for i, node in enumerate(self.order)}

    @cached_property
    def trunk(self) -> frozenset[str]:
        """Ids of the edges from the entry to the first place where the wiring branches."""
        ways: dict[str, list[Edge]] = {node: [] for node in self.order}
        for node, edge in self.parent.items():
            ways[edge.other(node)].append(edge)
        ends = [node for edge, node in self.zone.outlets if edge.id != self.device] + [node for _, node in self.ends]
        found, here = [], self.entry
        while len(ways[here]) == 1 and here not in ends:
            found.append(ways[here][0].id)
            here = ways[here][0].other(here)
        return frozenset(found)

    @cached_property
    def ends(self) -> tuple[tuple[str, str], ...]:
        """(id, node) of what the feed supplies or charges in the zone: loads, and sources that limit themselves."""
        others = [e for e in self.zone.sources if e.kind != "battery" and e.id not in self.sources]
        return (*self.zone.loads, *((e.item, e.b) for e in others))

    @cached_property
    def loads(self) -> Mapping[str, int]:
        """Node → how many such ends lie there or farther out; a live end that leads nowhere counts as one."""
        bare = set(self.order) - {self.parent[n].other(n) for n in self.parent} - {self.entry}
        bare -= {n for _, n in self.zone.outlets} | {e.b for e in self.zone.sources} | {n for _, n in self.ends}
        return self._below([node for _, node in self.ends] + sorted(bare))

    @cached_property
    def outlets(self) -> Mapping[str, int]:
        """Node → how many fuses and breakers, other than the one it comes through, lie there or farther out."""
        return self._below([node for edge, node in self.zone.outlets if edge.id != self.device])

    def _below(self, marks: Iterable[str]) -> Mapping[str, int]:
        count = {node: 0 for node in self.order}
        for node in marks:
            count[node] += 1
        for node in reversed(self.order):
            if node in self.parent:
                count[self.parent[node].other(node)] += count[node]
        return count


class Zones:
    """Every zone of the positives and lines, all switches closed but the links that are closed in need alone.

    Args:
        network: of the vessel
        links: with those closed too
    """

    def __init__(self, network: Network, links: bool = False) -> None:
        self.network = network
        self._links = links
        self.of_node: dict[str, int] = {}
        self.zones = tuple(self._cut())

    def of(self, node: str) -> Zone | None:
        """The zone of a node; None for one that no source reaches, and for a negative."""
        return self.zones[self.of_node[node]] if node in self.of_node else None

    @cached_property
    def feeds(self) -> Mapping[int, tuple[Feed, ...]]:
        """Number of a zone → the ways into it."""
        behind: dict[tuple[int, str, str], list[Edge]] = {}
        for source in self.network.sources():
            if source.b in self.of_node:
                self._spread(source, behind)
        found: dict[int, list[Feed]] = {}
        for (number, device, entry), sources in behind.items():
            found.setdefault(number, []).append(self._feed(self.zones[number], device, entry, sources))
        return {number: tuple(feeds) for number, feeds in found.items()}

    def level(self, start: int) -> dict[int, int]:
        """Number of a zone → how many devices lie between it and the zone `start`."""
        levels, queue = {start: 0}, [start]
        for here in queue:
            for edge, node in self.zones[here].outlets:
                there = self.of_node.get(edge.other(node))
                if there is not None and there not in levels:
                    levels[there] = levels[here] + 1
                    queue.append(there)
        return levels

    def _spread(self, source: Edge, behind: dict[tuple[int, str, str], list[Edge]]) -> None:
        start = self.of_node[source.b]
        levels = self.level(start)
        behind.setdefault((start, "", source.b), []).append(source)
        for here, level in levels.items():
            for edge, node in self.zones[here].outlets:
                there = self.of_node.get(edge.other(node))
                if there is not None and levels[there] == level + 1:
                    behind.setdefault((there, edge.id, edge.other(node)), []).append(source)

    def _feed(self, zone: Zone, device: str, entry: str, sources: list[Edge]) -> Feed:
        inside = set(zone.nodes)
        parent: dict[str, Edge] = {}
        order = [entry]
        seen = {entry}
        for here in order:
            for edge in self.network.at[here]:
                other = edge.other(here)
                if other in inside and other not in seen and self._joins(edge):
                    seen.add(other)
                    parent[other] = edge
                    order.append(other)
        amps = sum(source_amps(e) for e in sources)
        return Feed(zone, entry, device, tuple(e.id for e in sources), amps, parent, tuple(order))

    def _joins(self, edge: Edge) -> bool:
        return edge.conducts and edge.kind not in OVERCURRENT and (self._links or not is_spare_link(self.network, edge))

    def _cut(self) -> list[Zone]:
        network = self.network
        loads: dict[str, list[str]] = {}
        for consumer in network.consumers.values():
            loads.setdefault(consumer.plus, []).append(consumer.id)
        sources: dict[str, list[Edge]] = {}
        for edge in network.edges.values():
            if edge.kind == "input":
                loads.setdefault(edge.a, []).append(edge.item)
        for edge in network.sources():
            sources.setdefault(edge.b, []).append(edge)
        zones = []
        for start, node in network.nodes.items():
            if node.pole in ("+", "L") and start not in self.of_node:
                zones.append(self._zone(len(zones), start, loads, sources))
        return zones

    def _zone(self, number: int, start: str, loads: Mapping[str, list[str]], sources: Mapping[str, list[Edge]]) -> Zone:
        group = [start]
        self.of_node[start] = number
        for here in group:
            for edge in self.network.at[here]:
                other = edge.other(here)
                if other not in self.of_node and self._joins(edge):
                    self.of_node[other] = number
                    group.append(other)
        edges = {edge.id: edge for node in group for edge in self.network.at[node]}
        return Zone(
            number=number,
            nodes=tuple(group),
            conductors=tuple(e for e in edges.values() if e.kind == "conductor"),
            outlets=tuple((e, node) for node in group for e in self.network.at[node] if e.kind in OVERCURRENT),
            loads=tuple((id, node) for node in group for id in loads.get(node, ())),
            sources=tuple(e for node in group for e in sources.get(node, ())),
        )


def source_amps(edge: Edge) -> float:
    """The most that a source gives for long [A]; infinite for a battery, which gives what the wiring lets it."""
    record = edge.record
    if edge.kind == "battery":
        return inf
    if edge.kind == "solar array":
        return record.parallel * record.short_circuit.value * SOLAR_MARGIN
    if edge.kind == "inverter":
        return (record.peak or record.power).value / (record.output.value if record.output else 230.0)
    if edge.kind == "generator":
        return record.power.value / record.voltage.value
    return record.current.value
