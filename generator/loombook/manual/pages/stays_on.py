"""What must stay on in an emergency, whether it does after the fast card, what carries it, and for how many hours."""

from __future__ import annotations

from collections.abc import Iterator

from ...study import energy_whys as whys
from ...study.balance import Essential
from ...study.cards import Pool, Works
from ...study.cards.words import lasting
from ..book import Book
from ..lasting import about, banks_by_name, guesses, span_words
from ..reasons import leading
from ..sheet import EMERGENCY, Sheet
from ..text import EMPTY, Badge, Column, Inline, Marked, joined
from ..words import few

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
ALONE = [
    Column("Source"),
    Column("Carries", "of them", True),
    Column("It does not reach"),
    Column("Gives on average", "A", True),
    Column("From full"),
    Column("From half charge"),
    Column("Three hours"),
]
UNTIL = {
    "alternator": "as long as its engine runs: the fuel is not in this manual",
    "generator": "as long as its engine runs: the fuel is not in this manual",
    "solar array": "in daylight, as far as the sun brings it",
    "shore": "as long as the vessel is plugged in",
}
"""What goes on giving without a battery's charge, and until when."""
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
            "alone": (ALONE, [row for found in book.study.essentials for row in _alone(book, found)]),
            "others": _others(book),
            "whys": list(_whys(book)),
            "assumed": [(a.what, ": ", Marked(a.value, "default"), f" ({a.source})") for a in book.cards.assumptions],
            "condition": next((name for name, c in book.inventory.conditions.items() if c.emergency), ""),
        },
        EMERGENCY,
        ("essential", "hours left", "how long"),
    )


def _row(book: Book, works: Works) -> list[Inline]:
    state = Badge("pass", "works") if works.works else Badge("A", "NO")
    hours = lasting(works.hours) if works.hours is not None else "–"
    why = _pool_why(book, works.pool)
    return leading(
        NEEDED, [book.named(works.id), works.where, state, works.pool or EMPTY, hours], why, "For, from full"
    )


def _pool_why(book: Book, name: str) -> str:
    """Batteries side by side are known by the first of them."""
    found = next((pool for pool in book.cards.fast.pools if pool.name == name), None)
    return f"page:emergency/stays-on.md#why-pool-{found.batteries[0]}" if found and found.batteries else ""


def _pool(book: Book, pool: Pool) -> list[Inline]:
    energy = f"{pool.energy / 1000:.1f}"
    full = lasting(pool.hours) if pool.hours is not None else "–"
    half = "nothing to spare" if not pool.hours_half else lasting(pool.hours_half)
    enough = Badge("pass", "yes") if (pool.hours or ENOUGH) >= ENOUGH else Badge("B", "NO")
    row = [
        pool.name,
        energy if pool.stated else Marked(f"{energy} (default part)", "default"),
        f"{pool.amps:.1f}",
        full,
        half,
        enough,
    ]
    return leading(
        POOLS, row, _pool_why(book, pool.name), "Usable", "Draws on average", "From full", "From half charge"
    )


def _alone(book: Book, found: Essential) -> Iterator[list[Inline]]:
    """A bank that alone carries what is essential, the switches put for it; one that reaches nothing has no hours."""
    bank = banks_by_name(book)[found.bank].bank
    name = book.link(bank.ids[0], bank.name)
    missing = joined(few([book.link(id) for id in found.unreached])) if found.unreached else "–"
    count = f"{len(found.carried)} of {len(found.carried) + len(found.unreached)}"
    if found.hours is None:
        yield [name, count, missing, "–", "–", "–", "–"]
        return
    rests = ", ".join(part for part in (guesses(bank), "" if found.said else "times by default") if part)
    enough = Badge("pass", "yes") if bank.lasts(found.amps).low >= found.benchmark else Badge("B", "NO")
    full = bank.lasts(found.amps)
    row = [
        name,
        count,
        missing,
        f"{found.amps:.2g}" if found.amps < 1 else f"{found.amps:.1f}",
        Marked(f"{about(full)} ({rests})", "default") if rests else span_words(full),
        span_words(bank.lasts(found.amps, 0.5)) if bank.floor < 0.5 - 1e-9 else "nothing to spare",
        enough,
    ]
    why = f"page:emergency/stays-on.md#why-{bank.ids[0]}"
    yield leading(ALONE, row, why, "Gives on average", "From full", "From half charge")


def _others(book: Book) -> list[Inline]:
    """Sources beside the batteries, and until when each of them gives."""
    return [(book.named(e.item), ": ", UNTIL[e.kind]) for e in book.network.sources() if e.kind in UNTIL]


def _whys(book: Book) -> Iterator[tuple]:
    for pool in book.cards.fast.pools:
        if pool.batteries:
            carried = [works.name for works in book.cards.fast.works if works.pool == pool.name]
            yield (
                f"Why {pool.name} lasts so long after the FAST card",
                whys.of_pool(book.network, pool, carried),
                f"why-pool-{pool.batteries[0]}",
            )
    for found in book.study.essentials:
        if found.hours is not None:
            bank = banks_by_name(book)[found.bank].bank
            yield (
                f"Why {bank.name} alone lasts so long",
                whys.of_essentials(book.network, bank, found),
                f"why-{bank.ids[0]}",
            )
