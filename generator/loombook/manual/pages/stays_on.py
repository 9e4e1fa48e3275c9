"""What must stay on in an emergency, whether it does after the fast card, what carries it, and for how many hours."""

from __future__ import annotations

from collections.abc import Iterator

from ...study.cards import Pool, Works
from ...study.cards.words import lasting
from ..book import Book
from ..sheet import EMERGENCY, Sheet
from ..text import Badge, Column, Inline, Marked

NEEDED = [
    Column("What"),
    Column("Where"),
    Column("After the FAST card"),
    Column("Carried by"),
    Column("For, from full"),
]
POOLS = [
    Column("Batteries"),
    Column("Usable", "kWh", True),
    Column("Draws on average", "A", True),
    Column("From full"),
    Column("From half charge"),
    Column("Three hours"),
]
ENOUGH = 3.0
"""Hours that vital systems last on a passenger vessel's emergency supply: 46 CFR 183.310, a benchmark only [h]."""


def pages(book: Book) -> Iterator[Sheet]:
    card = book.cards.fast
    yield Sheet(
        "emergency/stays-on.md",
        "What must stay on",
        "stays_on",
        {
            "needed": (NEEDED, [_row(book, w) for w in card.works]),
            "pools": (POOLS, [_pool(book, p) for p in card.pools]),
            "assumed": [(a.what, ": ", Marked(a.value, "default"), f" ({a.source})") for a in book.cards.assumptions],
            "condition": next((name for name, c in book.inventory.conditions.items() if c.emergency), ""),
        },
        EMERGENCY,
        ("essential", "hours left", "how long"),
    )


def _row(book: Book, works: Works) -> list[Inline]:
    state = Badge("pass", "works") if works.works else Badge("A", "NO")
    hours = lasting(works.hours) if works.hours is not None else "–"
    return [book.named(works.id), works.where, state, works.pool or "–", hours]


def _pool(book: Book, pool: Pool) -> list[Inline]:
    energy = f"{pool.energy / 1000:.1f}"
    full = lasting(pool.hours) if pool.hours is not None else "–"
    half = "nothing to spare" if not pool.hours_half else lasting(pool.hours_half)
    enough = Badge("pass", "yes") if (pool.hours or ENOUGH) >= ENOUGH else Badge("B", "NO")
    return [
        pool.name,
        energy if pool.stated else Marked(f"{energy} (default part)", "default"),
        f"{pool.amps:.1f}",
        full,
        half,
        enough,
    ]
