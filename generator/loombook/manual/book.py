"""Everything a page may speak of, looked up once: drawings, spares, findings, tests, what goes dead with what."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from itertools import islice
from typing import Any

from ..checks import Checked
from ..compare import Comparison
from ..inventory.vessel import Spare, TestRecord
from ..network.core import Core
from ..network.live import alive, state
from ..network.loops import hidden_nodes
from ..study.cards import Cards, dated
from ..study.coordination import Path, chart_of, paths as chart_paths
from ..study.course import Courses
from ..study.model import Fault, Flow
from . import paths
from .charges import Charges
from .devices import Device
from .found import Found
from .names import Names
from .text import Inline, Marked


@dataclass(frozen=True, eq=False)
class Book(Names):
    """The vessel as the pages see her. Made once for a build."""

    checked: Checked = field(repr=False)
    as_of: datetime.date
    drawings: frozenset[str] = frozenset()
    comparison: Comparison | None = field(default=None, repr=False)
    """With an earlier revision, where one is given."""
    routes: dict[str, Any] = field(default_factory=dict, repr=False)
    """Consumer id → its route, filled as pages ask for them."""

    def figures(self, name: str) -> list[str]:
        """The drawings of this name: a sheet too large for its paper goes on as `ship.2`, `ship.3`."""
        more = [f"{name}.{number}" for number in range(2, 100)]
        return [sheet for sheet in (name, *more) if sheet in self.drawings]

    @cached_property
    def courses(self) -> Courses:
        """The fault currents over time, worked out where a page asks."""
        return Courses(self.network, self.study.faults, self.study.resistances)

    def charted(self, device: str) -> str:
        """The coordination chart of a device, by its edge; empty where none is drawn."""
        name = chart_of(device)
        return name if name in self.drawings else ""

    @cached_property
    def charts(self) -> tuple[Path, ...]:
        """The paths that have a coordination chart."""
        return chart_paths(self.network, self.study.guards)

    @cached_property
    def flow_pages(self) -> Mapping[str, str]:
        """Operating condition → the page of its load flow."""
        return paths.flow_pages(self.study.flows)

    @cached_property
    def assumed(self) -> Mapping[str, list[Inline]]:
        """Item → the defaults that were taken for it, each in a line with what it moves."""
        found: dict[str, list[Inline]] = {}
        for a in self.study.assumptions:
            line = (f"{a.what}: ", Marked(f"{a.value} (default)", "default"), f"; {a.effect or 'effect not known'}")
            for id in a.items:
                found.setdefault(id.split(" ")[0], []).append(line)
        return found

    # devices and spares

    @cached_property
    def _spares(self) -> Mapping[tuple[str, float | None], list[Spare]]:
        found: dict[tuple[str, float | None], list[Spare]] = {}
        for spare in self.inventory.spares:
            found.setdefault((spare.kind, spare.amps), []).append(spare)
        return found

    def spares_of(self, device: Device) -> list[Spare]:
        """Spares of a fuse's own kind and rating."""
        return self._spares.get((device.kind, device.rating.value), []) if device.rating else []

    def spare_words(self, device: Device) -> Inline:
        """Whether a spare is carried, and where."""
        if device.is_breaker:
            return "none needed: switch it OFF, then ON again, once"
        carried = [spare for spare in self.spares_of(device) if spare.count]
        if not carried:
            return Marked("none written down", "missing")
        parts: list[Inline] = []
        for spare in carried:
            parts += ["; " if parts else "", f"{spare.count} in ", self.where(spare.at)]
        return tuple(parts)

    @cached_property
    def hidden_nodes(self) -> frozenset[str]:
        """Terminals and joints where nobody would look."""
        return hidden_nodes(self.network)

    # checks, tests and emergencies

    @cached_property
    def found(self) -> Found:
        """What the checks say."""
        return Found(self.checked)

    @cached_property
    def tests_of(self) -> Mapping[str, list[TestRecord]]:
        """Id → its test records, latest first."""
        found: dict[str, list[TestRecord]] = {}
        for test in sorted(self.inventory.tests, key=lambda test: test.date, reverse=True):
            found.setdefault(test.item, []).append(test)
        return found

    @cached_property
    def cards(self) -> Cards:
        """The emergency cards for this day."""
        return dated(self.study.cards, self.inventory, self.as_of)

    # consumers

    @cached_property
    def works_after(self) -> frozenset[str]:
        """Consumers that still work after the ship's isolation."""
        return frozenset(self.study.ship.working)

    @cached_property
    def flows(self) -> tuple[Flow, ...]:
        """The load flows that were found. One that was not has a problem without an item."""
        return tuple(flow for flow in self.study.flows.values() if all(item for item, _ in flow.problems))

    @cached_property
    def starved(self) -> Mapping[str, frozenset[str]]:
        """Operating condition → items that cannot be supplied in it."""
        return {name: frozenset(item for item, _ in flow.problems) for name, flow in self.study.flows.items()}

    @cached_property
    def consumers_of(self) -> Mapping[str, list[str]]:
        """Circuit or motor id → its consumers."""
        found: dict[str, list[str]] = {}
        for consumer in self.network.consumers.values():
            found.setdefault(consumer.circuit, []).append(consumer.id)
        return found

    @cached_property
    def circuits_from(self) -> Mapping[str, list[str]]:
        """Terminal as the inventory writes it → the circuits fed from it."""
        found: dict[str, list[str]] = {}
        for circuit in self.inventory.circuits.values():
            found.setdefault(circuit.source, []).append(circuit.id)
        return found

    # figures

    @cached_property
    def behind(self) -> Mapping[str, tuple[float | None, str, str]]:
        """Device → least capacity of the conductors that it protects first [A], a cable of unknown capacity, and the
        conductor of least capacity."""
        found: dict[str, tuple[float | None, str, str]] = {}
        of_edge = {edge: device.id for device in self.devices.values() for edge in device.edges}
        for conductor, protection in self.study.protection.items():
            carrying = self.study.carrying.get(conductor)
            if carrying is None:
                continue
            for device in {of_edge[edge] for edge in protection.devices if edge in of_edge}:
                least, missing, weakest = found.get(device, (None, "", ""))
                if carrying.amps is None:
                    missing = missing or f"{conductor.split(' ')[0]}: {carrying.missing}"
                elif least is None or carrying.amps < least:
                    least, weakest = carrying.amps, conductor
                found[device] = (least, missing, weakest)
        return found

    def fault_node(self, id: str) -> str | None:
        """The node at which an item's prospective fault current is quoted: the one where it is highest."""
        ends = (
            id,
            f"{id} L",
            f"{id} +",
            f"{id} 1",
            f"{id} 2",
            f"{id} com",
            f"{id} 1 L",
            f"{id} com L",
            f"{id} out +",
            f"{id} pv +",
        )
        found = [node for node in ends if (fault := self.study.faults.get(node)) and fault.highest]
        return max(found, key=lambda node: self.study.faults[node].highest.high, default=None)

    def fault(self, id: str) -> Fault | None:
        """The prospective fault current at an item."""
        node = self.fault_node(id)
        return self.study.faults[node] if node else None

    # the wiring

    @cached_property
    def normal(self) -> Core:
        """The network with every switch as it usually stands."""
        return state(self.network)

    @cached_property
    def charges(self) -> Charges:
        """Which source charges which battery."""
        return Charges(self.normal)

    def lost_with(self, device: Device | Iterable[str]) -> tuple[str, ...]:
        """Consumers that go dead when a device opens, in the order of the inventory."""
        edges = device.edges if isinstance(device, Device) else tuple(device)
        return tuple(dict.fromkeys(c for edge in edges for c in self.study.lost.get(edge, ())))

    def blacked_out(self, batteries: Iterable[str]) -> tuple[str, ...]:
        """Consumers that go dead, at sea and as the switches usually stand, when these batteries open."""
        key = frozenset(batteries)
        if key not in self._dark:
            every = set(self.inventory.batteries)
            after = alive(self.normal, sorted(every - key)).consumers
            before = alive(self.normal, sorted(every)).consumers
            self._dark[key] = tuple(c for c in self.network.consumers if c in before and c not in after)
        return self._dark[key]

    @cached_property
    def _dark(self) -> dict[frozenset[str], tuple[str, ...]]:
        return {}

    def more_lost(self, level, most: int = 5) -> tuple[list[str], int]:
        """The first consumers that a stretch takes down beyond the stretch nearer to the device, and how many."""
        if level.key not in self._more:
            nearer = frozenset(level.nearer)
            self._more[level.key] = list(islice((c for c in level.lost if c not in nearer), most))
        return self._more[level.key], len(level.lost) - len(level.nearer)

    @cached_property
    def _more(self) -> dict:
        return {}

    @cached_property
    def at_space(self) -> Mapping[str, list[str]]:
        """Space → ids of the items and consumers in it."""
        found: dict[str, list[str]] = {}
        for item in self.inventory.items():
            if item.at and item.at.space and item.id not in self.consumers_of:
                found.setdefault(item.at.space, []).append(item.id)
        for consumer in self.network.consumers.values():
            at = consumer.record.at
            if at and at.space:
                found.setdefault(at.space, []).append(consumer.id)
        return found
