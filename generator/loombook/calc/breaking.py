"""Fault current a device can break at this voltage, and the least it must be able to."""

from __future__ import annotations

from dataclasses import dataclass

from loombook.calc.families import family
from loombook.calc.tables import Mark, OutOfTable, table


LARGE_BANK_CAPACITY, LARGE_BANK_CRANKING = 500.0, 2200.0
"""Above one of these a bank is large [Ah], [A]. Source: ABYC E-11 as quoted (seen secondary)."""
LARGE_BANK_BREAKING = 20e3
"""Least breaking capacity at 125 V where the short-circuit current is above 10 kA [A]. Source: the same."""


@dataclass(frozen=True)
class Breaking:
    """A breaking capacity, and at which voltage."""

    amperes: float
    volts: float
    source: str
    mark: Mark


def breaking_capacity(name: str, voltage: float, rated: float | None = None, supply: str = "dc") -> Breaking:
    """Breaking capacity of a device of a standard family, where the device states none.

    Args:
        name: of the family, see `families.families`
        voltage: highest voltage of the circuit [V]
        rated: the device's own rated voltage [V]; the family's usual one if None
        supply: `dc` or `ac`
    Returns:
        the capacity with its source and mark
    Raises:
        OutOfTable: the voltage is above the device's rating, or nothing can be assumed for the family
    Source: the family's standard.

    >>> breaking_capacity("blade", 14.6).amperes
    1000.0
    >>> breaking_capacity("terminal", 29.2).amperes
    5000.0
    """
    kind, data = family(name), table("breaking_capacity")
    rows = [row for row in data.rows if (row["family"], row["supply"]) == (name, supply)]
    if not rows:
        on = supply.upper()
        raise OutOfTable(f"{kind.title}: no breaking capacity can be assumed on {on}; give the device's own")
    known = max(float(row["volts"]) for row in rows)
    top = rated if rated is not None else min(kind.volts, known) if supply == "dc" else known
    if voltage > top:
        raise OutOfTable(f"{kind.title}: {voltage:g} V is above its rated {top:g} V, it cannot be relied on to break")
    fitting = [row for row in rows if float(row["volts"]) >= voltage]
    if not fitting:
        raise OutOfTable(f"{kind.title}: no breaking capacity is known above {known:g} V; give the device's own")
    row = min(fitting, key=lambda found: float(found["volts"]))
    source = f"{kind.standard} {kind.edition}".strip()
    return Breaking(float(row["amperes"]), float(row["volts"]), source, data.mark_of("amperes", row))


def interrupting_least(cold_cranking: float, main: bool) -> Breaking:
    """Least interrupting capacity of a breaker on a 12 V or 24 V system, by the connected batteries.

    Args:
        cold_cranking: cold-cranking amperes of the connected batteries [A]
        main: the main device, or a branch
    Returns:
        the least capacity
    Source: ABYC E-11 (seen).

    >>> interrupting_least(1000, main=True).amperes, interrupting_least(1000, main=False).amperes
    (3000.0, 1500.0)
    """
    data = table("interrupting")
    rows = [row for row in data.rows if row["system"] == "12 V or 24 V"]
    row = next(row for row in rows if not row["cca_up_to"] or cold_cranking <= float(row["cca_up_to"]))
    return Breaking(float(row["main" if main else "branch"]), 24, data.citation, data.mark)


def large_bank_least(capacity: float, short_circuit: float, cold_cranking: float = 0) -> Breaking | None:
    """Least breaking capacity of the main device of a large bank.

    Above 500 Ah or 2200 cold-cranking amperes: the bank's own short-circuit current, and 20 kA at 125 V where that
    is above 10 kA.

    Args:
        capacity: of the connected batteries [Ah]
        short_circuit: largest fault current of the bank [A]
        cold_cranking: of the connected batteries, 0 if not stated [A]
    Returns:
        the least capacity; None where the bank is not large
    Source: ABYC E-11 11.10.1.2.3.2 as quoted (seen secondary).

    >>> large_bank_least(560, 12_000).amperes
    20000.0
    >>> large_bank_least(280, 12_000) is None
    True
    """
    if capacity <= LARGE_BANK_CAPACITY and cold_cranking <= LARGE_BANK_CRANKING:
        return None
    amperes = max(short_circuit, LARGE_BANK_BREAKING) if short_circuit > 10e3 else short_circuit
    return Breaking(amperes, 125, "ABYC E-11 11.10.1.2.3.2 as quoted", Mark.SECONDARY)
