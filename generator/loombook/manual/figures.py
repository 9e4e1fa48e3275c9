"""Figures of the study as pages show them: with digits that mean something, and "cannot check" where one is missing."""

from __future__ import annotations

from ..quantities import digits, in_unit
from ..study.model import Fault, Range
from .text import Inline, Link, Marked
from .words import span_unit


def current_words(amps: float) -> str:
    """A current; next to none is said so."""
    return in_unit(amps, "current", 2) if amps >= 0.0005 else "none"


def amps(value: float | None, significant: int = 3) -> Inline:
    """A current in a column of amperes."""
    return Marked("cannot check", "missing") if value is None else digits(value, significant)


def cannot(what: str = "") -> Inline:
    """What stands where a figure is missing."""
    return Marked(f"cannot check: {what}" if what else "cannot check", "missing")


def kiloamps(fault: Fault | None, lowest: bool = False) -> Inline:
    """A prospective fault current in a column of kiloamperes."""
    found: Range | None = None if fault is None else fault.lowest if lowest else fault.highest
    if found is None:
        return RESTS if lowest and _rests(fault) else cannot("no source reaches it")
    low, high = digits(found.low / 1000, 2), digits(found.high / 1000, 2)
    text = low if low == high else f"{low} to {high}"
    return of_source(text, fault.lowest_assumed if lowest else fault.assumed)


RESTS = "none while its source rests"
"""The lowest fault current where only the sun or a turning motor gives any."""


def _rests(fault: Fault | None) -> bool:
    """Whether something gives a fault current here, and nothing is sure to."""
    return (
        fault is not None
        and fault.lowest is None
        and not fault.missing
        and fault.highest is not None
        and fault.highest.high > 0
    )


def of_source(words: str, assumed: bool) -> Inline:
    """A fault current in a table; marked where a source's resistance or limit behind it is a default."""
    return Marked(f"{words} (assumed)", "default") if assumed else words


def fault_words(fault: Fault | None) -> Inline:
    """The highest prospective fault current with its unit."""
    if fault is None or fault.highest is None:
        return cannot("no source reaches it")
    text = span_unit(fault.highest, "current", 2)
    return bound(fault, Marked(f"{text} (rests on an assumption)", "default") if fault.assumed else text)


def lowest_words(fault: Fault | None) -> Inline:
    """The lowest prospective fault current with its unit."""
    if fault is None or fault.lowest is None:
        return RESTS if _rests(fault) else cannot()
    text = span_unit(fault.lowest, "current", 2)
    return Marked(f"{text} (rests on an assumption)", "default") if fault.lowest_assumed else text


def bound(fault: Fault, words: Inline) -> Inline:
    """A highest fault current; where cables on its way are not known it is a bound, and says which they are."""
    if not fault.missing:
        return words
    cables = ", ".join(dict.fromkeys(id.split(" ")[0] for id in fault.missing))
    return (words, " ", Marked(f"at most: {cables} not known", "missing"))


def figure(words: Inline, why: str) -> Inline:
    """A computed figure that leads to its why; plain words where it has none."""
    return Link(why, words) if why else words
