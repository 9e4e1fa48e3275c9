"""Items in a few words: what kind of thing each is and what it is rated for."""

from __future__ import annotations

from ..inventory.vessel import Item
from .text import Inline
from .words import FAMILIES, SWITCH_KINDS, kind_words, quantity


def kind_of(item: Item) -> str:
    """What an item is, in a few words."""
    if item.family in ("fuses", "breakers"):
        return kind_words(item.kind)
    if item.family == "switches":
        return SWITCH_KINDS[item.kind]
    if item.family == "motors":
        return item.kind if item.kind != "other" else "motor"
    return FAMILIES[item.family]


def rating_of(item: Item) -> Inline:
    """The rating of an item, whichever it has."""
    if item.family == "batteries":
        return (str(item.cells.series), " cells, ", quantity(item.cells.capacity))
    if item.family == "solar arrays":
        return f"{item.series * item.parallel * item.power.value:.0f} W"
    for field in ("rating", "current", "power", "load"):
        value = getattr(item, field, None)
        if value is not None:
            return quantity(value)
    return "–"
