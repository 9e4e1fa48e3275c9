"""A page for a circuit that feeds several devices: which they are, and the device that protects them all."""

from __future__ import annotations

from collections.abc import Iterator

from ...inventory.loads import Circuit
from ..answer import device_words
from ..book import Book
from ..cables import WIRES, cable_row, why_warm
from ..evidence import evidence, found_on
from ..routes import route
from ..sheet import Sheet
from ..text import Column, Id, Inline, Marked, without_empty
from ..words import quantity

LOADS = [Column("Device"), Column("Load", "", True), Column("Where"), Column("Its cable")]


def pages(book: Book) -> Iterator[Sheet]:
    for circuit in book.inventory.circuits.values():
        if circuit.loads:
            yield _page(book, circuit)


def _page(book: Book, circuit: Circuit) -> Sheet:
    consumers = [book.network.consumers[id] for id in book.consumers_of[circuit.id]]
    own = route(book, consumers[0]).own
    cables = [
        e
        for e in book.network.of_item.get(circuit.id, ())
        if e.kind == "conductor" and e.id.split(" ")[0] == circuit.id
    ]
    carrying = book.study.carrying.get(cables[0].id) if cables else None
    rows: list[tuple[str, Inline]] = [("Fuse", Marked("none of its own", "missing"))] if not own else []
    for device in own[-1:]:
        rows += [
            (device.word, device_words(book, device)),
            ("Where", book.where_device(device)),
            ("Spare", book.spare_words(device)),
        ]
    values = {
        "answer": rows,
        "also_called": circuit.also_called,
        "loads": (
            LOADS,
            [[book.named(c.id), quantity(c.record.load), book.where(c.record.at), _cable(c.record)] for c in consumers],
        ),
        "network": circuit.network,
        "layout": circuit.layout,
        "wires": without_empty(WIRES, [cable_row(book, edge) for edge in cables]),
        "whys": [
            (summary, why, anchor)
            for summary, why, anchor in (
                ("Why its wire carries this", carrying and carrying.why, "why-carrying"),
                ("Why they get this warm", why_warm(book, cables), "why-warm"),
            )
            if why
        ],
        "found": found_on(book, circuit.id),
        "evidence": evidence(book, circuit.id, circuit),
    }
    tags = tuple(dict.fromkeys((circuit.id, circuit.title, *circuit.also_called)))
    return Sheet(
        f"circuits/{circuit.id}.md", circuit.title, "circuit", values, None, tags, (circuit.title, " ", Id(circuit.id))
    )


def _cable(tap) -> Inline:
    if tap.cable is None:
        return "plugged in directly"
    return (quantity(tap.cable.area, "area not known"), ", ", quantity(tap.cable.length, "length not known"))
