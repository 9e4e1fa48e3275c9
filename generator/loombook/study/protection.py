"""For each live conductor the fuses and breakers first met towards its sources, and the sources that reach it without
any."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import inf

from ..network import Edge, Network
from .guardmodel import Protection

DEVICES = ("fuse", "breaker")
HOT = ("+", "L")
UNLIMITED = ("battery", "shore")
"""Kinds of source whose fault current blows a fuse; the others limit themselves."""


def protection(network: Network, clusters: Clusters) -> Mapping[str, Protection]:
    """Conductor edge id → its protection, for every conductor on a live pole."""
    return {
        edge.id: clusters.protects(edge)
        for edge in network.edges.values()
        if edge.kind == "conductor" and clusters.is_hot(edge)
    }


class Clusters:
    """The live pole cut up at its fuses and breakers: within a cluster nothing protects."""

    def __init__(self, network: Network) -> None:
        self.network = network
        self.of = self._label()
        self.devices: dict[int, list[tuple[int, Edge]]] = {}
        for edge in network.edges.values():
            if edge.kind in DEVICES and self.is_hot(edge) and self.of[edge.a] != self.of[edge.b]:
                self.devices.setdefault(self.of[edge.a], []).append((self.of[edge.b], edge))
                self.devices.setdefault(self.of[edge.b], []).append((self.of[edge.a], edge))
        self.sources: dict[int, list[Edge]] = {}
        for edge in network.sources():
            for node in (edge.b, edge.a):
                if node in self.of:
                    self.sources.setdefault(self.of[node], []).append(edge)
        self._radial: set[int] = set()
        self._behind: dict[tuple[str, int], tuple[Edge, ...]] = {}
        self.towards = self._towards_sources()
        self._all_sources = self._sources_of_islands()

    def is_hot(self, edge: Edge) -> bool:
        return edge.a in self.of and edge.b in self.of

    def _label(self) -> dict[str, int]:
        hot = {n.id for n in self.network.nodes.values() if n.pole in HOT}
        found: dict[str, int] = {}
        for number, start in enumerate(self.network.nodes):
            stack = [start] if start in hot and start not in found else []
            while stack:
                node = stack.pop()
                if node in found:
                    continue
                found[node] = number
                stack += [
                    e.other(node)
                    for e in self.network.at[node]
                    if e.conducts and e.kind not in DEVICES and e.other(node) in hot
                ]
        return found

    def _towards_sources(self) -> Mapping[int, tuple[str, ...]]:
        """Cluster → the devices at its border with a source behind them that needs not come through the cluster
        again."""
        links = {cluster: dict((e.id, other) for other, e in edges) for cluster, edges in self.devices.items()}
        found: dict[int, tuple[str, ...]] = {}
        leaves = [c for c, edges in links.items() if len(edges) == 1 and c not in self.sources]
        while leaves:  # radial clusters: all that feeds them comes through one device
            cluster = leaves.pop()
            if len(links[cluster]) != 1:
                continue
            ((device, other),) = links[cluster].items()
            found[cluster] = (device,)
            self._radial.add(cluster)
            links[cluster].clear()
            del links[other][device]
            if len(links[other]) == 1 and other not in self.sources:
                leaves.append(other)
        for cluster, edges in links.items():
            if cluster not in found:
                found[cluster] = tuple(
                    id for id, other in sorted(edges.items()) if self._has_source(links, other, cluster)
                )
        return found

    def _has_source(self, links: Mapping[int, Mapping[str, int]], start: int, without: int) -> bool:
        seen, stack = {without}, [start]
        while stack:
            cluster = stack.pop()
            if cluster in self.sources:
                return True
            if cluster not in seen:
                seen.add(cluster)
                stack += [other for other in links.get(cluster, {}).values() if other not in seen]
        return False

    def _sources_of_islands(self) -> Mapping[int, tuple[Edge, ...]]:
        """Cluster → every source of the clusters that devices join it to."""
        found: dict[int, tuple[Edge, ...]] = {}
        for start in {*self.devices, *self.sources}:
            if start not in found:
                island = self._reach(start, None)
                sources = tuple(e for c in sorted(island) for e in self.sources.get(c, ()))
                found |= dict.fromkeys(island, sources)
        return found

    def _reach(self, start: int, without: int | None) -> set[int]:
        seen, stack = set(), [start]
        while stack:
            cluster = stack.pop()
            if cluster not in seen and cluster != without:
                seen.add(cluster)
                stack += [other for other, _ in self.devices.get(cluster, ())]
        return seen

    def sources_behind(self, device: Edge, cluster: int) -> tuple[Edge, ...]:
        """The sources that a device lets into one of its two clusters from the other, not through the cluster
        itself."""
        if cluster in self._radial:
            return self._all_sources.get(cluster, ())
        key = (device.id, cluster)
        if key not in self._behind:
            other = self.of[device.a] if self.of[device.b] == cluster else self.of[device.b]
            self._behind[key] = tuple(e for c in sorted(self._reach(other, cluster)) for e in self.sources.get(c, ()))
        return self._behind[key]

    def upstream(self, device: Edge, cluster: int) -> tuple[str, ...]:
        """The devices between a device and the sources behind it that do not limit themselves, the nearest first."""
        other = self.of[device.a] if self.of[device.b] == cluster else self.of[device.b]
        found, seen, waiting = [], {cluster}, [other]
        while waiting:
            here = waiting.pop(0)
            if here in seen:
                continue
            seen.add(here)
            for id in self.towards.get(here, ()):
                edge = self.network.edges[id]
                beyond = self.of[edge.a] if self.of[edge.b] == here else self.of[edge.b]
                strong = any(e.kind in UNLIMITED for e in self.sources_behind(edge, here))
                if beyond not in seen and id != device.id and strong:
                    found.append(id)
                    waiting.append(beyond)
        return tuple(dict.fromkeys(found))

    def protects(self, edge: Edge) -> Protection:
        cluster = self.of[edge.a]
        devices = self.towards.get(cluster, ())
        direct = self.sources.get(cluster, ())
        if not direct:
            return Protection(devices)
        return Protection(devices, tuple(sorted(e.id for e in direct)), self._distance(edge, direct))

    def _distance(self, edge: Edge, sources: Iterable[Edge]) -> float | None:
        """From the nearest source's terminal through this conductor to the first device beyond it [m]; None where there
        is none or a length is missing."""
        found = []
        for source in sources:
            terminal = source.b if source.b in self.of else source.a
            reach = self._lengths(terminal, without=edge.id)
            for near, far in ((edge.a, edge.b), (edge.b, edge.a)):
                if near in reach and (far not in reach or reach[near] <= reach[far]):
                    beyond = self._lengths(far, without=edge.id)
                    ends = [
                        beyond[n] for n in beyond if n != near and any(e.kind in DEVICES for e in self.network.at[n])
                    ]
                    if ends:
                        found.append(reach[near] + _length(edge) + min(ends))
        best = min(found, default=inf)
        return best if best < inf else None

    def _lengths(self, start: str, without: str) -> Mapping[str, float]:
        """Node of the cluster → length of conductor from `start` without passing one edge."""
        found = {start: 0.0}
        queue = [start]
        while queue:
            node = queue.pop()
            for e in self.network.at[node]:
                other = e.other(node)
                if e.id == without or not e.conducts or e.kind in DEVICES or other not in self.of:
                    continue
                there = found[node] + _length(e)
                if there < found.get(other, inf):
                    found[other] = there
                    queue.append(other)
        return found


def _length(edge: Edge) -> float:
    if not edge.cable:
        return 0.0
    return edge.cable.length.high if edge.cable.length else inf
