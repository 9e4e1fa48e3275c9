"""Which handles a hand can open, the smallest set of them that kills a part of the boat, and what stays live after it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

import networkx as nx

from ..inventory.fields import Location
from .live import alive, all_primary, hot_nodes, state
from .model import PRIMARY, Edge, Network

FUSE_COST = 1000
"""A fuse counts as a handle only where nothing else does."""


@dataclass(frozen=True)
class Handle:
    """What a hand can open without a tool: isolator, breaker, plug, stop control. A fuse only as a last resort."""

    id: str
    """Item id; a panel's way is `X4 way 7`; a source's stop is the source's id."""
    kind: str
    """`switch`, `breaker`, `fuse`, `plug` or `stop`."""
    name: str
    action: str
    """What to do, verb first: `turn OFF`."""
    at: Location | None = None
    see: str = ""
    edges: tuple[str, ...] = ()
    """The conducting edges that it opens; a stop or plug opens its source instead."""
    source: str = ""
    """The source edge that it stops."""
    stays_on: bool = False
    """Meant to be left on in an emergency."""

    @property
    def cost(self) -> int:
        return FUSE_COST if self.kind == "fuse" else 1


@dataclass(frozen=True)
class Isolation:
    """The smallest set of handles that kills a target, and what it leaves."""

    target: str
    handles: tuple[Handle, ...]
    live: Mapping[str, tuple[str, ...]] = field(repr=False)
    """Node → source edges that still keep it live."""
    working: tuple[str, ...] = field(repr=False)
    """Consumers that still work."""
    unstoppable: tuple[str, ...] = ()
    """Sources that no handle cuts off from the target, left out of the set and to be named: an array in daylight."""
    keep_off: tuple[Handle, ...] = ()
    """Switches that are off in normal use and must be found off: a paralleling switch."""


def handles(network: Network) -> tuple[Handle, ...]:
    """Every handle aboard, in the order of the inventory."""
    inventory = network.inventory
    found: list[Handle] = []
    for switch in inventory.switches.values():
        edges = tuple(e.id for e in network.of_item.get(switch.id, ()) if e.kind == "switch")
        if switch.access not in ("hidden", "tool"):
            action = "put to OFF" if switch.kind in ("change-over", "selector") else "turn OFF"
            found.append(Handle(switch.id, "switch", switch.title, action, switch.at, switch.see or "", edges, "", switch.stays_on))
    for breaker in inventory.breakers.values():
        edges = tuple(e.id for e in network.of_item.get(breaker.id, ()) if e.kind == "breaker")
        if breaker.access not in ("hidden", "tool"):
            found.append(Handle(breaker.id, "breaker", breaker.title, "switch OFF", breaker.at, breaker.see or "", edges))
    for panel in inventory.panels.values():
        found += _ways(network, panel)
    for fuse in inventory.fuses.values():
        edges = tuple(e.id for e in network.of_item.get(fuse.id, ()))
        if not fuse.hidden:
            found.append(Handle(fuse.id, "fuse", fuse.title, "pull the fuse", fuse.at, "", edges))
    for inlet in inventory.shore_inlets.values():
        found.append(Handle(inlet.id, "plug", inlet.title, "unplug, shore end first", inlet.at, "", (), inlet.id))
    for source in (*inventory.alternators.values(), *inventory.solar_arrays.values()):
        if source.stop:
            see = source.stop.see or ""
            found.append(Handle(source.id, "stop", source.title, source.stop.action, source.stop.at or source.at, see, (), source.id))
    return tuple(found)


def _ways(network: Network, panel) -> list[Handle]:
    found = []
    fed = {}
    for circuit in network.inventory.circuits.values():
        fed.setdefault(circuit.source, []).append(circuit)
    for number, way in panel.ways.items():
        if way.spare:
            continue
        id = f"{panel.id} way {number}"
        edges = tuple(e.id for e in network.of_item[panel.id] if e.path == ("panels", panel.id, "ways", number) and e.record)
        kind = network.edges[edges[0]].kind
        circuits = fed.get(id, [])
        name = way.label or ", ".join(c.title for c in circuits) or f"way {number}"
        stays = any(c.stays_on for c in circuits)
        action = "switch OFF" if kind == "breaker" else "pull the fuse"
        found.append(Handle(id, kind, f"{name} ({panel.title}, way {number})", action, panel.at, "", edges, "", stays))
    return found


class Isolator:
    """Answers for one network; the contracted graph is made once."""

    def __init__(self, network: Network) -> None:
        self.network = network
        self.handles = handles(network)
        self.insulated = network.inventory.vessel.earth == "insulated"
        self._contracted = {fuses: self._contract(fuses) for fuses in (False, True)}
        self._cluster = self._contracted[False]
        self._left_on = self._meant_to_stay_on()
        # a change-over may stand in any position when it burns; a switch that is normally off is only to be kept off
        self._in_use = frozenset(e.id for h in self.handles for e in (network.edges[id] for id in h.edges) if self._may_be_closed(e))
        self._stops = {h.source: h for h in self.handles if h.source}
        self._by_edge = {edge: h for h in self.handles for edge in h.edges}

    def ship(self) -> Isolation:
        """The set for the whole ship, leaving on what is meant to stay on."""
        return self.kill("ship", [n for n in self.network.nodes])

    def system(self, system: str) -> Isolation:
        """The set that kills one voltage system."""
        return self.kill(system, [n.id for n in self.network.nodes.values() if n.system == system])

    def space(self, space: str) -> Isolation:
        """The set that kills what is in one space: the items there and the cables through it."""
        return self.kill(space, self.nodes_in(space))

    def nodes_in(self, space: str) -> list[str]:
        """The nodes of the items in a space, and the ends of the cables through it."""
        network, found = self.network, set()
        here = {item.id for item in network.inventory.items() if item.at and item.at.space == space}
        here |= {c.id for c in network.consumers.values() if c.record.at and c.record.at.space == space}
        for edge in network.edges.values():
            if edge.item in here and edge.kind != "conductor" or (edge.cable and space in edge.cable.spaces):
                found |= {edge.a, edge.b}
        found |= {node for c in network.consumers.values() if c.id in here for node in (c.plus, c.minus)}
        return sorted(found | {n.id for n in network.nodes.values() if n.item in here and n.item not in network.inventory.circuits})

    def kill(self, target: str, nodes: Iterable[str]) -> Isolation:
        """The smallest set of handles after which none of `nodes` is live but those that no handle can kill."""
        wanted = [n for n in nodes if self._is_hot_pole(n) and n not in self._left_on]
        stubborn = self._unstoppable(wanted)
        chosen = self._cut(wanted, frozenset(stubborn), fuses=False)
        isolation = self.after(target, chosen, stubborn)
        loads = {c.plus for c in self.network.consumers.values()}
        still = [n for n in wanted if n in loads and not set(isolation.live.get(n, ())) <= set(stubborn)]
        if still:  # only a fuse is left for these
            chosen += [h for h in self._cut(still, frozenset(stubborn), fuses=True) if h not in chosen]
            isolation = self.after(target, chosen, stubborn)
        return isolation

    def after(self, target: str, chosen: Iterable[Handle], stubborn: Iterable[str] = ()) -> Isolation:
        """What a set of handles leaves live and leaves working."""
        chosen = tuple(chosen)
        opened = [edge for h in chosen for edge in h.edges]
        on = all_primary(self.network) - {h.source for h in chosen if h.source}
        core = state(self.network, {}, opened)
        live = hot_nodes(core, on, self.insulated)
        working = alive(core, on - {e.id for e in self.network.sources() if e.kind in ("shore", "alternator")}).consumers
        order = [c for c in self.network.consumers if c in working]
        keep_off = tuple(h for h in self.handles if h.kind != "fuse" and h.edges and not self._in_use & set(h.edges))
        return Isolation(target, chosen, live, tuple(order), tuple(stubborn), keep_off)

    # the contracted graph: clusters of nodes with no handle between them

    def _is_hot_pole(self, node: str) -> bool:
        pole = self.network.nodes[node].pole
        return pole in ("+", "L") or (pole == "-" and self.insulated)

    def _may_be_closed(self, edge: Edge) -> bool:
        return not edge.positions or self.network.normal.get(edge.item) != "off"

    def _meant_to_stay_on(self) -> frozenset[str]:
        """Nodes of the circuits that are left on in an emergency."""
        network = self.network
        circuits = {c.id for c in network.inventory.circuits.values() if c.stays_on}
        return frozenset(node for e in network.edges.values() if e.item in circuits for node in (e.a, e.b))

    def _contract(self, fuses: bool) -> Mapping[str, int]:
        """Node → cluster of nodes with no handle between them; `fuses` counts fuses as handles."""
        by_handle = {edge for h in self.handles for edge in h.edges if not h.stays_on and (fuses or h.kind != "fuse")}
        cluster: dict[str, int] = {}
        for number, start in enumerate(self.network.nodes):
            stack = [start] if start not in cluster else []
            while stack:
                node = stack.pop()
                if node in cluster:
                    continue
                cluster[node] = number
                stack += [e.other(node) for e in self.network.at[node] if e.conducts and e.id not in by_handle]
        return cluster

    def _flow_graph(self, without: frozenset[str]) -> nx.DiGraph:
        """Capacity = what it costs a hand to open; no capacity given means that it cannot be opened."""
        graph = nx.DiGraph()
        for h in self.handles:
            for edge in (self.network.edges[id] for id in h.edges if id in self._in_use):
                self._link(graph, self._cluster[edge.a], self._cluster[edge.b], h.cost)
                self._link(graph, self._cluster[edge.b], self._cluster[edge.a], h.cost)
        for edge in self.network.sources():
            end = self._cluster[edge.b]
            if edge.kind in PRIMARY and edge.id not in without:
                stop = self._stops.get(edge.id)
                self._link(graph, "sources", end, stop.cost if stop else None)
            elif edge.kind not in PRIMARY:
                self._link(graph, self._cluster[self.network.input_of(edge).a], end, None)
        return graph

    @staticmethod
    def _link(graph: nx.DiGraph, a: object, b: object, cost: int | None) -> None:
        if a == b:
            return
        if cost is None:
            graph.add_edge(a, b)
        elif not graph.has_edge(a, b):
            graph.add_edge(a, b, capacity=cost)
        elif "capacity" in graph[a][b]:
            graph[a][b]["capacity"] += cost

    def _reach(self, graph: nx.DiGraph, handles_open: bool) -> set:
        """Clusters that energy reaches; with every handle open, or with every handle closed."""
        if "sources" not in graph:
            return set()
        seen, stack = set(), ["sources"]
        while stack:
            node = stack.pop()
            if node not in seen:
                seen.add(node)
                stack += [b for b in graph[node] if not (handles_open and "capacity" in graph[node][b])]
        return seen

    def _unstoppable(self, wanted: list[str]) -> list[str]:
        """Sources that no handle parts from a bar or panel, where some of `wanted` is reached beyond them."""
        primary = [edge.id for edge in self.network.sources() if edge.kind in PRIMARY]
        targets = {self._cluster[n] for n in wanted}
        found = []
        for id in primary:
            if self.network.edges[id].kind == "battery" or id in self._stops:
                continue
            reached = self._reach(self._flow_graph(frozenset(primary) - {id}), handles_open=True)
            if reached & targets and self._feeds_bar(reached):
                found.append(id)
        return found

    def _feeds_bar(self, reached: set) -> bool:
        """Whether energy gets, with every handle open, as far as a bar or panel that others share."""
        inventory = self.network.inventory
        shared = [*inventory.bars, *(p if not panel.ac else f"{p} L" for p, panel in inventory.panels.items())]
        return any(self._cluster[id] in reached for id in shared if id in self._cluster)

    def _cut(self, wanted: list[str], stubborn: frozenset[str], fuses: bool) -> list[Handle]:
        self._cluster = self._contracted[fuses]
        graph = self._flow_graph(stubborn)
        dead_anyway = self._reach(graph, handles_open=True)
        targets = {self._cluster[n] for n in wanted} - dead_anyway
        targets &= self._reach(graph, handles_open=False)
        if not targets:
            return []
        for target in targets:
            graph.add_edge(target, "target")
        _, (near, _) = nx.minimum_cut(graph, "sources", "target")
        return self._crossing(near, stubborn)

    def _crossing(self, near: set, stubborn: frozenset[str]) -> list[Handle]:
        """The handles between the two sides of a cut."""
        chosen = []
        for h in self.handles:
            edges = [self.network.edges[id] for id in h.edges if id in self._in_use]
            ends = [(self._cluster[e.a] in near, self._cluster[e.b] in near) for e in edges]
            cuts_line = not h.stays_on and any(a != b for a, b in ends)
            source = self.network.edges.get(h.source)
            stops = source is not None and source.id not in stubborn and self._cluster[source.b] not in near
            if cuts_line or stops:
                chosen.append(h)
        return chosen

