"""Voltage drop along a conductor by each rule's own formula, and by physics."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from loombook.calc.conductors import RESISTIVITY, larger_areas
from loombook.calc.gauges import area_of_circular_mils, circular_mils
from loombook.calc.tables import Mark, OutOfTable, table

ISO_RESISTIVITY = 0.0164
"""ISO 10133's constant [Ω·mm²/m]; about 5 % below copper at 20 °C."""
TRADE_K = 10.75
"""The trade's constant K [Ω·circular mil/ft]; 0.01787 Ω·mm²/m."""
FOOT = 0.3048
"""[m]"""


@dataclass(frozen=True)
class DropLimit:
    """The drop a rule set allows."""

    percent: float
    source: str
    mark: Mark


def drop_iso(current: float, length: float, area: float) -> float:
    """Drop by the formula of ISO 10133.

    E = 0.0164 I L / S

    Args:
        current: I [A]
        length: of positive and negative together, L [m]
        area: cross-section S [mm²]
    Returns:
        drop E [V]
    Its constant is about 5 % below copper at 20 °C, so hot conductors drop more than it says.
    Source: ISO 10133:2012 Annex C (formula seen secondary).

    >>> drop_iso(1.6, 22, 1.5)
    0.385
    """
    return ISO_RESISTIVITY * current * length / area


def drop_trade(current: float, length: float, area: float) -> float:
    """Drop by the American trade formula.

    E = K I L / CM, K = 10.75 with L in feet and CM in circular mils

    Args:
        current: I [A]
        length: of positive and negative together [m]
        area: cross-section [mm²]
    Returns:
        drop E [V]
    Source: ABYC E-11 (formula and K seen).

    >>> drop_trade(10, 21 * 0.3048, 3.309)
    0.3457
    """
    return TRADE_K * current * (length / FOOT) / circular_mils(area)


def drop_copper(current: float, length: float, area: float, resistivity: float = RESISTIVITY) -> float:
    """Drop by physics: annealed copper at 20 °C unless another resistivity is named.

    E = ρ I L / S

    Args:
        current: I [A]
        length: of positive and negative together, L [m]
        area: cross-section S [mm²]
        resistivity: ρ [Ω·mm²/m]
    Returns:
        drop E [V]
    Source: Ohm's law; ρ by IEC 60028.

    >>> drop_copper(20, 2 * 30.48, 3.31)
    6.35
    """
    return resistivity * current * length / area


def drop_ohm(current: float, resistance: float) -> float:
    """Drop across a known resistance.

    E = I R

    >>> drop_ohm(60, 0.0069)
    0.414
    """
    return current * resistance


def percent(drop: float, nominal: float) -> float:
    """Drop as a share of the nominal voltage [%].

    >>> percent(0.36, 12)
    3.0
    """
    return 100 * drop / nominal


FORMULAS: dict[str, Callable[[float, float, float], float]] = {"iso": drop_iso, "us": drop_trade}
"""The rule set's own formula: `FORMULAS["iso"](current, length, area)`."""
FORMULA_TEXT = {
    "iso": "E = 0.0164 · I · L / S, ISO 10133 Annex C",
    "us": "E = 10.75 · I · L / CM, L in feet, ABYC E-11",
    "physics": "E = I · R, IEC 60228 resistance at the conductor's temperature",
}
"""Each formula as a page prints it."""


def area_iso(current: float, length: float, drop: float) -> float:
    """Area that keeps the drop by ISO 10133's formula [mm²]; the way back from `drop_iso`.

    >>> area_iso(1.6, 22, 0.385)
    1.499
    """
    return ISO_RESISTIVITY * current * length / drop


def area_trade(current: float, length: float, drop: float) -> float:
    """Area that keeps the drop by the trade formula [mm²]; the way back from `drop_trade`.

    >>> circular_mils(area_trade(10, 21 * 0.3048, 0.36))
    6270.8
    """
    return area_of_circular_mils(TRADE_K * current * (length / FOOT) / drop)


def drop_limit(rule_set: str, critical: bool) -> DropLimit:
    """The drop the rule set allows from source to load and back.

    >>> drop_limit("iso", critical=True).percent
    3.0
    """
    data = table("drop_limits")
    circuits = "critical" if critical else "other"
    for row in data.rows:
        if (row["rule_set"], row["circuits"]) == (rule_set, circuits):
            return DropLimit(float(row["percent"]), data.citation, data.mark_of("percent", row))
    raise OutOfTable(f"no rule set {rule_set!r} in {data.title.lower()}")


def better_areas(
    rule_set: str, current: float, length: float, area: float, nominal: float, gauges: bool = False, count: int = 3
) -> tuple[tuple[float, float], ...]:
    """The next thicker standard areas and the drop each would give, for "6 mm² would give 2.3 %".

    Args:
        rule_set: whose formula
        current: [A]
        length: of positive and negative together [m]
        area: fitted now [mm²]
        nominal: voltage [V]
        gauges: American gauges instead of metric areas
        count: how many sizes
    Returns:
        (area [mm²], drop [%]) thinnest first

    >>> better_areas("iso", 6, 16, 2.5, 12)
    ((4.0, 3.28), (6.0, 2.19), (10.0, 1.31))
    """
    formula = FORMULAS[rule_set]
    sizes = larger_areas(area, gauges, count)
    return tuple((size, percent(formula(current, length, size), nominal)) for size in sizes)
