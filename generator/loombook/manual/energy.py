"""Energy of batteries and banks, for the pages that speak of hours."""

from __future__ import annotations

from collections.abc import Iterable

from ..inventory.sources import Battery
from ..network.potentials import battery_volts


def capacity_ah(battery: Battery) -> float:
    """Capacity of one battery [Ah]."""
    return battery.cells.capacity.value * battery.cells.parallel


def energy_wh(batteries: Iterable[Battery]) -> float:
    """Rated energy: nominal voltage of the system times Ah [Wh]."""
    return sum(capacity_ah(battery) * cell_volts(battery) * battery.cells.series for battery in batteries)


def cell_volts(battery: Battery) -> float:
    """Nominal voltage of one cell: 3.2 V lithium iron phosphate, 2.0 V lead-acid [V]."""
    return 3.2 if battery.chemistry == "lfp" else 2.0


def system_volts(batteries: list[Battery]) -> float:
    """The voltage that a bank's system is called by [V]."""
    return battery_volts(batteries[0])
