"""Largest fuse or breaker a conductor may have by the rule set, and how near its source it must stand."""

from __future__ import annotations

from dataclasses import dataclass

from loombook.calc.tables import Mark, OutOfTable, next_size_up, table


@dataclass(frozen=True)
class DeviceLimit:
    """The largest overcurrent device for a conductor, and the rule that says so."""

    amperes: float
    percent: float
    """Share of the allowable current that the rule accepts [%]."""
    why: str
    source: str
    mark: Mark


@dataclass(frozen=True)
class DistanceLimit:
    """How far from the source the device may stand."""

    metres: float | None
    """None where the rule set gives no limit."""
    case: str
    """`bare`, `sheathed` or `battery`."""
    source: str
    mark: Mark


def standard_ratings(family: str = "small") -> tuple[float, ...]:
    """Standard current ratings [A]: `small` for small-craft fuse-links and breakers, `iec` for the IEC series.

    >>> standard_ratings("iec")[:4]
    (0.5, 1.0, 2.0, 4.0)
    """
    return tuple(float(word) for word in table("standard_ratings").row("family", family)["ratings"].split())


def device_limit(ampacity: float, voltage: float, rule_set: str, family: str = "small") -> DeviceLimit:
    """Largest rating of the device that protects a conductor.

    Below 50 V the US rule accepts 150 % of the table's current; from 50 V up 100 %, or the next standard rating if
    that stays within 150 %. ISO accepts the conductor's own current.

    Args:
        ampacity: allowable current of the smallest conductor to the next device, as installed [A]
        voltage: nominal voltage of the circuit [V]
        rule_set: `us` or `iso`
        family: series of standard ratings, see `standard_ratings`
    Returns:
        the limit with its rule
    Source: 33 CFR 183.455(c) (seen); ISO 13297:2020 13.1.5 (seen for AC, DC from memory).

    >>> device_limit(60, 12, "us").amperes
    90.0
    >>> device_limit(42, 120, "us").amperes
    45.0
    """
    data = table("overcurrent")
    rows = [row for row in data.rows if row["rule_set"] == rule_set and float(row["least_voltage"]) <= voltage]
    if not rows:
        raise OutOfTable(f"no rule set {rule_set!r} in {data.title.lower()}")
    row = max(rows, key=lambda found: float(found["least_voltage"]))
    share = float(row["percent"])
    limit, why = ampacity * share / 100, f"{share:g} % of the conductor's {ampacity:.4g} A"
    if row["next_size_percent"] and ampacity > 0:
        try:
            following = next_size_up(standard_ratings(family), ampacity)
        except OutOfTable:
            following = limit
        if limit < following <= ampacity * float(row["next_size_percent"]) / 100:
            limit, why = following, f"next standard rating above the conductor's {ampacity:.4g} A"
    source = "33 CFR 183.455(c)" if rule_set == "us" else "ISO 10133, ISO 13297 13.1.5"
    return DeviceLimit(limit, share, why, source, data.mark_of("percent", row))


def distance_limit(rule_set: str, sheathed: bool = False, battery: bool = False) -> DistanceLimit:
    """How far along the conductor the device may be from its source.

    Args:
        rule_set: `us` or `iso`
        sheathed: in a sheath, conduit or enclosure all the way to the device
        battery: the conductor starts at a battery terminal, and is sheathed
    Returns:
        the limit with its rule
    Source: 33 CFR 183.455(b) (seen), 183.460 (from memory); ISO 10133 8.1 (seen secondary).

    >>> distance_limit("us").metres, distance_limit("us", sheathed=True).metres
    (0.178, 1.016)
    """
    data = table("device_distance")
    case = "bare" if not sheathed else "battery" if battery else "sheathed"
    for row in data.rows:
        if (row["rule_set"], row["case"]) == (rule_set, case):
            metres = float(row["metres"]) if row["metres"] else None
            name = "33 CFR" if rule_set == "us" else "ISO 10133"
            return DistanceLimit(metres, case, f"{name} {row['clause']}", data.mark_of("metres", row))
    raise OutOfTable(f"no rule set {rule_set!r} in {data.title.lower()}")
