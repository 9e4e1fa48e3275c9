"""What the terminals of each kind of item are called, and how a reference to one is read."""

from __future__ import annotations

import re

from .devices import Panel, Switch
from .sources import Battery
from .vessel import Item

PORTS: dict[str, tuple[str, ...]] = {
    "batteries": ("+", "-"),
    "alternators": ("+", "-"),
    "solar arrays": ("+", "-"),
    "solar controllers": ("pv +", "pv -", "+", "-"),
    "shore inlets": ("L", "N", "PE"),
    "generators": ("L", "N", "PE"),
    "chargers": ("L", "N", "PE", "+", "-"),
    "inverters": ("+", "-", "L", "N", "PE"),
    "converters": ("in +", "in -", "out +", "out -"),
    "bars": ("",),
    "panels": ("",),
    "fuses": ("1", "2"),
    "breakers": ("1", "2"),
    "switches": ("1", "2"),
    "shunts": ("1", "2"),
    "junctions": ("",),
    "motors": ("+", "-"),
}
"""Family → its terminals. `""` is the item's own name, where one name is enough."""

IN_LINE = ("fuses", "breakers", "switches", "shunts")
"""Families that a run goes through, in at `1` and out at `2`."""

AC_BY_NAME = ("shore inlets", "generators", "chargers", "inverters")
"""Families whose bare name in a run means their AC side, all its conductors at once."""

POLES = ("L", "N", "PE")


def split(reference: str) -> tuple[str, str]:
    """A reference as id and terminal: `X4 way 7` → (`X4`, `way 7`).

    >>> split("U5 in +"), split("X1")
    (('U5', 'in +'), ('X1', ''))
    """
    id, _, port = reference.strip().partition(" ")
    return id, re.sub(r"(?<=\w)([+-])$", r" \1", port.strip())


def ports(item: Item) -> tuple[str, ...]:
    """The terminals that an item has."""
    if isinstance(item, Battery):
        return ("+", "-", "cell +", "cell -") if item.bms else ("+", "-")
    if isinstance(item, Panel):
        bus = ("", *POLES) if item.ac else ("",)
        return (*bus, *(f"way {number}" for number, way in item.ways.items() if not way.spare))
    if isinstance(item, Switch) and item.kind in ("change-over", "selector"):
        base: tuple[str, ...] = ("com", "1", "2")
    else:
        base = PORTS.get(item.family, ())
    if getattr(item, "poles", 1) == 2 and item.family in IN_LINE:
        base = (*base, *(f"pole 2 {port}" for port in base))
    return base


def is_terminal(item: Item, port: str) -> bool:
    """Whether `port` names a terminal of the item, or, bare, the item as a run goes through or ends at it."""
    if port in ports(item):
        return True
    if item.family in IN_LINE:
        return port == "" or (port == "pole 2" and getattr(item, "poles", 1) == 2)
    return port == "" and item.family in AC_BY_NAME
