"""From the network to what a single-line sheet shows: hubs, and the chains of devices and cables between them.

One pole is drawn. Terminals bolted together are one place, equal cables side by side are one line, a converter is a
thing in the line, and a circuit with many taps is one load.
"""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from ..inventory.devices import Switch
from ..network import Edge, Network
from ..network.model import CONVERTS, PRIMARY

HOT = ("+", "L")
COLD = ("-",)


@dataclass(frozen=True)
class Piece:
    """One thing in a chain: a device, a converter, or cables side by side."""

    edges: tuple[Edge, ...]

    @property
    def first(self) -> Edge:
        return self.edges[0]


@dataclass(frozen=True)
class Chain:
    """From an upper end to a lower one. An end is a hub (a place where lines meet), a source, a load, or nothing."""

    upper: str
    """A hub's node id; `source G1`; `load C21`; or the id of a terminal where nothing goes on."""
    lower: str
    pieces: tuple[Piece, ...]

    @property
    def id(self) -> str:
        inner = ".".join(edge.id for piece in self.pieces for edge in piece.edges)
        return f"{self.upper}>{inner}>{self.lower}"

    def reversed(self) -> Chain:
        return Chain(self.lower, self.upper, self.pieces[::-1])


@dataclass(frozen=True)
class Web:
    """One pole of the network as hubs and chains."""

    hubs: tuple[str, ...]
    """Node ids; of places bolted together, the bar's or panel's."""
    chains: tuple[Chain, ...]
    place: Mapping[str, str]
    """Node → the node that stands for its place."""


def web(network: Network, poles: tuple[str, ...] = HOT) -> Web:
    """The hubs and chains of one pole, sources above."""
    return _Weaver(network, poles).woven()


class _Weaver:
    def __init__(self, network: Network, poles: tuple[str, ...]) -> None:
        self.network = network
        self.poles = poles
        self.hot = poles == HOT
        self.special = self._special()
        self.place = self._places()
        self.lines: dict[str, list[tuple[str, Piece | None]]] = defaultdict(list)
        """Place or leaf → (the one at the other end, what lies between)."""

    def woven(self) -> Web:
        for a, b, piece in self._links():
            self.lines[a].append((b, piece))
            self.lines[b].append((a, piece))
        places = set(self.place.values())
        hubs = [p for p in dict.fromkeys(self.place.values()) if p in self.special or len(self.lines[p]) > 2]
        stops = (
            set(hubs)
            | {end for end in self.lines if end not in places}
            | {p for p in places if len(self.lines[p]) == 1}
        )
        depth = self._depths(set(hubs))
        chains, seen = [], set()
        for start in [*hubs, *sorted(stops - set(hubs))]:
            for other, piece in self.lines[start]:
                chain = self._walk(start, other, piece, stops)
                key = frozenset(edge.id for p in chain.pieces for edge in p.edges) or frozenset(
                    (chain.upper, chain.lower)
                )
                if key not in seen:
                    seen.add(key)
                    chains.append(self._upright(chain, depth))
        return Web(tuple(hubs), tuple(_sources_above(hubs, chains) if self.hot else chains), self.place)

    # places

    def _special(self) -> set[str]:
        inventory = self.network.inventory
        found = {*inventory.bars, *(f"{p.id} L" if p.ac else p.id for p in inventory.panels.values())}
        for switch in inventory.switches.values():
            if _throws(switch):
                found |= {e.b for e in self.network.of_item.get(switch.id, ())}
        return {id for id in found if id in self.network.nodes and self._ours(id)}

    def _ours(self, node: str) -> bool:
        return self.network.nodes[node].pole in self.poles

    def _places(self) -> dict[str, str]:
        """Node → representative; terminals joined without a cable are one place, unless both are special."""
        parent = {id: id for id in self.network.nodes if self._ours(id)}

        def find(id: str) -> str:
            while parent[id] != id:
                parent[id] = parent[parent[id]]
                id = parent[id]
            return id

        for edge in self.network.edges.values():
            if edge.kind == "joint" and edge.a in parent and edge.b in parent:
                a, b = find(edge.a), find(edge.b)
                if a != b and not (a in self.special and b in self.special):
                    if b in self.special:
                        a, b = b, a
                    parent[b] = a
        return {id: find(id) for id in parent}

    def _taps(self) -> set[str]:
        """Edges behind a circuit's hub: its taps are one load."""
        taps = {tap for circuit in self.network.inventory.circuits.values() for tap in circuit.loads}
        return {e.id for e in self.network.edges.values() if e.a.split(" ")[0] in taps or e.b.split(" ")[0] in taps}

    def _links(self) -> Iterator[tuple[str, str, Piece | None]]:
        taps = self._taps()
        side_by_side: dict[tuple[str, str], list[Edge]] = defaultdict(list)
        for edge in self.network.edges.values():
            if edge.id in taps or edge.a not in self.place or edge.b not in self.place:
                continue
            a, b = self.place[edge.a], self.place[edge.b]
            if a == b or not edge.conducts:
                continue
            if edge.kind == "conductor":
                side_by_side[(a, b) if a < b else (b, a)].append(edge)
            elif edge.kind != "bond" or not self.hot:
                throw = edge.kind == "switch" and isinstance(edge.record, Switch) and _throws(edge.record)
                yield a, b, None if throw else Piece((edge,))
        for (a, b), edges in side_by_side.items():
            yield a, b, Piece(tuple(edges))
        yield from self._leaves(taps)

    def _leaves(self, taps: set[str]) -> Iterator[tuple[str, str, Piece | None]]:
        network = self.network
        for edge in network.sources():
            end = edge.b if self.hot else edge.a
            if edge.kind in PRIMARY and end in self.place:
                yield f"source {edge.item}", self.place[end], None
            elif edge.kind in CONVERTS and self.hot and edge.b in self.place:
                entry = network.input_of(edge).a
                if entry in self.place:
                    yield self.place[entry], self.place[edge.b], Piece((edge,))
        for consumer in network.consumers.values():
            end = consumer.plus if self.hot else consumer.minus
            if consumer.id == consumer.circuit and end in self.place:
                yield self.place[end], f"load {consumer.id}", None
        for circuit in network.inventory.circuits.values():
            pole = ("L" if f"{circuit.id} L" in network.nodes else "+") if self.hot else "-"
            if circuit.loads and f"{circuit.id} {pole}" in self.place:
                yield self.place[f"{circuit.id} {pole}"], f"load {circuit.id}", None

    # chains

    def _walk(self, start: str, here: str, piece: Piece | None, stops: set[str]) -> Chain:
        pieces = [piece] if piece else []
        came, used = start, piece
        while here not in stops:
            onward = [(o, p) for o, p in self.lines[here] if not (o == came and p is used)]
            came, (here, used) = here, onward[0]
            if used:
                pieces.append(used)
        return Chain(start, here, tuple(pieces))

    def _depths(self, hubs: set[str]) -> dict[str, int]:
        """How many hubs lie between a place and the nearest source of energy; a converter's far side lies deeper."""
        depth = {end: 0 for end in sorted(self.lines) if end.startswith("source ")}
        queue = deque(depth)
        while queue:
            end = queue.popleft()
            for other, piece in self.lines[end]:
                through = piece is not None and piece.first.kind in CONVERTS
                if through and self.place.get(piece.first.b) == end:
                    continue  # against the converter's direction
                if other not in depth:
                    depth[other] = depth[end] + (1 if other in hubs else 0) + (1 if through else 0)
                    queue.append(other)
        return depth

    def _upright(self, chain: Chain, depth: Mapping[str, int]) -> Chain:
        far = 10_000
        for piece in chain.pieces:
            if piece.first.kind in CONVERTS:  # energy decides: its input is above
                entry = self.place.get(self.network.input_of(piece.first).a)
                ahead = self._reaches(chain, piece, entry)
                return chain if ahead else chain.reversed()
        if chain.lower.startswith("source ") or chain.upper.startswith("load "):
            return chain.reversed()
        if chain.upper.startswith("source ") or chain.lower.startswith("load "):
            return chain
        return chain if depth.get(chain.upper, far) <= depth.get(chain.lower, far) else chain.reversed()

    def _reaches(self, chain: Chain, wanted: Piece, entry: str | None) -> bool:
        """Whether, walking down the chain, the converter is met at its input."""
        here = chain.upper
        for piece in chain.pieces:
            if piece is wanted:
                return here == entry
            ends = {self.place[node] for edge in piece.edges for node in self._ends(edge)}
            here = next((end for end in ends if end != here), here)
        return False

    def _ends(self, edge: Edge) -> Iterable[str]:
        if edge.kind in CONVERTS:
            return (self.network.input_of(edge).a, edge.b)
        return (edge.a, edge.b)


def _throws(switch: Switch) -> bool:
    return switch.kind in ("change-over", "selector")


def _sources_above(hubs: list[str], chains: list[Chain]) -> list[Chain]:
    """Chains down to a bar that only collects sources turned over, so that the sources stand above what they charge."""
    for hub in hubs:
        feeds = [c for c in chains if c.lower == hub and not c.upper.startswith("source ")]
        gathers = any(c.lower == hub and c.upper.startswith("source ") for c in chains)
        if len(feeds) == 1 and gathers and not any(c.upper == hub for c in chains):
            (feed,) = feeds
            if not any(piece.first.kind in CONVERTS for piece in feed.pieces):
                chains = [feed.reversed() if c is feed else c for c in chains]
    return chains
