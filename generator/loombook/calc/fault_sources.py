"""Fault current of everything that is not a battery: motors, charged capacitors, rectifiers, chargers."""

from __future__ import annotations

from math import atan, atanh, cos, exp, inf, isclose, pi, sin, sinh, sqrt, tan
from typing import NamedTuple

from loombook.calc.fault_dc import FaultCourse, Range, prospective

MOTOR_MULTIPLES = (7.0, 10.0)
"""Motor fault current over rated current, at its terminals. Source: IEEE 946 (10 is the conservative end; seen)."""
CHARGER_FACTOR = 1.5
"""Fault current of a charger over its rated current. Source: IEC TR 60909-4 example (seen secondary)."""
PEAK_FACTOR = 1.05
"""Peak of a charger's fault current over its sustained one. Source: the same example."""


class Peak(NamedTuple):
    """A peak and the time it takes to get there."""

    current: float
    """[A]"""
    time: float
    """[s]"""


def motor_contribution(rated_current: float) -> Range:
    """Fault current a running motor feeds back, until its own data is known.

    Args:
        rated_current: of the motor [A]
    Returns:
        least and most at its terminals [A]
    Source: IEEE 946 (seen): 7 to 10 times rated.

    >>> motor_contribution(200)
    (1400.0, 2000.0)
    """
    return MOTOR_MULTIPLES[0] * rated_current, MOTOR_MULTIPLES[1] * rated_current


def motor_peak(voltage: float, rated_current: float, armature: float, branch: float) -> float:
    """Fault current a motor with independent excitation feeds back.

    i_M = (U_rM − I_rM R_M) / R_MBr

    Args:
        voltage: rated U_rM [V]
        rated_current: I_rM [A]
        armature: resistance R_M [Ω]
        branch: resistance of motor and path R_MBr [Ω]
    Returns:
        current, before the factor κ_M that only slows the peak down [A]
    Source: IEC 61660-1:1997 (from memory).

    >>> motor_peak(48, 200, 0.02, 0.03)
    1466.7
    """
    return prospective(voltage - rated_current * armature, branch)


def capacitor_peak(voltage: float, resistance: float, inductance: float, capacitance: float) -> Peak:
    """Peak of a charged capacitor's discharge into a short.

    i_p = κ E / R with δ = R/2L, ω0 = 1/√(LC); κ = (2δ/ω_d) e^(−φ cot φ) sin φ, φ = atan(ω_d/δ) while it swings,
    the same with hyperbolic functions when it does not, 2/e between

    Args:
        voltage: E it is charged to [V]
        resistance: R of capacitor and path [Ω]
        inductance: L of the path [H]
        capacitance: C [F]
    Returns:
        peak [A] and time to it [s]; the sustained current is zero
    Source: IEC 61660-1:1997 (form from memory; the same as the series circuit's solution).

    >>> round(capacitor_peak(58.4, 0.010, 2e-6, 10e-3).current)
    2614
    """
    if resistance <= 0 or inductance <= 0:
        return Peak(prospective(voltage, resistance), 0.0)
    damping, natural = resistance / (2 * inductance), 1 / sqrt(inductance * capacitance)
    if isclose(damping, natural, rel_tol=1e-6):
        return Peak(2 / exp(1) * voltage / resistance, 1 / damping)
    if damping < natural:
        swing = sqrt(natural**2 - damping**2)
        phase = atan(swing / damping)
        kappa = 2 * damping / swing * exp(-phase / tan(phase)) * sin(phase)
    else:
        swing = sqrt(damping**2 - natural**2)
        phase = atanh(swing / damping)
        kappa = 2 * damping / swing * exp(-phase * damping / swing) * sinh(phase)
    return Peak(kappa * voltage / resistance, phase / swing)


def rectifier_lambda(r: float, q: float) -> float:
    """Factor λ_D of a bridge rectifier's sustained fault current.

    λ_D = √((1 + r²)/(1 + r²(1 + ⅔ q)²))

    Args:
        r: R_N/X_N of the AC side [1]
        q: R_DBr/R_N, DC branch over AC side [1]
    Returns:
        λ_D [1]
    Source: IEC 61660-1:1997 (from memory, verified against a published example).

    >>> rectifier_lambda(0.24, 2)
    0.897
    """
    return sqrt((1 + r**2) / (1 + r**2 * (1 + 2 / 3 * q) ** 2))


def rectifier_kappa(r: float, q: float, inductances: float) -> float:
    """Factor κ_D of a bridge rectifier's peak over its sustained fault current.

    κ_D = 1 + (2/π) e^(−(π/3 + φ) cot φ) sin φ (π/2 − atan(L_DBr/L_N)), φ = atan(1/(r(1 + ⅔ q)))

    Args:
        r: R_N/X_N of the AC side [1]
        q: R_DBr/R_N [1]
        inductances: L_DBr/L_N, DC branch over AC side [1]
    Returns:
        κ_D [1]
    Source: IEC 61660-1:1997 (from memory, verified against a published example).

    >>> rectifier_kappa(0.24, 2, 0.392)
    1.204
    """
    phase = atan(1 / (r * (1 + 2 / 3 * q)))
    return 1 + 2 / pi * exp(-(pi / 3 + phase) * cos(phase) / sin(phase)) * sin(phase) * (pi / 2 - atan(inductances))


def rectifier_time_to_peak(kappa: float) -> float:
    """Time to the peak of a rectifier's fault current, 50 Hz.

    t_p = (3 κ_D + 6) ms

    Returns:
        t_p [s]
    Valid for L_DBr/L_N up to 1.
    Source: IEC 61660-1:1997 (from memory, verified against a published example).

    >>> rectifier_time_to_peak(1.2043) * 1000
    9.613
    """
    return (3 * kappa + 6) * 1e-3


def rectifier_rise(kappa: float, inductances: float) -> float:
    """Time constant of the rise of a rectifier's fault current, 50 Hz.

    τ1 = (2 + (κ_D − 0.9)(2.5 + 9 L_DBr/L_N)) ms

    Args:
        kappa: κ_D, valid from 1.05 [1]
        inductances: L_DBr/L_N, valid up to 1 [1]
    Returns:
        τ1 [s]
    Source: IEC 61660-1:1997 (from memory, verified against a published example).

    >>> rectifier_rise(1.2043, 0.392) * 1000
    3.834
    """
    return (2 + (kappa - 0.9) * (2.5 + 9 * inductances)) * 1e-3


def rectifier_sustained(lambda_: float, voltage: float, impedance: float, voltage_factor: float = 1.0) -> float:
    """Sustained fault current of a bridge rectifier.

    I_kD = λ_D (3√2/π) c U_n / (√3 Z_N)

    Args:
        lambda_: λ_D [1]
        voltage: U_n between the lines on the converter's side [V]
        impedance: Z_N of the AC side [Ω]
        voltage_factor: c [1]
    Returns:
        I_kD [A]
    Source: IEC 61660-1:1997 (from memory).

    >>> rectifier_sustained(0.897, 24, 0.05)
    335.7
    """
    if impedance <= 0:
        return inf
    return lambda_ * 3 * sqrt(2) / pi * voltage_factor * voltage / (sqrt(3) * impedance)


def charger_contribution(rated_current: float, factor: float = CHARGER_FACTOR, rise: float = 2.2e-3) -> FaultCourse:
    """Fault current of a charger, converter or solar controller that limits its own current.

    I_k = factor · I_n, i_p = 1.05 I_k

    Args:
        rated_current: I_n [A]
        factor: 1.5 where the maker gives none; 1.0 to 1.1 for one that limits well
        rise: time constant [s]; the peak is reached after five of them
    Returns:
        the course of the current
    Source: IEC TR 60909-4 as used in a published example (seen secondary).

    >>> charger_contribution(200).sustained, charger_contribution(200).peak
    (300.0, 315.0)
    """
    sustained = factor * rated_current
    return FaultCourse(PEAK_FACTOR * sustained, sustained, 5 * rise, rise, rise)
