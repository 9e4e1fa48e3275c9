"""What must stay on in an emergency, what feeds it, and how long each battery lasts with it."""

from __future__ import annotations

from collections.abc import Iterator

from ...inventory.sources import Battery
from ...study.loads import load_amps
from ...study.sources import nominal_across
from ..book import Book
from ..energy import usable_wh
from ..paths import bank_name, banks
from ..sheet import EMERGENCY, Sheet
from ..text import Badge, Column, Inline, Marked, joined
from ..words import hours

NEEDED = [Column("What"), Column("Where"), Column("At work", "W", True), Column("After the isolation card"), Column("Fed by")]
LASTS = [Column("Battery or bank"), Column("Usable energy", "kWh", True), Column("Everything on this page, all the time", "", True)]


def pages(book: Book) -> Iterator[Sheet]:
    needed = [c for c in book.network.consumers.values() if c.record.essential or _stays_on(book, c.circuit)]
    watts = {c.id: _watts(book, c.edge) for c in needed}
    total = sum(watts.values())
    yield Sheet("emergency/stays-on.md", "What must stay on", "stays_on", {
        "needed": (NEEDED, [_row(book, c, watts[c.id]) for c in needed]),
        "total": f"{total:.0f}",
        "lasts": (LASTS, [_lasts(members, total) for members in banks(book.network).values()] if total > 0 else []),
    }, EMERGENCY)  # fmt: skip


def _stays_on(book: Book, circuit: str) -> bool:
    return bool(getattr(book.items.get(circuit), "stays_on", False))


def _watts(book: Book, edge_id: str) -> float:
    edge = book.network.edges[edge_id]
    return load_amps(book.network, edge) * nominal_across(book.network, edge)


def _row(book: Book, consumer, watts: float) -> list[Inline]:
    works = consumer.id in book.works_after
    state = Badge("pass", "works") if works else Badge("cannot", "dead") if not consumer.record.essential else Badge("A", "DEAD")
    sources = dict.fromkeys(book.network.edges[path.source].item for path in book.study.supply.get(consumer.id, ()))
    fed = joined([book.link(id) for id in sources]) if sources else Marked("no source reaches it", "missing")
    return [book.named(consumer.id), book.where(consumer.record.at), f"{watts:.0f}" if watts >= 1 else f"{watts:.1f}", state, fed]


def _lasts(members: list[Battery], watts: float) -> list[Inline]:
    energy, stated = usable_wh(members)
    text = f"{energy / 1000:.1f}"
    return [bank_name(members), text if stated else Marked(f"{text} (default part)", "default"), hours(energy / watts)]
