"""Current a conductor may carry as installed, by the chosen rule set, with everything that went into it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import prod, sqrt
from typing import Literal

from loombook.calc.gauges import awg_area, awg_at_most, awg_name
from loombook.calc.tables import Mark, OutOfTable, next_size_down, table, weakest

RuleSet = Literal["iso", "us"]
RULE_SETS: tuple[RuleSet, ...] = ("iso", "us")
ASSUMED_INSULATION = 60
"""Temperature class taken where the inventory does not know it [°C]: the lowest of both tables."""
TABLE_AMBIENT = 30
"""Ambient temperature of both tables [°C]."""
BUNDLE_LEAST_VOLTAGE = 50
"""Below this a DC bundle has no factor in either rule set [V]."""
_TABLES = {"us": "ampacity_us", "iso": "ampacity_iso"}
_CLASSES = {"us": (60, 75, 80, 90, 105, 125, 200), "iso": (60, 70, 85, 105, 125, 200)}


@dataclass(frozen=True)
class Factor:
    """One factor on the table's current."""

    name: str
    value: float
    why: str
    source: str
    mark: Mark


@dataclass(frozen=True)
class Ampacity:
    """What a conductor may carry as installed, and why."""

    amperes: float
    """Allowable current Iz of the whole connection, all parallel conductors together [A]."""
    base: float
    """The table's current of one conductor, before the factors [A]."""
    factors: tuple[Factor, ...]
    parallel: int
    row: str
    """The table row used: `10 AWG` or `6 mm²`."""
    column: str
    """The table column used: `105 °C`."""
    source: str
    mark: Mark
    """The weakest mark of everything used."""
    notes: tuple[str, ...] = ()
    """What was assumed or rounded on the way, in plain words."""

    def __str__(self) -> str:
        """The calculation in one line: `51 A = 60 A × 0.85 (engine space)`."""
        steps = [f"{self.base:g} A"] + [f"× {factor.value:g} ({factor.name})" for factor in self.factors]
        if self.parallel > 1:
            steps.append(f"× {self.parallel} in parallel")
        return f"{self.amperes:.4g} A = {' '.join(steps)}"


def allowable_current(
    area: float,
    insulation: float | None = None,
    rule_set: RuleSet = "iso",
    engine_space: bool = False,
    bundled: int = 1,
    voltage: float = 12,
    ac: bool = False,
    ambient: float | None = None,
    parallel: int = 1,
) -> Ampacity:
    """Allowable continuous current of a copper conductor as installed.

    Iz = I_table · k_temperature · k_bundle · n

    A metric area is looked up in the row of the next thinner gauge and a gauge in the row of the next thinner metric
    area; an insulation class between two columns uses the lower one. So the answer is never above the table's.

    Args:
        area: cross-section of one conductor [mm²]
        insulation: temperature class of the insulation [°C]; None counts as 60 °C and says so
        rule_set: `us` 33 CFR 183.425 Table 5, or `iso` ISO 10133/13297 Annex A
        engine_space: runs through an engine space
        bundled: current-carrying conductors lying together, this one included
        voltage: of the circuit [V]
        ac: alternating current
        ambient: measured or declared temperature of the space [°C], where it is above the table's 30 °C
        parallel: equal conductors side by side
    Returns:
        the allowable current with row, column, factors, source and mark; 0 A where the class is not allowed
    Raises:
        OutOfTable: the conductor is thinner than the table's thinnest
    Source: 33 CFR 183.425 Table 5 and its notes; ISO 10133:2012 and ISO 13297:2020 Annex A (from memory).

    >>> print(allowable_current(5.26, 105, "us", engine_space=True))
    51 A = 60 A × 0.85 (engine space)
    """
    notes: list[str] = []
    if insulation is None:
        notes.append(f"insulation class not known, {ASSUMED_INSULATION} °C assumed")
        insulation = ASSUMED_INSULATION
    if rule_set not in _TABLES:
        raise OutOfTable(f"no rule set {rule_set!r}; known are {' and '.join(RULE_SETS)}")
    data = table(_TABLES[rule_set])
    row, name = _row(area, rule_set, notes)
    column = _column(insulation, rule_set, notes)
    base = float(data.row("awg" if rule_set == "us" else "area", row)[column])
    factors = tuple(
        factor
        for factor in (
            _temperature(rule_set, column, engine_space, ambient),
            _bundle(rule_set, bundled, voltage, ac, notes),
        )
        if factor
    )
    if any(factor.value == 0 for factor in factors):
        notes.append(f"insulation of {column} °C is not allowed in this space")
    return Ampacity(
        amperes=base * prod(factor.value for factor in factors) * parallel,
        base=base,
        factors=factors,
        parallel=parallel,
        row=name,
        column=f"{column} °C" if column != "85" else "85 to 90 °C",
        source=data.citation,
        mark=weakest([data.mark_of(column), *(factor.mark for factor in factors)]),
        notes=tuple(notes),
    )


def _row(area: float, rule_set: RuleSet, notes: list[str]) -> tuple[str, str]:
    if rule_set == "us":
        gauge = awg_at_most(area)
        if abs(awg_area(gauge) / area - 1) > 0.02:
            notes.append(f"{area:.4g} mm² looked up as {awg_name(gauge)} AWG ({awg_area(gauge):.4g} mm²)")
        return awg_name(gauge), f"{awg_name(gauge)} AWG"
    try:
        found = next_size_down(table("ampacity_iso").column("area"), area)
    except OutOfTable:
        raise OutOfTable(f"{area:.3g} mm² is thinner than 0.75 mm², the thinnest of the table") from None
    if abs(found / area - 1) > 0.02:
        notes.append(f"{area:.4g} mm² looked up as {found:g} mm²")
    return f"{found:g}", f"{found:g} mm²"


def _column(insulation: float, rule_set: RuleSet, notes: list[str]) -> str:
    fitting = [known for known in _CLASSES[rule_set] if known <= insulation]
    if not fitting:
        raise OutOfTable(f"insulation of {insulation:g} °C is below 60 °C, the lowest class of the table")
    column = max(fitting)
    if column != insulation and (column, insulation) != (85, 90):
        notes.append(f"insulation of {insulation:g} °C looked up in the column of {column} °C")
    return str(column)


def _temperature(rule_set: RuleSet, column: str, engine_space: bool, ambient: float | None) -> Factor | None:
    limit = float(column)
    declared = None
    if ambient is not None and ambient > TABLE_AMBIENT:
        value = sqrt(max(limit - ambient, 0) / (limit - TABLE_AMBIENT))
        why = f"√(({limit:g} − {ambient:g})/({limit:g} − {TABLE_AMBIENT})) for {ambient:g} °C ambient"
        declared = Factor("ambient temperature", value, why, "square law behind IEC 60287", Mark.COMPUTED)
    if not engine_space:
        return declared
    data = table("ampacity_engine_space")
    row = next(row for row in data.rows if row["rule_set"] == rule_set and row["insulation"] == column)
    why = f"engine space, {row['ambient']} °C ambient, {column} °C insulation"
    listed = Factor("engine space", float(row["factor"]), why, _SOURCES[rule_set], data.mark_of("factor", row))
    return min((listed, declared or listed), key=lambda factor: factor.value)


def _bundle(rule_set: RuleSet, bundled: int, voltage: float, ac: bool, notes: list[str]) -> Factor | None:
    data = table("ampacity_bundle")
    for row in data.rows:
        if row["rule_set"] == rule_set and int(row["least"]) <= bundled <= int(row["most"] or bundled):
            if voltage < BUNDLE_LEAST_VOLTAGE and not ac:
                notes.append(f"bundle of {bundled}: no factor below {BUNDLE_LEAST_VOLTAGE} V DC in this rule set")
                return None
            why = f"{bundled} current-carrying conductors together"
            source = _BUNDLE_SOURCES[rule_set]
            return Factor(f"bundle of {bundled}", float(row["factor"]), why, source, data.mark_of("factor", row))
    return None


_SOURCES = {"us": "33 CFR 183.425 Table 5 note 1", "iso": "ISO 10133 and ISO 13297 Annex A"}
_BUNDLE_SOURCES = {"us": "33 CFR 183.425 Table 5 note 2", "iso": "ISO 13297 Annex A"}


def engine_ambient(rule_set: RuleSet) -> float:
    """Ambient temperature the rule set gives an engine space [°C].

    >>> engine_ambient("us"), engine_ambient("iso")
    (50.0, 60.0)
    """
    rows = table("ampacity_engine_space").rows
    return float(next(row["ambient"] for row in rows if row["rule_set"] == rule_set))


def suggest_areas(
    current: float, candidates: Iterable[float], insulation: float | None, rule_set: RuleSet, **installed: object
) -> tuple[tuple[float, Ampacity], ...]:
    """Of these areas the ones that carry the current, thinnest first, as `6 mm² or more` in a finding needs.

    Args:
        current: to be carried [A]
        candidates: areas to try [mm²]
        insulation, rule_set, installed: as in `allowable_current`
    Returns:
        (area, its ampacity) of every candidate that is enough

    >>> [area for area, _ in suggest_areas(40, [2.5, 4, 6, 10], 105, "iso")]
    [4, 6, 10]
    """
    answers = []
    for area in sorted(candidates):
        try:
            ampacity = allowable_current(area, insulation, rule_set, **installed)  # type: ignore[arg-type]
        except OutOfTable:
            continue
        if ampacity.amperes >= current:
            answers.append((area, ampacity))
    return tuple(answers)
