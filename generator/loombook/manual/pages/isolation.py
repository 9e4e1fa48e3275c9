"""The emergency isolation card for the whole ship, cards for each system, and the complete list of what stays live."""

from __future__ import annotations

import datetime
from collections.abc import Iterator

from ...network.isolate import Isolation
from ..book import Book
from ..isolation import actions, essentials_lost, fed_by, live_lines, names, stubborn
from ..paths import slug
from ..sheet import EMERGENCY, Sheet
from ..text import Column, Inline
from ..words import quantity

LIVE = [Column("What"), Column("Where"), Column("Voltage"), Column("Kept live by")]
WAIT = [Column("Device"), Column("Wait", "", True), Column("Where")]
CARD_NAMES = ("fast", "isolation", "ship", "isolate")
"""What owners call the ship's card in `prints` and `drills`."""


def pages(book: Book) -> Iterator[Sheet]:
    ship = book.study.ship
    yield Sheet("emergency/isolate.md", "Isolate now: the whole ship", "isolate", {
        "card": card(book, ship, "ISOLATE: FIRE, SMOKE, SHOCK"),
        "figures": book.figures("isolation-ship"),
        "count": len(ship.handles),
    }, EMERGENCY, ("fire", "smoke", "shock", "burning", "isolate", "emergency"))  # fmt: skip
    systems = {name: found for name, found in book.study.systems.items() if found.handles or found.live}
    if len(systems) > 1:
        yield Sheet("emergency/partial.md", "Isolate one system", "partial", {
            "cards": [card(book, found, f"ISOLATE: {name}") for name, found in systems.items()],
            "figures": [f"isolation-{slug(name)}" for name in systems if f"isolation-{slug(name)}" in book.drawings],
            "spaces": [book.named(space) for space in book.inventory.spaces],
        }, EMERGENCY)  # fmt: skip
    yield Sheet("emergency/still-live.md", "What stays live", "still_live", {
        "live": (LIVE, _live_rows(book, ship)),
        "stubborn": [stubborn(book, id) for id in ship.unstoppable],
        "waits": (WAIT, _waits(book)),
    }, EMERGENCY, ("live after isolation", "residual"))  # fmt: skip


def card(book: Book, isolation: Isolation, head: str) -> dict:
    """What stands on one card."""
    vessel = book.inventory.vessel
    date = vessel.date.isoformat() if vessel.date else "date not written down"
    return {
        "head": head,
        "aside": f"{vessel.name} · revision {vessel.revision} · {date} · destroy older",
        "actions": actions(book, isolation),
        "live": live_lines(book, isolation, 12),
        "working": names(book, isolation.working, 9),
        "lost": names(book, essentials_lost(book, isolation), 9),
        "foot": (f"{_drilled(book)} Tried by ____________ on ____________ in ______ seconds.",),
        "nothing": not isolation.handles,
    }


def _drilled(book: Book) -> str:
    drills = [drill for drill in book.inventory.drills if drill.card.casefold() in CARD_NAMES]
    if not drills:
        return "No drill is written down."
    last = max(drills, key=lambda drill: (drill.date, drill.seconds))
    return f"Last drilled {last.date.isoformat()}, {_ago(book.as_of - last.date)}: {last.seconds} seconds."


def _ago(time: datetime.timedelta) -> str:
    return "today" if time.days == 0 else f"{time.days} days ago" if time.days > 0 else "in the future, so the date is wrong"


def _live_rows(book: Book, isolation: Isolation) -> list[list[Inline]]:
    """Every terminal that stays live, one row an item."""
    rows: dict[tuple, list[Inline]] = {}
    for node, sources in isolation.live.items():
        owner = node.split(" ")[0]
        key = (owner, book.network.nodes[node].system, sources)
        if key not in rows:
            rows[key] = [book.named(owner), book.where_is(owner), book.network.nodes[node].system, fed_by(book, sources)]
    return list(rows.values())


def _waits(book: Book) -> list[list[Inline]]:
    """What stores energy: how long to wait before it is touched."""
    inventory = book.inventory
    rows = []
    for item in (*inventory.converters.values(), *inventory.inverters.values(), *inventory.motors.values()):
        stores = getattr(item, "stored_energy_wait", None) or getattr(item, "capacitance", None) or item.family == "inverters"
        if stores:
            wait = getattr(item, "stored_energy_wait", None)
            rows.append([book.named(item.id), quantity(wait, "not known: see its own papers"), book.where(item.at)])
    return rows


