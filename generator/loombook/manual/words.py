"""Figures and kinds in words: sensible digits, one unit for a range, names of kinds as people say them."""

from __future__ import annotations

import datetime
import re
from collections.abc import Sequence

from ..quantities import Quantity, digits, in_unit
from ..study.model import Range
from .text import Inline, Marked

MISSING = "not known"

KINDS = {
    "blade": "blade fuse", "mini blade": "mini blade fuse", "maxi blade": "maxi blade fuse",
    "bolted strip SF30": "bolted strip fuse (SF30)", "bolted strip SF51": "bolted strip fuse (SF51)",
    "terminal": "fuse on the battery's terminal", "class T": "class T fuse", "gG": "gG fuse", "glass": "glass fuse",
    "square-body strip": "square-body strip fuse", "thermal": "breaker (thermal)",
    "thermal-magnetic": "breaker (thermal-magnetic)", "B": "breaker (type B)", "C": "breaker (type C)",
    "D": "breaker (type D)", "rcd": "residual-current device",
    "rcbo B": "breaker with residual-current release (type B)",
    "rcbo C": "breaker with residual-current release (type C)",
}  # fmt: skip
"""Kind of fuse or breaker as the inventory has it → in words."""

CHEMISTRIES = {
    "lfp": "lithium iron phosphate", "flooded lead-acid": "lead-acid, flooded", "agm lead-acid": "lead-acid, AGM",
    "gel lead-acid": "lead-acid, gel",
}  # fmt: skip

ACCESS = {
    "open": "in the open", "door": "behind a door", "tool": "behind a cover that needs a tool",
    "stowage": "behind stowage",
    "key": "behind a lock", "hidden": "hidden",
}  # fmt: skip

SWITCH_KINDS = {
    "isolator": "isolator", "paralleling": "paralleling switch", "change-over": "change-over switch",
    "selector": "selector switch", "remote": "remote switch", "switch": "switch",
}  # fmt: skip

FAMILIES = {
    "spaces": "space", "batteries": "battery", "alternators": "alternator", "solar arrays": "solar array",
    "solar controllers": "solar controller", "shore inlets": "shore inlet", "generators": "generator",
    "chargers": "shore charger", "inverters": "inverter",
    "converters": "converter", "bars": "bar", "panels": "panel", "fuses": "fuse", "breakers": "breaker",
    "switches": "switch", "shunts": "shunt", "junctions": "joint", "motors": "motor", "circuits": "circuit",
}  # fmt: skip

SOURCE_KINDS = {
    "battery": "battery", "alternator": "alternator", "solar array": "solar panels", "shore": "shore power",
    "generator": "generator",
    "controller": "solar controller", "charger": "shore charger", "converter": "converter", "inverter": "inverter",
}  # fmt: skip


def kind_words(kind: str) -> str:
    """`blade` → `blade fuse`; an owner's own kind is said as it is written."""
    return KINDS.get(kind, kind)


def count(number: int, one: str, many: str = "") -> str:
    """`1 fuse`, `3 fuses`.

    >>> count(1, "fuse"), count(0, "fuse")
    ('1 fuse', '0 fuses')
    """
    return f"{number} {one if number == 1 else many or one + 's'}"


def few(names: Sequence[Inline], most: int = 5) -> list[Inline]:
    """The first names, and how many more."""
    names = list(names)
    return names if len(names) <= most + 1 else [*names[:most], f"and {len(names) - most} more"]


def same(a: float, b: float, significant: int = 3) -> bool:
    """Whether two figures read alike."""
    return digits(a, significant) == digits(b, significant)


def span(found: Range | None, factor: float = 1.0, significant: int = 3) -> str:
    """A range in one unit: `1.20 to 3.40`; `factor` turns the base unit into the column's.

    >>> span(Range(1200, 3400), 1e-3), span(Range(5, 5))
    ('1.20 to 3.40', '5.00')
    """
    if found is None:
        return MISSING
    low, high = found.low * factor, found.high * factor
    return (
        digits(low, significant)
        if same(low, high, significant)
        else f"{digits(low, significant)} to {digits(high, significant)}"
    )


def span_unit(found: Range, kind: str, significant: int = 3) -> str:
    """A range with its unit: `1.20 kA to 3.40 kA`."""
    low, high = in_unit(found.low, kind, significant), in_unit(found.high, kind, significant)
    return low if low == high else f"{low} to {high}"


def quantity(value: Quantity | None, missing: str = MISSING) -> Inline:
    """A quantity as the owner wrote it, with how sure it is."""
    if value is None:
        return Marked(missing, "missing")
    if value.how == "assumed":
        return Marked(f"{value} (default)", "default")
    if value.how == "estimated":
        text = str(value)
        return Marked(text if text.startswith(("~", "≈")) else f"~{text}", "estimate")
    return str(value)


def rated(value: Quantity | None) -> Inline:
    """A rating, which is a round number on a label: `250 A`."""
    return quantity(value, "rating not known")


def number_of(value: Quantity) -> str:
    """A rating's bare number, as on its label.

    >>> from loombook.quantities import parse
    >>> number_of(parse("25 A", "current")), number_of(parse("7.5 A", "current"))
    ('25', '7.5')
    """
    return f"{value.value:g}"


def yes_no(flag: bool | None) -> Inline:
    return Marked(MISSING, "missing") if flag is None else "yes" if flag else "no"


def or_missing(words: Inline | None, missing: str = MISSING) -> Inline:
    return words if words else Marked(missing, "missing")


def day(date: datetime.date | None) -> Inline:
    return date.isoformat() if date else Marked(MISSING, "missing")


def ordinal(number: int) -> str:
    """`1st`, `2nd`, `11th`.

    >>> ordinal(2), ordinal(11), ordinal(23)
    ('2nd', '11th', '23rd')
    """
    ending = "th" if number % 100 in (11, 12, 13) else {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th")
    return f"{number}{ending}"


def hours(value: float) -> str:
    """A time in hours that a person can use.

    >>> hours(0.4), hours(7.26), hours(123)
    ('24 min', '7.3 h', '5.1 days')
    """
    if value < 1:
        return f"{round(value * 60)} min"
    return f"{digits(value, 2)} h" if value < 72 else f"{digits(value / 24, 2)} days"


def condition_words(condition: str) -> str:
    """An operating condition by name; the one of a vessel that names none is normal use."""
    return "in normal use" if condition == "normal" else condition


_TICKS = re.compile(r"`([^`]*)`")


def unticked(text: str) -> str:
    """A message's words between backquotes in quotation marks instead, as a reader of pages expects them.

    >>> unticked("key `stop` is missing")
    'key “stop” is missing'
    """
    return _TICKS.sub("“\\1”", text)


def sentence(text: str) -> str:
    """With a capital and a full stop."""
    text = unticked(text.strip())
    return f"{text[:1].upper()}{text[1:]}{'' if text[-1:] in '.!?' else '.'}" if text else ""
