"""The alternating-current side: drop, earth-fault loop, disconnection, residual current, fault current of sources."""

from __future__ import annotations

from math import hypot, inf, sqrt
from typing import NamedTuple

from loombook.calc.tables import Mark, OutOfTable, table

HOT_RESISTIVITY = 0.0225
"""Copper in normal service, 1.25 times that at 20 °C [Ω·mm²/m]. Source: IEC 60364-5-52 Annex G (seen)."""
REACTANCE = 0.08e-3
"""λ of conductors where nothing is known [Ω/m]. Source: IEC 60364-5-52 Annex G (from memory)."""
POWER_FACTOR = 0.8
"""cos φ where nothing is known. Source: IEC 60364-5-52 Annex G (seen)."""
INVERTER_LIMITS = (1.1, 2.0)
"""Fault current of an inverter over its rated current, least and most (from memory)."""
GENERATOR_SUBTRANSIENT = (0.10, 0.20)
"""x″d of a small generator to assume, least and most [1] (from memory)."""
TOUCH_AC, TOUCH_DC = 50.0, 120.0
"""Conventional touch-voltage limit [V]. Source: IEC 60364-4-41 (seen)."""


class ResidualTime(NamedTuple):
    """Times between which a residual-current device breaks [s]."""

    least: float
    most: float
    mark: Mark


class ShoreFault(NamedTuple):
    """Fault current to assume at a shore inlet."""

    amperes: float
    source: str
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
    Source: IEC 60364-4-41:2005 Table 41.1 (seen).

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


def generator_fault(
    rated_current: float, subtransient: tuple[float, float] = GENERATOR_SUBTRANSIENT
) -> tuple[float, float]:
    """First fault current of a generator, least and most.

    I″k = I_n / x″d

    Args:
        rated_current: I_n [A]
        subtransient: x″d, least and most [1]
    Returns:
        least and most [A]
    Source: usual (from memory).

    >>> generator_fault(20)
    (100.0, 200.0)
    """
    return rated_current / subtransient[1], rated_current / subtransient[0]


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
