"""Mains: shore inlet, inverter, change-over, residual-current devices and where neutral and earth are joined."""

from __future__ import annotations

from collections.abc import Iterator

from ..acwork import CARRYING, carrying_rows
from ..book import Book
from ..evidence import found_on
from ..sheet import SOURCES, Sheet
from ..text import Column, Inline, Marked
from ..words import kind_words, quantity, rated, yes_no

RESIDUAL = [
    Column("Device"),
    Column("Kind"),
    Column("Rating"),
    Column("Trips at"),
    Column("Where"),
    Column("Last test"),
]
BONDS = {
    "fixed": "joined inside, always",
    "switched": "joined inside only while it supplies",
    "none": "not joined inside",
}


def pages(book: Book) -> Iterator[Sheet]:
    inventory = book.inventory
    panels = [panel for panel in inventory.panels.values() if panel.ac]
    if not (inventory.shore_inlets or inventory.inverters or inventory.generators or panels):
        return
    switches = [
        s
        for s in inventory.switches.values()
        if any(book.network.nodes[e.a].pole in ("L", "N") for e in book.network.of_item.get(s.id, ()))
    ]
    ids = (
        *inventory.shore_inlets,
        *inventory.inverters,
        *inventory.generators,
        *(p.id for p in panels),
        *(s.id for s in switches),
    )
    yield Sheet(
        "sources/mains.md",
        "Shore power, inverter and mains",
        "mains",
        {
            "inlets": [(book.named(inlet.id), _inlet(book, inlet)) for inlet in inventory.shore_inlets.values()],
            "inverters": [
                (book.named(inverter.id), _inverter(book, inverter)) for inverter in inventory.inverters.values()
            ],
            "generators": [(book.named(g.id), _generator(book, g)) for g in inventory.generators.values()],
            "carrying": (CARRYING, carrying_rows(book)),
            "switches": [
                (book.named(s.id), f": {s.kind}, usually {s.normal.upper()}; ", book.where(s.at)) for s in switches
            ],
            "panels": [(book.named(panel.id), ": ", book.where(panel.at)) for panel in panels],
            "residual": (RESIDUAL, _residual(book)),
            "found": found_on(book, *ids),
        },
        SOURCES,
        ("shore power", "mains", "230 V", "inverter", "RCD"),
    )


def _inlet(book: Book, inlet) -> list[tuple[str, Inline]]:
    return [
        ("Voltage", quantity(inlet.voltage)),
        ("Current", quantity(inlet.current)),
        ("Where", book.where(inlet.at)),
        ("Lead", (quantity(inlet.lead_length), ", ", quantity(inlet.lead_area, "area not known"))),
        ("Galvanic isolator", yes_no(inlet.galvanic_isolator)),
        ("Isolating transformer", yes_no(inlet.isolating_transformer)),
        ("Polarity lamp", yes_no(inlet.polarity_lamp)),
        ("Fault current that the shore declares", quantity(inlet.fault_current)),
        ("The shore's earth", _earthing(inlet)),
    ]


def _earthing(inlet) -> Inline:
    system = {"TN": "comes with its neutral (TN)", "TT": "an electrode of its own (TT)"}.get(inlet.earthing)
    words: Inline = system or Marked("not known; it differs from marina to marina", "missing")
    return (words, ", ", quantity(inlet.earth_resistance)) if inlet.earth_resistance else words


def _generator(book: Book, generator) -> list[tuple[str, Inline]]:
    stop = generator.stop
    return [
        ("Power", quantity(generator.power)),
        ("Voltage", quantity(generator.voltage)),
        ("Neutral and earth", BONDS[generator.bond] if generator.bond else Marked("not known", "missing")),
        ("Fault current that lasts", quantity(generator.sustained, "not known: see its own papers")),
        ("How it is stopped", stop.action if stop else Marked("not known", "missing")),
        ("Where", book.where(generator.at)),
    ]


def _inverter(book: Book, inverter) -> list[tuple[str, Inline]]:
    return [
        ("Power", quantity(inverter.power)),
        ("For a short time", quantity(inverter.peak)),
        ("Output", quantity(inverter.output)),
        ("Neutral and earth", BONDS[inverter.bond] if inverter.bond else Marked("not known", "missing")),
        ("Idle", quantity(inverter.idle)),
        ("Where", book.where(inverter.at)),
        ("Stored energy: wait", quantity(inverter.stored_energy_wait, "not known: see its own papers")),
    ]


def _residual(book: Book) -> list[list[Inline]]:
    """Every device that opens on a residual current, with its last test."""
    rows = []
    for device in book.devices.values():
        residual = getattr(device.record, "residual", None)
        if residual is None and not device.kind.startswith("rc"):
            continue
        tests = book.tests_of.get(device.id, ())
        last = (
            (f"{tests[0].date.isoformat()}: ", tests[0].value or "no value")
            if tests
            else Marked("none written down", "missing")
        )
        rows.append(
            [
                book.named(device.id),
                kind_words(device.kind),
                rated(device.rating),
                quantity(residual),
                book.where_device(device),
                last,
            ]
        )
    return rows
