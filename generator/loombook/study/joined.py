"""What is joined with what, and the highest voltage that the sources bring it to."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cached_property

from ..calc.banks import cell_voltages
from ..calc.solar import cold_open_circuit
from ..inventory.sources import Battery
from ..network import Edge, Network


def is_spare_link(network: Network, edge: Edge) -> bool:
    """Whether an edge is a paralleling switch that is off in normal use."""
    return edge.kind == "switch" and edge.record.kind == "paralleling" and network.normal.get(edge.item) == "off"


class Joined:
    """The parts into which the conducting wiring of one network falls."""

    def __init__(self, network: Network) -> None:
        self.network = network
        self._sources = tuple(network.sources())

    @cached_property
    def part(self) -> Mapping[str, int]:
        """Node → number of what it can be joined with: every switch closed, in every throw, but the links of need."""
        return self._parts(lambda edge: not is_spare_link(self.network, edge))

    @cached_property
    def use_part(self) -> Mapping[str, int]:
        """Node → number of what it is joined with in normal use, isolating switches closed."""
        return self._parts(self._in_use)

    def _in_use(self, edge: Edge) -> bool:
        if is_spare_link(self.network, edge):
            return False
        normal = self.network.normal.get(edge.item, "on")
        throws = edge.kind == "switch" and edge.record.kind in ("change-over", "selector")
        return not throws or normal == "off" or normal in edge.positions

    def _parts(self, closed: Callable[[Edge], bool]) -> Mapping[str, int]:
        part: dict[str, int] = {}
        at = self.network.at
        for number, start in enumerate(self.network.nodes):
            stack = [start] if start not in part else []
            while stack:
                node = stack.pop()
                if node not in part:
                    part[node] = number
                    stack += [e.other(node) for e in at[node] if e.conducts and closed(e)]
        return part

    @cached_property
    def highest_volts(self) -> Mapping[int, float]:
        """Number of a positive or line part → the highest voltage that its sources bring it to [V]."""
        found: dict[int, float] = {}
        for edge in self._sources:
            top = self._top(edge)
            if top is not None:
                part = self.part[edge.b]
                found[part] = max(top, found.get(part, 0.0))
        return found

    def highest_at(self, edge: Edge) -> float | None:
        """The highest voltage that an edge sees [V]; None where no source reaches it."""
        found = [v for n in (edge.a, edge.b) if (v := self.highest_volts.get(self.part[n]))]
        return max(found, default=None)

    def _top(self, edge: Edge) -> float | None:
        record = edge.record
        if isinstance(record, Battery):
            cells = record.cells
            cell = cells.highest.value if cells.highest else cell_voltages(record.chemistry).charge
            return cells.series * cell
        if edge.kind == "solar array":
            volts = record.series * record.open_circuit.value
            if record.voltage_change and record.coldest:
                return cold_open_circuit(volts, record.voltage_change.value, record.coldest.value)
            return volts
        if edge.kind in ("shore", "generator", "inverter"):
            given = record.output if edge.kind == "inverter" else record.voltage
            return given.value if given else 230.0
        if edge.kind == "converter":
            return max(v.value for v in (record.output, record.absorption, record.equalise) if v)
        stages = [v.value for v in (record.absorption, record.equalise, record.float) if v]
        return max(stages, default=None)
