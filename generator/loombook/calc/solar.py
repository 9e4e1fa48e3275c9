"""What the sun brings: peak-sun hours, yield of an array, and its voltage in the cold."""

from __future__ import annotations

from math import acos, cos, pi, radians, sin, tan

from loombook.calc.tables import OutOfTable, table

PV_SYSTEM_FACTOR = 0.7
"""Share of a panel's rated yield that reaches the battery. Source: usual sizing rule W = E/(G K) (seen)."""
SOLAR_CONSTANT = 1367.0
"""[W/m²]"""
CLEARNESS = 0.45
"""Share of the sunlight above the air that reaches a horizontal surface, declared default (from memory)."""
_MONTH_MIDDLES = (17, 47, 75, 105, 135, 162, 198, 228, 258, 288, 318, 344)


def solar_power_needed(energy: float, sun_hours: float, system: float = PV_SYSTEM_FACTOR) -> float:
    """Rated power of the panels that bring so much energy a day.

    W = E / (G K)

    Args:
        energy: E a day [Wh]
        sun_hours: peak-sun hours G a day [h]
        system: share K that reaches the battery [1]
    Returns:
        rated power [W]
    Source: usual sizing rule (seen).

    >>> solar_power_needed(1400, 4)
    500.0
    """
    return energy / (sun_hours * system)


def solar_energy(rated: float, sun_hours: float, system: float = PV_SYSTEM_FACTOR) -> float:
    """Energy that panels bring in a day [Wh]; the way back from `solar_power_needed`.

    >>> solar_energy(500, 4)
    1400.0
    """
    return rated * sun_hours * system


def default_sun_hours(month: int) -> float:
    """Peak-sun hours a day where the vessel gives none: about 50° north, with usual cloud (from memory).

    >>> default_sun_hours(6)
    5.2
    """
    return float(table("peak_sun").row("month", str(month))["hours"])


def sun_hours(latitude: float, month: int, clearness: float = CLEARNESS) -> float:
    """Peak-sun hours a day on a horizontal surface, from the latitude.

    H = (24/π) G0 (1 + 0.033 cos(2πd/365)) (cos φ cos δ sin ω + ω sin φ sin δ) K, cos ω = −tan φ tan δ

    Args:
        latitude: φ, south negative [°]
        month: 1 to 12, taken at the day nearest to its mean
        clearness: K, share that comes through the air [1]
    Returns:
        peak-sun hours [h/day]
    Valid for any latitude; the sun stays below in a polar night.
    Source: usual formula for daily extraterrestrial radiation (from memory); clearness declared.

    >>> sun_hours(50, 6), sun_hours(50, 12)
    (5.20, 0.96)
    """
    if not 1 <= month <= 12:
        raise OutOfTable(f"there is no month {month}")
    day = _MONTH_MIDDLES[month - 1]
    declination = radians(23.45) * sin(2 * pi * (284 + day) / 365)
    phi = radians(max(-89.9, min(89.9, latitude)))
    sunset = acos(max(-1.0, min(1.0, -tan(phi) * tan(declination))))
    distance = 1 + 0.033 * cos(2 * pi * day / 365)
    path = cos(phi) * cos(declination) * sin(sunset) + sunset * sin(phi) * sin(declination)
    return max(0.0, 24 / pi * SOLAR_CONSTANT * distance * path) * clearness / 1000


def cold_open_circuit(volts: float, coefficient: float, temperature: float) -> float:
    """Open-circuit voltage of a solar array in the cold.

    U = U_oc (1 + β (T − 25))

    Args:
        volts: U_oc at 25 °C, of the whole string [V]
        coefficient: β, negative [1/K]
        temperature: lowest, T [°C]
    Returns:
        voltage [V]
    Source: array papers (from memory).

    >>> cold_open_circuit(73.8, -0.003, -10)
    81.5
    """
    return volts * (1 + coefficient * (temperature - 25))
