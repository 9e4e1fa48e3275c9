"""The load balance: what is used, lost and given in each operating condition, over a day of them, and by the sun."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from ..calc.energy import hours_left
from ..calc.solar import PV_SYSTEM_FACTOR, default_sun_hours, solar_energy
from ..network import Edge, Network
from ..network.model import CONVERTS
from . import defaults as d
from .banks import Bank
from .defaults import Default, Ledger
from .loads import duty_of
from .model import Flow

SUN = Default(
    "peak-sun hours of each month",
    "about 50° north with usual cloud: 0.6 h in December to 5.2 h in June",
    d.MEMORY,
    effect="what the sun brings is in proportion to it",
)
SUN_SHARE = Default(
    "share of an array's rating that reaches the battery",
    "70 %",
    "usual sizing rule, seen",
    PV_SYSTEM_FACTOR,
    PV_SYSTEM_FACTOR,
    "what the sun brings is in proportion to it",
)
BENCHMARK = 3.0
"""Hours that the essential loads should last on an emergency source. Source: 46 CFR 183.310 (seen)."""
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


@dataclass(frozen=True)
class Day:
    """A bank's state of charge over a day of operating conditions, beginning full."""

    bank: str
    points: tuple[tuple[float, float, str], ...]
    """(hour, state of charge 0 to 1, the condition that ends here)."""
    net: float
    """Charge given over the day; below zero it was charged more than it gave [Ah]."""

    @property
    def lowest(self) -> float:
        return min(charge for _, charge, _ in self.points)


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
        if e.kind in ("alternator", "solar array", "shore") and e.id in flow.amps
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
            yield Use(consumer.id, duty_of(network, consumer, condition, ledger), watts, flow.amps[edge.id])


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
    return BankFlow(bank.name, amps, hours_left(bank.capacity * bank.usable, amps) if amps > IDLE else None)


def _series(bank: Bank) -> float:
    """Cells in series of the whole bank."""
    per_cell = 3.2 if bank.batteries[0].chemistry == "lfp" else 2.0
    return bank.volts / per_cell


def days(balances: Mapping[str, Balance], banks: Sequence[Bank]) -> tuple[Day, ...]:
    """Each bank over the day of conditions that say how long they last, in the order written."""
    return tuple(_day(bank, [b for b in balances.values() if b.hours]) for bank in banks)


def _day(bank: Bank, parts: Sequence[Balance]) -> Day:
    hour, charge, net = 0.0, 1.0, 0.0
    points = [(0.0, 1.0, "")]
    for part in parts:
        amps = next(b.amps for b in part.banks if b.bank == bank.name)
        taken = amps * part.hours
        after = charge - taken / bank.capacity
        if after > 1.0 and charge < 1.0:  # full before the condition ends
            points.append((hour + (1.0 - charge) * bank.capacity / -amps, 1.0, part.condition))
        hour, charge, net = hour + part.hours, min(max(after, 0.0), 1.0), net + taken
        points.append((hour, charge, part.condition))
    return Day(bank.name, tuple(points), net)


def sun(network: Network, ledger: Ledger) -> tuple[tuple[int, float, float], ...]:
    """(month, peak-sun hours, energy that the arrays bring to the batteries in a day [Wh]); empty without an array."""
    arrays = network.inventory.solar_arrays.values()
    rated = sum(a.power.value * a.series * a.parallel for a in arrays)
    if not rated:
        return ()
    own = network.inventory.defaults.peak_sun_hours
    for array in arrays:
        ledger.use(SUN_SHARE, array.id)
        if own is None:
            ledger.use(SUN, array.id)
    hours = [own.value / 3600 if own else default_sun_hours(month) for month in range(1, 13)]
    return tuple((month, h, solar_energy(rated, h, SUN_SHARE.high)) for month, h in enumerate(hours, 1))
