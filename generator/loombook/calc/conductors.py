"""Resistance and temperature of copper conductors, and the standard areas they come in."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from functools import cache
from math import exp, log

from loombook.calc.gauges import GAUGES, awg_area
from loombook.calc.tables import OutOfTable, next_size_up, table

RESISTIVITY = 0.017241
"""Annealed copper at 20 °C [Ω·mm²/m]. Source: IEC 60028 (1.7241e-8 Ω·m from memory, 1.724e-8 seen)."""
TEMPERATURE_COEFFICIENT = 0.00393
"""Copper, at 20 °C [1/K]. Source: IEC 60287-1-1 Table 1 (seen)."""
_COLUMNS = {
    (2, False): "class2_plain",
    (2, True): "class2_tinned",
    (5, False): "class5_plain",
    (5, True): "class5_tinned",
}


def temperature_factor(temperature: float) -> float:
    """How much more a copper conductor resists than at 20 °C.

    R(T)/R20 = 1 + 0.00393 (T − 20)

    Args:
        temperature: of the conductor [°C]
    Returns:
        factor on the resistance at 20 °C [1]
    Valid from about −50 °C to 200 °C.
    Source: IEC 60287-1-1; IEC 60228 prints the reciprocal 0.833 for 70 °C.

    >>> temperature_factor(70)
    1.197
    """
    return 1 + TEMPERATURE_COEFFICIENT * (temperature - 20)


def factor_to_20(temperature: float) -> float:
    """Factor that brings a resistance measured at another temperature to 20 °C, as the cable standard rounds it.

    k = 250 / (230 + t)

    Args:
        temperature: of the conductor when measured [°C]
    Returns:
        factor [1]
    Within 0.5 % of 1/`temperature_factor` between 5 °C and 100 °C.
    Source: IEC 60228:2004 (printed table seen; this form of it computed).

    >>> factor_to_20(70), factor_to_20(90)
    (0.833, 0.781)
    """
    return 250 / (230 + temperature)


def standard_areas() -> tuple[float, ...]:
    """The metric areas of IEC 60228 from 0.5 mm² to 240 mm²."""
    return table("iec60228").column("area")


def resistance_per_metre(area: float, temperature: float = 20, tinned: bool = True, strand_class: int = 5) -> float:
    """Largest resistance a conductor of this area may have, per metre.

    At an area of IEC 60228 its printed value. Between two of them (the American gauges lie there) a straight line
    between the logarithms, so that a thicker conductor never resists more. Beyond the ends R·S of the end row.

    Args:
        area: cross-section [mm²]
        temperature: of the conductor [°C]
        tinned: tinned or plain copper
        strand_class: 5 flexible, 2 stranded
    Returns:
        resistance [Ω/m]
    Source: IEC 60228:2004 Tables 2 and 3 (seen); about 10 % above NFPA 70 chapter 9 Table 8 for the American gauges.

    >>> resistance_per_metre(95) * 1000
    0.210
    >>> resistance_per_metre(10, tinned=False, strand_class=2) * 1000
    1.83
    """
    if not area > 0:
        raise OutOfTable(f"a conductor of {area:g} mm² has no resistance to look up")
    try:
        column = _COLUMNS[strand_class, tinned]
    except KeyError:
        raise OutOfTable(f"strand class {strand_class} is not in IEC 60228 tables here; class 2 and 5 are") from None
    areas, values = _knots(column)
    place = bisect_left(areas, area)
    if place < len(areas) and areas[place] == area:
        per_metre = values[place]
    elif place == 0:
        per_metre = values[0] * areas[0] / area
    elif place == len(areas):
        per_metre = values[-1] * areas[-1] / area
    else:
        left, right = areas[place - 1], areas[place]
        share = log(area / left) / log(right / left)
        per_metre = exp(log(values[place - 1]) * (1 - share) + log(values[place]) * share)
    return per_metre / 1000 * temperature_factor(temperature)


@cache
def _knots(column: str) -> tuple[tuple[float, ...], tuple[float, ...]]:
    return table("iec60228").column("area"), table("iec60228").column(column)


def resistance(
    area: float, length: float, temperature: float = 20, tinned: bool = True, parallel: int = 1, strand_class: int = 5
) -> float:
    """Largest resistance of one conductor, or of equal ones side by side.

    R = R'(S) L [1 + 0.00393 (T − 20)] / n

    Args:
        area: cross-section of one conductor [mm²]
        length: of one conductor, one way [m]
        temperature: of the conductor [°C]
        tinned: tinned or plain copper
        parallel: number n of equal conductors side by side
        strand_class: 5 flexible, 2 stranded
    Returns:
        resistance [Ω]
    Source: IEC 60228:2004 Table 3.

    >>> resistance(70, 10) * 1000
    2.77
    """
    return resistance_per_metre(area, temperature, tinned, strand_class) * length / parallel


def least_resistance(area: float, length: float, temperature: float = 20, parallel: int = 1) -> float:
    """Smallest resistance to reckon with, for the largest fault current: solid annealed copper of the full area.

    R = 0.017241 L / S [1 + 0.00393 (T − 20)] / n

    Args:
        area: cross-section of one conductor [mm²]
        length: of one conductor, one way [m]
        temperature: of the conductor [°C]
        parallel: number n of equal conductors side by side
    Returns:
        resistance [Ω]
    Source: IEC 60028 resistivity at 20 °C.

    >>> least_resistance(70, 10) * 1000
    2.463
    """
    if not area > 0:
        raise OutOfTable(f"a conductor of {area:g} mm² has no resistance to compute")
    return RESISTIVITY * length / area * temperature_factor(temperature) / parallel


def round_trip(length: float) -> float:
    """Length of copper in a two-core cable: out and back.

    >>> round_trip(6.2)
    12.4
    """
    return 2 * length


def next_area(least: float, gauges: bool = False) -> float:
    """The smallest standard area that is not below `least`: metric, or an American gauge.

    >>> next_area(4.3), next_area(4.3, gauges=True)
    (6.0, 5.26)
    """
    return next_size_up([awg_area(gauge) for gauge in GAUGES] if gauges else standard_areas(), least)


def larger_areas(area: float, gauges: bool = False, count: int = 3) -> tuple[float, ...]:
    """The next standard areas above this one, for "6 mm² would give 2.3 %".

    >>> larger_areas(2.5)
    (4.0, 6.0, 10.0)
    """
    sizes = sorted(awg_area(gauge) for gauge in GAUGES) if gauges else standard_areas()
    return tuple(size for size in sizes if size > area * 1.005)[:count]


def current_shares(resistances: Sequence[float]) -> tuple[float, ...]:
    """Share of the current that each of several conductors side by side carries.

    I_i / I = (1/R_i) / Σ(1/R)

    Args:
        resistances: of each conductor with its joints [Ω]
    Returns:
        share of each, together 1

    >>> current_shares([0.001, 0.001]), current_shares([0.4, 0.3])
    ((0.5, 0.5), (0.43, 0.57))
    """
    if not resistances or min(resistances) <= 0:
        raise OutOfTable("sharing needs a resistance above 0 Ω for every conductor")
    conductances = [1 / one for one in resistances]
    return tuple(one / sum(conductances) for one in conductances)


def conductor_temperature(current: float, ampacity: float, ambient: float, limit: float) -> float:
    """Temperature a conductor settles at under its own load.

    T = Ta + (Tmax − Ta)(I/Iz)²

    Args:
        current: carried [A]
        ampacity: allowable current Iz at this ambient temperature, as installed [A]
        ambient: Ta [°C]
        limit: temperature class Tmax of the insulation [°C]
    Returns:
        conductor temperature [°C]; the limit where the conductor may carry nothing
    Heat loss taken as proportional to the temperature rise: good near and below Iz.
    Source: computed; the square law behind IEC 60287.

    >>> conductor_temperature(50, 100, 30, 90)
    45.0
    """
    if ampacity <= 0:
        return limit
    return ambient + (limit - ambient) * (current / ampacity) ** 2
