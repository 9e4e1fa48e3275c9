"""Prospective short-circuit current, highest and lowest, at every live node, from the network as it is."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from ..calc.fault_dc import ARC_MARGIN
from ..network import Edge, Network
from ..network.core import core_of
from ..network.live import alive, all_primary
from . import defaults as d
from .defaults import Ledger, told
from .grid import Grid, grid_of
from .loads import load_amps
from .model import Fault, Range, Resistance, Why
from .opposite import opposites
from .sources import Source, nominal_across
from .states import worst_states
from .thevenin import Feed, Shorts, shorts

_SAME = 1e-3
_SMALL_SHARE = 0.005


def faults(network: Network, resistances: Mapping[str, Resistance], sources: Mapping[str, Source], ledger: Ledger) -> Mapping[str, Fault]:
    """Live node → its fault current."""
    return _Faults(network, resistances, sources, ledger).all()


@dataclass
class _Most:
    """The highest fault at one node over the states looked at."""

    high: float
    low: float
    sustained: float
    before: float
    shares: tuple[tuple[str, float], ...]
    ruled_by: str
    state: str
    missing: tuple[str, ...]


class _Faults:
    def __init__(self, network: Network, resistances: Mapping[str, Resistance], sources: Mapping[str, Source], ledger: Ledger) -> None:
        self.network, self.resistances, self.sources = network, resistances, sources
        self.unknown = frozenset(id for id, r in resistances.items() if r.missing)
        self.cold_least = {id: 1e-6 if r.missing else r.cold.low for id, r in resistances.items()}
        self.cold_most = {id: 1e-6 if r.missing else r.cold.high for id, r in resistances.items()}
        self.hot_least = {id: np.inf if r.missing else r.hot.low for id, r in resistances.items()}
        self.hot_most = {id: np.inf if r.missing else r.hot.high for id, r in resistances.items()}
        self.motors = [e for e in network.edges.values() if e.item in network.inventory.motors and e.kind == "load"]
        self.ledger = ledger
        self.most: dict[str, _Most] = {}
        self.least: dict[str, tuple[Range, tuple[str, ...]]] = {}
        self.done: dict[str, set] = {}

    def all(self) -> Mapping[str, Fault]:
        states = list(worst_states(self.network))
        grids = {words: self._grid(positions) for words, positions in states}
        self.against = self._pairs(next(iter(grids.values())))
        for words, grid in grids.items():
            self._highest(words, grid)
        for positions in [self.network.normal, *self.network.conditions.values()]:
            self._lowest(self._grid(positions))
        return {node: self._fault(node) for node in self._hot()}

    def _grid(self, positions: Mapping[str, str]) -> Grid:
        return grid_of(core_of(self.network, positions), [node for e in self.motors for node in (e.a, e.b)])

    def _hot(self) -> Iterator[str]:
        return (n.id for n in self.network.nodes.values() if n.pole in ("+", "L"))

    def _pairs(self, grid: Grid) -> Mapping[str, str]:
        edges = [self.network.edges[id] for id in self.sources]
        ends = np.array([(grid.index[e.a], grid.index[e.b]) for e in edges], dtype=int).reshape(-1, 2)
        inner = np.array([1 / self.sources[e.id].ohms.low for e in edges])
        return opposites(self.network, grid, 1 / grid.values(self.cold_least), ends, inner)

    # the highest

    def _highest(self, words: str, grid: Grid) -> None:
        core = grid.core
        on = sorted(alive(core, all_primary(self.network)).sources)
        nodes = list(self.against)
        pairs = np.array([(grid.attach[n], grid.attach[self.against[n]]) for n in nodes], dtype=int).reshape(-1, 2)
        plain = [Feed(self.network.edges[id], s.full, s.ohms.low * s.peak, s.limit.high if s.limit else None) for id in on for s in [self.sources[id]]]
        high, feeds, extra = self._case(grid, self.cold_least, plain, nodes, pairs, motors=d.MOTOR.high)
        lean = [Feed(self.network.edges[id], s.full, s.ohms.high * s.peak, s.limit.high if s.limit else None) for id in on for s in [self.sources[id]]]
        low, _, _ = self._case(grid, self.cold_most, lean, nodes, pairs, motors=d.MOTOR.low)
        settled = [Feed(self.network.edges[id], s.full * s.sustained, s.ohms.low, s.limit.high if s.limit else None) for id in on for s in [self.sources[id]]]
        late, _, _ = self._case(grid, self.cold_least, settled, nodes, pairs)
        blind = self._blind(grid, plain, nodes, pairs, high)
        for i, node in enumerate(nodes):
            best = self.most.get(node)
            if high.current[i] > 0 and (best is None or high.current[i] > best.high * (1 + _SAME)):
                self.most[node] = _Most(
                    float(high.current[i]),
                    min(float(low.current[i]), float(high.current[i])),
                    min(float(late.current[i]), float(high.current[i])),
                    float(high.before[i]),
                    _shares(feeds, high.given[:, i], high.current[i]),
                    self._ruling(grid, node, i, high, feeds, extra),
                    words,
                    blind.get(node, ()),
                )

    def _case(
        self, grid: Grid, ohms: Mapping[str, float], feeds: list[Feed], nodes: Sequence[str], pairs: np.ndarray, motors: float = 0.0
    ) -> tuple[Shorts, list[Feed], np.ndarray]:
        out = grid.radial(ohms)
        extra = np.array([out[n] + out[self.against[n]] for n in nodes])
        feeds = feeds + (self._motors(multiple=motors) if motors else [])
        return shorts(grid, grid.values(ohms), feeds, pairs, extra), feeds, extra

    def _motors(self, multiple: float) -> list[Feed]:
        """Each motor gives back what its speed holds, behind its armature."""
        found = []
        for edge in self.motors:
            amps, volts = load_amps(self.network, edge), nominal_across(self.network, edge)
            if amps > 0:
                self.ledger.use(d.MOTOR, edge.item)
                feed = Edge(edge.id, edge.item, "motor", edge.b, edge.a, edge.record)
                found.append(Feed(feed, volts, volts / (multiple * amps), multiple * amps))
        return found

    def _blind(self, grid: Grid, feeds: list[Feed], nodes: Sequence[str], pairs: np.ndarray, high: Shorts) -> Mapping[str, tuple[str, ...]]:
        """Node → cables of unknown resistance on which its highest current depends."""
        if not self.unknown:
            return {}
        inside = tuple(id for id in grid.edges if id in self.unknown)
        moved = np.zeros(len(nodes), dtype=bool)
        if inside:
            ohms = {**self.cold_least, **dict.fromkeys(inside, np.inf)}
            open_, _, _ = self._case(grid, ohms, feeds, nodes, pairs)
            shut, _, _ = self._case(grid, self.cold_least, feeds, nodes, pairs)
            moved = np.abs(open_.current - shut.current) > _SAME * np.maximum(shut.current, 1e-9)
        part = grid.part
        found = {}
        for i, node in enumerate(nodes):
            way = (*grid.outward(node), *grid.outward(self.against[node]))
            lacking = tuple(e.id for e in way if e.id in self.unknown)
            if moved[i]:
                mine = {part[grid.attach[node]], part[grid.attach[self.against[node]]]}
                lacking += tuple(id for id in inside if part[grid.index[self.network.edges[id].a]] in mine)
            if lacking:
                found[node] = tuple(dict.fromkeys(lacking))
        return found

    def _ruling(self, grid: Grid, node: str, i: int, high: Shorts, feeds: list[Feed], extra: np.ndarray) -> str:
        """What rules the highest current: the limit of a source, or the part in which most of the power goes."""
        amps = float(high.current[i])
        limits = {f.edge.id: float(given) for f, given in zip(feeds, high.given[:, i]) if f.limit is not None and f.edge.kind != "motor"}
        largest = max(limits, key=limits.__getitem__, default="")
        if largest and limits[largest] > amps / 2:
            return largest
        best, watts = "", 0.0
        if high.ruling[i] >= 0:
            best, watts = grid.edges[high.ruling[i]], float(high.ruling_watts[i])
        for feed, given in zip(feeds, high.given[:, i]):
            if feed.limit is None and (power := float(given) ** 2 * feed.ohms) > watts:
                best, watts = feed.edge.id, power
        if extra[i] * amps**2 > watts:
            for edge in (*grid.outward(node), *grid.outward(self.against[node])):
                if (power := self.cold_least[edge.id] * amps**2) > watts:
                    best, watts = edge.id, power
        return best

    # the lowest

    def _lowest(self, grid: Grid) -> None:
        living = alive(grid.core, all_primary(self.network)).sources
        marks = self._marks(grid)
        feeding: dict[tuple[int, int], tuple[tuple[str, ...], ...]] = {}
        asked: dict[tuple[str, ...], list[str]] = {}
        batteries, others = self._links(grid, living, True), self._links(grid, living, False)
        for node, opposite in self.against.items():
            high, low = int(grid.part[grid.attach[node]]), int(grid.part[grid.attach[opposite]])
            if (high, low) not in feeding:
                feeding[high, low] = tuple(_chains(batteries, low, high) or _chains(others, low, high))
            for way in feeding[high, low]:
                key = (way, marks[high], marks[low])
                if key not in self.done.setdefault(node, set()):
                    self.done[node].add(key)
                    asked.setdefault(way, []).append(node)
        hot_most, hot_least = grid.radial(self.hot_most), grid.radial(self.hot_least)
        for way, those in sorted(asked.items()):
            pairs = np.array([(grid.attach[n], grid.attach[self.against[n]]) for n in those], dtype=int)
            ends = []
            for ohms, out, high_ohms in ((self.hot_most, hot_most, True), (self.hot_least, hot_least, False)):
                feeds = [self._weak(id, high_ohms) for id in way]
                extra = np.array([out[n] + out[self.against[n]] for n in those])
                ends.append(shorts(grid, grid.values(ohms), feeds, pairs, extra).current * (1 - ARC_MARGIN))
            for node, low, high in zip(those, ends[0].tolist(), ends[1].tolist()):
                if low > 0 and (node not in self.least or low < self.least[node][0].low):
                    self.least[node] = (Range(low, max(low, high)), way)

    def _marks(self, grid: Grid) -> Mapping[int, int]:
        """Part of the grid → a number that tells its wiring: the same in two states where nothing in it differs."""
        inside: dict[int, list[str]] = {}
        for id, (a, _) in zip(grid.edges, grid.ends.tolist()):
            inside.setdefault(int(grid.part[a]), []).append(id)
        return {int(part): hash(frozenset(inside.get(int(part), ()))) for part in set(grid.part.tolist())}

    def _weak(self, id: str, most_ohms: bool) -> Feed:
        source = self.sources[id]
        limit = source.limit.low if source.limit else None
        return Feed(self.network.edges[id], source.low, source.ohms.high if most_ohms else source.ohms.low, limit)

    def _links(self, grid: Grid, living: Iterable[str], batteries: bool) -> Mapping[int, list[tuple[int, str]]]:
        """Part → the parts that sources lift it to: batteries, or the other sources, each of which stands alone only where no battery reaches."""
        links: dict[int, list[tuple[int, str]]] = {}
        for id in sorted(living):
            edge = self.network.edges[id]
            if (edge.kind == "battery") == batteries:
                links.setdefault(int(grid.part[grid.index[edge.a]]), []).append((int(grid.part[grid.index[edge.b]]), id))
        return links

    # the answer

    def _fault(self, node: str) -> Fault:
        most, least = self.most.get(node), self.least.get(node)
        if most is None:
            return Fault(None, None, against=self.against.get(node, ""))
        assumed = any(self.sources[id].assumed for id, _ in most.shares if id in self.sources)
        highest = Range(most.high, most.high) if most.missing else Range(most.low, most.high)
        lowest = least[0] if least else None
        return Fault(
            highest, lowest, most.shares, most.before, self.against[node], assumed, self._why(node, most, lowest), most.sustained,
            least[1] if least else (), most.ruled_by, most.state, most.missing,
        )  # fmt: skip

    def _why(self, node: str, most: _Most, lowest: Range | None) -> Why:
        inputs = [(f"{self.network.title(self._item(id))} ({id})", f"{amps:.0f} A of it", "computed") for id, amps in most.shares[:6]]
        steps = [("voltage before the fault", f"{most.before:.2f} V"), ("highest", told(Range(most.low, most.high), "current"))]
        if lowest:
            steps.append(("lowest, with 10 % for the arc", told(lowest, "current")))
        return Why(
            "highest: nodal solution, cold, full, every source, every switch closed; lowest: hot, low, one source alone, × 0.9",
            "IEC 61660-1 for the batteries; Kirchhoff's laws",
            tuple(inputs),
            tuple(steps),
            "computed",
        )

    def _item(self, id: str) -> str:
        edge = self.network.edges.get(id)
        return edge.item if edge else id


def _shares(feeds: Sequence[Feed], given: np.ndarray, total: float) -> tuple[tuple[str, float], ...]:
    rows = [(f.edge.id, float(amps)) for f, amps in zip(feeds, given) if amps > _SMALL_SHARE * total]
    return tuple(sorted(rows, key=lambda row: (-row[1], row[0])))


def _chains(links: Mapping[int, list[tuple[int, str]]], low: int, high: int, most: int = 64) -> list[tuple[str, ...]]:
    """Every chain of sources, each used once, that leads from one part up to another."""
    found: list[tuple[str, ...]] = []
    stack: list[tuple[int, tuple[str, ...], frozenset[int]]] = [(low, (), frozenset({low}))]
    while stack and len(found) < most:
        part, way, seen = stack.pop()
        for there, id in reversed(links.get(part, [])):
            if there == high:
                found.append((*way, id))
            elif there not in seen:
                stack.append((there, (*way, id), seen | {there}))
    return found
