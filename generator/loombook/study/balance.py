"""The load balance: what is used, lost and given in each operating condition."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from ..network import Edge, Network
from ..network.model import CONVERTS
from .banks import Bank
from .ledger import Ledger
from .loads import duty_of, duty_said
from .model import Flow

BENCHMARK = 3.0
"""Hours that the essential loads should last on an emergency source. Source: 46 CFR 183.310 (from memory)."""
IDLE = 0.05
"""A bank that gives or takes less than this is taken as resting [A]."""


@dataclass(frozen=True)
class Use:
    """What one consumer takes on average."""

    consumer: str
    duty: float
    watts: float
    amps: float
    """At its own voltage [A]."""
    said: bool = True
    """Whether the inventory says how much of the time it runs; else that is a default."""


@dataclass(frozen=True)
class Conversion:
    """What goes into a converter, inverter, charger or controller, and comes out."""

    item: str
    taken: float
    """[W]"""
    given: float
    """[W]"""

    @property
    def lost(self) -> float:
        return max(self.taken - self.given, 0.0)


@dataclass(frozen=True)
class BankFlow:
    """A bank in one operating condition."""

    bank: str
    amps: float
    """What it gives; below zero it is charged [A]."""
    hours: float | None
    """Until its usable charge is gone from full; None where it does not give [h]."""


@dataclass(frozen=True)
class Balance:
    """One operating condition."""

    condition: str
    hours: float | None
    """A usual day [h]."""
    uses: tuple[Use, ...]
    conversions: tuple[Conversion, ...]
    given: tuple[tuple[str, float], ...]
    """(source edge, watts) of every source with energy of its own but the batteries."""
    wiring: float
    """Lost in wiring, devices and the batteries themselves [W]."""
    banks: tuple[BankFlow, ...]

    @property
    def used(self) -> float:
        """What all consumers take [W]."""
        return sum(use.watts for use in self.uses)

    @property
    def lost(self) -> float:
        """What converters and wiring lose [W]."""
        return sum(c.lost for c in self.conversions) + self.wiring

    @property
    def guessed(self) -> float:
        """Part of what is used that rests on defaults for how much of the time things run, 0 to 1."""
        return sum(use.watts for use in self.uses if not use.said) / self.used if self.used else 0.0

    def of(self, bank: str) -> BankFlow:
        """One bank of it."""
        return next(flow for flow in self.banks if flow.bank == bank)

    @property
    def sources(self) -> float:
        """What all sources but the batteries give [W]."""
        return sum(watts for _, watts in self.given)


@dataclass(frozen=True)
class Essential:
    """How long a bank carries what must work in an emergency, alone."""

    bank: str
    carried: tuple[str, ...]
    """The essential consumers that it reaches, whichever way the switches stand."""
    unreached: tuple[str, ...]
    amps: float
    """[A]"""
    hours: float | None
    benchmark: float = BENCHMARK
    said: bool = True
    """Whether the inventory says how much of the time each of them runs."""


def balances(
    network: Network, flows: Mapping[str, Flow], banks: Sequence[Bank], ledger: Ledger
) -> Mapping[str, Balance]:
    """Operating condition → its balance."""
    return {name: _balance(network, name, flow, banks, ledger) for name, flow in flows.items()}


def _balance(network: Network, condition: str, flow: Flow, banks: Sequence[Bank], ledger: Ledger) -> Balance:
    record = network.inventory.conditions.get(condition)
    hours = record.hours.value / 3600 if record and record.hours else None
    uses = tuple(_uses(network, condition, flow, ledger))
    conversions = tuple(_conversions(network, flow))
    given = tuple(
        (e.id, _watts(flow, e, e.b, e.a))
        for e in network.sources()
        if e.kind in ("alternator", "generator", "solar array", "shore") and e.id in flow.amps
    )
    stored = sum(_watts(flow, e, e.b, e.a) for e in network.sources() if e.kind == "battery")
    wiring = (
        sum(watts for _, watts in given)
        + stored
        - sum(u.watts for u in uses)
        - sum(c.taken - c.given for c in conversions)
    )
    return Balance(
        condition, hours, uses, conversions, given, max(wiring, 0.0), tuple(_bank_flow(bank, flow) for bank in banks)
    )


def _watts(flow: Flow, edge: Edge, plus: str, minus: str) -> float:
    return flow.amps.get(edge.id, 0.0) * (flow.across(plus, minus) or 0.0)


def _uses(network: Network, condition: str, flow: Flow, ledger: Ledger) -> Iterator[Use]:
    for consumer in network.consumers.values():
        edge = network.edges[consumer.edge]
        watts = _watts(flow, edge, edge.a, edge.b)
        if watts > 1e-3:
            said = duty_said(network, consumer, condition) is not None
            yield Use(consumer.id, duty_of(network, consumer, condition, ledger), watts, flow.amps[edge.id], said)


def _conversions(network: Network, flow: Flow) -> Iterator[Conversion]:
    for edge in network.sources():
        entry = network.input_of(edge)
        if edge.kind in CONVERTS and entry is not None and edge.id in flow.amps:
            yield Conversion(
                edge.item, _watts(flow, entry, entry.a, entry.b), max(_watts(flow, edge, edge.b, edge.a), 0.0)
            )


def _bank_flow(bank: Bank, flow: Flow) -> BankFlow:
    """Of batteries in series the current counts once."""
    total = sum(flow.amps.get(b.id, 0.0) * b.cells.series for b in bank.batteries)
    amps = total / _series(bank)
    return BankFlow(bank.name, amps, bank.hours(amps) if amps > IDLE else None)


def _series(bank: Bank) -> float:
    """Cells in series of the whole bank."""
    per_cell = 3.2 if bank.batteries[0].chemistry == "lfp" else 2.0
    return bank.volts / per_cell
