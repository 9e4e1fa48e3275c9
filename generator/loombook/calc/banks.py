"""Battery banks as sources of fault current, from cell and link resistances, each value a range."""

from __future__ import annotations

from dataclasses import dataclass

from loombook.calc.fault_dc import ARC_MARGIN, Range, lead_acid_emf, prospective, with_arc
from loombook.calc.tables import Mark, OutOfTable, table

LFP_CELL_RESISTANCE_280AH = (0.17e-3, 0.50e-3)
"""Assumed resistance of a lithium iron phosphate cell of 280 Ah [Ω], where none is given (from memory)."""


@dataclass(frozen=True)
class CellVoltages:
    """Voltages of one cell of a chemistry [V]."""

    chemistry: str
    nominal: float
    rested: float
    """Full and rested: the largest for a fault."""
    low: float
    """Still delivering: the smallest for a fault."""
    charge: float
    """Highest charge voltage."""
    empty: float
    mark: Mark


@dataclass(frozen=True)
class Bank:
    """A battery or one string of it as a source of fault current, each value as a range."""

    emf: Range
    """Open-circuit voltage, low and full [V]."""
    resistance: Range
    """Internal resistance with links and management system, least and most [Ω]."""

    def most(self, external: float = 0) -> float:
        """Largest fault current: full, least resistance [A].

        Args:
            external: least resistance of the path outside the bank, cold [Ω]
        """
        return prospective(self.emf[1], self.resistance[0] + external)

    def least(self, external: float = 0, arc_margin: float = ARC_MARGIN) -> float:
        """Smallest fault current: low, most resistance, an arc in the fault [A].

        Args:
            external: most resistance of the path outside the bank, hot [Ω]
            arc_margin: share that the arc takes off
        """
        return with_arc(prospective(self.emf[0], self.resistance[1] + external), arc_margin)


def cell_voltages(chemistry: str) -> CellVoltages:
    """Voltages of one cell by chemistry: `lfp`, `nmc`, `flooded lead-acid`, `agm lead-acid`, `gel lead-acid`.

    >>> cell_voltages("lfp").charge * 16
    58.4
    """
    data = table("cell_voltages")
    row = data.row("chemistry", chemistry)
    volts = [float(row[name]) for name in ("nominal", "rested", "low", "charge", "empty")]
    return CellVoltages(chemistry, *volts, mark=data.mark)


def lithium_bank(
    series: int,
    parallel: int,
    cell: Range,
    link: Range = (0.0, 0.0),
    extra: Range = (0.0, 0.0),
    volts: Range | None = None,
) -> Bank:
    """A bank of lithium cells as a source: so many groups in series, each of so many cells side by side.

    R = n R_cell / p + (n − 1) R_link + R_extra

    Args:
        series: groups n in series
        parallel: cells p in each group
        cell: resistance of one cell, least and most [Ω]
        link: resistance of the joint from one group to the next, least and most [Ω]
        extra: management system, its switch and leads, least and most [Ω]
        volts: of one cell, low and full [V]; lithium iron phosphate 3.0 V and 3.40 V if None
    Returns:
        the bank; two strings with a fuse each are two banks in a network
    Source: Ohm's law; the voltages from memory.

    >>> round(lithium_bank(8, 1, (0.17e-3, 0.30e-3), (0.05e-3, 0.05e-3)).most())
    15906
    """
    if series < 1 or parallel < 1:
        raise OutOfTable(f"a bank of {series} in series and {parallel} in parallel has no cells")
    cell_volts = cell_voltages("lfp")
    low, full = volts or (cell_volts.low, cell_volts.rested)
    least, most = (
        series * one / parallel + (series - 1) * joint + more
        for one, joint, more in zip(cell, link, extra, strict=True)
    )
    return Bank((series * low, series * full), (least, most))


def assumed_lfp_cell(capacity: float) -> Range:
    """Resistance to assume for a lithium iron phosphate cell where none is given; mark the result as assumed.

    0.17 to 0.50 mΩ at 280 Ah, in inverse proportion to the capacity.

    Args:
        capacity: of one cell [Ah]
    Returns:
        least and most [Ω]
    Source: from memory; there is no safe default, ask for the cell's paper.

    >>> assumed_lfp_cell(100)
    (0.000476, 0.0014)
    """
    if capacity <= 0:
        raise OutOfTable(f"a cell of {capacity:g} Ah has no resistance to assume")
    low, high = LFP_CELL_RESISTANCE_280AH
    return low * 280 / capacity, high * 280 / capacity


def lead_acid_bank(cells: int, resistance: Range, extra: Range = (0.0, 0.0), volts: Range | None = None) -> Bank:
    """A lead-acid battery as a source, from its internal resistance.

    Most: E = 1.05 · 2 V · n over 0.9 R; least: 0.95 · 2 V · n over R

    Args:
        cells: n in series
        resistance: of the whole battery, least and most [Ω]
        extra: links and joints, least and most [Ω]
        volts: of one cell, low and full [V]; by the equations above if None
    Returns:
        the battery
    Source: IEC 61660-1:1997 (from memory).

    >>> round(lead_acid_bank(6, (0.003, 0.006)).most())
    4667
    """
    if cells < 1:
        raise OutOfTable(f"a battery of {cells} cells has no voltage")
    standard = (0.95 * lead_acid_emf(cells, charged=False), lead_acid_emf(cells))
    emf = (cells * volts[0], cells * volts[1]) if volts else standard
    return Bank(emf, (0.9 * resistance[0] + extra[0], resistance[1] + extra[1]))


def assumed_lead_acid(capacity: float) -> Range:
    """Fault current to assume for a lead-acid battery of unknown resistance; mark the result as assumed.

    I = k C, k about 10, below 20

    Args:
        capacity: C [Ah]
    Returns:
        least and most fault current at the terminals [A]
    Source: IEC 61660-1 and IEEE 946 practice (from memory).

    >>> assumed_lead_acid(110)
    (1100, 2200)
    """
    return 10 * capacity, 20 * capacity


def resistance_of_fault(emf: float, current: float) -> float:
    """Internal resistance that a stated short-circuit current means [Ω].

    >>> resistance_of_fault(12.6, 2100) * 1000
    6.0
    """
    if current <= 0:
        raise OutOfTable("a source without a short-circuit current has no resistance to work back to")
    return emf / current


def resistance_of_load_test(open_volts: float, loaded_volts: float, current: float) -> float:
    """Internal resistance from a load test.

    R_B = (E − V_L) / I_L

    Args:
        open_volts: E, rested [V]
        loaded_volts: V_L under load [V]
        current: I_L [A]
    Returns:
        resistance [Ω]
    Source: IEEE 946 practice (seen).

    >>> resistance_of_load_test(12.6, 11.6, 200) * 1000
    5.0
    """
    if current <= 0:
        raise OutOfTable("a load test needs a current above 0 A")
    return (open_volts - loaded_volts) / current
