"""Voltage drop, circuit by circuit: by the rule's formula, beside it the volts of the load flow in each condition."""

from __future__ import annotations

from collections.abc import Iterator

from ...network import Consumer
from ...quantities import digits
from ..book import Book
from ..figures import cannot
from ..sheet import FIGURES, Sheet
from ..text import Badge, Column, Inline, Link
from ..words import span

FORMULA = [
    Column("Consumer"),
    Column("Current", "A", True),
    Column("Drop", "V", True),
    Column("Drop", "%", True),
    Column("Limit", "%", True),
    Column("Verdict"),
    Column("Why"),
]


def pages(book: Book) -> Iterator[Sheet]:
    consumers = list(book.network.consumers.values())
    flows = book.flows
    columns = [Column("Consumer"), *(Column(flow.condition, "V", True) for flow in flows)]
    rows = [[book.named(c.id), *(_volts(book, c, flow) for flow in flows)] for c in consumers]
    lost = [name for name, flow in book.study.flows.items() if flow not in flows]
    yield Sheet(
        "figures/drop.md",
        "Voltage drop",
        "drop",
        {
            "formula": (FORMULA, [_row(book, consumer) for consumer in consumers]),
            "flow": (columns, rows) if flows else None,
            "without": lost,
        },
        FIGURES,
        ("voltage drop",),
    )


def _row(book: Book, consumer: Consumer) -> list[Inline]:
    drop = book.study.drops.get(consumer.id)
    if drop is None:
        return [book.named(consumer.id), "–", cannot(), cannot(), "–", "–", "–"]
    limit = digits(drop.limit * 100, 2)
    current = digits(drop.current, 3) if drop.current else "–"
    if drop.fraction is None:
        cables = ", ".join(dict.fromkeys(id.split(" ")[0] for id in drop.missing))
        reason = cannot(f"{cables}: length or area not known" if cables else "current or supply not known")
        return [book.named(consumer.id), current, reason, "–", limit, Badge("cannot", "cannot check"), "–"]
    over = (
        Badge("pass", "within")
        if drop.fraction.high <= drop.limit
        else Badge("B", "over")
        if drop.fraction.low > drop.limit
        else Badge("B", "may be over")
    )
    why = Link(f"item:{consumer.id}#why-drop", "why") if drop.why else "–"
    return [book.named(consumer.id), current, span(drop.volts, 1, 2), span(drop.fraction, 100, 2), limit, over, why]


def _volts(book: Book, consumer: Consumer, flow) -> Inline:
    if consumer.id in book.starved[flow.condition]:
        return "not supplied"
    volts = flow.across(consumer.plus, consumer.minus)
    if volts is None or abs(volts) < 0.05:
        return "–"
    return f"at most {volts:.2f}" if flow.behind.get(consumer.plus) else f"{volts:.2f}"
