"""American wire gauge and circular mils, in both directions."""

from __future__ import annotations

from math import log, pi

from loombook.calc.tables import OutOfTable, table

SQUARE_MM_PER_CIRCULAR_MIL = pi / 4 * 0.0254**2
"""Area of a circle of one thousandth of an inch [mm²]: 0.00050671."""
GAUGES = (18, 16, 14, 12, 10, 8, 6, 4, 3, 2, 1, 0, -1, -2, -3)
"""American wire gauges used aboard, thin to thick; 0 is 1/0, −1 is 2/0, −2 is 3/0, −3 is 4/0."""


def awg_resistance_per_metre(gauge: int, temperature: float = 75, tinned: bool = True) -> float:
    """Resistance of a stranded American gauge as NFPA 70 prints it.

    R2 = R75 [1 + 0.00323 (T2 − 75)]

    Args:
        gauge: 18 to 1, 0 for 1/0, −1 for 2/0, −2 for 3/0, −3 for 4/0
        temperature: of the conductor [°C]
        tinned: coated or uncoated copper
    Returns:
        resistance [Ω/m]
    Source: NFPA 70 chapter 9 Table 8 (seen); its temperature note from memory.

    >>> awg_resistance_per_metre(10) * 304.8
    1.29
    """
    row = table("nfpa70_table8").row("awg", awg_name(gauge))
    per_foot = float(row["coated" if tinned else "uncoated"]) / 1000
    return per_foot / 0.3048 * (1 + 0.00323 * (temperature - 75))


def awg_diameter(gauge: int) -> float:
    """Diameter of a solid wire of this gauge.

    d = 0.127 mm · 92^((36 − n)/39)

    Args:
        gauge: n; 0 for 1/0, −1 for 2/0, −2 for 3/0, −3 for 4/0
    Returns:
        diameter [mm]
    Source: ASTM B258-02 (seen).

    >>> awg_diameter(12)
    2.0525
    """
    return 0.127 * 92 ** ((36 - gauge) / 39)


def awg_area(gauge: int) -> float:
    """Cross-section of a solid wire of this gauge.

    Args:
        gauge: n; 0 for 1/0, −1 for 2/0, −2 for 3/0, −3 for 4/0
    Returns:
        area [mm²]
    Source: ASTM B258-02 (formula seen, areas computed).

    >>> awg_area(12), awg_area(-3)
    (3.309, 107.2)
    """
    return pi / 4 * awg_diameter(gauge) ** 2


def awg_gauge(area: float) -> float:
    """The gauge number of an area, not rounded; the way back from `awg_area`.

    n = 36 − 39 ln(d / 0.127 mm) / ln 92

    Args:
        area: cross-section [mm²]
    Returns:
        gauge number n, with a fraction when the area is no gauge
    Source: ASTM B258-02.

    >>> awg_gauge(3.309)
    12.00
    """
    return 36 - 39 * log((4 * area / pi) ** 0.5 / 0.127) / log(92)


def awg_at_most(area: float) -> int:
    """The thickest gauge that is not thicker than this area, as a table by gauge asks for.

    About 1 % of the area is forgiven, so that an area written with three digits finds its own gauge.

    >>> awg_name(awg_at_most(16)), awg_name(awg_at_most(33.6))
    ('6', '2')
    """
    fitting = [gauge for gauge in GAUGES if gauge >= awg_gauge(area) - 0.05]
    if not fitting:
        raise OutOfTable(f"{area:g} mm² is thinner than 18 AWG (0.823 mm²), the thinnest of the table")
    return min(fitting)


def awg_name(gauge: int) -> str:
    """The gauge as it is written: 12, 1/0, 4/0.

    >>> awg_name(-1)
    '2/0'
    """
    return str(gauge) if gauge > 0 else f"{1 - gauge}/0"


def awg_number(name: str) -> int:
    """The gauge number of a written gauge; the way back from `awg_name`.

    >>> awg_number("4/0")
    -3
    """
    count, slash, zero = name.strip().partition("/")
    if not count.isdigit() or slash and zero != "0":
        raise OutOfTable(f"{name!r} is not an American wire gauge; write 12 or 2/0")
    return 1 - int(count) if slash else int(count)


def circular_mils(area: float) -> float:
    """Area in circular mils, the unit of the American trade formulas.

    >>> circular_mils(awg_area(12))
    6529.9
    """
    return area / SQUARE_MM_PER_CIRCULAR_MIL


def area_of_circular_mils(mils: float) -> float:
    """Area in mm² of so many circular mils.

    >>> area_of_circular_mils(211600)
    107.2
    """
    return mils * SQUARE_MM_PER_CIRCULAR_MIL


def gauge_of_mils(mils: float, sae: bool = False) -> str:
    """The thinnest gauge whose least accepted area reaches so many circular mils.

    Args:
        mils: needed [circular mils]
        sae: by the smaller SAE areas instead of the AWG ones
    Returns:
        the gauge as written
    Source: ABYC E-11 (areas seen).

    >>> gauge_of_mils(6271), gauge_of_mils(6271, sae=True)
    ('12', '10')
    """
    data = table("circular_mils")
    for row in data.rows:
        if float(row["sae_circular_mils" if sae else "awg_circular_mils"]) >= mils:
            return row["awg"]
    raise OutOfTable(f"{mils:.0f} circular mils are more than 4/0 AWG has, the thickest of the table")
