"""Energy of a battery: what it holds, how long it lasts, and what its voltage says."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from math import inf, log
from typing import NamedTuple

from loombook.calc.tables import Mark, OutOfTable, table

BALANCED_SPREAD = 0.02
"""Spread between cells at the top of charge up to which a bank is well balanced [V] (common practice, no source)."""
FULL_CELL = (3.55, 3.60)
"""Lithium iron phosphate cell at full [V] (common practice, no source)."""
LFP_FLOOR = 0.10
"""State of charge down to which lithium iron phosphate is used (common practice, no source)."""


class Spread(NamedTuple):
    """How far the cells of a bank are apart."""

    volts: float
    verdict: str
    """`well balanced` or `not well balanced`."""
    mark: Mark


def bank_energy(series: int, capacity: float, volts: float) -> float:
    """Energy a bank holds.

    E = n C U

    Args:
        series: cells n in series
        capacity: of the whole bank C [Ah]
        volts: nominal, of one cell [V]
    Returns:
        energy [Wh]

    >>> bank_energy(16, 300, 3.2)
    15360.0
    """
    return series * capacity * volts


def usable_energy(energy: float, floor: float = LFP_FLOOR, ceiling: float = 1.0) -> float:
    """Energy between a floor and a ceiling of the state of charge [Wh].

    >>> usable_energy(15360)
    13824.0
    """
    return energy * (ceiling - floor)


def storage_needed(energy: float, days: float, depth: float) -> float:
    """Energy a bank must hold to carry a daily need over some days.

    Args:
        energy: needed each day [Wh]
        days: without charge
        depth: of discharge, share of the bank that is used [1]
    Returns:
        energy [Wh]

    >>> storage_needed(50 * 6, 3, 0.5)
    1800.0
    """
    return energy * days / depth


def behind_converter(energy: float, efficiency: float) -> float:
    """Energy that goes into an inverter or converter for so much out of it [Wh].

    >>> behind_converter(4200, 0.9)
    4666.7
    """
    return energy / efficiency


def c_rate(current: float, capacity: float) -> float:
    """Current over capacity [1/h].

    >>> c_rate(140, 280)
    0.5
    """
    return current / capacity


def cycle_years(cycles: float, cycles_per_day: float = 1) -> float:
    """Years that so many cycles last.

    >>> cycle_years(6000)
    16.43
    """
    return cycles / (cycles_per_day * 365.25) if cycles_per_day > 0 else inf


def hours_left(energy: float, power: float) -> float:
    """Hours a store of energy carries a load.

    >>> hours_left(13824, 400)
    34.56
    """
    return energy / power if power > 0 else inf


def peukert_time(capacity: float, current: float, exponent: float) -> float:
    """Discharge time by Peukert, from the capacity at 1 A.

    t = C_p / I^k

    Args:
        capacity: Peukert capacity C_p, at 1 A [Ah]
        current: I [A]
        exponent: k [1], 1.1 to 1.3 for lead-acid
    Returns:
        time [h]
    Source: Peukert's law (seen with both examples below).

    >>> peukert_time(100, 5, 1.2), peukert_time(250, 20, 1.3)
    (14.5, 5.0886)
    """
    return capacity / current**exponent if current > 0 else inf


def peukert_rated_time(capacity: float, hours: float, current: float, exponent: float) -> float:
    """Discharge time by Peukert, from the capacity at the rated discharge time.

    t = H (C / (I H))^k

    Args:
        capacity: rated C [Ah]
        hours: H at which it is rated, usually 20 [h]
        current: I [A]
        exponent: k [1]
    Returns:
        time [h]
    Source: the same law (this form from memory).

    >>> peukert_rated_time(100, 20, 10, 1.2)
    8.706
    """
    return hours * (capacity / (current * hours)) ** exponent if current > 0 else inf


def peukert_exponent(first: tuple[float, float], second: tuple[float, float]) -> float:
    """Peukert's exponent from two discharges.

    k = |log t2 − log t1| / |log I1 − log I2|

    Args:
        first, second: current [A] and time [h]
    Returns:
        k [1]
    Source: Peukert's law (seen).

    >>> peukert_exponent((5, 20), (20, 3.8))
    1.198
    """
    if first[0] == second[0]:
        raise OutOfTable("two discharges at the same current say nothing about Peukert's exponent")
    return abs(log(second[1]) - log(first[1])) / abs(log(first[0]) - log(second[0]))


@cache
def _ocv(curve: str) -> tuple[tuple[float, ...], tuple[float, ...]]:
    rows = [row for row in table("ocv").rows if row["curve"] == curve]
    if not rows:
        known = sorted({row["curve"] for row in table("ocv").rows})
        raise OutOfTable(f"no open-circuit voltage curve {curve!r}; there are {', '.join(known)}")
    return tuple(float(row["soc"]) for row in rows), tuple(float(row["volts"]) for row in rows)


def _between(value: float, xs: Sequence[float], ys: Sequence[float]) -> float:
    if value <= xs[0]:
        return ys[0]
    for left, right, low, high in zip(xs, xs[1:], ys, ys[1:], strict=False):
        if value <= right:
            return low + (high - low) * (value - left) / (right - left)
    return ys[-1]


def rest_voltage(soc: float, curve: str = "lfp") -> float:
    """Voltage at rest at a state of charge: per cell for `lfp`, per 12 V battery for `lead-acid`.

    Args:
        soc: state of charge, 0 to 1
        curve: `lfp`, `lfp chart` or `lead-acid`
    Returns:
        voltage, straight between the knots, held at the ends [V]
    Source: see `tables/ocv.csv`.

    >>> rest_voltage(0.2972), rest_voltage(0.5, "lead-acid")
    (3.2772, 12.30)
    """
    return _between(soc, *_ocv(curve))


def state_of_charge(volts: float, curve: str = "lfp") -> float:
    """State of charge that a rest voltage means; the way back from `rest_voltage`.

    A lithium iron phosphate cell moves by some 80 mV between 30 % and 98 %: there this is a guess.

    >>> state_of_charge(12.30, "lead-acid")
    0.5
    """
    socs, volts_known = _ocv(curve)
    return _between(volts, volts_known, socs)


def charge_voltage(
    at_reference: float, cells: int, temperature: float, compensation: float, reference: float = 25
) -> float:
    """Charge voltage of a lead-acid battery at its temperature. Lithium iron phosphate has no compensation.

    U = U_ref + n c (T − T_ref)

    Args:
        at_reference: U_ref [V]
        cells: n in series
        temperature: T of the battery [°C]
        compensation: c for each cell, negative [V/K]
        reference: T_ref [°C]
    Returns:
        voltage [V]
    Source: charger papers (seen).

    >>> charge_voltage(13.4, 6, 30, -0.005), charge_voltage(2.30, 1, 35, -0.003)
    (13.25, 2.27)
    """
    return at_reference + cells * compensation * (temperature - reference)


def cell_spread(cells: Sequence[float]) -> Spread:
    """How well balanced the cells of a bank are at the top of charge.

    Args:
        cells: voltages measured near full [V]
    Returns:
        spread and verdict
    Source: common practice, no source: 0.02 V is well balanced.

    >>> cell_spread([3.551, 3.562, 3.566]).verdict
    'well balanced'
    """
    if not cells:
        raise OutOfTable("a spread needs the voltage of at least one cell")
    volts = max(cells) - min(cells)
    verdict = "well balanced" if volts <= BALANCED_SPREAD + 1e-9 else "not well balanced"
    return Spread(volts, verdict, Mark.PRACTICE)


def discharge_time(capacitance: float, resistance: float, start: float, end: float) -> float:
    """Time a charged capacitor takes to reach a safe voltage; the same for a pre-charge from the other side.

    t = R C ln(U0/U)

    Args:
        capacitance: C [F]
        resistance: R [Ω]
        start: U0 [V]
        end: U [V]
    Returns:
        time [s]

    >>> discharge_time(10e-3, 4700, 58.4, 10)
    82.9
    """
    if end <= 0:
        return inf
    return max(0.0, resistance * capacitance * log(start / end)) if start > 0 else 0.0
