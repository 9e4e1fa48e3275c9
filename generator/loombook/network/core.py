"""The network in one operating condition, split into its core and the radial wiring that hangs from it.

Most of a boat's wiring is radial: from a bar outwards with nothing beyond. Radial parts need no graph search, so every
question is asked of the small core and carried outwards.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property

import networkx as nx

from .model import Edge, Network


@dataclass(frozen=True)
class Core:
    """The conducting graph with the switches in given positions and some edges opened."""

    network: Network = field(repr=False)
    positions: Mapping[str, str]
    opened: frozenset[str]
    parent: Mapping[str, tuple[Edge, str]] = field(repr=False)
    """Radial node → the edge towards the core and the node at its other end."""
    order: tuple[str, ...] = field(repr=False)
    """Radial nodes, outermost first."""
    root: Mapping[str, str] = field(repr=False)
    """Node → the core node from which it hangs; itself for a core node."""
    nodes: tuple[str, ...] = field(repr=False)
    """The core's nodes."""
    ties: tuple[Edge, ...] = field(repr=False)
    """The core's edges."""

    @cached_property
    def graph(self) -> nx.MultiGraph:
        """The core for searches: nodes, and edges keyed by edge id."""
        graph = nx.MultiGraph()
        graph.add_nodes_from(self.nodes)
        graph.add_edges_from((edge.a, edge.b, edge.id) for edge in self.ties)
        return graph

    @cached_property
    def part(self) -> Mapping[str, int]:
        """Core node → number of the joined part that it is in."""
        return self.parts()

    @cached_property
    def bridges(self) -> frozenset[str]:
        """Ids of the core's edges without which a part falls in two."""
        simple = nx.Graph()
        simple.add_nodes_from(self.nodes)
        for edge in self.ties:
            parallel = simple.has_edge(edge.a, edge.b)
            simple.add_edge(edge.a, edge.b, id=None if parallel else edge.id)
        return frozenset(id for a, b in nx.bridges(simple) if (id := simple[a][b]["id"]) is not None)

    def attach(self, node: str) -> str:
        """The core node from which a node hangs; itself for a core node."""
        return self.root[node]

    def outward(self, node: str) -> tuple[Edge, ...]:
        """The radial edges from the core to a node, in that order."""
        way = []
        while node in self.parent:
            edge, node = self.parent[node]
            way.append(edge)
        return tuple(reversed(way))

    def reopened(self, edges: Iterable[str]) -> Core:
        """The same core with further edges of it opened; what hangs from it hangs on."""
        opened = frozenset(edges)
        ties = tuple(edge for edge in self.ties if edge.id not in opened)
        return Core(
            self.network, self.positions, self.opened | opened, self.parent, self.order, self.root, self.nodes, ties
        )

    def joined(self, a: str, b: str) -> bool:
        return self.part[self.attach(a)] == self.part[self.attach(b)]

    def parts(self, opened: Iterable[str] = ()) -> Mapping[str, int]:
        """Core node → number of the joined part that it is in, with further edges of the core opened."""
        opened = frozenset(opened)
        found: dict[str, int] = {}
        for number, start in enumerate(self.nodes):
            if start in found:
                continue
            found[start] = number
            waiting = [start]
            while waiting:
                for id, other in self._beside[waiting.pop()]:
                    if other not in found and id not in opened:
                        found[other] = number
                        waiting.append(other)
        return found

    @cached_property
    def _beside(self) -> Mapping[str, tuple[tuple[str, str], ...]]:
        """Core node → its edges, each with the node at the other end."""
        found: dict[str, list[tuple[str, str]]] = {node: [] for node in self.nodes}
        for edge in self.ties:
            found[edge.a].append((edge.id, edge.b))
            found[edge.b].append((edge.id, edge.a))
        return {node: tuple(edges) for node, edges in found.items()}

    def rings(self) -> tuple[tuple[str, ...], ...]:
        """Groups of core edges of which any two cut a part in two together: the edges that lie on the same cycles.

        Each edge outside a spanning tree closes one cycle and has a bit of its own; an edge of the tree carries the
        bits of the cycles that it lies on. Two edges with the same bits cut together; without bits it cuts alone.
        """
        up: dict[str, tuple[str, str]] = {}
        seen: list[str] = []
        bits: dict[str, int] = {}
        sums = dict.fromkeys(self.nodes, 0)
        for start in self.nodes:
            if start not in up:
                up[start] = ("", "")
                waiting = [start]
                while waiting:
                    node = waiting.pop()
                    seen.append(node)
                    for id, other in self._beside[node]:
                        if other not in up:
                            up[other] = (id, node)
                            waiting.append(other)
        tree = {id for id, _ in up.values()}
        for edge in self.ties:
            if edge.id not in tree:
                bits[edge.id] = 1 << len(bits)
                sums[edge.a] ^= bits[edge.id]
                sums[edge.b] ^= bits[edge.id]
        for node in reversed(seen):
            id, above = up[node]
            if id:
                bits[id] = sums[node]
                sums[above] ^= sums[node]
        groups: dict[int, list[str]] = {}
        for id in sorted(bits):
            groups.setdefault(bits[id], []).append(id)
        return tuple(tuple(ids) for mask, ids in groups.items() if mask and len(ids) > 1)


def core_of(network: Network, positions: Mapping[str, str], opened: Iterable[str] = ()) -> Core:
    """Strip the radial wiring; terminals of sources and inputs stay in the core."""
    opened = frozenset(opened)
    closed = list(network.closed(positions, opened))
    keep = {node for e in network.edges.values() if not e.conducts and e.kind != "load" for node in (e.a, e.b)}
    at: dict[str, dict[str, Edge]] = {node: {} for node in network.nodes}
    for edge in closed:
        if edge.a != edge.b:
            at[edge.a][edge.id] = edge
            at[edge.b][edge.id] = edge
    parent: dict[str, tuple[Edge, str]] = {}
    order: list[str] = []
    leaves = [node for node, edges in at.items() if len(edges) == 1 and node not in keep]
    while leaves:
        node = leaves.pop()
        if len(at[node]) != 1:
            continue  # its last neighbour was stripped first: it is the root of an island
        ((id, edge),) = at[node].items()
        other = edge.other(node)
        parent[node] = (edge, other)
        order.append(node)
        at[node].clear()
        del at[other][id]
        if len(at[other]) == 1 and other not in keep:
            leaves.append(other)
    nodes = tuple(node for node in network.nodes if node not in parent)
    ties = tuple(e for node, edges in at.items() for e in edges.values() if node == e.a)
    root = {node: node for node in nodes}
    for node in reversed(order):
        root[node] = root[parent[node][1]]
    return Core(network, positions, opened, parent, tuple(order), root, nodes, ties)
