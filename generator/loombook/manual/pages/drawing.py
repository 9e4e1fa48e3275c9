"""The single-line drawings of the ship and of each voltage system, each with the table of the same facts."""

from __future__ import annotations

from collections.abc import Iterator

from ..book import Book
from ..figures import fault_words, figure
from ..items import kind_of, rating_of
from ..paths import slug
from ..reasons import fault_why
from ..sheet import ORIENTATION, Sheet
from ..text import Column, Inline
from .overview import systems_of

FACTS = [Column("Item"), Column("Kind"), Column("Rating"), Column("Highest fault current"), Column("Where")]
SHOWN = (
    "batteries",
    "alternators",
    "solar arrays",
    "solar controllers",
    "shore inlets",
    "generators",
    "chargers",
    "inverters",
    "converters",
    "bars",
    "panels",
    "fuses",
    "breakers",
    "switches",
    "shunts",
    "junctions",
    "motors",
)


def pages(book: Book) -> Iterator[Sheet]:
    shown = [item for item in book.inventory.items() if item.family in SHOWN]
    yield Sheet(
        "drawings/ship.md",
        "Drawing: the whole ship",
        "drawing",
        {
            "figures": book.figures("ship"),
            "caption": "Single-line diagram of the whole ship. Each symbol leads to its page.",
            "facts": (FACTS, [_row(book, item) for item in shown]),
            "consumers": [],
        },
        ORIENTATION,
    )
    for system in systems_of(book):
        yield _system(book, system, shown)
    if book.figures("negative"):
        yield _negative(book, shown)
    for bar in book.inventory.bars:
        if book.figures(f"bar-{bar}"):
            yield _bar(book, bar)


def _negative(book: Book, shown: list) -> Sheet:
    owners = {n.item for n in book.network.nodes.values() if n.pole == "-"}
    return Sheet(
        "drawings/negative.md",
        "Drawing: the negative side",
        "drawing",
        {
            "figures": book.figures("negative"),
            "caption": "How every negative gets back to its battery: bars, shunts, battery management, bonds.",
            "facts": (FACTS, [_row(book, item) for item in shown if item.id in owners]),
            "consumers": [],
        },
        ORIENTATION,
        ("negative", "ground", "return", "shunt"),
    )


def _bar(book: Book, bar: str) -> Sheet:
    """The final circuits that a bar feeds itself, with no panel between."""
    fed = [
        c
        for c in book.network.consumers.values()
        if book.inventory.circuits.get(c.circuit) and book.inventory.circuits[c.circuit].source == bar
    ]
    return Sheet(
        f"drawings/{slug(bar)}.md",
        f"Drawing: circuits of {book.network.title(bar)}",
        "drawing",
        {
            "figures": book.figures(f"bar-{bar}"),
            "caption": f"The circuits that {book.network.title(bar)} feeds itself, each with its own fuse.",
            "facts": (FACTS, [_row(book, book.items[bar])]),
            "consumers": [book.named(c.id) for c in fed],
        },
        ORIENTATION,
    )


def _system(book: Book, system: str, shown: list) -> Sheet:
    nodes = {n.id for n in book.network.nodes.values() if n.system == system}
    owners = {id.split(" ")[0] for id in nodes}
    name = f"system-{slug(system)}"
    return Sheet(
        f"drawings/{slug(system)}.md",
        f"Drawing: {system}",
        "drawing",
        {
            "figures": book.figures(name),
            "caption": f"Single-line diagram of the {system} system. Each symbol leads to its page.",
            "facts": (FACTS, [_row(book, item) for item in shown if item.id in owners]),
            "consumers": [book.named(c.id) for c in book.network.consumers.values() if c.plus in nodes],
        },
        ORIENTATION,
    )


def _row(book: Book, item) -> list[Inline]:
    return [
        book.named(item.id),
        kind_of(item),
        rating_of(item),
        figure(fault_words(book.fault(item.id)), fault_why(book, item.id)),
        book.where(item.at),
    ]
