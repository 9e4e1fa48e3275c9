"""The limits that the rules judge by, each with its rule set, source, clause, edition and how well it is known."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from ..calc.tables import Mark, OutOfTable


@dataclass(frozen=True)
class Limit:
    """One limit. Which side of it is safe, the name says: `least_…`, `most_…`."""

    name: str
    rules: str
    """`iso`, `us`, or `any` where the rule sets do not differ."""
    value: float
    """In the unit that calculations take."""
    unit: str
    source: str
    """Standard, clause and edition."""
    mark: Mark

    @property
    def cited(self) -> str:
        """The source with its mark, as a finding shows it."""
        return cited(self.source, self.mark)


def cited(source: str, mark: Mark | str) -> str:
    """A source with how well it is known.

    >>> cited("33 CFR 183.455(b)", Mark.SEEN)
    '33 CFR 183.455(b)'
    >>> cited("IEC 60269-1:2014", Mark.MEMORY)
    'IEC 60269-1:2014 (from memory; check your own copy)'
    """
    if mark in (Mark.SEEN, Mark.COMPUTED):
        return source
    if mark == Mark.PRACTICE:
        return source if source == Mark.PRACTICE else f"{source} ({Mark.PRACTICE})"
    return f"{source} ({Mark(mark)}; check your own copy)"


_PRACTICE = "common practice, no source"
_CFR = "33 CFR {} (CGD 81-092, 1983)"
_E11 = "ABYC E-11, about 2012 to 2018"

LIMITS = (
    # cables
    Limit("least_single", "iso", 1.0, "mm²", "ISO 10133:2012, 7.7", Mark.SEEN),
    Limit("least_sheathed", "iso", 0.75, "mm²", "ISO 10133:2012, 7.7", Mark.SEEN),
    Limit("least_single", "us", 1.309, "mm²", _CFR.format("183.425"), Mark.SEEN),
    Limit("least_sheathed", "us", 0.823, "mm²", _CFR.format("183.425"), Mark.SEEN),
    Limit("parallel_difference", "any", 0.05, "of the length", _PRACTICE, Mark.MEMORY),
    # protection
    Limit("far_device", "any", 1.8, "m", "33 CFR 183.460 (72 in)", Mark.MEMORY),
    Limit("most_continuous", "any", 0.8, "of the rating", "practice for thermal fuses in holders", Mark.MEMORY),
    Limit("most_over", "any", 1.5, "of the ampacity", _CFR.format("183.455(c)(1)"), Mark.SEEN),
    Limit("cranking_area", "any", 16.0, "mm²", "our own line between a starter's cable and a tap", Mark.PRACTICE),
    Limit("most_sense_lead", "any", 0.3, "m", _PRACTICE, Mark.PRACTICE),
    Limit("clearing_time", "any", 5.0, "s", "IEC 60364-4-43:2008, 434.5.2", Mark.MEMORY),
    Limit(
        "converter_fast", "any", 3.5, "times the rating", "ISO 8820-3:2015, gate at 350 %, within 0.5 s", Mark.SECONDARY
    ),
    Limit(
        "converter_slow", "any", 2.0, "times the rating", "ISO 8820-3:2015, gate at 200 %, within 5 s", Mark.SECONDARY
    ),
    # batteries and charging
    Limit("most_lfp_cell", "any", 3.65, "V", "cell specifications, 3.65 V", Mark.SEEN),
    Limit("usual_lfp_cell", "any", 3.60, "V", _PRACTICE, Mark.PRACTICE),
    Limit("most_lfp_float", "any", 3.375, "V", "practice for lithium iron phosphate at rest", Mark.MEMORY),
    Limit("most_lead_cell", "any", 2.45, "V", "trade lists of charge voltages", Mark.MEMORY),
    Limit(
        "most_charge_rate",
        "any",
        0.5,
        "of the capacity in an hour",
        "default for cells without a limit of their own",
        Mark.MEMORY,
    ),
    Limit("bms_share", "any", 0.8, "of the BMS's current", "practice for limits set below a BMS", Mark.MEMORY),
    Limit("same_age", "any", 366.0, "days", _PRACTICE, Mark.PRACTICE),
    # isolation
    Limit("fast_actions", "any", 4.0, "actions", "target of ours for the dark, one hand", Mark.MEMORY),
    Limit("most_actions", "any", 10.0, "actions", "target of ours", Mark.MEMORY),
    # AC
    Limit("most_residual", "any", 0.030, "A", "IEC 60364-7-709, 709.531.2; ABYC E-11", Mark.SEEN),
    Limit("inlet_distance", "any", 3.0, "m", f"{_E11}, 11.10.2.8.3", Mark.SEEN),
    # terminations
    Limit("high_current", "any", 30.0, "A", "practice after USCG safety alert 14-25", Mark.SECONDARY),
    # evidence
    Limit("interval rcd", "any", 92.0, "days", "UK boat safety scheme", Mark.SECONDARY),
    Limit("interval torque", "any", 366.0, "days", "usual interval, 12 months", Mark.MEMORY),
    Limit("interval thermal", "any", 366.0, "days", "usual interval, 12 months", Mark.MEMORY),
    Limit("interval insulation", "any", 1097.0, "days", "usual interval, 12 to 36 months", Mark.MEMORY),
    Limit("interval capacity", "any", 731.0, "days", "usual interval, 12 to 24 months", Mark.MEMORY),
    Limit("spares", "any", 2.0, "spares", _PRACTICE, Mark.PRACTICE),
    Limit("main_spares", "any", 1.0, "spare", _PRACTICE, Mark.PRACTICE),
    Limit("main_rating", "any", 40.0, "A", "our own line between a main fuse and a branch", Mark.PRACTICE),
)
"""Every limit of `checks/`. Those of ampacity, drop, distance and breaking stand in the tables of `calc/`."""


def limit(name: str, rule_sets: Iterable[str]) -> Limit:
    """The limit in the rule sets; of two, the stricter: the larger of a `least_…`, the smaller of any other.

    >>> limit("least_single", ("iso", "us")).value
    1.309
    """
    found = [row for row in LIMITS if row.name == name and row.rules in ("any", *rule_sets)]
    if not found:
        raise OutOfTable(f"no limit `{name}` for {' and '.join(rule_sets)}")
    return (max if name.startswith("least_") else min)(found, key=lambda row: row.value)
