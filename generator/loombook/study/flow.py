"""The load flow of each operating condition: every load at its average, regulated sources within their limits."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from ..calc.energy import rest_voltage
from ..inventory.sources import Battery, SolarArray
from ..network import Edge, Network
from ..network.core import Core, core_of
from ..network.live import alive, sources_on
from ..quantities import digits
from . import defaults as d
from .defaults import Ledger
from .design import efficiency, rated_output
from .loads import duty_of, law_of
from .model import Flow, Resistance
from .solve import CURRENT, FLOOR, LAWS, POWER, RESISTANCE, Circuit, Solution, solve
from .sources import battery_ohms, nominal_across, output_volts
from .warming import Warming

_ROUNDS = 6


def flows(network: Network, resistances: Mapping[str, Resistance], ledger: Ledger) -> Mapping[str, Flow]:
    """Operating condition → its load flow."""
    model = FlowModel(network, resistances, ledger)
    return {condition: model.flow(condition) for condition in network.conditions}


class FlowModel:
    """A network laid out once for the solver; each condition picks what is closed, on and running."""

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
        self.unknown = frozenset(id for id, r in resistances.items() if r.missing)
        self.consumers = list(network.consumers.values())
        self.load_edges = [network.edges[c.edge] for c in self.consumers]
        self.load_ends = self._ends(self.load_edges)
        self.nominal = np.array([nominal_across(network, e) for e in self.load_edges])
        self.law = np.array([LAWS[law_of(e.record)] for e in self.load_edges], dtype=int)

    def _ends(self, edges: list[Edge], backwards: bool = False) -> np.ndarray:
        pairs = [(self.index[e.b], self.index[e.a]) if backwards else (self.index[e.a], self.index[e.b]) for e in edges]
        return np.array(pairs, dtype=int).reshape(-1, 2)

    def flow(self, condition: str) -> Flow:
        """The load flow of one condition, with converters that cannot run switched off and named."""
        core = core_of(self.network, self.network.conditions[condition])
        living = alive(core, sources_on(self.network, condition)).sources
        stopped: list[tuple[str, str]] = []
        for _ in range(_ROUNDS):
            circuit, stiff, limited = self.circuit(condition, living)
            solution = solve(circuit)
            circuit = replace(circuit, ohms=self.warming.ohms(circuit.ohms, solution.wires, self.closed(condition)), start=solution.volts)
            solution = solve(circuit)
            starved = self._starved(circuit, solution, limited)
            if not starved:
                break
            stopped += starved
            living = living - {e.id for e in limited if e.item in {item for item, _ in starved}}
        problems = stopped + self._problems(condition, circuit, solution, stiff, limited)
        return self._answer(condition, core, circuit, solution, stiff, limited, problems)

    def closed(self, condition: str) -> np.ndarray:
        """Which of the wires conduct in a condition."""
        positions = self.network.conditions[condition]
        return np.array([self.network.is_closed(e, positions) for e in self.wires], dtype=bool)

    def circuit(self, condition: str, living: frozenset[str]) -> tuple[Circuit, list[Edge], list[Edge]]:
        """The circuit of a condition, with its stiff and its limited sources in order."""
        network = self.network
        closed = self.closed(condition)
        sources = [network.edges[id] for id in sorted(living)]
        stiff = [e for e in sources if e.kind in ("battery", "shore", "solar array")]
        limited = [e for e in sources if e not in stiff]
        rows = [self._stiff(e) for e in stiff]
        limits = [self._limit(e, condition, core_arrays=stiff) for e in limited]
        entries = [(i, e, entry) for i, e in enumerate(limited) if (entry := network.input_of(e)) is not None]
        size = self._sizes(condition)
        return (
            Circuit(
                len(self.ids),
                self.wire_ends[closed],
                self.ohms[closed],
                self._ends(stiff, True),
                np.array([emf for emf, _ in rows]),
                np.array([ohms for _, ohms in rows]),
                self._ends(limited, True),
                np.array([emf for emf, _, _ in limits]),
                np.array([ohms for _, ohms, _ in limits]),
                np.array([amps for _, _, amps in limits]),
                self.load_ends,
                self.law,
                size,
                FLOOR * self.nominal,
                self._ends([entry for _, _, entry in entries]),
                np.array([i for i, _, _ in entries], dtype=int),
                np.array([efficiency(e, self.ledger) for _, e, _ in entries]),
                np.array([idle.value if (idle := getattr(e.record, "idle", None)) else 0.0 for _, e, _ in entries]),
                np.array([FLOOR * nominal_across(network, entry) for _, _, entry in entries]),
                self.start,
            ),
            stiff,
            limited,
        )

    def _sizes(self, condition: str) -> np.ndarray:
        """Average power, current or conductance of every load."""
        found = np.zeros(len(self.consumers))
        for i, consumer in enumerate(self.consumers):
            load = consumer.record.load
            if load is None:
                continue
            duty = duty_of(self.network, consumer, condition, self.ledger)
            volts, law = self.nominal[i], self.law[i]
            watts = load.value if load.kind == "power" else load.value * volts
            found[i] = duty * (watts if law == POWER else watts / volts if law == CURRENT else watts / volts**2)
        return found

    def _stiff(self, edge: Edge) -> tuple[float, float]:
        record = edge.record
        if isinstance(record, Battery):
            self.ledger.use(d.HALF_CHARGE, edge.item)
            cell = rest_voltage(0.5, "lfp") if record.chemistry == "lfp" else rest_voltage(0.5, "lead-acid") / 6
            ohms, _ = battery_ohms(record, self.ledger)
            return cell * record.cells.series, max(ohms.value, 1e-6)
        if isinstance(record, SolarArray):  # the controller holds it near its best point; its own limit is the controller's
            return 0.8 * record.series * record.open_circuit.value, 1e-3
        amps = record.fault_current.value if record.fault_current else 3000.0
        return record.voltage.value, record.voltage.value / max(amps, 1.0)

    def _limit(self, edge: Edge, condition: str, core_arrays: list[Edge]) -> tuple[float, float, float]:
        volts, amps = output_volts(self.network, edge), rated_output(self.network, edge)
        if edge.kind == "controller":
            record = self.network.inventory.conditions.get(condition)
            sun = record.solar.value if record and record.solar else 1.0
            watts = sum(a.record.power.value * a.record.series * a.record.parallel for a in core_arrays if a.kind == "solar array" and self._feeds(a, edge))
            amps = min(amps, sun * watts * efficiency(edge, self.ledger) / volts)
        self.ledger.use(d.DROOP, edge.item)
        amps = max(amps, 1e-6)
        return volts, d.DROOP.high * volts / amps, amps

    def _feeds(self, array: Edge, controller: Edge) -> bool:
        entry = self.network.input_of(controller)
        return self.network.nodes[array.b].system == self.network.nodes[entry.a].system and self._joined(array.b, entry.a)

    def _joined(self, a: str, b: str) -> bool:
        seen, stack = set(), [a]
        while stack:
            node = stack.pop()
            if node == b:
                return True
            if node not in seen:
                seen.add(node)
                stack += [e.other(node) for e in self.network.at[node] if e.conducts]
        return False

    # what cannot be supplied

    def _starved(self, circuit: Circuit, solution: Solution, limited: list[Edge]) -> list[tuple[str, str]]:
        """Converters whose input has too little voltage to run."""
        found = []
        for row, (i, ends) in enumerate(zip(circuit.feeds, circuit.inputs)):
            edge = limited[i]
            volts = solution.volts[ends[0]] - solution.volts[ends[1]]
            window = getattr(edge.record, "input_from", None)
            least = max(window.low if window else 0.0, float(circuit.input_floor[row]))
            if volts < least:
                found.append((edge.item, f"stops: {digits(max(volts, 0.0))} V at its input, it needs {digits(least)} V"))
        return found

    def _problems(self, condition: str, circuit: Circuit, solution: Solution, stiff: list[Edge], limited: list[Edge]) -> list[tuple[str, str]]:
        found = [] if solution.converged else [("", f"no load flow found for {condition}: {digits(solution.unbalance)} A do not add up")]
        for i, edge in enumerate(limited):
            ends = circuit.limited[i]
            volts = solution.volts[ends[0]] - solution.volts[ends[1]]
            if edge.kind in ("converter", "inverter") and volts < 0.985 * circuit.limited_emf[i] and solution.limited[i] >= circuit.limit[i] * (1 - 1e-6):
                found.append((edge.item, f"is at its limit of {digits(circuit.limit[i])} A; what it feeds is left with {digits(max(volts, 0.0))} V"))
        for i, edge in enumerate(stiff):
            found += _over(edge, float(solution.stiff[i]), float(_volts(circuit.stiff[i], solution)))
        low = (solution.loads > 0) & (_all_volts(circuit.loads, solution) < circuit.floor) & (circuit.law != RESISTANCE)
        fed = self._fed(circuit, solution)
        for i in np.flatnonzero(low):
            if fed[circuit.loads[i, 0]] and fed[circuit.loads[i, 1]]:
                volts = _volts(circuit.loads[i], solution)
                found.append((self.consumers[i].id, f"gets {digits(volts)} V of {digits(self.nominal[i])} V: it cannot work"))
        return found

    def _fed(self, circuit: Circuit, solution: Solution) -> np.ndarray:
        """Which nodes are joined to a source that is on."""
        parts = {*solution.part[circuit.stiff[:, 0]], *solution.part[circuit.limited[:, 0]]}
        return np.isin(solution.part, list(parts))

    # the answer

    def _answer(
        self, condition: str, core: Core, circuit: Circuit, solution: Solution, stiff: list[Edge], limited: list[Edge], problems: list[tuple[str, str]]
    ) -> Flow:
        fed = self._fed(circuit, solution)
        volts = solution.volts - self._references(solution)
        network = self.network
        positions = network.conditions[condition]
        wires = [e for e in self.wires if network.is_closed(e, positions)]
        amps: dict[str, float] = {}
        for edges, currents in ((wires, solution.wires), (self.load_edges, solution.loads), (stiff, solution.stiff), (limited, solution.limited)):
            amps |= {e.id: a for e, a in zip(edges, currents.tolist())}
        entries = [network.input_of(e).id for e in limited if network.input_of(e) is not None]
        amps |= dict(zip(entries, solution.inputs.tolist()))
        potentials = {id: v for id, v, on in zip(self.ids, volts.tolist(), fed) if on}
        return Flow(condition, potentials, amps, tuple(problems), self._behind_unknown(core))

    def _references(self, solution: Solution) -> np.ndarray:
        """Potential of each node's reference: in each joined part the return with the most joints at it."""
        best: dict[int, tuple[int, int]] = {}
        for i, id in enumerate(self.ids):
            node = self.network.nodes[id]
            if node.pole in ("-", "N"):
                joints = len(self.network.at[id])
                part = int(solution.part[i])
                if part not in best or joints > best[part][0]:
                    best[part] = (joints, i)
        shift = np.zeros(int(solution.part.max(initial=-1)) + 1)
        for part, (_, i) in best.items():
            shift[part] = solution.volts[i]
        return shift[solution.part]

    def _behind_unknown(self, core: Core) -> Mapping[str, tuple[str, ...]]:
        """Node → cables of unknown resistance on the radial way to it; there the voltage is at most what is said."""
        if not self.unknown:
            return {}
        found: dict[str, tuple[str, ...]] = {}
        for node in reversed(core.order):
            edge, above = core.parent[node]
            lacking = found.get(above, ()) + ((edge.id,) if edge.id in self.unknown else ())
            if lacking:
                found[node] = lacking
        return found


def _volts(ends: np.ndarray, solution: Solution) -> float:
    return float(solution.volts[ends[0]] - solution.volts[ends[1]])


def _all_volts(ends: np.ndarray, solution: Solution) -> np.ndarray:
    return solution.volts[ends[:, 0]] - solution.volts[ends[:, 1]]


def _over(edge: Edge, amps: float, volts: float) -> list[tuple[str, str]]:
    """What a battery or an inlet cannot give."""
    record = edge.record
    found = []
    if edge.kind == "shore" and amps > record.current.value:
        found.append((edge.item, f"gives {digits(amps)} A, its supply is for {digits(record.current.value)} A"))
    if edge.kind != "battery":
        return found
    limits = [(record.max_discharge, "its highest discharge"), (record.bms.current if record.bms else None, "its BMS")]
    for limit, name in limits:
        if limit is not None and amps > limit.value:
            found.append((edge.item, f"gives {digits(amps)} A, {name} is for {digits(limit.value)} A"))
    lowest = record.cells.lowest
    if lowest is not None and volts < lowest.value * record.cells.series:
        found.append((edge.item, f"is at {digits(volts)} V under load, below its cut-off of {digits(lowest.value * record.cells.series)} V"))
    return found


