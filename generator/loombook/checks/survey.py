"""What the rules ask of a vessel: its study, its devices, zones and names, and which source charges which battery."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from ..calc.banks import cell_voltages
from ..calc.curves import Band
from ..calc.solar import cold_open_circuit
from ..inventory.records import Inventory
from ..inventory.sources import Battery
from ..network import Consumer, Edge, Network
from ..network.isolate import handles
from ..study.defaults import Ledger
from ..study.loads import duty_of, use_of
from ..study.model import Study
from .bands import band_of
from .cover import Cover
from .devices import Device, devices
from .limits import Limit, limit
from .names import Names
from .zones import Zones, is_spare_link

LITHIUM = ("lfp",)


@dataclass(frozen=True)
class Bank:
    """The batteries that work together."""

    name: str
    batteries: tuple[Battery, ...]

    @property
    def lithium(self) -> bool:
        return all(b.chemistry in LITHIUM for b in self.batteries)


@dataclass(frozen=True)
class Survey:
    """One vessel under survey on one day."""

    study: Study = field(repr=False)
    as_of: datetime.date

    @property
    def network(self) -> Network:
        return self.study.network

    @property
    def inventory(self) -> Inventory:
        return self.study.network.inventory

    @property
    def ship(self) -> str:
        """The vessel's name: the item of what is about the whole vessel."""
        return self.inventory.vessel.name

    @cached_property
    def names(self) -> Names:
        return Names(self.network)

    @cached_property
    def rule_sets(self) -> tuple[str, ...]:
        rules = self.inventory.vessel.rules
        return ("iso", "us") if rules == "both" else (rules,)

    def limit(self, name: str) -> Limit:
        """The limit of the vessel's rule set; of two, the stricter."""
        return limit(name, self.rule_sets)

    # devices and wiring

    @cached_property
    def devices(self) -> tuple[Device, ...]:
        return devices(self.network)

    @cached_property
    def device_of(self) -> Mapping[str, Device]:
        """Edge id → its fuse or breaker."""
        return {edge.id: device for device in self.devices for edge in device.edges}

    def band(self, device: Device) -> Band:
        """How fast a device opens; OutOfTable where that is not known."""
        return band_of(self.inventory, device)

    @cached_property
    def zones(self) -> Zones:
        return Zones(self.network)

    @cached_property
    def linked_zones(self) -> Zones:
        """With the paralleling switches closed."""
        return Zones(self.network, links=True)

    @cached_property
    def cover(self) -> Cover:
        """Which conductors the device before them protects."""
        return Cover(self)

    @cached_property
    def cables(self) -> tuple[Edge, ...]:
        """One conductor for every cable: of the poles that run in it, the positive or line."""
        first: dict[tuple, Edge] = {}
        for edge in self.network.edges.values():
            if edge.kind == "conductor":
                first.setdefault(self._cable_key(edge), edge)
        return tuple(first.values())

    def _cable_key(self, edge: Edge) -> tuple:
        """The same for every pole of one cable."""
        if edge.path[0] == "runs":
            return edge.path
        base, pole = edge.id.rsplit(" ", 1)
        circuit = self.inventory.circuits[edge.item]
        own_return = pole == "-" and circuit.back is not None and base.startswith(edge.item)
        return (base, pole if own_return else "")

    def is_ac(self, edge: Edge) -> bool:
        return bool({self.network.nodes[edge.a].pole, self.network.nodes[edge.b].pole} & {"L", "N", "PE"})

    def is_hot(self, edge: Edge) -> bool:
        return bool({self.network.nodes[edge.a].pole, self.network.nodes[edge.b].pole} & {"+", "L"})

    def nominal(self, edge: Edge) -> float:
        """Nominal voltage of the system that an edge belongs to [V]."""
        found = [v for n in (edge.a, edge.b) if (v := self.network.nodes[n].volts)]
        return max(found, default=0.0)

    def last_device(self, consumer: Consumer) -> Device | None:
        """The fuse or breaker nearest to a consumer on its first supply path."""
        for path in self.study.supply.get(consumer.id, ())[:1]:
            for hop in reversed(path.out):
                if hop.edge.id in self.device_of:
                    return self.device_of[hop.edge.id]
        return None

    @cached_property
    def last_devices(self) -> tuple[Device, ...]:
        """The devices nearest to the consumers, each once."""
        found = {d.id: d for c in self.network.consumers.values() if (d := self.last_device(c))}
        return tuple(found.values())

    # what is joined with what

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
        for edge in self.network.sources():
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
        if edge.kind in ("shore", "inverter"):
            given = record.voltage if edge.kind == "shore" else record.output
            return given.value if given else 230.0
        if edge.kind == "converter":
            return max(v.value for v in (record.output, record.absorption, record.equalise) if v)
        stages = [v.value for v in (record.absorption, record.equalise, record.float) if v]
        return max(stages, default=None)

    def sources_beside(self, device: Edge, node: str) -> frozenset[str] | None:
        """Source edges on one side of a device, all switches closed; None where a way leads round the device."""
        seen, stack = {node}, [node]
        while stack:
            here = stack.pop()
            for edge in self.network.at[here]:
                other = edge.other(here)
                if edge.conducts and edge.id != device.id and other not in seen:
                    seen.add(other)
                    stack.append(other)
        if device.other(node) in seen:
            return None
        return frozenset(e.id for e in self.network.sources() if e.b in seen)

    # batteries and what charges them

    @cached_property
    def banks(self) -> tuple[Bank, ...]:
        found: dict[str, list[Battery]] = {}
        for battery in self.inventory.batteries.values():
            found.setdefault(battery.bank or battery.id, []).append(battery)
        return tuple(Bank(name, tuple(rows)) for name, rows in found.items())

    @cached_property
    def parallel(self) -> tuple[tuple[str, ...], ...]:
        """Ids of batteries that stand in parallel in normal use, each group of two or more."""
        groups: dict[tuple[int, int], list[str]] = {}
        for id in self.inventory.batteries:
            groups.setdefault((self.use_part[f"{id} -"], self.use_part[f"{id} +"]), []).append(id)
        return tuple(tuple(ids) for ids in groups.values() if len(ids) > 1)

    @cached_property
    def charged_by(self) -> Mapping[str, tuple[Edge, ...]]:
        """Battery id → the sources joined to it in use that can charge it; arrays stand for their controllers."""
        rows = [e for e in self.network.sources() if e.kind in ("alternator", "controller", "charger")]
        rows += [e for e in self.network.sources() if e.kind == "converter" and e.record.charges]
        found = {}
        for battery in self.inventory.batteries.values():
            ends = self.ends(f"{battery.id} +", f"{battery.id} -")
            found[battery.id] = tuple(e for e in rows if self.ends(e.b, e.a) == ends)
        return found

    def ends(self, plus: str, minus: str) -> tuple[int, int]:
        """What the two terminals of a thing are joined with in normal use."""
        return self.use_part[plus], self.use_part[minus]

    def charges(self, source: Edge) -> tuple[Battery, ...]:
        """The batteries that a source charges."""
        return tuple(self.inventory.batteries[id] for id, rows in self.charged_by.items() if source in rows)

    # what a hand can open

    @cached_property
    def _opened(self) -> frozenset[str]:
        """Edges that open when every handle but a fuse is opened; what is meant to stay on is left on."""
        return frozenset(e for h in handles(self.network) if h.kind in ("switch", "breaker") and not h.stays_on for e in h.edges)

    def fed_with_all_open(self, node: str) -> tuple[str, ...]:
        """Consumers, not meant to stay on, that a node's positive still reaches with every handle open."""
        seen, stack = {node}, [node]
        while stack:
            here = stack.pop()
            for edge in self.network.at[here]:
                other = edge.other(here)
                if edge.conducts and edge.id not in self._opened and other not in seen:
                    seen.add(other)
                    stack.append(other)
        consumers = self.network.consumers.values()
        return tuple(c.id for c in consumers if c.plus in seen and not self.stays_on(c))

    # consumers

    def essential(self) -> tuple[Consumer, ...]:
        """Consumers that must work in an emergency: they, or their circuit, are marked so."""
        circuits = self.inventory.circuits
        rows = self.network.consumers.values()
        return tuple(c for c in rows if c.record.essential or getattr(circuits.get(c.circuit), "essential", False))

    def use(self, consumer: Consumer) -> str:
        """What a consumer is used for; a load's own word, else its circuit's."""
        return use_of(self.network, consumer)

    def stays_on(self, consumer: Consumer) -> bool:
        circuit = self.inventory.circuits.get(consumer.circuit)
        return circuit is not None and circuit.stays_on

    def runs_in(self, consumer: Consumer, condition: str) -> bool:
        """Whether a consumer runs at all in an operating condition."""
        return duty_of(self.network, consumer, condition, Ledger()) > 0

    def is_dc(self, consumer: Consumer) -> bool:
        return self.network.nodes[consumer.plus].pole == "+"
