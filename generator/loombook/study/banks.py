"""The battery banks: what they hold, how hard they are worked, how long they last, how their cells are held
together."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ..calc.banks import cell_voltages
from ..calc.energy import BALANCED_SPREAD, LFP_FLOOR, c_rate, cycle_years, hours_left
from ..calc.mechanics import plate_force, rod_torque
from ..inventory.sources import Battery
from ..network import Network
from ..network.core import Core
from . import defaults as d
from .defaults import Default
from .ledger import Ledger
from .model import Flow, Range
from .states import Cores, worst_states

USABLE = {
    True: Default(
        "usable part of a lithium battery",
        "90 %, down to 10 % of charge",
        d.PRACTICE,
        1 - LFP_FLOOR,
        1 - LFP_FLOOR,
        "hours left and range are in proportion to it",
        "10 points less",
        0.11,
    ),
    False: Default(
        "usable part of a lead-acid battery",
        "50 %",
        d.PRACTICE,
        0.5,
        0.5,
        "hours left are in proportion to it",
        "10 points less",
        0.2,
    ),
}
CYCLES = Default(
    "cycles of a lithium battery",
    "6,000, one a day",
    d.PRACTICE,
    6000,
    6000,
    "years are in proportion to it",
    "half of them",
    0.5,
)
PLATE_FORCE = 2942.0
"""Force that holds prismatic cells together, 300 kgf on the end plate [N] (common practice; a cell specification,
seen)."""
STUD_PROVED = 6.0
"""Torque to which the studs of large cells are proved [N·m] (common practice, no source)."""


RATED_HOURS = 20.0
"""Discharge time for which lead-acid capacity is rated (common practice) [h]."""
PEUKERT = (1.1, 1.3)
"""Peukert's exponent of lead-acid, least and most (from memory)."""


@dataclass(frozen=True)
class Bank:
    """Batteries that work together."""

    name: str
    batteries: tuple[Battery, ...]
    capacity: float
    """[Ah]"""
    volts: float
    """Nominal, cells times 3.2 V or 2.0 V [V]."""
    usable: float
    """Part of the capacity that is used."""
    duty: str
    stated: bool = True
    """Whether the inventory says which part is used; else it is a default."""

    @property
    def ids(self) -> tuple[str, ...]:
        return tuple(b.id for b in self.batteries)

    @property
    def energy(self) -> float:
        """[Wh]"""
        return self.capacity * self.volts

    @property
    def floor(self) -> float:
        """State of charge down to which it is used, 0 to 1."""
        return 1.0 - self.usable

    @property
    def stages(self) -> int:
        """How many of its batteries stand in series: the same current goes through each of them."""
        first = self.batteries[0]
        return max(1, round(self.volts / (first.cells.series * cell_voltages(first.chemistry).nominal)))

    def hours(self, amps: float, charge: float = 1.0) -> float:
        """Hours that it gives a current, down to its floor.

        t = C (s − s0) / I

        Args:
            amps: I [A]
            charge: s, state of charge at the beginning, 0 to 1
        """
        return hours_left(self.capacity * max(charge - self.floor, 0.0), amps)

    def lasts(self, amps: float, charge: float = 1.0) -> Range:
        """The same as a range [h]: lead-acid gives less than its capacity above the current of its 20 h rating.

        t = t' (C / (20 I))^(k − 1), k from 1.1 to 1.3

        Source: Peukert's law (seen); the exponents from memory.
        """
        hours = self.hours(amps, charge)
        if not self.hard(amps):
            return Range(hours, hours)
        rate = self.capacity / (RATED_HOURS * amps)
        return Range(hours * rate ** (PEUKERT[1] - 1), hours * rate ** (PEUKERT[0] - 1))

    def hard(self, amps: float) -> bool:
        """Whether a current is above that of its 20 h rating, for a lead-acid bank."""
        return self.batteries[0].chemistry != "lfp" and amps * RATED_HOURS > self.capacity


@dataclass(frozen=True)
class BankStudy:
    """What is worked out about a bank. Fields that need what the inventory does not say are None."""

    bank: Bank
    discharge: float | None
    """Highest C-rate of discharge in any operating condition [1/h]."""
    charge: float | None
    """Highest C-rate of charge [1/h]."""
    years: float | None
    """Years that its cycles last, at one a day."""
    cycles: float | None
    spread: tuple[tuple[str, float, bool], ...]
    """(battery, spread between its cells [V], whether that is well balanced)."""
    clamping: tuple[tuple[str, float | None, float], ...]
    """(battery, force on the end plate by its rods' torque [N], torque of each rod that gives 300 kgf [N·m])."""
    mass: float | None
    """[kg]"""
    per_kilogram: float | None
    """[Wh/kg]"""


def banks_of(network: Network, cores: Cores, ledger: Ledger) -> tuple[Bank, ...]:
    """The banks, in the order of the inventory: batteries of one bank name, each other battery by itself."""
    core = cores.of(next(positions for _, positions in worst_states(network)))
    groups: dict[str, list[Battery]] = {}
    for battery in network.inventory.batteries.values():
        groups.setdefault(battery.bank or battery.id, []).append(battery)
    return tuple(_bank(network, core, key, batteries, ledger) for key, batteries in groups.items())


def _bank(network: Network, core: Core, key: str, batteries: Sequence[Battery], ledger: Ledger) -> Bank:
    """Batteries between the same two potentials stand side by side; others of the bank stand in series."""
    stages: dict[tuple[int, int], list[Battery]] = {}
    for battery in batteries:
        edge = network.edges[battery.id]
        stages.setdefault((core.part[edge.a], core.part[edge.b]), []).append(battery)
    capacity = min(sum(b.cells.capacity.value * b.cells.parallel for b in stage) for stage in stages.values())
    volts = sum(stage[0].cells.series * cell_voltages(stage[0].chemistry).nominal for stage in stages.values())
    usable = min(b.usable.value if b.usable else ledger.use(USABLE[b.chemistry == "lfp"], b.id).high for b in batteries)
    name = batteries[0].title if len(batteries) == 1 and not batteries[0].bank else key
    stated = all(b.usable for b in batteries)
    return Bank(name, tuple(batteries), capacity, volts, usable, batteries[0].duty, stated)


def study_banks(banks: Sequence[Bank], flows: Mapping[str, Flow], ledger: Ledger) -> tuple[BankStudy, ...]:
    """Every bank."""
    return tuple(_study(bank, flows, ledger) for bank in banks)


def _study(bank: Bank, flows: Mapping[str, Flow], ledger: Ledger) -> BankStudy:
    net = [sum(flow.amps.get(id, 0.0) for id in bank.ids) for flow in flows.values()]
    net = [amps / bank.stages for amps in net]
    masses = [b.mass.value for b in bank.batteries if b.mass]
    mass = sum(masses) if len(masses) == len(bank.batteries) else None
    cycles = _cycles(bank, ledger)
    return BankStudy(
        bank,
        c_rate(max(net), bank.capacity) if net and max(net) > 0 else None,
        c_rate(-min(net), bank.capacity) if net and min(net) < 0 else None,
        cycle_years(cycles) if cycles else None,
        cycles,
        tuple(
            (b.id, b.cells.spread.value, b.cells.spread.value <= BALANCED_SPREAD + 1e-9)
            for b in bank.batteries
            if b.cells.spread
        ),
        tuple(_clamping(b) for b in bank.batteries if b.cells.clamp_rods and b.cells.rod_size and _diameter(b)),
        mass,
        bank.energy / mass if mass else None,
    )


def _cycles(bank: Bank, ledger: Ledger) -> float | None:
    stated = [b.cycles for b in bank.batteries if b.cycles]
    if stated:
        return float(min(stated))
    lithium = all(b.chemistry == "lfp" for b in bank.batteries)
    return ledger.use(CYCLES, bank.batteries[0].id).high if lithium else None


def _clamping(battery: Battery) -> tuple[str, float | None, float]:
    cells, diameter = battery.cells, _diameter(battery)
    force = plate_force(cells.rod_torque.value, cells.clamp_rods, diameter) if cells.rod_torque else None
    return battery.id, force, rod_torque(PLATE_FORCE, cells.clamp_rods, diameter)


def _diameter(battery: Battery) -> float | None:
    """Diameter of a rod from its size, `M8` [mm]."""
    text = (battery.cells.rod_size or "").strip().upper().removeprefix("M")
    try:
        return float(text.replace(",", "."))
    except ValueError:
        return None
