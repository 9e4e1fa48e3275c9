"""Fault current of the sources of alternating current, and what a lead leaves of it."""

from __future__ import annotations

from math import hypot, inf, sqrt
from typing import NamedTuple

from loombook.calc.tables import Mark, OutOfTable, table

INVERTER_LIMITS = (1.1, 2.0)
"""Fault current of an inverter over its rated current, least and most (from memory)."""


class ShoreFault(NamedTuple):
    """Fault current to assume at a shore inlet."""

    amperes: float
    source: str
    mark: Mark


def transformer_fault(apparent: float, voltage: float, short_circuit: float, phases: int = 3) -> float:
    """Fault current at the terminals of a transformer on a stiff network.

    I = I_n / u_k, I_n = S / (√3 U) or S / U

    Args:
        apparent: rated S [VA]
        voltage: secondary U, line to line for three phases [V]
        short_circuit: u_k [1]
        phases: 3 or 1
    Returns:
        current [A]
    Source: IEC 60076 (seen).

    >>> transformer_fault(500e3, 480, 0.0575) / 1000
    10.46
    """
    rated = apparent / ((sqrt(3) if phases == 3 else 1) * voltage)
    return rated / short_circuit if short_circuit > 0 else inf


def inverter_fault(rated_current: float) -> tuple[float, float]:
    """Fault current of an inverter, least and most [A]: it limits itself, so breakers may not trip on it.

    Source: 1.1 to 2 times rated (from memory).

    >>> inverter_fault(13)
    (14.3, 26.0)
    """
    return INVERTER_LIMITS[0] * rated_current, INVERTER_LIMITS[1] * rated_current


def loop_impedance(
    voltage: float, fault: float, resistance: float, reactance: float = 0, largest_current: bool = False
) -> float:
    """Impedance from a source of known fault current through a lead and wiring.

    The angle of the source is not known. In line with that of the lead it adds most, for the smallest current; at
    either end, all resistance or all reactance, it adds least, for the largest.

    Args:
        voltage: [V]
        fault: prospective at the inlet [A]
        resistance: of lead and wiring, out and back [Ω]
        reactance: of lead and wiring, out and back [Ω]
        largest_current: the least impedance instead of the most
    Returns:
        impedance [Ω]

    >>> loop_impedance(230, 6000, 0.25), loop_impedance(230, 6000, 0.25, largest_current=True)
    (0.2883, 0.2529)
    """
    if fault <= 0:
        raise OutOfTable("a source without a fault current has no impedance to compute")
    source = voltage / fault
    if largest_current:
        return min(hypot(resistance, source + reactance), hypot(source + resistance, reactance))
    return source + hypot(resistance, reactance)


def shore_fault(voltage: float) -> ShoreFault:
    """Fault current to assume at a shore inlet that declares none.

    >>> shore_fault(230).amperes, shore_fault(120).amperes
    (6000.0, 3000.0)
    """
    data = table("shore_fault")
    row = data.row("supply", "120 V" if voltage < 150 else "230 V")
    return ShoreFault(float(row["amperes"]), data.citation, data.mark_of("amperes", row))
