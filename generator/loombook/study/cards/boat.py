"""The boat as the cards see her: handles as steps, engines and what they turn, which handle parts which battery."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from ...inventory.planned import Numbered, planned
from ...inventory.records import Inventory
from ...inventory.vessel import Item
from ...network import Edge, Network
from ...network.core import Core
from ...network.isolate import Handle, Isolation, Isolator
from ...network.live import alive, all_primary, state
from ..ledger import Ledger
from .model import Step
from .words import NO_PLACE, capital, listed, place, way_of

_DUTY = {"drive": 0, "house": 1, "reserve": 2, "start": 3}
"""Batteries with the highest voltage first; among equals the drive's, the house's, then the engine's."""

MOST_WAYS = 4
"""Ways of one panel that are told one by one; more are told together."""


@dataclass(frozen=True)
class Engine:
    """What one stop control stops."""

    alternators: tuple[str, ...]
    handle: Handle | None
    """None where nobody wrote down how it is stopped."""


@dataclass(frozen=True)
class Boat:
    """One network with what several cards need of it."""

    network: Network = field(repr=False)
    ledger: Ledger = field(default_factory=Ledger, repr=False)

    @property
    def inventory(self) -> Inventory:
        return self.network.inventory

    @cached_property
    def items(self) -> Mapping[str, Item]:
        return {item.id: item for item in self.inventory.items()}

    @cached_property
    def order(self) -> Mapping[str, int]:
        """Item → where it stands in the inventory."""
        return {id: number for number, id in enumerate(self.items)}

    @cached_property
    def isolator(self) -> Isolator:
        return Isolator(self.network)

    @cached_property
    def everything(self) -> Isolator:
        """With what is meant to stay on switched off too, and the batteries' own BMS opened by hand."""
        return Isolator(self.network, leave_on=False, with_buttons=True)

    @cached_property
    def ship(self) -> Isolation:
        return self.isolator.ship()

    # handles as steps

    def step(self, handle: Handle) -> Step:
        """One handle as one action."""
        where = capital(place(self.inventory, handle.at, way_of(handle)))
        if handle.kind == "plug":
            where = f"Pontoon, then {where}"
        if handle.kind == "stop":
            where = f"{capital(handle.action)}. {where}"
        helm = handle.propulsion or self._turns(handle)
        return Step(
            self._do(handle),
            where,
            capital(handle.see),
            (handle.id,),
            handle.sources,
            handle.label,
            self.number(handle),
            helm,
        )

    @cached_property
    def _numbers(self) -> Mapping[str, Numbered]:
        return planned(self.inventory)

    def number(self, handle: Handle) -> int:
        """Where a hand goes for it, as a number on the location plan.

        0 where that place has none: a battery has a number, but the button that opens it hangs elsewhere.
        """
        ids = handle.sources if handle.kind == "stop" else (handle.id.partition(" way ")[0],)
        found = next((self._numbers[id] for id in ids if id in self._numbers), None)
        return found.number if found and found.at == handle.at else 0

    def _turns(self, handle: Handle) -> bool:
        """Whether it stops an engine."""
        return handle.kind == "stop" and all(id in self.inventory.alternators for id in handle.sources)

    def _do(self, handle: Handle) -> str:
        name = handle.name.partition(" (")[0] if way_of(handle) else handle.name
        if handle.kind == "stop":
            return f"Stop {'the engine' if self._turns(handle) else name}"
        if handle.kind == "plug":
            return "Unplug the shore lead, shore end first"
        if handle.kind == "button":
            return f"Press the control that opens {name}"
        if handle.action == "put to OFF":
            return f"Put {name} to OFF"
        if handle.kind == "fuse":
            return f"Pull {name}" if "fuse" in name.casefold() else f"Pull the fuse {name}"
        return f"{'Turn' if handle.kind == 'switch' else 'Switch'} OFF {name}"

    def steps(self, handles: Iterable[Handle]) -> list[Step]:
        """Handles as actions in this order, the ways of one panel together; many of them are one action."""
        found: dict[str, list[Handle]] = {}
        for handle in handles:
            panel = f"{handle.id.partition(' ')[0]} {handle.kind}" if way_of(handle) else handle.id
            found.setdefault(panel, []).append(handle)
        steps: list[Step] = []
        for group in found.values():
            steps += [self._ways(group)] if len(group) > MOST_WAYS else [self.step(h) for h in group]
        return steps

    def _ways(self, group: Sequence[Handle]) -> Step:
        panel = self.inventory.panels[group[0].id.partition(" ")[0]]
        number = len([w for w in panel.ways.values() if not w.spare])
        ids = tuple(h.id for h in group)
        verb, noun = ("Switch OFF", "breakers") if group[0].kind == "breaker" else ("Pull", "fuses")
        which = f"every {noun[:-1]}" if len(group) == number else f"{len(group)} {noun}"
        ways = "" if len(group) == number else f"; ways {listed([id.rpartition(' ')[2] for id in ids])}"
        return Step(
            f"{verb} {which} in {panel.title}",
            place(self.inventory, panel.at) + ways,
            "",
            ids,
            (),
            panel.label or "",
            self.number(group[0]),
        )

    # what turns and what shines

    @cached_property
    def engines(self) -> tuple[Engine, ...]:
        """Engines, by what is known of how they are stopped."""
        stops = [h for h in self.isolator.handles if h.kind == "stop" and h.sources[0] in self.inventory.alternators]
        stopped = {source for h in stops for source in h.sources}
        groups: dict[str, list[str]] = {}
        for alternator in self.inventory.alternators.values():
            if alternator.id not in stopped:
                groups.setdefault(alternator.engine or alternator.id, []).append(alternator.id)
        return (*(Engine(h.sources, h) for h in stops), *(Engine(tuple(ids), None) for ids in groups.values()))

    def stop_engine(self, engine: Engine) -> Step:
        if engine.handle:
            return self.step(engine.handle)
        names = listed([self.network.title(id) for id in engine.alternators])
        return Step(f"Stop the engine that turns {names}", NO_PLACE, "", (), engine.alternators, helm=True)

    def cover(self, array: str) -> Step:
        """The sun that no handle shuts off is shut off by a cover."""
        item = self.inventory.solar_arrays[array]
        return Step(
            f"Cover {item.title} with something that no light passes",
            place(self.inventory, item.at),
            "The controller shows no charge",
            (),
            (array,),
        )

    # what a handle does

    def opened(self, handles: Iterable[Handle]) -> list[str]:
        """The edges that handles open."""
        return [edge for h in handles for edge in h.edges]

    def named(self, ids: Iterable[str]) -> tuple[Handle, ...]:
        """The handles with these ids, in this order."""
        by_id = {h.id: h for h in self.isolator.handles}
        return tuple(by_id[id] for id in ids)

    @cached_property
    def parted(self) -> Mapping[str, tuple[str, ...]]:
        """Handle → batteries that it alone parts from a bar or panel; none for the handle of a load or of a charger."""
        found = {}
        ends = {b: (f"{b} +", f"{b} -") for b in self.inventory.batteries}
        bars = [*self.inventory.bars, *(id for id, panel in self.inventory.panels.items() if not panel.ac)]
        for handle in self.isolator.handles:
            batteries: dict[str, None] = {}
            if handle.edges and not handle.stays_on:
                part = self.isolator.joined([handle])
                for edge in (self.network.edges[id] for id in handle.edges):
                    if part[edge.a] != part[edge.b]:
                        held = [
                            {b for b, posts in ends.items() if side in {part[post] for post in posts}}
                            for side in (part[edge.a], part[edge.b])
                        ]
                        shared = [side in {part[bar] for bar in bars} for side in (part[edge.a], part[edge.b])]
                        if all(h or s for h, s in zip(held, shared)):
                            batteries |= dict.fromkeys(sorted(held[0] | held[1]))
            found[handle.id] = tuple(batteries)
        return found

    def battery_rank(self, handle: Handle) -> tuple[float, int]:
        """What is opened last sorts last: no battery, then by falling voltage, drive, house, engine."""
        batteries = [self.inventory.batteries[id] for id in self.parted[handle.id]]
        if not batteries:
            return (-float("inf"), 0)
        volts = max(self.network.nodes[f"{b.id} +"].volts or 0.0 for b in batteries)
        return (-volts, min(_DUTY[b.duty] for b in batteries))

    def orphans(self, handles: Iterable[Handle], stopped: Iterable[str] = ()) -> list[str]:
        """Alternators and arrays that would run on without the battery that they charge, were these handles opened.

        An alternator that loses its battery while it turns, or a solar controller in daylight, can be damaged.
        """
        before, after = self._normal, state(self.network, {}, self.opened(handles))
        stopped = {*stopped, *(source for h in handles for source in h.sources)}
        living = alive(after, all_primary(self.network) - stopped).sources
        found = []
        for edge in self.network.sources():
            charges = edge.kind in ("alternator", "controller")
            if charges and edge.id in living and self._charges(before, edge) and not self._charges(after, edge):
                found += [edge.id] if edge.kind == "alternator" else self.arrays_of(edge.id)
        return [id for id in dict.fromkeys(found) if id not in stopped]

    @cached_property
    def _normal(self) -> Core:
        return state(self.network)

    def _charges(self, core: Core, edge: Edge) -> bool:
        batteries = [e for e in self.network.sources() if e.kind == "battery"]
        return any(core.joined(edge.b, b.b) and core.joined(edge.a, b.a) for b in batteries)

    def arrays_of(self, controller: str) -> list[str]:
        """The arrays before a solar controller."""
        part = self.isolator.joined(())
        entry = part[f"{controller} pv +"]
        return [id for id in self.inventory.solar_arrays if part[f"{id} +"] == entry]
