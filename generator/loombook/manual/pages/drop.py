"""Voltage drop, circuit by circuit: by the rule's formula, beside it the volts at work in every operating condition."""

from __future__ import annotations

from collections.abc import Iterator

from ...network import Consumer
from ...quantities import digits
from ..book import Book
from ..figures import cannot, figure
from ..sheet import FIGURES, Sheet
from ..text import EMPTY, Badge, Column, Inline, Lines, Link, Marked, Strong, joined
from ..words import condition_words, span
from . import sharing

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
OFF = "off"
"""What stands where no source that is on reaches a consumer."""
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
            "flows": _flows(book, consumers),
            "conditions": (CONDITIONS, [_condition(book, name) for name in book.study.flows]),
            "starts": bool(book.study.dips),
            "shares": sharing.has_any(book),
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


def _flows(book: Book, consumers: list[Consumer]) -> tuple[list[Column], list[list[Inline]]]:
    """What the rule's formula leaves of the nominal voltage, and the volts at work in each operating condition."""
    heads = [
        Column("Consumer"),
        Column("Rule leaves", "V", True),
        *(Column(condition_words(name), "", True) for name in book.study.flows),
    ]
    rows = [[book.named(c.id), _left(book, c), *_in_each(book, c)] for c in consumers]
    if any(flow.problems for flow in book.study.flows.values()):
        rows.append(["Cannot be supplied at", EMPTY, *(_failing(book, name) for name in book.study.flows)])
    return heads, rows


def _failing(book: Book, name: str) -> Inline:
    """Where a condition cannot be supplied, by ids; the condition's page says how."""
    items = [book.id(item) if item else "no load flow" for item, _ in book.study.flows[name].problems]
    return Link(f"page:{book.flow_pages[name]}#why-failed", joined(list(dict.fromkeys(items)))) if items else "nothing"


def _left(book: Book, consumer: Consumer) -> Inline:
    """The nominal voltage less the most that the rule's formula loses."""
    drop = book.study.drops.get(consumer.id)
    if drop is None or drop.volts is None:
        return EMPTY
    return figure(digits(drop.nominal - drop.volts.high, 4), f"item:{consumer.id}#why-drop" if drop.why else "")


def _in_each(book: Book, consumer: Consumer) -> Iterator[Inline]:
    """Its volts at work in each condition, the least of them in bold; where it cannot be supplied, that and where."""
    found = book.study.working[consumer.id]
    worst = found.worst if len(book.study.flows) > 1 else None
    for w in found.conditions:
        if w.problem:
            yield (Badge("A", "fails"), " ", Link(f"page:{book.flow_pages[w.condition]}#why-failed", book.id(w.by)))
        elif w.volts is None:
            yield OFF
        else:
            words = ("≤ " if w.at_most else "") + digits(w.volts, 4)
            least = worst is not None and worst.volts is not None and w.volts <= worst.volts + 5e-3
            yield figure(Strong(words) if least else words, f"item:{consumer.id}#why-volts")


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
