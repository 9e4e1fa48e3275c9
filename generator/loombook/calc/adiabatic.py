"""How long a conductor takes a fault current before its insulation, and then its copper, is gone."""

from __future__ import annotations

from math import inf, log, sqrt
from typing import NamedTuple

from loombook.calc.tables import Mark, OutOfTable, table

COPPER_MELTS = 1083
"""[°C]"""
SHORTEST, LONGEST = 0.1, 5.0
"""The times between which no heat is taken to leave the conductor [s]."""
_MATERIALS = {"copper": (226, 234.5), "aluminium": (148, 228)}


class InsulationLimit(NamedTuple):
    """Conductor temperatures that an insulation stands."""

    initial: float
    """In full service [°C]."""
    final: float
    """At the end of a short circuit [°C]."""
    mark: Mark


def k_factor(initial: float, final: float, material: str = "copper") -> float:
    """Constant of material and temperatures for the adiabatic equation.

    k = 226 √ln(1 + (Tf − Ti)/(234.5 + Ti)) for copper; 148 and 228 for aluminium

    Args:
        initial: conductor temperature before the fault Ti [°C]
        final: that the insulation stands at its end Tf [°C]
        material: `copper` or `aluminium`
    Returns:
        k [A·s½/mm²]
    Source: IEC 60949, IEC 60364-4-43 Table 43A (constants seen on pages of low authority; they give the printed k).

    >>> k_factor(70, 160), k_factor(90, 250)
    (115.0, 143.1)
    """
    if material not in _MATERIALS:
        raise OutOfTable(f"no constants for {material}; there are {' and '.join(_MATERIALS)}")
    if final < initial:
        raise OutOfTable(f"the conductor is at {initial:g} °C already, above the {final:g} °C its insulation stands")
    scale, zero = _MATERIALS[material]
    return scale * sqrt(log(1 + (final - initial) / (zero + initial)))


def insulation_limit(insulation: float | str | None) -> InsulationLimit:
    """Temperatures of an insulation, by temperature class or by name.

    Args:
        insulation: class [°C] as `ampacity` takes it, or `pvc`, `xlpe`, `rubber 60`, `rubber 85`; None is 60 °C
    Returns:
        initial and final temperature, with their mark

    >>> insulation_limit("xlpe").final, insulation_limit(105).final
    (250.0, 160.0)
    """
    data = table("insulation_limits")
    if isinstance(insulation, str):
        row = data.row("insulation", insulation)
    else:
        classes = [row for row in data.rows if row["insulation"].isdigit()]
        below = [row for row in classes if float(row["insulation"]) <= (insulation or 60)]
        if not below:
            raise OutOfTable(f"insulation of {insulation:g} °C is below 60 °C, the lowest class of the table")
        row = below[-1]
    return InsulationLimit(float(row["initial"]), float(row["final"]), data.mark_of("final", row))


def k_of_insulation(insulation: float | str | None, initial: float | None = None) -> float:
    """Constant k of a copper conductor by its insulation.

    Args:
        insulation: as in `insulation_limit`
        initial: conductor temperature before the fault [°C]; fully loaded if None
    Returns:
        k [A·s½/mm²]

    >>> k_of_insulation("pvc"), k_of_insulation(105), k_of_insulation(105, initial=30)
    (115.0, 87.6, 142.9)
    """
    limit = insulation_limit(insulation)
    return k_factor(limit.initial if initial is None else initial, limit.final)


def withstand(area: float, k: float, parallel: int = 1) -> float:
    """Energy a conductor takes without harm, while no heat leaves it.

    I²t = k²S²

    Args:
        area: cross-section S of one conductor [mm²]
        k: constant [A·s½/mm²]; 115 copper/PVC, 143 copper/XLPE
        parallel: equal conductors side by side
    Returns:
        let-through the conductor withstands [A²s]
    Valid for 0.1 s to 5 s; below 0.1 s compare with the device's own I²t.
    Source: IEC 60364-4-43, 434.5.2.

    >>> withstand(1.5, 115)
    29756.2
    """
    return (k * area * parallel) ** 2


def time_to_damage(area: float, current: float, k: float, parallel: int = 1) -> float:
    """Time until the insulation is past its limit.

    t = k²S²/I²

    Args:
        area: cross-section S of one conductor [mm²]
        current: I, all parallel conductors together [A]
        k: constant [A·s½/mm²]
        parallel: equal conductors side by side
    Returns:
        time [s]; inf without a current
    Valid for 0.1 s to 5 s, see `validity`.
    Source: IEC 60364-4-43, 434.5.2.

    >>> time_to_damage(1.5, 1800, 115) * 1000
    9.18
    """
    return withstand(area, k, parallel) / current**2 if current > 0 else inf


def time_to_melt(area: float, current: float, initial: float = 30, parallel: int = 1) -> float:
    """Time until the copper itself melts, its heat of fusion left aside.

    t = k²S²/I² with k from the initial temperature to 1083 °C

    Args:
        area: cross-section S of one conductor [mm²]
        current: I, all parallel conductors together [A]
        initial: conductor temperature before the fault [°C]
        parallel: equal conductors side by side
    Returns:
        time [s]; inf without a current
    Valid up to 5 s.
    Source: the same equation; k = 286 from 30 °C (computed).

    >>> time_to_melt(1, 190)
    2.27
    """
    return time_to_damage(area, current, k_factor(initial, COPPER_MELTS), parallel)


def area_needed(current: float, time: float, k: float) -> float:
    """Area that stands a current for a time.

    S = I √t / k

    Args:
        current: I [A]
        time: t [s]
        k: constant [A·s½/mm²]
    Returns:
        area [mm²]
    Source: IEC 60364-4-43, 434.5.2.

    >>> area_needed(25e3, 0.2, 143)
    78.2
    """
    return current * sqrt(time) / k


def validity(time: float) -> str:
    """What the adiabatic equation is worth at this time, in words; empty where it holds.

    >>> validity(1.0)
    ''
    >>> validity(0.01)
    "below 0.1 s: compare the device's own let-through with k²S²"
    """
    if time < SHORTEST:
        return "below 0.1 s: compare the device's own let-through with k²S²"
    if time > LONGEST:
        return "above 5 s: heat leaves the conductor, the true time is longer"
    return ""
