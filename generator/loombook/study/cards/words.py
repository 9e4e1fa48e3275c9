"""How a card speaks: places and names in plain words, verbs first, the place before the code."""

from __future__ import annotations

from collections.abc import Sequence

from ...inventory.fields import Location
from ...inventory.records import Inventory
from ...network.handles import Handle

VERBS = (
    "Aim", "Call", "Check", "Close", "Cover", "Do", "Get", "Give", "Keep", "Leave", "Lock", "Look", "Open", "Plug",
    "Press", "Prove", "Pull", "Put", "Read", "Shout", "Show", "Start", "Stop", "Switch OFF", "Switch ON", "Take",
    "Tell", "Test", "Touch", "Try", "Turn OFF", "Turn ON", "Uncover", "Unplug", "Wait", "Watch", "Write",
)  # fmt: skip
"""The words that a step may begin with."""
NO_PLACE = "place not written down"


def place(inventory: Inventory, at: Location | None, way: str = "") -> str:
    """A place as a guest finds it: the space by its name, then words, then the way of a panel."""
    parts = []
    if at and at.space:
        parts.append(inventory.spaces[at.space].title if at.space in inventory.spaces else at.space)
    if at and at.place:
        parts.append(at.place)
    words = ": ".join(parts) or NO_PLACE
    return f"{words}; {way}" if way else words


def space(inventory: Inventory, at: Location | None) -> str:
    """The name of the space alone; empty where it is not known."""
    return inventory.spaces[at.space].title if at and at.space in inventory.spaces else ""


def listed(names: Sequence[str], most: int = 0, more: str = "more") -> str:
    """Names in a sentence.

    >>> listed(["a", "b", "c"]), listed(["a", "b", "c", "d"], most=2)
    ('a, b and c', 'a, b and 2 more')
    >>> listed(["pump, aft", "pump, main"])
    'pump, aft; pump, main'
    """
    names = list(dict.fromkeys(names))
    if any("," in name for name in names):
        rest = [f"{len(names) - most} {more}"] if most and len(names) > most else []
        return "; ".join([*names[: most or None], *rest])
    if most and len(names) > most:
        return f"{', '.join(names[:most])} and {len(names) - most} {more}"
    return " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)


def capital(text: str) -> str:
    """With a capital first letter.

    >>> capital("pull the handle")
    'Pull the handle'
    """
    return text[:1].upper() + text[1:]


def way_of(handle: Handle) -> str:
    """`way 7` of a panel's way; empty for any other handle."""
    return handle.id.partition(" ")[2]


def span(seconds: float) -> str:
    """A time that a person waits.

    >>> span(180), span(45)
    ('3 min', '45 s')
    """
    return f"{seconds / 60:.0f} min" if seconds >= 90 else f"{seconds:.0f} s"


def lasting(hours: float) -> str:
    """Hours that something goes on, rounded down so that nobody counts on too much.

    >>> lasting(53.9), lasting(7.26), lasting(0.4), lasting(120), lasting(8000)
    ('53 h', '7.2 h', '24 min', '5 days', 'over a month')
    """
    if hours >= 24 * 31:
        return "over a month"
    if hours < 1:
        return f"{int(hours * 60)} min"
    if hours < 10:
        return f"{int(hours * 10) / 10:g} h"
    return f"{int(hours)} h" if hours < 72 else f"{int(hours / 24)} days"
