"""The load balance: what each consumer takes in each operating condition, in amperes on average, Ah and Wh."""

from __future__ import annotations

from collections.abc import Iterator

from ...network import Consumer
from ...quantities import digits
from ...study.defaults import Ledger
from ...study.loads import duty_of, load_amps
from ...study.sources import nominal_across
from ..book import Book
from ..energy import usable_wh
from ..paths import bank_name, banks
from ..sheet import FIGURES, Sheet
from ..text import Column, Inline, joined
from ..words import hours

SUMMARY = [
    Column("Condition"),
    Column("Lasts", "h a day", True),
    Column("Takes on average", "W", True),
    Column("In that time", "kWh", True),
    Column("Sources on beside the batteries"),
    Column("Batteries alone last", "", True),
]


def pages(book: Book) -> Iterator[Sheet]:
    conditions = list(book.network.conditions)
    ledger = Ledger()
    average = {
        c.id: [duty_of(book.network, c, name, ledger) * _watts(book, c) for name in conditions]
        for c in book.network.consumers.values()
    }
    totals = [sum(row[i] for row in average.values()) for i in range(len(conditions))]
    columns = [
        Column("Consumer"),
        Column("At work", "A", True),
        *(Column(name, "Wh" if _lasts(book, name) else "W", True) for name in conditions),
    ]
    rows = []
    for consumer in book.network.consumers.values():
        amps = load_amps(book.network, book.network.edges[consumer.edge])
        cells = [_figure(watts, _lasts(book, name)) for watts, name in zip(average[consumer.id], conditions)]
        rows.append([book.named(consumer.id), digits(amps, 2) if amps else "–", *cells])
    rows.append(["Together", "", *(_figure(watts, _lasts(book, name)) for watts, name in zip(totals, conditions))])
    yield Sheet(
        "figures/balance.md",
        "Load balance",
        "balance",
        {
            "summary": (SUMMARY, [_summary(book, name, watts) for name, watts in zip(conditions, totals)]),
            "rows": (columns, rows),
            "problems": [
                (f"{name}: ", book.named(item) if item else "", ": " if item else "", what)
                for name, flow in book.study.flows.items()
                for item, what in flow.problems
            ],
            "banks": ", ".join(bank_name(members) for members in banks(book.network).values() if _serves(members)),
            "defaults": [
                (
                    f"{a.what}: {a.value} ({a.source}); ",
                    joined([book.link(id) for id in a.items[:8]]),
                    f" and {len(a.items) - 8} more" if len(a.items) > 8 else "",
                )
                for a in ledger.assumptions({})
            ],
        },
        FIGURES,
        ("load balance", "energy", "Ah"),
    )


def _watts(book: Book, consumer: Consumer) -> float:
    edge = book.network.edges[consumer.edge]
    return load_amps(book.network, edge) * nominal_across(book.network, edge)


def _lasts(book: Book, condition: str) -> float | None:
    record = book.inventory.conditions.get(condition)
    return record.hours.value / 3600 if record and record.hours else None


def _figure(watts: float, time: float | None) -> str:
    value = watts * time if time else watts
    return digits(value, 2) if value >= 0.05 else "–"


def _serves(members: list) -> bool:
    return any(battery.duty != "start" for battery in members)


def _summary(book: Book, condition: str, watts: float) -> list[Inline]:
    time = _lasts(book, condition)
    record = book.inventory.conditions.get(condition)
    sources = [book.link(id) for id in (record.sources or ()) if id in book.links] if record else []
    energy = sum(usable_wh(members)[0] for members in banks(book.network).values() if _serves(members))
    return [
        condition,
        f"{time:g}" if time else "–",
        f"{watts:.0f}",
        f"{watts * time / 1000:.2f}" if time else "–",
        joined(sources) if sources else "none",
        hours(energy / watts) if watts > 0.5 and energy else "–",
    ]
