"""Electric drive: power over speed from the runs measured aboard, endurance and range on the usable charge."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ..calc.drive import SpeedPower, fit_speed_power
from ..calc.energy import hours_left
from ..calc.tables import OutOfTable
from ..network import Network
from ..network.supply import SupplyPath
from .balance import Balance
from .banks import Bank
from .model import Range

STEP = 0.5
"""Speeds are told in steps of half a knot."""


@dataclass(frozen=True)
class Run:
    """A steady speed."""

    speed: float
    """[kn]"""
    power: float
    """Of the drive [W]."""
    hours: float
    distance: float
    """Through the water [nautical miles]."""
    measured: bool
    """Within the speeds that were measured; outside them the curve is a guess."""
    lasts: Range = Range(0.0, 0.0)
    """Hours, by as much as the measured points lie off the curve [h]."""


@dataclass(frozen=True)
class Drive:
    """A drive motor with its measured points."""

    motor: str
    bank: str
    usable: float
    """Energy that the bank gives [Wh]."""
    hotel: float
    """What everything else on board takes meanwhile [W]."""
    fit: SpeedPower | None
    runs: tuple[Run, ...]
    unknown: str = ""
    """Why there is no curve."""


def drives(
    network: Network, banks: Sequence[Bank], supply: Mapping[str, Sequence[SupplyPath]], balances: Mapping[str, Balance]
) -> tuple[Drive, ...]:
    """Every motor that drives the vessel or has measured points."""
    motors = [m for m in network.inventory.motors.values() if m.kind == "drive" or m.speed_points]
    return tuple(_drive(m, banks, supply.get(m.id, ()), balances) for m in motors)


def _drive(motor, banks: Sequence[Bank], paths: Sequence[SupplyPath], balances: Mapping[str, Balance]) -> Drive:
    sources = {path.source for path in paths}
    bank = next((b for b in banks if sources & set(b.ids)), None)
    hotel = _hotel(motor.id, balances)
    usable = bank.energy * bank.usable if bank else 0.0
    name = bank.name if bank else ""
    if not motor.speed_points:
        return Drive(motor.id, name, usable, hotel, None, (), "speed points")
    try:
        fit = fit_speed_power([(p.speed.value, p.power.value) for p in motor.speed_points])
    except OutOfTable as error:
        return Drive(motor.id, name, usable, hotel, None, (), str(error))
    first, last = round(fit.slowest / STEP) - 2, round(fit.fastest / STEP) + 1
    speeds = [n * STEP for n in range(max(first, 1), last + 1)]
    runs = tuple(_run(fit, v, usable, hotel) for v in speeds)
    return Drive(motor.id, name, usable, hotel, fit, runs)


def _run(fit: SpeedPower, speed: float, usable: float, hotel: float) -> Run:
    power = fit.power(speed)
    least, most = (hours_left(usable, power * (1 + off) + hotel) for off in (fit.deviation, -fit.deviation))
    hours = fit.endurance(speed, usable, hotel)
    return Run(speed, power, hours, fit.range(speed, usable, hotel), fit.measured(speed), Range(least, most))


def _hotel(motor: str, balances: Mapping[str, Balance]) -> float:
    """What everything but the drive takes in the condition in which the drive runs most, losses included."""

    def drive(balance: Balance) -> float:
        return sum(use.watts for use in balance.uses if use.consumer == motor)

    running = max(balances.values(), key=drive, default=None)
    if running is None:
        return 0.0
    return max(running.used - drive(running) + sum(c.lost for c in running.conversions), 0.0)
