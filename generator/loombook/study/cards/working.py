"""STILL WORKING: which consumers live on after some handles are open, what carries them, and for how many hours."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from ...calc.energy import bank_energy, hours_left
from ...inventory.sources import Battery
from ...network import Consumer, Edge, Network
from ...network.core import Core
from ...network.live import Alive, alive, state
from ..banks import USABLE
from ..design import efficiency
from ..ledger import Ledger
from ..loads import duty_of, load_amps
from ..sources import nominal_across
from .model import Pool, Works
from .words import listed, place

CELL_VOLTS = {True: 3.2, False: 2.0}
"""Nominal, lithium iron phosphate and lead-acid [V]."""


def is_essential(network: Network, consumer: Consumer) -> bool:
    """Whether a consumer must work in an emergency; one of several loads takes it from its circuit too."""
    owner = network.inventory.item(consumer.circuit)
    return consumer.record.essential or bool(owner and owner.essential)


def still_working(
    network: Network, opened: Iterable[str], ledger: Ledger, positions: Mapping[str, str] | None = None
) -> tuple[tuple[Works, ...], tuple[Pool, ...]]:
    """What works on batteries alone, the essential first (also where it does not), and the batteries that carry it.

    Args:
        network: the boat
        opened: edges that are open
        ledger: notes the defaults that go in
        positions: switches that stand otherwise than normal
    """
    return _Survivors(network, state(network, positions, opened), ledger).all()


class _Survivors:
    def __init__(self, network: Network, core: Core, ledger: Ledger) -> None:
        self.network, self.core, self.ledger = network, core, ledger
        self.condition = next((name for name, c in network.inventory.conditions.items() if c.emergency), "")
        batteries = {e.id for e in network.sources() if e.kind == "battery"}
        self.alive: Alive = alive(core, batteries)
        self.living: dict[tuple[int, int], list[str]] = {}
        for id in sorted(self.alive.sources):
            self.living.setdefault(self._pair(network.edges[id].b, network.edges[id].a), []).append(id)

    def all(self) -> tuple[tuple[Works, ...], tuple[Pool, ...]]:
        network = self.network
        power: dict[tuple[str, ...], float] = {}
        carried: dict[str, tuple[str, ...]] = {}
        running: dict[str, tuple[str, ...]] = {}
        for consumer in network.consumers.values():
            if consumer.id not in self.alive.consumers:
                continue
            batteries, watts, converters = self._drawn(
                self._pair(consumer.plus, consumer.minus), self._average(consumer)
            )
            carried[consumer.id] = batteries
            power[batteries] = power.get(batteries, 0.0) + watts
            running |= {id: batteries for id in converters}
        for id, batteries in running.items():  # what a converter takes for itself
            idle = getattr(network.edges[id].record, "idle", None)
            power[batteries] += idle.value if idle else 0.0
        pools = {batteries: self._pool(batteries, watts) for batteries, watts in power.items()}
        rows = []
        for consumer in network.consumers.values():
            essential = is_essential(network, consumer)
            where = place(network.inventory, consumer.record.at)
            if consumer.id in carried:
                pool = pools[carried[consumer.id]]
                rows.append(Works(consumer.id, consumer.name, essential, True, pool.name, pool.hours, where))
            elif essential:
                rows.append(Works(consumer.id, consumer.name, True, False, where=where))
        rows.sort(key=lambda w: not w.essential)
        return tuple(rows), tuple(pools[key] for key in sorted(pools))

    def _pair(self, plus: str, minus: str) -> tuple[int, int]:
        part, attach = self.core.part, self.core.attach
        return part[attach(plus)], part[attach(minus)]

    def _average(self, consumer: Consumer) -> float:
        """What it draws on average, waiting included [W]."""
        edge = self.network.edges[consumer.edge]
        duty = duty_of(self.network, consumer, self.condition, self.ledger)
        volts = nominal_across(self.network, edge)
        standby = consumer.record.standby
        waiting = 0.0 if standby is None else standby.value if standby.kind == "power" else standby.value * volts
        return duty * load_amps(self.network, edge) * volts + (1 - duty) * waiting

    def _drawn(
        self, pair: tuple[int, int], watts: float, seen: tuple[str, ...] = ()
    ) -> tuple[tuple[str, ...], float, tuple[str, ...]]:
        """The batteries that carry a load between two parts, what they give for it [W], and converters on the way."""
        sources = [self.network.edges[id] for id in self.living.get(pair, ())]
        batteries = tuple(e.item for e in sources if e.kind == "battery")
        if batteries:
            return batteries, watts, seen
        for edge in sources:
            entry: Edge = self.network.input_of(edge)
            if edge.id not in seen:
                found = self._drawn(
                    self._pair(entry.a, entry.b), watts / efficiency(edge, self.ledger), (*seen, edge.id)
                )
                if found[0]:
                    return found
        return (), watts, seen

    def _pool(self, ids: Sequence[str], watts: float) -> Pool:
        batteries = [self.network.inventory.batteries[id] for id in ids]
        stated = all(b.usable for b in batteries)
        full = [_energy(b) for b in batteries]
        parts = [self._usable(b) for b in batteries]
        energy = sum(wh * part for wh, part in zip(full, parts))
        half = sum(wh * max(part - 0.5, 0.0) for wh, part in zip(full, parts))
        volts = nominal_across(self.network, self.network.edges[ids[0]]) if ids else 0.0
        hours = hours_left(energy, watts) if watts > 0 else None
        left = hours_left(half, watts) if watts > 0 else None
        name = self._called(batteries)
        return Pool(
            tuple(ids), name, energy, energy / max(sum(full), 1e-9), stated, watts, watts / max(volts, 0.1), hours, left
        )

    def _called(self, batteries: Sequence[Battery]) -> str:
        """The bank's name where they are the whole bank; else their own."""
        bank = {b.bank for b in batteries}
        whole = [b for b in self.network.inventory.batteries.values() if b.bank in bank]
        return (
            bank.pop()
            if len(bank) == 1 and None not in bank and whole == list(batteries)
            else listed([b.title for b in batteries])
        )

    def _usable(self, battery: Battery) -> float:
        if battery.usable:
            return min(battery.usable.value, 1.0)
        return self.ledger.use(USABLE[battery.chemistry == "lfp"], battery.id).high


def _energy(battery: Battery) -> float:
    """Rated energy of one battery [Wh]."""
    return bank_energy(
        battery.cells.series,
        battery.cells.capacity.value * battery.cells.parallel,
        CELL_VOLTS[battery.chemistry == "lfp"],
    )
