"""A usual day: each bank's state of charge through the operating conditions, and what the sun brings month by month."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from ..calc.solar import PV_SYSTEM_FACTOR, default_sun_hours, solar_energy
from ..inventory.vessel import SunHours
from ..network import Network
from . import defaults as d
from .balance import IDLE, Balance
from .banks import Bank
from .defaults import Default
from .ledger import Ledger

SUN = Default(
    "peak-sun hours of each month",
    "about 50° north with usual cloud: 0.6 h in December to 5.2 h in June",
    d.MEMORY,
    effect="what the sun brings is in proportion to it",
    step="half as many",
    moves=0.5,
)
SUN_SHARE = Default(
    "share of an array's rating that reaches the battery",
    "70 %",
    "usual sizing rule, seen",
    PV_SYSTEM_FACTOR,
    PV_SYSTEM_FACTOR,
    "what the sun brings is in proportion to it",
    "10 points less",
    0.14,
)


MONTHS = tuple(SunHours.model_fields)
"""January to December, as the inventory writes them."""


MOST_DAYS = 60
"""So many days one after the other are looked at."""


@dataclass(frozen=True)
class Day:
    """A bank's state of charge over a day of operating conditions, beginning full."""

    bank: str
    points: tuple[tuple[float, float, str], ...]
    """(hour, state of charge 0 to 1, the condition that ends here)."""
    net: float
    """Charge given over the day; below zero it was charged more than it gave [Ah]."""
    floor: float = 0.0
    """State of charge down to which the bank is used."""
    drawn: float = 0.0
    """Charge that it gave while it gave, over its capacity: full cycles a day [1]."""
    last: int | None = None
    """Of such days one after the other, the one on which it goes under its floor; None where it does not."""

    @property
    def lowest(self) -> float:
        return min(charge for _, charge, _ in self.points)

    @property
    def end(self) -> float:
        """State of charge at the end, 0 to 1."""
        return self.points[-1][1]

    @property
    def under(self) -> float | None:
        """Hour at which it first goes under its floor; None where it does not."""
        for (hour, charge, _), (later, less, _) in pairwise(self.points):
            if less < self.floor - 1e-9:
                return hour + (later - hour) * max(charge - self.floor, 0.0) / (charge - less)
        return None

    @property
    def length(self) -> float:
        """Hours of the day that are told [h]."""
        return self.points[-1][0]


@dataclass(frozen=True)
class Month:
    """What the sun brings in a usual day of a month, against what the day needs of it."""

    number: int
    hours: float
    """Peak-sun hours [h]."""
    stated: bool
    """Whether the inventory gives them; else they are a default."""
    brought: float
    """To the batteries [Wh]."""
    needed: float | None
    """What consumers take in a usual day, with what converters and inverters lose [Wh]; None where no day is told."""

    @property
    def name(self) -> str:
        return MONTHS[self.number - 1].capitalize()


def days(balances: Mapping[str, Balance], banks: Sequence[Bank]) -> tuple[Day, ...]:
    """Each bank over the day of conditions that say how long they last, in the order written; empty without one."""
    parts = _parts(balances)
    return tuple(_many(bank, parts) for bank in banks) if parts else ()


def _parts(balances: Mapping[str, Balance]) -> list[Balance]:
    return [balance for balance in balances.values() if balance.hours]


def _many(bank: Bank, parts: Sequence[Balance]) -> Day:
    """The first day, and how many more like it the bank stands."""
    first = day = _day(bank, parts, 1.0)
    for number in range(1, MOST_DAYS + 1):
        if day.under is not None:
            return replace(first, last=number)
        begun, day = day.points[0][1], _day(bank, parts, day.end)
        if day.points[0][1] >= begun - 1e-6:  # the day gives back what it took
            break
    return first


def _day(bank: Bank, parts: Sequence[Balance], charge: float) -> Day:
    hour, net, drawn = 0.0, 0.0, 0.0
    points = [(0.0, charge, "")]
    for part in parts:
        amps = part.of(bank.name).amps
        amps = amps if abs(amps) > IDLE else 0.0
        taken = amps * part.hours
        after = charge - taken / bank.capacity
        for end in (1.0, 0.0):  # full, or empty, before the condition ends
            if (after > end and charge < end) if end else (after < end < charge):
                points.append((hour + (charge - end) * bank.capacity / amps, end, part.condition))
        after = min(max(after, 0.0), 1.0)
        drawn += max(charge - after, 0.0)
        hour, charge, net = hour + part.hours, after, net + taken
        points.append((hour, charge, part.condition))
    return Day(bank.name, tuple(points), net, bank.floor, drawn)


def sun(network: Network, balances: Mapping[str, Balance], ledger: Ledger) -> tuple[Month, ...]:
    """The twelve months; empty without an array."""
    arrays = network.inventory.solar_arrays.values()
    rated = sum(a.power.value * a.series * a.parallel for a in arrays)
    if not rated:
        return ()
    needed = _needed(network, balances)
    months = tuple(_months(network, rated, needed))
    for array in arrays:
        ledger.use(SUN_SHARE, array.id)
        if not all(month.stated for month in months):
            ledger.use(SUN, array.id)
    return months


def _months(network: Network, rated: float, needed: float | None) -> Iterator[Month]:
    own = network.inventory.defaults
    for number, name in enumerate(MONTHS, 1):
        said = getattr(own.peak_sun_hours_in, name, None) or own.peak_sun_hours
        hours = said.value / 3600 if said else default_sun_hours(number)
        yield Month(
            number, hours, said is not None and said.certain, solar_energy(rated, hours, SUN_SHARE.high), needed
        )


def _needed(network: Network, balances: Mapping[str, Balance]) -> float | None:
    """Of a usual day [Wh], without what chargers and solar controllers lose: they serve the sources."""
    parts = _parts(balances)
    serving = network.inventory.solar_controllers.keys() | network.inventory.chargers.keys()
    lost = [sum(c.lost for c in part.conversions if c.item not in serving) for part in parts]
    return sum(p.hours * (p.used + watts) for p, watts in zip(parts, lost, strict=True)) if parts else None
