"""The alternating-current side: drop, earth-fault loop, disconnection, residual current."""

from __future__ import annotations

from math import inf, sqrt
from typing import NamedTuple

from loombook.calc.tables import Mark, OutOfTable, table

HOT_RESISTIVITY = 0.0225
"""Copper in normal service, 1.25 times that at 20 °C [Ω·mm²/m]. Source: IEC 60364-5-52 Annex G (seen)."""
REACTANCE = 0.08e-3
"""λ of conductors where nothing is known [Ω/m]. Source: IEC 60364-5-52 Annex G (from memory)."""
POWER_FACTOR = 0.8
"""cos φ where nothing is known. Source: IEC 60364-5-52 Annex G (seen)."""
TOUCH_AC, TOUCH_DC = 50.0, 120.0
"""Conventional touch-voltage limit [V]. Source: IEC 60364-4-41 (seen)."""


class ResidualTime(NamedTuple):
    """Times between which a residual-current device breaks [s]."""

    least: float
    most: float
    mark: Mark


def drop_ac(
    current: float,
    length: float,
    area: float,
    power_factor: float = POWER_FACTOR,
    three_phase: bool = False,
    resistivity: float = HOT_RESISTIVITY,
    reactance: float = REACTANCE,
) -> float:
    """Voltage drop of an AC circuit, phase to neutral.

    u = b (ρ1 L/S cos φ + λ L sin φ) I, b = 2 single-phase, 1 three-phase

    Args:
        current: I [A]
        length: of the cable, one way, L [m]
        area: cross-section S [mm²]
        power_factor: cos φ [1]
        three_phase: balanced three-phase circuit
        resistivity: ρ1 in service [Ω·mm²/m]
        reactance: λ [Ω/m]
    Returns:
        drop u [V]
    Source: IEC 60364-5-52 Annex G (seen; λ from memory).

    >>> drop_ac(10, 20, 2.5, power_factor=1)
    3.6
    """
    sine = sqrt(max(0.0, 1 - power_factor**2))
    return (1 if three_phase else 2) * current * length * (resistivity / area * power_factor + reactance * sine)


def drop_of_impedance(
    current: float, resistance: float, reactance: float, power_factor: float, phases: int = 1
) -> float:
    """Voltage drop from a known impedance; line to line for three phases, out and back for one.

    u = √3 I (R cos φ + X sin φ) or 2 I (R cos φ + X sin φ)

    Args:
        current: I [A]
        resistance: R, one way [Ω]
        reactance: X, one way [Ω]
        power_factor: cos φ [1]
        phases: 1 or 3
    Returns:
        drop [V]

    >>> drop_of_impedance(100, 0.10065, 0.01275, 0.85, phases=3)
    15.98
    """
    sine = sqrt(max(0.0, 1 - power_factor**2))
    return (sqrt(3) if phases == 3 else 2) * current * (resistance * power_factor + reactance * sine)


def drop_limit_ac(lighting: bool, private_source: bool = False, length: float = 0) -> float:
    """Drop allowed between the origin and the load.

    Args:
        lighting: a lighting circuit
        private_source: fed by the vessel's own source and not from the public network
        length: of the wiring [m]; above 100 m 0.005 % a metre more, 0.5 % at most
    Returns:
        limit [%]
    Source: IEC 60364-5-52 Annex G (seen).

    >>> drop_limit_ac(lighting=True), drop_limit_ac(lighting=False, private_source=True)
    (3.0, 8.0)
    """
    base = {(True, False): 3.0, (False, False): 5.0, (True, True): 6.0, (False, True): 8.0}[lighting, private_source]
    return base + min(0.5, 0.005 * max(0.0, length - 100))


def disconnection_time(voltage: float, system: str = "TN", supply: str = "ac") -> float | None:
    """Longest time in which a fault to earth must be cut off, final circuits up to 32 A.

    Args:
        voltage: nominal, to earth [V]
        system: `TN` or `TT`
        supply: `ac` or `dc`
    Returns:
        time [s]; None where the table asks for none
    Raises:
        OutOfTable: a voltage or system that the table does not have
    Source: IEC 60364-4-41 Table 41.1 (seen).

    >>> disconnection_time(230), disconnection_time(120), disconnection_time(230, "TT")
    (0.4, 0.8, 0.2)
    """
    if voltage <= 50:
        return None
    for row in table("disconnection").rows:
        if (row["system"], row["supply"]) == (system, supply) and float(row["over"]) < voltage <= float(row["up_to"]):
            return float(row["seconds"]) if row["seconds"] else None
    raise OutOfTable(f"no disconnection time for {voltage:g} V {supply.upper()} in a {system} system")


def earth_fault_current(voltage: float, loop: float) -> float:
    """Current of a fault to earth.

    I = U0 / Zs

    Args:
        voltage: U0 to earth [V]
        loop: earth-fault loop impedance Zs [Ω]
    Returns:
        current [A]
    Source: IEC 60364-4-41, 411.4.4.

    >>> earth_fault_current(230, 0.92)
    250.0
    """
    return voltage / loop if loop > 0 else inf


def longest_loop(voltage: float, operating_current: float) -> float:
    """Largest earth-fault loop impedance at which the device still opens in time.

    Zs ≤ U0 / Ia

    Args:
        voltage: U0 to earth [V]
        operating_current: Ia, at which the device opens within the disconnection time [A]
    Returns:
        impedance [Ω]
    Source: IEC 60364-4-41, 411.4.4.

    >>> longest_loop(230, 80)
    2.875
    """
    return voltage / operating_current


def residual_loop_holds(earth: float, residual: float, touch: float = TOUCH_AC) -> bool:
    """Whether a residual-current device keeps the touch voltage of a TT system in bounds.

    R_A IΔn ≤ 50 V

    Args:
        earth: resistance of earth electrode and protective conductor R_A [Ω]
        residual: rated residual current IΔn [A]
        touch: voltage limit [V]
    Source: IEC 60364-4-41, 411.5.3 (seen).

    >>> residual_loop_holds(1000, 0.030)
    True
    """
    return earth * residual <= touch


def largest_earth(residual: float, touch: float = TOUCH_AC) -> float:
    """Largest resistance of earth electrode and protective conductor with a residual-current device in a TT system.

    R_A ≤ 50 V / IΔn

    Args:
        residual: rated residual current IΔn [A]
        touch: voltage limit [V]
    Returns:
        R_A [Ω]
    Source: IEC 60364-4-41, 411.5.3 (seen).

    >>> round(largest_earth(0.030))
    1667
    """
    if residual <= 0:
        raise OutOfTable("a residual-current device without a rated residual current allows no earth")
    return touch / residual


def residual_time(multiple: float, delayed: bool = False) -> ResidualTime:
    """Break time of a residual-current device.

    Args:
        multiple: fault current over the rated residual current [1]
        delayed: the time-delayed type S
    Returns:
        least and most [s]; inf below half the rated residual current, where it must not trip; from half on it may
    Source: IEC 61008 and IEC 61009 (seen; at twice the rated current from memory).

    >>> residual_time(1).most, residual_time(5).most
    (0.3, 0.04)
    """
    data = table("rcd")
    if multiple < 0.5:
        return ResidualTime(inf, inf, data.mark)
    if multiple < 1:
        return ResidualTime(0.0, inf, data.mark)
    row = [row for row in data.rows if float(row["multiple"]) <= multiple][-1]
    mark = data.mark_of("general", row)
    if delayed:
        return ResidualTime(float(row["s_least"]), float(row["s_most"]), mark)
    return ResidualTime(0.0, float(row["general"]), mark)
