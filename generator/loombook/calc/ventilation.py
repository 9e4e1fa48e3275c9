"""Air that a space with lead-acid batteries needs."""

from __future__ import annotations

from loombook.calc.tables import table


def gas_current(kind: str, boost: bool = True) -> float:
    """Current that makes gas, for each ampere-hour.

    Args:
        kind: `flooded lead-acid`, `agm lead-acid` or `gel lead-acid`
        boost: during boost charge, not on float
    Returns:
        current [mA/Ah]
    Source: IEC 62485-2 Table 1 (from memory).

    >>> gas_current("flooded lead-acid"), gas_current("agm lead-acid")
    (20.0, 8.0)
    """
    return float(table("gassing").row("kind", kind)["boost" if boost else "float"])


def air_flow(cells: int, capacity: float, gas: float) -> float:
    """Air that must pass through the space.

    Q = 0.05 n I_gas C / 1000

    Args:
        cells: n in series
        capacity: C [Ah]
        gas: I_gas, see `gas_current` [mA/Ah]
    Returns:
        air flow [m³/h]
    For lead-acid only; a lithium battery needs its own safety concept.
    Source: IEC 62485-2, 7.2 (from memory).

    >>> air_flow(6, 400, 8), air_flow(6, 400, 20)
    (0.96, 2.40)
    """
    return 0.05 * cells * gas * capacity / 1000


def opening_area(flow: float) -> float:
    """Area of each of two openings, one low and one high, for natural ventilation.

    A = 28 Q

    Args:
        flow: Q [m³/h]
    Returns:
        area [cm²]
    Source: IEC 62485-2, 7.3 (from memory).

    >>> opening_area(2.4)
    67.2
    """
    return 28 * flow
