"""The network laid out for the solver in one operating condition: what is closed, what is on, what runs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from ..calc.energy import rest_voltage
from ..inventory.sources import Battery, SolarArray
from ..network import Edge, Network
from . import defaults as d
from .design import efficiency, rated_output
from .ledger import Ledger
from .loads import duty_of, law_of
from .model import Resistance
from .solve import CURRENT, FLOOR, IDLE, LAWS, POWER, RESISTANCE, Circuit, Solution, solve
from .sources import battery_ohms, nominal_across, output_volts
from .warming import Warming

STIFF = ("battery", "shore", "solar array")
"""Kinds of source that give and take without a limit of their own."""


@dataclass(frozen=True)
class Case:
    """A circuit ready to be solved, with the edge that each of its branches stands for, and its solution."""

    condition: str
    ids: Sequence[str]
    """The node of each number."""
    circuit: Circuit
    wires: Sequence[Edge]
    stiff: Sequence[Edge]
    limited: Sequence[Edge]
    entries: Sequence[Edge]
    loads: Sequence[Edge]
    solution: Solution

    @cached_property
    def fed(self) -> np.ndarray:
        """Which nodes are joined to a source that is on."""
        part = self.solution.part
        parts = {*part[self.circuit.stiff[:, 0]].tolist(), *part[self.circuit.limited[:, 0]].tolist()}
        return np.isin(part, list(parts))

    def across(self, ends: np.ndarray) -> np.ndarray:
        """Voltage between the ends of branches, or of one [V]."""
        return self.solution.volts[ends[..., 0]] - self.solution.volts[ends[..., 1]]


class Layout:
    """One network laid out once; each condition picks from it."""

    def __init__(self, network: Network, resistances: Mapping[str, Resistance], ledger: Ledger) -> None:
        self.network, self.ledger = network, ledger
        self.ids = [n.id for n in network.nodes.values() if n.pole != "PE"]
        self.index = {id: i for i, id in enumerate(self.ids)}
        self.start = np.array([network.nodes[id].volts or 0.0 for id in self.ids])
        edges = [e for e in network.edges.values() if e.a in self.index and e.b in self.index and e.a != e.b]
        self.wires = [e for e in edges if e.conducts]
        self.wire_ends = self._ends(self.wires)
        self.ohms = np.array([1e-6 if (r := resistances[e.id]).missing else r.hot.value for e in self.wires])
        self.warming = Warming(network, self.wires, ledger)
        self.consumers = list(network.consumers.values())
        self.load_edges = [network.edges[c.edge] for c in self.consumers]
        self.load_ends = self._ends(self.load_edges)
        self.nominal = np.array([nominal_across(network, e) for e in self.load_edges])
        for consumer in self.consumers:
            if network.nodes[consumer.plus].pole == "L" and consumer.record.power_factor is None:
                ledger.use(d.POWER_FACTOR, consumer.id)
        self.law = np.array([LAWS[law_of(e.record)] for e in self.load_edges], dtype=int)
        self._battery_ohms = {
            e.id: max(battery_ohms(e.record, ledger)[0].value, 1e-6) for e in network.sources() if e.kind == "battery"
        }

    def _ends(self, edges: Sequence[Edge], backwards: bool = False) -> np.ndarray:
        pairs = [(self.index[e.b], self.index[e.a]) if backwards else (self.index[e.a], self.index[e.b]) for e in edges]
        return np.array(pairs, dtype=int).reshape(-1, 2)

    def case(self, condition: str, living: frozenset[str], sizes: np.ndarray | None = None) -> Case:
        """Lay out and solve a condition, twice, so that the cables are as warm as their current makes them.

        Args:
            condition: name of the operating condition
            living: the source edges that supply
            sizes: what every load draws, in its law's unit; its average in this condition if None
        """
        closed = self.closed(condition)
        first = self._case(condition, living, closed, self.average(condition) if sizes is None else sizes)
        ohms = self.warming.ohms(first.circuit.ohms, first.solution.wires, closed)
        circuit = replace(first.circuit, ohms=ohms, start=first.solution.volts)
        return replace(first, circuit=circuit, solution=solve(circuit))

    def again(self, case: Case, load: int, law: int, size: float, limit: np.ndarray) -> Case:
        """A case with one load and the limits of the sources changed, solved from where it was; the cables stay as warm
        as they are."""
        laws, sizes = case.circuit.law.copy(), case.circuit.size_of_load.copy()
        laws[load], sizes[load] = law, size
        circuit = replace(case.circuit, law=laws, size_of_load=sizes, limit=limit, start=case.solution.volts)
        return replace(case, circuit=circuit, solution=solve(circuit))

    def closed(self, condition: str) -> np.ndarray:
        """Which of the wires conduct in a condition."""
        positions = self.network.conditions[condition]
        return np.array([self.network.is_closed(e, positions) for e in self.wires], dtype=bool)

    def average(self, condition: str) -> np.ndarray:
        """Average power, current or conductance of every load, by its law."""
        duty = np.array([duty_of(self.network, c, condition, self.ledger) for c in self.consumers])
        return duty * self.rated

    @cached_property
    def rated(self) -> np.ndarray:
        """Rated power, current or conductance of every load, by its law."""
        loads = [c.record.load for c in self.consumers]
        power = [q is not None and q.kind == "power" for q in loads]
        watts = np.where(
            power,
            [q.value if q else 0.0 for q in loads],
            [q.value * v if q else 0.0 for q, v in zip(loads, self.nominal)],
        )
        return np.where(
            self.law == POWER, watts, np.where(self.law == CURRENT, watts / self.nominal, watts / self.nominal**2)
        )

    def _case(self, condition: str, living: frozenset[str], closed: np.ndarray, sizes: np.ndarray) -> Case:
        network = self.network
        sources = [network.edges[id] for id in sorted(living)]
        stiff = [e for e in sources if e.kind in STIFF]
        limited = [e for e in sources if e.kind not in STIFF]
        rows = np.array([self._stiff(e) for e in stiff]).reshape(-1, 2)
        limits = np.array([self._limit(e, condition, stiff) for e in limited]).reshape(-1, 3)
        entries = [(i, e, entry) for i, e in enumerate(limited) if (entry := network.input_of(e)) is not None]
        inputs = [entry for _, _, entry in entries]
        circuit = Circuit(
            size=len(self.ids),
            wires=self.wire_ends[closed],
            ohms=self.ohms[closed],
            stiff=self._ends(stiff, True),
            stiff_emf=rows[:, 0],
            stiff_ohms=rows[:, 1],
            limited=self._ends(limited, True),
            limited_emf=limits[:, 0],
            limited_ohms=limits[:, 1],
            limit=limits[:, 2],
            loads=self.load_ends,
            law=np.where(sizes > 0, self.law, RESISTANCE),
            size_of_load=np.where(sizes > 0, sizes, IDLE),
            floor=FLOOR * self.nominal,
            inputs=self._ends(inputs),
            feeds=np.array([i for i, _, _ in entries], dtype=int),
            efficiency=np.array([efficiency(e, self.ledger) for _, e, _ in entries]),
            idle=np.array([idle.value if (idle := getattr(e.record, "idle", None)) else 0.0 for _, e, _ in entries]),
            input_floor=np.array([FLOOR * nominal_across(network, entry) for entry in inputs]),
            start=self.start,
        )
        wires = [e for e, shut in zip(self.wires, closed) if shut]
        return Case(condition, self.ids, circuit, wires, stiff, limited, inputs, self.load_edges, solve(circuit))

    def _stiff(self, edge: Edge) -> tuple[float, float]:
        record = edge.record
        if isinstance(record, Battery):
            self.ledger.use(d.HALF_CHARGE, edge.item)
            cell = rest_voltage(0.5, "lfp") if record.chemistry == "lfp" else rest_voltage(0.5, "lead-acid") / 6
            return cell * record.cells.series, self._battery_ohms[edge.id]
        if isinstance(record, SolarArray):  # its controller holds it near its best point and sets the limit
            return 0.8 * record.series * record.open_circuit.value, 1e-3
        amps = record.fault_current.value if record.fault_current else 3000.0
        return record.voltage.value, record.voltage.value / max(amps, 1.0)

    def _limit(self, edge: Edge, condition: str, stiff: Sequence[Edge]) -> tuple[float, float, float]:
        """Set-point [V], slope [Ω] and limit [A] of a regulated source."""
        volts, amps = output_volts(self.network, edge), rated_output(self.network, edge)
        if edge.kind == "controller":
            record = self.network.inventory.conditions.get(condition)
            sun = record.solar.value if record and record.solar else 1.0
            arrays = [a.record for a in stiff if a.kind == "solar array" and self._feeds(a, edge)]
            watts = sum(a.power.value * a.series * a.parallel for a in arrays)
            amps = min(amps, sun * watts * efficiency(edge, self.ledger) / volts)
        self.ledger.use(d.DROOP, edge.item)
        if edge.kind in ("charger", "controller", "alternator") and not (edge.record.absorption or edge.record.float):
            self.ledger.use(d.CHARGE_VOLTS, edge.item)
        amps = max(amps, 1e-6)
        return volts, d.DROOP.high * volts / amps, amps

    def _feeds(self, array: Edge, controller: Edge) -> bool:
        """Whether conductors lead from an array to a controller's input."""
        goal = self.network.input_of(controller).a
        seen, stack = set(), [array.b]
        while stack:
            node = stack.pop()
            if node not in seen:
                seen.add(node)
                stack += [e.other(node) for e in self.network.at[node] if e.conducts]
        return goal in seen
