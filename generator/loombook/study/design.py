"""The design current in every conductor and device: all circuits at their rated load, shared over the ways as
resistance shares it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from math import inf

import numpy as np

from ..inventory.loads import Motor
from ..network import Edge, Network
from ..network.live import alive, all_primary
from . import defaults as d
from .grid import Grid, factor, grid_of
from .ledger import Ledger
from .loads import load_amps
from .model import Resistance
from .sources import nominal_across
from .states import Cores, ac_states, worst_states

_LEVELS = 4
"""Converters behind converters that are followed."""


@dataclass(frozen=True)
class Design:
    """Design currents of one vessel in normal use."""

    amps: Mapping[str, float]
    """Edge id → current from `a` to `b` with every circuit at its load, motors at rest [A]; of a source what it
    delivers."""
    motor: Mapping[str, Mapping[str, float]]
    """Motor id → edge id → the current that it adds by running [A]."""
    charging: Mapping[str, float] = field(default_factory=dict)
    """Edge id → current while all that charges gives its rated current, into batteries that take it, and the circuits of
    alternating current are at their load [A]."""

    def through(self, edge: str, motor: str = "") -> float:
        """Current in an edge while a motor runs, or none [A]."""
        return self.amps.get(edge, 0.0) + (self.motor[motor].get(edge, 0.0) if motor in self.motor else 0.0)

    def filled_by(self, other: Design) -> Design:
        """This one, with the other's currents where it has none."""
        return Design(
            {**other.amps, **self.amps},
            {id: self.motor.get(id) or amps for id, amps in {**other.motor, **self.motor}.items()},
            _larger(self.charging, other.charging),
        )

    def or_more(self, other: Design) -> Design:
        """Of each current the larger of this one's and the other's."""
        motors = {**other.motor, **self.motor}
        return Design(
            _larger(self.amps, other.amps),
            {id: _larger(self.motor.get(id, {}), other.motor.get(id, {})) for id in motors},
            _larger(self.charging, other.charging),
        )

    @property
    def largest(self) -> Mapping[str, float]:
        """Edge id → the current to design it for: all circuits and the one motor that adds most, or what charges [A]."""
        found = _larger(self.amps, self.charging)
        for added in self.motor.values():
            for edge, amps in added.items():
                together = self.amps.get(edge, 0.0) + amps
                if abs(together) > abs(found.get(edge, 0.0)):
                    found[edge] = together
        return found


def _larger(one: Mapping[str, float], other: Mapping[str, float]) -> dict[str, float]:
    """Edge id → of two currents the one that is larger, whichever way it flows."""
    found = dict(one)
    for edge, amps in other.items():
        if abs(amps) > abs(found.get(edge, 0.0)):
            found[edge] = amps
    return found


def design_currents(network: Network, cores: Cores, resistances: Mapping[str, Resistance], ledger: Ledger) -> Design:
    """The design currents with batteries, shore, inverters and converters supplying.

    The switches are in their normal position, and the change-overs of alternating current thrown every way: from the
    shore its circuits load the inlet, from the inverter the battery's cables. What gets no current so takes that of the
    first operating condition, or of every switch closed, in which it does.
    """
    found = _design(network, cores, network.normal, resistances, ledger)
    for _, positions in ac_states(network):
        found = found.or_more(_design(network, cores, positions, resistances, ledger))
    states = [*network.conditions.values(), *(positions for _, positions in worst_states(network))]
    for positions in unlike(states):
        if found.amps and all(c.edge in found.amps or c.id in found.motor for c in network.consumers.values()):
            break
        found = found.filled_by(_design(network, cores, positions, resistances, ledger))
    return found


def unlike(states: Iterable[Mapping[str, str]]) -> list[Mapping[str, str]]:
    """The states without their repetitions."""
    seen, found = set(), []
    for positions in states:
        key = frozenset(positions.items())
        if key not in seen:
            seen.add(key)
            found.append(positions)
    return found


def _design(
    network: Network, cores: Cores, positions: Mapping[str, str], resistances: Mapping[str, Resistance], ledger: Ledger
) -> Design:
    grid = grid_of(cores.of(positions))
    living = alive(grid.core, all_primary(network)).sources
    supplies = [
        network.edges[id]
        for id in sorted(living)
        if network.edges[id].kind in ("battery", "shore", "generator", "inverter", "converter")
    ]
    fed = {(grid.core.part[e.b], grid.core.part[e.a]) for e in supplies}
    others = [network.edges[id] for id in sorted(living) if network.edges[id] not in supplies]
    supplies += [e for e in others if e.kind != "solar array" and (grid.core.part[e.b], grid.core.part[e.a]) not in fed]
    givers = [e for e in others if e not in supplies]
    return _Spread(network, grid, resistances, supplies, givers).design(ledger) if supplies else Design({}, {})


class _Spread:
    def __init__(
        self, network: Network, grid: Grid, resistances: Mapping[str, Resistance], supplies: Sequence[Edge],
        givers: Sequence[Edge],
    ) -> None:  # fmt: skip
        self.network, self.grid, self.supplies = network, grid, supplies
        self.givers = givers
        self.ohms = {id: 1e-6 if r.missing else r.hot.value for id, r in resistances.items()}
        self.ends = np.array([(grid.index[e.b], grid.index[e.a]) for e in supplies], dtype=int)
        self.inner = np.array([_stiffness(e) for e in supplies])
        self.edge_ohms = np.array([self.ohms[id] for id in grid.edges])
        self.solver = factor(
            grid.size, np.concatenate([grid.ends, self.ends]), 1 / np.concatenate([self.edge_ohms, self.inner])
        )

    def design(self, ledger: Ledger) -> Design:
        base: dict[str, float] = {}
        alone: dict[str, dict[str, float]] = {}
        for consumer in self.network.consumers.values():
            edge = self.network.edges[consumer.edge]
            amps = load_amps(self.network, edge)
            if isinstance(consumer.record, Motor):
                if self._reached(edge):
                    alone[consumer.id] = {edge.id: amps}
            else:
                base[edge.id] = amps
        base = {id: amps for id, amps in base.items() if self._reached(self.network.edges[id])}
        return Design(
            self._currents(base, ledger),
            {motor: self._currents(sinks, ledger) for motor, sinks in alone.items()},
            self._currents(sinks, ledger) if (sinks := self._charging(base, ledger)) else {},
        )

    def _charging(self, base: Mapping[str, float], ledger: Ledger) -> Mapping[str, float]:
        """What every charger, controller, alternator and array gives at its rating, what it takes for that, and the loads
        of alternating current beside it; nothing where nothing charges."""
        nodes, found = self.network.nodes, {}
        for edge in self.givers:
            found[edge.id] = amps = rated_output(self.network, edge)
            entry = self.network.input_of(edge)
            if entry is not None and edge.kind == "controller":
                found[entry.id] = self._sun(entry)
            elif entry is not None:
                found[entry.id] = self._drawn(edge, entry, amps, ledger)
        return found | {id: amps for id, amps in base.items() if found and nodes[self.network.edges[id].a].pole == "L"}

    def _sun(self, entry: Edge) -> float:
        """Short-circuit current of the arrays at a controller's input, its share where it is one of several [A]."""
        part = {e.id: self._part(e.b) for e in self.givers if e.kind == "solar array"}
        here = self._part(entry.a)
        inputs = [self.network.input_of(e) for e in self.givers if e.kind == "controller"]
        beside = sum(self._part(e.a) == here for e in inputs if e is not None)
        return sum(rated_output(self.network, self.network.edges[id]) for id, at in part.items() if at == here) / max(
            beside, 1
        )

    def _reached(self, edge: Edge) -> bool:
        return self._part(edge.a) == self._part(edge.b)

    def _currents(self, sinks: Mapping[str, float], ledger: Ledger) -> Mapping[str, float]:
        """The currents of all edges for what the loads and inputs draw; converters draw what they deliver, and more."""
        sinks = dict(sinks)
        for _ in range(_LEVELS):
            delivered, potentials, out = self._solve(sinks)
            before = dict(sinks)
            for edge, amps in zip(self.supplies, delivered):
                entry = self.network.input_of(edge)
                if entry is not None and self._reached(entry):
                    sinks[entry.id] = self._drawn(edge, entry, float(amps), ledger)
            if all(abs(sinks[id] - before.get(id, 0.0)) < 1e-6 for id in sinks):
                break
        found = {edge.id: float(amps) for edge, amps in zip(self.supplies, delivered)} | sinks
        across = potentials[self.grid.ends[:, 0]] - potentials[self.grid.ends[:, 1]]
        found |= zip(self.grid.edges, (across / self.edge_ohms).tolist())
        found = found | out
        found |= self._supplied(found, sinks)
        return {id: round(amps, 6) for id, amps in found.items() if abs(amps) > 1e-6}

    def _supplied(self, found: Mapping[str, float], sinks: Mapping[str, float]) -> Mapping[str, float]:
        """Of alternating current the edges in which all circuits together ask for more than their sources give: no more
        than that flows for good, and no less than the largest load."""
        given: dict[int, float] = {}
        for edge in self.supplies:
            if edge.kind in ("shore", "generator", "inverter"):
                part = self._part(edge.b)
                given[part] = given.get(part, 0.0) + rated_output(self.network, edge)
        for id, amps in sinks.items() if given else ():
            part = self._part(self.network.edges[id].a)
            if part in given:
                given[part] = max(given[part], amps)
        most = {id: given.get(self._part(self.network.edges[id].a), inf) for id in found} if given else {}
        return {id: found[id] / abs(found[id]) * cap for id, cap in most.items() if abs(found[id]) > cap}

    def _part(self, node: str) -> int:
        return int(self.solver.part[self.grid.attach[node]])

    def _solve(self, sinks: Mapping[str, float]) -> tuple[np.ndarray, np.ndarray, dict[str, float]]:
        core, edges = self.grid.core, self.network.edges
        drawn: dict[str, float] = {}
        for id, amps in sinks.items():
            a, b = edges[id].a, edges[id].b
            drawn[a] = drawn.get(a, 0.0) + amps
            drawn[b] = drawn.get(b, 0.0) - amps
        out: dict[str, float] = {}
        for node in core.order:
            amps = drawn.pop(node, 0.0)
            edge, above = core.parent[node]
            out[edge.id] = amps if edge.b == node else -amps
            drawn[above] = drawn.get(above, 0.0) + amps
        fed = np.zeros(self.grid.size)
        for node, amps in drawn.items():
            fed[self.grid.index[node]] -= amps
        potentials = self.solver.solve(fed)
        delivered = -(potentials[self.ends[:, 0]] - potentials[self.ends[:, 1]]) / self.inner
        return delivered, potentials, out

    def _drawn(self, edge: Edge, entry: Edge, amps: float, ledger: Ledger) -> float:
        volts = nominal_across(self.network, edge)
        rated = rated_output(self.network, edge)
        return volts * min(max(amps, 0.0), rated) / efficiency(edge, ledger) / nominal_across(self.network, entry)


def efficiency(edge: Edge, ledger: Ledger) -> float:
    """Efficiency of a source that converts, 0 to 1."""
    own = getattr(edge.record, "efficiency", None)
    if own is not None:
        return min(max(own.value, 0.01), 1.0)
    return ledger.use(d.EFFICIENCY[edge.kind], edge.item).high


def rated_output(network: Network, edge: Edge) -> float:
    """Rated output current of a source that limits itself [A]."""
    record = edge.record
    if edge.kind in ("inverter", "generator"):
        return record.power.value / nominal_across(network, edge)
    if edge.kind == "solar array":
        return record.parallel * record.short_circuit.value
    return record.current.value


def _stiffness(edge: Edge) -> float:
    """A resistance for sharing among sources in parallel: batteries by their capacity, the others stiff [Ω]."""
    if edge.kind == "battery":
        cells = edge.record.cells
        return 0.4 * cells.series / 10 / max(cells.capacity.value * cells.parallel, 0.1)
    return 1e-3
