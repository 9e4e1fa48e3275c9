"""The emergency isolation card for the whole ship, cards for each system, and the complete list of what stays live."""

from __future__ import annotations

import datetime
from collections.abc import Iterator

from ...network.isolate import Isolation
from ..book import Book
from ..isolation import actions, essentials_lost, fed_by, gone, live_lines, names, stubborn
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
        "card": _ship_card(book, ship),
        "figures": book.figures("isolation-ship"),
        "count": len(ship.handles),
    }, EMERGENCY, ("fire", "smoke", "shock", "burning", "isolate", "emergency"))  # fmt: skip
    systems = {name: found for name, found in book.study.systems.items() if found.handles or found.live}
    if len(systems) > 1:
        yield Sheet("emergency/partial.md", "Isolate one system", "partial", {
            "cards": [_system_card(book, name, found) for name, found in systems.items()],
            "figures": [f"isolation-{slug(name)}" for name in systems if f"isolation-{slug(name)}" in book.drawings],
            "spaces": [book.named(space) for space in book.inventory.spaces],
        }, EMERGENCY)  # fmt: skip
    yield Sheet("emergency/still-live.md", "What stays live", "still_live", {
        "live": (LIVE, _live_rows(book, ship)),
        "stubborn": [stubborn(book, id) for id in ship.unstoppable],
        "waits": (WAIT, _waits(book)),
    }, EMERGENCY, ("live after isolation", "residual"))  # fmt: skip


PEOPLE = (
    "People first: SHOUT, everybody on deck, life-jackets on, call for help. Smoke or a hissing jet from a battery space: "
    "do not open it, do not go in, stay up-wind. The helm decides whether stopping is the greater danger here."
)
WORK = (
    "Fire, smoke or shock: use the card of the whole ship. Before work on this system: tell everybody aboard, switch off, prove "
    "the meter on a live part, measure dead, prove the meter again, lock or tag the switch. The other systems stay live."
)


def _ship_card(book: Book, isolation: Isolation) -> dict:
    return {
        **_card(book, isolation, "ISOLATE: FIRE, SMOKE, SHOCK", PEOPLE),
        "live": live_lines(book, isolation, 12),
        "lost": names(book, essentials_lost(book, isolation), 9),
        "foot": f"{_drilled(book)} Tried by ____________ on ____________ in ______ seconds.",
    }


def _system_card(book: Book, system: str, isolation: Isolation) -> dict:
    nodes = book.network.nodes
    return {
        **_card(book, isolation, f"ISOLATE ONLY: {system}", WORK),
        "live": live_lines(book, isolation, 12, lambda node, space: nodes[node].system == system),
        "lost": names(book, gone(book, isolation), 9),
        "foot": "Checked by ____________ on ____________.",
    }


def _card(book: Book, isolation: Isolation, head: str, first: str) -> dict:
    """What every card has."""
    vessel = book.inventory.vessel
    date = vessel.date.isoformat() if vessel.date else "date not written down"
    return {
        "head": head,
        "aside": f"{vessel.name} · revision {vessel.revision} · {date} · destroy older",
        "first": first,
        "actions": actions(book, isolation),
        "working": names(book, isolation.working, 9),
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


