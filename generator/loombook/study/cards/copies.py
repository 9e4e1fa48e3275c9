"""Which revision of which card hangs where, what must be printed again, and who ran through a card when."""

from __future__ import annotations

import datetime

from ...inventory.records import Inventory
from .model import Print, Tried
from .words import place


def copies(inventory: Inventory) -> tuple[Print, ...]:
    """The printed copies, in the order of the inventory.

    The text of an old card is not kept, so a copy of any other revision counts as old.
    """
    return tuple(
        Print(p.card, place(inventory, p.at), p.revision, p.date, p.revision == inventory.vessel.revision)
        for p in inventory.prints
    )


def tried(inventory: Inventory, card: str, as_of: datetime.date) -> tuple[Tried, ...]:
    """The runs through a card up to a day, latest first."""
    runs = [d for d in inventory.drills if d.card == card and d.date <= as_of]
    runs.sort(key=lambda d: d.date, reverse=True)
    return tuple(Tried(d.date, d.seconds, d.by or "", d.dark, d.note or "", (as_of - d.date).days) for d in runs)
