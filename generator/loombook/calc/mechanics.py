"""Torque, clamp force and pull: what studs, rods and crimps are tightened and tested to."""

from __future__ import annotations

from dataclasses import dataclass

from loombook.calc.gauges import awg_at_most, awg_name
from loombook.calc.tables import Mark, OutOfTable, table

KILOGRAM_FORCE = 9.80665
"""[N]"""
NUT_FACTOR = 0.20
"""K for dry or lightly oiled steel, where nothing else is known."""
CLAMP_FORCE_PRACTICE = 300 * KILOGRAM_FORCE
"""Force on the end plate of a prismatic cell bank [N] (common practice, no source; a cell paper says 300 kgf)."""
STUD_PROOF_PRACTICE = 6.0
"""Torque that cell studs are proved to [N·m] (common practice, no source)."""


@dataclass(frozen=True)
class Torque:
    """A tightening torque, and where it comes from."""

    newton_metres: float
    source: str
    mark: Mark


def clamp_force(torque: float, diameter: float, nut_factor: float = NUT_FACTOR) -> float:
    """Force that a torque puts on a bolt.

    F = T / (K d)

    Args:
        torque: T [N·m]
        diameter: nominal d [mm]
        nut_factor: K [1]
    Returns:
        force [N]
    Good to about 30 %, for friction takes most of the torque.
    Source: Shigley; Machinery's Handbook (seen).

    >>> clamp_force(50, 10)
    25000.0
    """
    return torque / (nut_factor * diameter / 1000)


def clamp_torque(force: float, diameter: float, nut_factor: float = NUT_FACTOR) -> float:
    """Torque that puts a force on a bolt [N·m]; the way back from `clamp_force`.

    >>> clamp_torque(34200, 12)
    82.1
    """
    return nut_factor * diameter / 1000 * force


def rod_torque(force: float, rods: int, diameter: float, nut_factor: float = NUT_FACTOR) -> float:
    """Torque on each of several rods that together press an end plate.

    T = K d F / n

    Args:
        force: on the plate F [N]
        rods: n, equally tightened
        diameter: nominal, of a rod [mm]
        nut_factor: K [1]
    Returns:
        torque on each [N·m]
    Source: Shigley; Machinery's Handbook (seen).

    >>> rod_torque(300 * 9.80665, 4, 6)
    0.883
    """
    if rods < 1:
        raise OutOfTable("an end plate needs at least one rod")
    return clamp_torque(force / rods, diameter, nut_factor)


def plate_force(torque: float, rods: int, diameter: float, nut_factor: float = NUT_FACTOR) -> float:
    """Force on an end plate from the torque on each rod [N]; the way back from `rod_torque`.

    >>> plate_force(0.8826, 4, 6) / 9.80665
    300.0
    """
    return rods * clamp_force(torque, diameter, nut_factor)


def bolt_stress(force: float, stressed_area: float) -> float:
    """Stress in a bolt.

    Args:
        force: [N]
        stressed_area: [mm²], see `stressed_area`
    Returns:
        stress [MPa]

    >>> bolt_stress(25000, stressed_area("M10"))
    431.0
    """
    return force / stressed_area


def stressed_area(size: str) -> float:
    """Stressed area of a metric thread [mm²].

    >>> stressed_area("M12")
    84.3
    """
    return float(table("stud_torque").row("size", size)["area"])


def stud_torque(size: str, busbar: bool = False) -> Torque:
    """Tightening torque of a terminal stud, or of a dry 8.8 bolt on a bar, where its own paper gives none.

    Args:
        size: `M8`
        busbar: a bolt through bars and lugs
    Returns:
        torque with its mark
    Source: IEC 60947-1 Table 4 (from memory); busbar bolts from a page of no standing.

    >>> stud_torque("M8").newton_metres, stud_torque("M10", busbar=True).newton_metres
    (6.0, 40.0)
    """
    data = table("stud_torque")
    value = data.row("size", size)["busbar" if busbar else "stud"]
    if not value:
        raise OutOfTable(f"no busbar torque is known for {size}")
    if busbar:
        return Torque(float(value), "trade page", Mark.LOW_AUTHORITY)
    return Torque(float(value), data.citation, data.mark)


def nut_factor_range(state: str) -> tuple[float, float]:
    """Least and most nut factor K of a state of the thread.

    >>> nut_factor_range("oiled")
    (0.15, 0.2)
    """
    row = table("friction").row("state", state)
    return float(row["least"]), float(row["most"])


def crimp_pull(area: float) -> float:
    """Pull that a crimp on this conductor holds for one minute, by the next thinner gauge [N].

    Source: ABYC E-11 Table XV (from memory).

    >>> crimp_pull(16)
    222.0
    """
    gauge = awg_at_most(area)
    data = table("crimp_pull")
    while awg_name(gauge) not in {row["awg"] for row in data.rows}:
        gauge += 1
    return float(data.row("awg", awg_name(gauge))["newtons"])
