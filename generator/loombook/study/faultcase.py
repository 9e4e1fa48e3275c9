"""The fault cases of a vessel: in which state, with which resistances and which sources each place is shorted."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np

from ..network import Edge, Network
from ..network.live import alive, all_primary
from . import defaults as d
from .accase import put, reactances
from .grid import Grid, grid_of
from .layout import Case
from .ledger import Ledger
from .loads import load_amps
from .model import Resistance
from .opposite import opposites
from .solve import bare_circuit, solve
from .sources import Source, fault_sources, nominal_across
from .states import Cores, ac_states, worst_states
from .thevenin import Asked, Feed, Shorts, shorts

LEAST = 1e-6
SHORT = 1e-8
"""Resistance of a short circuit where it has to have one [Ω]."""
Way = tuple[str, ...]
"""Sources that feed alone: one battery, or batteries in series."""


@dataclass(frozen=True)
class FaultCase:
    """One state of the boat with the resistances and sources of one extreme, and the places to short in it."""

    name: str
    grid: Grid = field(repr=False)
    ohms: Mapping[str, float] = field(repr=False)
    """Edge id → resistance [Ω]; inf where it is not known and therefore left out."""
    feeds: Sequence[Feed]
    pairs: Sequence[tuple[str, str]] = field(repr=False)
    """(live node, the node that it is shorted to)."""
    reactances: Mapping[str, float] = field(default_factory=dict, repr=False)
    """Edge id → reactance, of AC cables [Ω]."""
    most: bool = True
    """Whether an AC source of unknown angle counts so that the current is largest, or smallest."""

    @property
    def edges(self) -> list[Edge]:
        """The edges that conduct in it."""
        core = self.grid.core
        closed = core.network.closed(core.positions, core.opened)
        return [e for e in closed if np.isfinite(self.ohms[e.id]) and e.a != e.b]

    @cached_property
    def extra(self) -> np.ndarray:
        """Resistance of the radial wiring out to each place and back [Ω]."""
        out = self.grid.radial(self.ohms)
        return np.array([out[a] + out[b] for a, b in self.pairs])

    @cached_property
    def watch(self) -> tuple[str, ...]:
        """The fuses and breakers in the core: what they carry in each fault is found too."""
        edges = self.grid.core.network.edges
        return tuple(id for id in self.grid.edges if edges[id].kind in ("fuse", "breaker"))

    @cached_property
    def alternating(self) -> np.ndarray:
        """The places of alternating current, by their number."""
        nodes = self.grid.core.network.nodes
        return np.array([i for i, (node, _) in enumerate(self.pairs) if nodes[node].pole == "L"], dtype=int)

    def solve(self, ruling: bool = True) -> Shorts:
        """Short every place, one at a time; those of alternating current with their reactance.

        Args:
            ruling: whether to look for the edge in which most of the power goes
        """
        at = {id: i for i, id in enumerate(self.grid.edges)}
        return self._solved(Asked(True, np.array([at[id] for id in self.watch], dtype=int), ruling))

    def currents(self) -> np.ndarray:
        """The current of every short alone [A]."""
        return self._solved(Asked(more=False)).current

    def _solved(self, asked: Asked) -> Shorts:
        found = self._resistive(asked)
        return put(self, found) if len(self.alternating) else found

    def _resistive(self, asked: Asked) -> Shorts:
        """The places of direct current shorted; the others are left at nothing."""
        attach, places = self.grid.attach, len(self.pairs)
        other = np.ones(places, dtype=bool)
        other[self.alternating] = False
        direct = np.flatnonzero(other)
        ends = np.array([(attach[a], attach[b]) for a, b in self.pairs], dtype=int).reshape(-1, 2)
        found = shorts(self.grid, self.grid.values(self.ohms), self.feeds, ends[direct], self.extra[direct], asked)
        return found if len(direct) == places else found.among(direct, places)

    def shorted(self, place: str) -> Case:
        """The whole network of this case, radial wiring included, with one place of direct current shorted: the long
        way to the same figure."""
        opposite = dict(self.pairs)[place]
        short = Feed(Edge("fault", "fault", "fault", opposite, place), 0.0, SHORT)
        network = self.grid.core.network
        ids = [n.id for n in network.nodes.values() if n.pole != "PE"]
        at = {id: i for i, id in enumerate(ids)}
        wires = [e for e in self.edges if e.a in at and e.b in at]
        stiff = [f for f in self.feeds if f.limit is None] + [short]
        limited = [f for f in self.feeds if f.limit is not None]
        circuit = bare_circuit(
            len(ids),
            np.array([(at[e.a], at[e.b]) for e in wires]),
            np.array([self.ohms[e.id] for e in wires]),
            np.array([(at[f.edge.b], at[f.edge.a]) for f in stiff]),
            np.array([(f.emf, f.ohms) for f in stiff]),
            np.array([(at[f.edge.b], at[f.edge.a]) for f in limited]),
            np.array([(f.emf, f.ohms, f.limit) for f in limited]),
        )
        return Case(
            self.name, ids, circuit, wires, [f.edge for f in stiff], [f.edge for f in limited], (), (), solve(circuit)
        )


class FaultModel:
    """What all fault cases of one vessel share."""

    def __init__(
        self,
        network: Network,
        resistances: Mapping[str, Resistance],
        sources: Mapping[str, Source],
        ledger: Ledger,
        cores: Cores | None = None,
    ) -> None:
        self.cores = cores or Cores(network)
        self.network, self.sources, self.ledger = network, sources, ledger
        self.unknown = frozenset(id for id, r in resistances.items() if r.missing)
        self.cold_least = {id: LEAST if r.missing else r.cold.low for id, r in resistances.items()}
        self.cold_most = {id: LEAST if r.missing else r.cold.high for id, r in resistances.items()}
        self.hot_least = {id: np.inf if r.missing else r.hot.low for id, r in resistances.items()}
        self.hot_most = {id: np.inf if r.missing else r.hot.high for id, r in resistances.items()}
        self.short_wires, self.long_wires = reactances(network, ledger)
        self.motors = [e for e in network.edges.values() if e.item in network.inventory.motors and e.kind == "load"]
        self.worst = {words: self._grid(positions) for words, positions in worst_states(network)}
        self.normal = self._grid(network.normal)
        self.against = self._pairs(next(iter(self.worst.values())))

    def _grid(self, positions: Mapping[str, str]) -> Grid:
        return grid_of(self.cores.of(positions), [node for e in self.motors for node in (e.a, e.b)])

    def _pairs(self, grid: Grid) -> Mapping[str, str]:
        edges = [self.network.edges[id] for id in self.sources]
        ends = np.array([(grid.index[e.a], grid.index[e.b]) for e in edges], dtype=int).reshape(-1, 2)
        inner = np.array([1 / self.sources[e.id].ohms.low for e in edges])
        return opposites(self.network, grid, 1 / grid.values(self.cold_least), ends, inner)

    # the highest

    def highest(self, words: str, grid: Grid) -> tuple[FaultCase, FaultCase, FaultCase]:
        """The peak with the least resistances, with the most, and what it settles to: cold, full, every source on."""
        on = sorted(alive(grid.core, all_primary(self.network)).sources)
        pairs = list(self.against.items())

        def case(name: str, ohms: Mapping[str, float], feeds: list[Feed], most: bool = True) -> FaultCase:
            wires = self.short_wires if most else self.long_wires
            return FaultCase(f"{name}, {words}", grid, ohms, feeds, pairs, wires, most)

        most = [self._strong(id, s.full, s.ohms.low * s.peak) for id in on for s in [self.sources[id]]]
        lean = [self._strong(id, s.full, s.ohms.high * s.peak, True) for id in on for s in [self.sources[id]]]
        late = [self._settled(id) for id in on]
        return (
            case("highest", self.cold_least, most + self._motors(d.MOTOR.high)),
            case("highest with most resistance", self.cold_most, lean + self._motors(d.MOTOR.low), False),
            case("sustained", self.cold_least, late),
        )

    def _strong(self, id: str, emf: float, ohms: float, lead: bool = False) -> Feed:
        source = self.sources[id]
        inner, swing = source.parts(ohms, lead)
        return Feed(self.network.edges[id], emf, ohms, source.most(lean=lead), inner, swing)

    def _settled(self, id: str) -> Feed:
        source = self.sources[id]
        feed = self._strong(id, source.full * source.sustained, source.ohms.low)
        return replace(feed, limit=source.settles.high) if source.settles else feed

    def _motors(self, multiple: float) -> list[Feed]:
        """Each motor gives back what its speed holds, behind its armature."""
        found = []
        for edge in self.motors:
            amps, volts = load_amps(self.network, edge), nominal_across(self.network, edge)
            if amps > 0:
                self.ledger.use(d.MOTOR, edge.item, edge.id)
                feed = Edge(edge.id, edge.item, "motor", edge.b, edge.a, edge.record)
                found.append(Feed(feed, volts, volts / (multiple * amps), multiple * amps))
        return found

    # the lowest

    def lowest(self) -> Iterator[tuple[Way, FaultCase, FaultCase]]:
        """For each source that feeds alone: hot and low, with the most and with the least resistances.

        A place is asked again in another state only where the wiring that joins it to the source differs.
        """
        done: dict[tuple[Way, int, int], set[str]] = {}
        states = {"normal positions": self.network.normal, **self.network.conditions, **dict(ac_states(self.network))}
        for words, positions in states.items():
            grid = self.normal if positions is self.network.normal else self._grid(positions)
            asked = self._asked(grid, done)
            for way, nodes in sorted(asked.items()):
                pairs = [(node, self.against[node]) for node in nodes]
                name = f"lowest, {' and '.join(way)} alone, {words}"
                yield (
                    way,
                    FaultCase(
                        name, grid, self.hot_most, [self._weak(id, True) for id in way], pairs, self.long_wires, False
                    ),
                    FaultCase(
                        f"{name}, least resistance",
                        grid,
                        self.hot_least,
                        [self._weak(id, False) for id in way],
                        pairs,
                        self.short_wires,
                        False,
                    ),
                )

    def _asked(self, grid: Grid, done: dict[tuple[Way, int, int], set[str]]) -> Mapping[Way, list[str]]:
        """Sources that feed alone → the places that they feed, and were not yet asked for with this wiring."""
        living = alive(grid.core, all_primary(self.network)).sources
        marks = _marks(grid)
        batteries, others = self._links(grid, living, True), self._links(grid, living, False)
        part, attach = grid.part.tolist(), grid.attach
        between: dict[tuple[int, int], list[str]] = {}
        for node, opposite in self.against.items():
            between.setdefault((part[attach[node]], part[attach[opposite]]), []).append(node)
        asked: dict[Way, list[str]] = {}
        for (high, low), nodes in between.items():
            for way in _chains(batteries, low, high) or _chains(others, low, high):
                known = done.setdefault((way, marks[high], marks[low]), set())
                fresh = [node for node in nodes if node not in known]
                if fresh:
                    known.update(fresh)
                    asked.setdefault(way, []).extend(fresh)
        return asked

    def _links(self, grid: Grid, living: Iterable[str], batteries: bool) -> Mapping[int, list[tuple[int, str]]]:
        """Part → the parts that sources lift it to: batteries, or the other sources, which count only where no battery
        reaches."""
        links: dict[int, list[tuple[int, str]]] = {}
        for id in sorted(living):
            edge = self.network.edges[id]
            if (edge.kind == "battery") == batteries:
                links.setdefault(int(grid.part[grid.index[edge.a]]), []).append(
                    (int(grid.part[grid.index[edge.b]]), id)
                )
        return links

    def _weak(self, id: str, most_ohms: bool) -> Feed:
        source = self.sources[id]
        ohms = source.ohms.high if most_ohms else source.ohms.low
        inner, swing = source.parts(ohms, most_ohms)
        return Feed(self.network.edges[id], source.low, ohms, source.least(lean=most_ohms), inner, swing)


def fault_cases(network: Network, resistances: Mapping[str, Resistance], ledger: Ledger) -> Iterator[FaultCase]:
    """Every fault case that the study solves."""
    model = FaultModel(network, resistances, fault_sources(network, ledger), ledger)
    for words, grid in model.worst.items():
        yield from model.highest(words, grid)
    for _, most, least in model.lowest():
        yield from (most, least)


def _marks(grid: Grid) -> Mapping[int, int]:
    """Part of the grid → a number that tells its wiring: the same in two states where nothing in it differs."""
    inside: dict[int, list[str]] = {}
    for id, (a, _) in zip(grid.edges, grid.ends.tolist()):
        inside.setdefault(int(grid.part[a]), []).append(id)
    return {int(part): hash(frozenset(inside.get(int(part), ()))) for part in set(grid.part.tolist())}


def _chains(links: Mapping[int, list[tuple[int, str]]], low: int, high: int, most: int = 64) -> list[Way]:
    """Every chain of sources, each used once, that leads from one part up to another."""
    found: list[Way] = []
    stack: list[tuple[int, Way, frozenset[int]]] = [(low, (), frozenset({low}))]
    while stack and len(found) < most:
        part, way, seen = stack.pop()
        for there, id in reversed(links.get(part, [])):
            if there == high:
                found.append((*way, id))
            elif there not in seen:
                stack.append((there, (*way, id), seen | {there}))
    return found
