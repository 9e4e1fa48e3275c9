"""What is where: the plan, and a page for each space with its items and how to isolate it."""

from __future__ import annotations

from collections.abc import Iterator

from ...inventory.vessel import Space
from ..book import Book
from ..cards import values
from ..evidence import evidence, found_on
from ..items import kind_of
from ..sheet import ORIENTATION, Sheet
from ..text import Column, Inline
from ..words import quantity

PLACES = [Column("Space"), Column("Items and devices", "", True), Column("What is said of it")]
HERE = [Column("What"), Column("Kind"), Column("Where exactly")]
SAID = (
    ("engine", "engine space, hot"),
    ("petrol", "petrol"),
    ("gas", "gas"),
    ("sleeping", "people sleep here"),
    ("outside", "in the open"),
    ("bilge", "bilge"),
)


def pages(book: Book) -> Iterator[Sheet]:
    spaces = book.inventory.spaces.values()
    yield Sheet("orientation/places.md", "What is where", "places", {
        "figures": book.figures("plan"),
        "places": (PLACES, [[book.named(s.id), str(len(book.at_space.get(s.id, ()))), _said(s)] for s in spaces]),
        "nowhere": [book.named(id) for id in _nowhere(book)],
    }, ORIENTATION)  # fmt: skip
    for space in spaces:
        yield _page(book, space)


def _said(space: Space) -> str:
    return ", ".join(words for field, words in SAID if getattr(space, field)) or "–"


def _nowhere(book: Book) -> list[str]:
    """Items and consumers whose place nobody has written down."""
    items = [
        i.id
        for i in book.inventory.items()
        if i.family != "spaces" and i.id not in book.consumers_of and not (i.at and (i.at.space or i.at.place))
    ]
    return items + [
        c.id for c in book.network.consumers.values() if not (c.record.at and (c.record.at.space or c.record.at.place))
    ]


def _page(book: Book, space: Space) -> Sheet:
    here = book.at_space.get(space.id, ())
    card = book.cards.of_space.get(space.id)
    cables = sorted({e.item for e in book.network.edges.values() if e.cable and space.id in e.cable.spaces})
    return Sheet(f"spaces/{space.id}.md", space.title, "space", {
        "facts": _facts(space),
        "here": (HERE, [_row(book, id) for id in here]),
        "cables": [book.named(id) for id in cables],
        "isolation": values(book, card) if card else None,
        "found": found_on(book, space.id),
        "evidence": evidence(book, space.id, space),
    }, None, (space.title, space.id, *space.also_called))  # fmt: skip


def _facts(space: Space) -> list[tuple[str, Inline]]:
    return [
        ("Kind", _said(space)),
        *([("Compartment", space.compartment)] if space.compartment else []),
        ("Temperature", quantity(space.temperature)),
        ("Lowest point above the hull's lowest", quantity(space.floor)),
        ("Vented to", space.vented_to or "not written down"),
    ]


def _row(book: Book, id: str) -> list[Inline]:
    consumer = book.network.consumers.get(id)
    if consumer:
        place = consumer.record.at.place if consumer.record.at else ""
        return [book.named(id), "consumer", place or "–"]
    item = book.items.get(id)
    return [book.named(id), kind_of(item), (item.at.place if item.at else "") or "–"]
