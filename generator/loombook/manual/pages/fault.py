"""Prospective fault currents: at every bar, panel, source and device, and at the far end of every circuit."""

from __future__ import annotations

from collections.abc import Iterator

from ...study.model import Fault
from ..book import Book
from ..faulting import PLACES, lasting, ruled_by
from ..figures import bound, cannot, figure, kiloamps, of_source
from ..reasons import fault_why, leading
from ..sheet import FIGURES, Sheet
from ..text import EMPTY, Column, Inline, Lines, Link, joined
from ..words import span

AT = [
    Column("Where"),
    Column("Voltage", "V", True),
    Column("Highest", "kA", True),
    Column("Lowest", "kA", True),
    Column("Who gives it, and what rules it"),
    Column("Course"),
]
ENDS = [Column("End of the wire at"), Column("Highest", "A", True), Column("Lowest", "A", True)]
FAMILIES = (
    "batteries",
    "alternators",
    "solar arrays",
    "solar controllers",
    "shore inlets",
    "generators",
    "chargers",
    "converters",
    "inverters",
    "bars",
    "panels",
    "fuses",
    "breakers",
    "switches",
    "junctions",
)


def pages(book: Book) -> Iterator[Sheet]:
    items = [item.id for item in book.inventory.items() if item.family in FAMILIES]
    yield Sheet(
        "figures/fault.md",
        "Prospective fault current",
        "fault",
        {
            "at": (AT, [_row(book, id) for id in items if id in book.network.of_item or id in book.network.nodes]),
            "ends": (ENDS, [_end(book, consumer) for consumer in book.network.consumers.values()]),
        },
        FIGURES,
        ("short circuit", "fault current", "breaking capacity"),
    )


def _row(book: Book, id: str) -> list[Inline]:
    fault = book.fault(id)
    if fault is None or fault.highest is None:
        return [book.named(id), "–", kiloamps(fault), kiloamps(fault, True), "–", "–"]
    why = fault_why(book, id)
    row = [
        book.named(id),
        f"{fault.volts:.1f}",
        bound(fault, kiloamps(fault)),
        kiloamps(fault, True),
        Lines((_givers(book, fault, why), ("ruled by ", ruled_by(book, id)))),
        _course(book, id),
    ]
    return leading(AT, row, why)


def _course(book: Book, id: str) -> Inline:
    """Where an item's fault is told over time."""
    item, node = book.inventory.item(id), book.fault_node(id)
    direct = item.family in PLACES and node is not None and book.network.nodes[node].pole == "+"
    return Link(f"item:{id}#course-{id}", "over time") if direct or lasting(book, id) else EMPTY


def shares(book: Book, fault: Fault) -> Inline:
    """The sources that give most of the highest current."""
    total = sum(amps for _, amps in fault.shares) or 1.0
    parts = [(book.link(book.network.edges[id].item), f" {amps / total * 100:.0f} %") for id, amps in fault.shares[:3]]
    return joined(parts) if parts else "–"


def _givers(book: Book, fault: Fault, why: str) -> Inline:
    """The sources that give most, by their ids."""
    total = sum(amps for _, amps in fault.shares) or 1.0
    parts = [(book.network.edges[id].item, f"{amps / total * 100:.0f} %") for id, amps in fault.shares[:3]]
    return joined([(book.id(item), " ", figure(part, why)) for item, part in parts])


def _end(book: Book, consumer) -> list[Inline]:
    fault = book.study.faults.get(consumer.plus)
    if fault is None or fault.highest is None:
        return [book.named(consumer.id), kiloamps(fault), kiloamps(fault)]
    lowest = of_source(span(fault.lowest, 1, 2), fault.lowest_assumed) if fault.lowest else cannot()
    row = [book.named(consumer.id), bound(fault, of_source(span(fault.highest, 1, 2), fault.assumed)), lowest]
    return leading(ENDS, row, f"item:{consumer.id}#why-fault" if fault.why else "")
