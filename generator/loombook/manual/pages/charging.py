"""Charge sources and which battery each of them reaches, with set-points side by side; solar by itself."""

from __future__ import annotations

from collections.abc import Iterator

from ...calc.solar import cold_open_circuit
from ...network import Edge
from ..book import Book
from ..charges import is_charger
from ..evidence import found_on
from ..sheet import SOURCES, Sheet
from ..text import Column, Inline, Lines, Marked
from ..words import SOURCE_KINDS, quantity, yes_no

SETTINGS = [
    Column("Source"),
    Column("Kind"),
    Column("Gives", "A", True),
    Column("Absorption", "V", True),
    Column("Float", "V", True),
    Column("Management stops it"),
    Column("Stopped by hand"),
    Column("Where"),
]
SOLAR = [
    Column("Array"),
    Column("Modules"),
    Column("Power", "W", True),
    Column("Open circuit, 25 °C", "V", True),
    Column("Open circuit, coldest", "V", True),
    Column("Short circuit", "A", True),
    Column("Controller takes", "V", True),
    Column("Margin", "V", True),
]


def pages(book: Book) -> Iterator[Sheet]:
    sources = [e for e in book.network.sources() if is_charger(e)]
    yield Sheet(
        "sources/charging.md",
        "What charges what",
        "charging",
        {
            "figures": book.figures("charging"),
            "settings": (SETTINGS, [_setting(book, edge) for edge in sources]),
            "matrix": _matrix(book, sources),
            "found": found_on(book, *(e.item for e in sources)),
        },
        SOURCES,
        ("charging", "charger", "alternator", "solar"),
    )
    if book.inventory.solar_arrays:
        arrays = [e for e in book.network.sources() if e.kind == "solar array"]
        yield Sheet(
            "sources/solar.md",
            "Solar",
            "solar",
            {
                "arrays": (SOLAR, [_array(book, edge) for edge in arrays]),
                "stops": [
                    (
                        book.named(e.item),
                        ": ",
                        e.record.stop.action if e.record.stop else "no switch and no stop is written down",
                    )
                    for e in arrays
                ],
                "found": found_on(book, *(e.item for e in arrays)),
            },
            SOURCES,
        )


def _setting(book: Book, edge: Edge) -> list[Inline]:
    record = edge.record
    stop = getattr(record, "stop", None)
    by_hand = (stop.action, (" (", book.where(stop.at), ")") if stop.at else "") if stop else "–"
    return [
        book.named(edge.item),
        SOURCE_KINDS[edge.kind],
        f"{record.current.value:g}",
        _volts(record.absorption),
        _volts(record.float),
        yes_no(record.bms_stops_it),
        by_hand,
        book.where(record.at),
    ]


def _volts(value) -> Inline:
    return f"{value.value:.1f}" if value else Marked("not known", "missing")


def _matrix(book: Book, sources: list[Edge]) -> tuple[list[Column], list[list[Inline]]]:
    """Source against battery: whether it reaches it as the switches usually stand, and the voltage for each cell."""
    batteries = [e for e in book.network.sources() if e.kind == "battery"]
    columns = [Column("Source"), *(Column(f"{book.title(b.item)} {b.item}") for b in batteries)]
    return columns, [
        [book.named(source.item), *(_cell(book, source, battery) for battery in batteries)] for source in sources
    ]


def _cell(book: Book, source: Edge, battery: Edge) -> Inline:
    if source not in book.charges.into(battery.item):
        return "–"
    absorption = source.record.absorption
    words: list[Inline] = ["charges"]
    if absorption:
        words.append(f"{absorption.value / battery.record.cells.series:.2f} V a cell")
    if battery.record.bms:
        words.append(
            "through its management"
            if book.charges.through_management(source, battery)
            else Marked("NOT through its management", "missing")
        )
    return Lines(tuple(words))


def _array(book: Book, edge: Edge) -> list[Inline]:
    array = edge.record
    volts = array.series * array.open_circuit.value
    if array.voltage_change and array.coldest:
        found = cold_open_circuit(volts, array.voltage_change.value, array.coldest.value)
        cold: Inline = f"{found:.1f} at {array.coldest}"
    else:
        cold, found = Marked("cannot check: change with temperature or coldest day not known", "missing"), None
    limit = next((e.record.highest_input for e in book.charges.controllers(edge)), None)
    margin = f"{limit.value - found:.1f}" if limit and found is not None else Marked("cannot check", "missing")
    return [
        book.named(edge.item),
        f"{array.series} in series" + (f", {array.parallel} in parallel" if array.parallel > 1 else ""),
        f"{array.series * array.parallel * array.power.value:.0f}",
        f"{volts:.1f}",
        cold,
        f"{array.parallel * array.short_circuit.value:.1f}",
        quantity(limit),
        margin,
    ]
