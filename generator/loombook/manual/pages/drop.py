"""Voltage drop, circuit by circuit: by the rule's formula, beside it the volts at work in the worst condition."""

from __future__ import annotations

from collections.abc import Iterator

from ...network import Consumer
from ...quantities import digits
from ..book import Book
from ..figures import cannot, figure
from ..sheet import FIGURES, Sheet
from ..text import Badge, Column, Inline, Lines, Link, Marked, joined
from ..words import span

FORMULA = [
    Column("Consumer"),
    Column("Current", "A", True),
    Column("Drop", "V", True),
    Column("Drop", "%", True),
    Column("Limit", "%", True),
    Column("Verdict"),
    Column("Least at work", "V", True),
    Column("In"),
]
CONDITIONS = [
    Column("Condition"),
    Column("Lowest at work"),
    Column("There", "V", True),
    Column("Cannot be supplied"),
]


def pages(book: Book) -> Iterator[Sheet]:
    consumers = list(book.network.consumers.values())
    yield Sheet(
        "figures/drop.md",
        "Voltage drop",
        "drop",
        {
            "formula": (FORMULA, [_row(book, consumer) for consumer in consumers]),
            "conditions": (CONDITIONS, [_condition(book, name) for name in book.study.flows]),
            "starts": bool(book.study.dips),
            "shares": bool(book.study.sharings),
        },
        FIGURES,
        ("voltage drop", "load flow"),
    )


def _row(book: Book, consumer: Consumer) -> list[Inline]:
    return [book.named(consumer.id), *_by_rule(book, consumer), *_at_work(book, consumer)]


def _by_rule(book: Book, consumer: Consumer) -> list[Inline]:
    drop = book.study.drops.get(consumer.id)
    if drop is None:
        return ["–", "–", "–", "–", cannot()]
    limit = digits(drop.limit * 100, 2)
    current = digits(drop.current, 3) if drop.current else "–"
    if drop.fraction is None or drop.volts is None:
        cables = ", ".join(dict.fromkeys(id.split(" ")[0] for id in drop.missing))
        reason = f"{cables}: length or area not known" if cables else "current or supply not known"
        return [current, "–", "–", limit, cannot(reason)]
    over = (
        Badge("pass", "within")
        if drop.fraction.high <= drop.limit
        else Badge("B", "over")
        if drop.fraction.low > drop.limit
        else Badge("B", "may be over")
    )
    why = f"item:{consumer.id}#why-drop" if drop.why else ""
    return [current, figure(span(drop.volts, 1, 2), why), figure(span(drop.fraction, 100, 2), why), limit, over]


def _at_work(book: Book, consumer: Consumer) -> list[Inline]:
    """The least volts at work and where, and the conditions in which it cannot be supplied."""
    found = book.study.working[consumer.id]
    failed = [
        (Badge("A", "cannot be supplied"), " ", Link(f"page:{book.flow_pages[w.condition]}#failed", w.condition))
        for w in found.failed
    ]
    worst = found.worst
    if worst is None or worst.volts is None:
        return ["–", Lines(tuple(failed)) if failed else Marked("supplied in no condition", "missing")]
    words = f"at most {worst.volts:.2f}" if worst.at_most else f"{worst.volts:.2f}"
    where = Link(f"page:{book.flow_pages[worst.condition]}", worst.condition)
    return [figure(words, f"item:{consumer.id}#why-volts"), Lines((where, *failed)) if failed else where]


def _condition(book: Book, name: str) -> list[Inline]:
    """One operating condition: who has it worst, and what cannot be supplied."""
    rows = [
        (w.volts / found.nominal, found.consumer, w.volts)
        for found in book.study.working.values()
        for w in found.conditions
        if w.condition == name and w.volts is not None and found.nominal
    ]
    problems = book.study.flows[name].problems
    page = Link(f"page:{book.flow_pages[name]}", name)
    failed = joined([book.link(item) if item else "no load flow was found" for item, _ in problems]) or "nothing"
    if not rows:
        return [page, "nothing is supplied", "–", failed]
    _, consumer, volts = min(rows)
    return [page, book.named(consumer), figure(f"{volts:.2f}", f"item:{consumer}#why-volts"), failed]
