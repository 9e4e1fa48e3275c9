"""Charge sources and which battery each of them reaches, with set-points side by side; solar by itself."""

from __future__ import annotations

from collections.abc import Iterator

from ...calc.solar import cold_open_circuit
from ...network import Edge
from ...study.ledger import known
from ...study.model import Why
from ..book import Book
from ..charges import is_charger
from ..evidence import found_on
from ..reasons import leading
from ..sheet import SOURCES, Sheet
from ..text import Column, Inline, Lines, Link, Marked
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

A_CELL = Why(
    "U of a cell = absorption voltage / cells in series",
    "the inventory",
    (
        ("absorption voltage", "in the table above", "the inventory"),
        ("cells in series", "the battery's", "the inventory"),
    ),
    (),
    "computed",
)


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
            "why": A_CELL,
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
                "whys": [
                    (("Why these volts of ", book.title(e.item)), _array_why(book, e), f"why-{e.item}") for e in arrays
                ],
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
        volts = f"{absorption.value / battery.record.cells.series:.2f} V a cell"
        words.append(Link("page:sources/charging.md#why-cell", volts))
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
    row = [
        book.named(edge.item),
        f"{array.series} in series" + (f", {array.parallel} in parallel" if array.parallel > 1 else ""),
        f"{array.series * array.parallel * array.power.value:.0f}",
        f"{volts:.1f}",
        cold,
        f"{array.parallel * array.short_circuit.value:.1f}",
        quantity(limit),
        margin,
    ]
    heads = ("Power", "Open circuit, 25 °C", "Open circuit, coldest", "Short circuit", "Margin")
    return leading(SOLAR, row, f"page:sources/solar.md#why-{edge.item}", *heads)


def _array_why(book: Book, edge: Edge) -> Why:
    """Why an array gives this voltage in the cold."""
    array = edge.record
    inputs = [
        ("modules", f"{array.series} in series, {array.parallel} in parallel", "the inventory"),
        ("a module's power", str(array.power), known(array.power)),
        ("its open-circuit voltage at 25 °C, Uoc", str(array.open_circuit), known(array.open_circuit)),
        ("its short-circuit current", str(array.short_circuit), known(array.short_circuit)),
    ]
    if array.voltage_change:
        inputs.append(("its change with temperature β", str(array.voltage_change), known(array.voltage_change)))
    if array.coldest:
        inputs.append(("coldest day T", str(array.coldest), known(array.coldest)))
    for controller in book.charges.controllers(edge):
        if limit := controller.record.highest_input:
            inputs.append((f"{controller.item} takes", str(limit), known(limit)))
    return Why(
        "U = n · Uoc · (1 + β · (T − 25 °C)); margin = what the controller takes − U",
        "the module's data; IEC 60904 conditions of 25 °C",
        tuple(inputs),
        (),
        "computed",
    )
