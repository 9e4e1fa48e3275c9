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
    graph: nx.MultiGraph = field(repr=False)
    """The core: nodes and edges keyed by edge id."""

    @cached_property
    def part(self) -> Mapping[str, int]:
        """Core node → number of the joined part that it is in."""
        return {node: i for i, nodes in enumerate(nx.connected_components(self.graph)) for node in nodes}

    @cached_property
    def bridges(self) -> frozenset[str]:
        """Ids of the core's edges without which a part falls in two."""
        simple = nx.Graph()
        simple.add_nodes_from(self.graph)
        for a, b, key in self.graph.edges(keys=True):
            if simple.has_edge(a, b):
                simple[a][b]["id"] = None
            else:
                simple.add_edge(a, b, id=key)
        return frozenset(id for a, b in nx.bridges(simple) if (id := simple[a][b]["id"]) is not None)

    def attach(self, node: str) -> str:
        """The core node from which a node hangs; itself for a core node."""
        return self._attach[node]

    @cached_property
    def _attach(self) -> Mapping[str, str]:
        found = {node: node for node in self.graph}
        for node in reversed(self.order):
            found[node] = found[self.parent[node][1]]
        return found

    def outward(self, node: str) -> tuple[Edge, ...]:
        """The radial edges from the core to a node, in that order."""
        way = []
        while node in self.parent:
            edge, node = self.parent[node]
            way.append(edge)
        return tuple(reversed(way))

    def reopened(self, edges: Iterable[str]) -> Core:
        """The same core with further edges of it opened; what hangs from it hangs on."""
        graph = self.graph.copy()
        for id in edges:
            edge = self.network.edges[id]
            graph.remove_edge(edge.a, edge.b, id)
        return Core(self.network, self.positions, self.opened | frozenset(edges), self.parent, self.order, graph)

    def joined(self, a: str, b: str) -> bool:
        return self.part[self.attach(a)] == self.part[self.attach(b)]


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
    graph = nx.MultiGraph()
    graph.add_nodes_from(node for node in network.nodes if node not in parent)
    graph.add_edges_from((e.a, e.b, e.id) for node, edges in at.items() for e in edges.values() if node == e.a)
    return Core(network, positions, opened, parent, tuple(order), graph)
