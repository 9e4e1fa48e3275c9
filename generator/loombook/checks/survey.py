"""What the rules ask of a vessel: its study, its devices, zones and names, and which source charges which battery."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from ..calc.curves import Band
from ..inventory.records import Inventory
from ..inventory.sources import Battery
from ..network import Consumer, Edge, Network
from ..network.isolate import handles
from ..study.course import Courses
from ..study.devices import band_of
from ..study.joined import Joined
from ..study.ledger import Ledger
from ..study.loads import duty_of, use_of
from ..study.model import Study
from ..study.pulses import Charged, charged
from .cover import Cover
from .devices import Device, devices
from .limits import Limit, limit
from .names import Names
from .zones import Zones

LITHIUM = ("lfp",)


@dataclass(frozen=True)
class Bank:
    """The batteries that work together."""

    name: str
    batteries: tuple[Battery, ...]


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
    def courses(self) -> Courses:
        """The fault currents over time."""
        return Courses(self.network, self.study.faults, self.study.resistances)

    def pulse(self, device: Device) -> Charged | None:
        """What charged capacitors add through a device in the first moment, judged as its page judges it."""
        guard = next((found for edge in device.edges if (found := self.study.guards.get(edge.id))), None)
        return charged(guard, self.courses.pulse(self.network.edges[guard.device])) if guard else None

    @cached_property
    def zones(self) -> Zones:
        return Zones(self.network)

    @cached_property
    def linked_zones(self) -> Zones:
        """With the paralleling switches closed."""
        return Zones(self.network, links=True)

    @cached_property
    def joined(self) -> Joined:
        """What is joined with what."""
        return Joined(self.network)

    @cached_property
    def cover(self) -> Cover:
        """Which conductors the device before them protects."""
        return Cover(self)

    @cached_property
    def cables(self) -> tuple[Edge, ...]:
        """One conductor for every cable: of the poles that run in it, the positive or line."""
        first: dict[tuple[str | int, ...], Edge] = {}
        for edge in self.network.edges.values():
            if edge.kind == "conductor":
                first.setdefault(self._cable_key(edge), edge)
        return tuple(first.values())

    def _cable_key(self, edge: Edge) -> tuple[str | int, ...]:
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

    @cached_property
    def sources(self) -> tuple[Edge, ...]:
        """Every source edge."""
        return tuple(self.network.sources())

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
            groups.setdefault((self.joined.use_part[f"{id} -"], self.joined.use_part[f"{id} +"]), []).append(id)
        return tuple(tuple(ids) for ids in groups.values() if len(ids) > 1)

    @cached_property
    def charged_by(self) -> Mapping[str, tuple[Edge, ...]]:
        """Battery id → the sources joined to it in use that can charge it; arrays stand for their controllers."""
        rows = [e for e in self.sources if e.kind in ("alternator", "controller", "charger")]
        rows += [e for e in self.sources if e.kind == "converter" and e.record.charges]
        found = {}
        for battery in self.inventory.batteries.values():
            ends = self.ends(f"{battery.id} +", f"{battery.id} -")
            found[battery.id] = tuple(e for e in rows if self.ends(e.b, e.a) == ends)
        return found

    def ends(self, plus: str, minus: str) -> tuple[int, int]:
        """What the two terminals of a thing are joined with in normal use."""
        return self.joined.use_part[plus], self.joined.use_part[minus]

    def charges(self, source: Edge) -> tuple[Battery, ...]:
        """The batteries that a source charges."""
        return tuple(self.inventory.batteries[id] for id, rows in self.charged_by.items() if source in rows)

    # what a hand can open

    @cached_property
    def _opened(self) -> frozenset[str]:
        """Edges that open when every handle but a fuse is opened; what is meant to stay on is left on."""
        return frozenset(
            e for h in handles(self.network) if h.kind in ("switch", "breaker") and not h.stays_on for e in h.edges
        )

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
