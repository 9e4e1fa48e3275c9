"""What the battery management units are set to, what they open, and where their alarm is seen."""

from __future__ import annotations

from collections.abc import Iterator

from ...inventory.sources import BMS, Battery
from ...study.model import Why
from ..book import Book
from ..reasons import leading
from ..sheet import SOURCES, Sheet
from ..text import Column, Inline, Marked
from ..words import CHEMISTRIES, or_missing, quantity, yes_no

MARGIN = Why(
    "stops at U = highest cell · cells in series; margin = U − absorption voltage",
    "the inventory",
    (("highest cell, cells in series, absorption voltage", "as in the tables above", "the inventory"),),
    (),
    "computed",
)


def pages(book: Book) -> Iterator[Sheet]:
    managed = [battery for battery in book.inventory.batteries.values() if battery.bms]
    bare = [b for b in book.inventory.batteries.values() if not b.bms and b.chemistry == "lfp"]
    if not managed and not bare:
        return
    columns = [Column("Setting"), *(Column(f"{battery.title} {battery.id}") for battery in managed)]
    settings = [_settings(battery) for battery in managed]
    rows = [[term, *(setting[term] for setting in settings)] for term in settings[0]] if settings else []
    yield Sheet(
        "sources/bms.md",
        "Battery management",
        "bms",
        {
            "settings": (columns, rows),
            "bare": [book.named(battery.id) for battery in bare],
            "charging": _margins(book, managed),
            "why": MARGIN,
        },
        SOURCES,
        ("BMS", "battery management", "dark ship", "battery opened"),
    )


def _settings(battery: Battery) -> dict[str, Inline]:
    bms = battery.bms
    cells = battery.cells.series
    peak = bms.peak
    return {
        "Made for": _made_for(bms),
        "Opens the": f"{bms.side} pole, by {'a contactor' if bms.opens_by == 'contactor' else bms.opens_by}",
        "Carries discharge current": quantity(bms.current),
        "Carries charge current": quantity(bms.charge_current),
        "Carries for a short time": (quantity(peak.current), (" for ", quantity(peak.time)) if peak.time else "")
        if peak
        else Marked("not known", "missing"),
        "Opens as for a short circuit above": (
            quantity(bms.trip),
            (" after ", quantity(bms.trip_delay)) if bms.trip_delay else "",
        ),
        "Resistance while closed": quantity(bms.resistance),
        "Stops the charge at a cell of": _cell(bms.highest_cell, cells),
        "Stops the discharge at a cell of": _cell(bms.lowest_cell, cells),
        "No charge below": quantity(bms.no_charge_below),
        "Balances with": quantity(bms.balance),
        "Alarm before it opens": or_missing(bms.alarm, "none written down"),
        "Opened by hand": or_missing(bms.remote, "not written down"),
        "Sense leads": (quantity(bms.sense_leads), ", fused: ", yes_no(bms.sense_fused)),
        "Firmware": or_missing(bms.firmware),
    }


def _made_for(bms: BMS) -> Inline:
    series = f"{bms.series} cells in series" if bms.series else Marked("cells in series not known", "missing")
    chemistry = CHEMISTRIES[bms.chemistry] if bms.chemistry else Marked("chemistry not written down", "missing")
    return (series, ", ", chemistry)


def _cell(value, cells: int) -> Inline:
    return (quantity(value), f", {value.value * cells:.1f} V at the posts") if value else quantity(None)


def _margins(book: Book, managed: list[Battery]) -> tuple[list[Column], list[list[Inline]]]:
    """For each charge source: how far its set-point stays below the voltage at which the management opens."""
    columns = [
        Column("Charge source"),
        Column("Absorption", "V", True),
        Column("Management stops the charge at", "V", True),
        Column("Margin", "V", True),
    ]
    rows = []
    for battery in managed:
        if battery.bms.highest_cell is None:
            continue
        stop = battery.bms.highest_cell.value * battery.cells.series
        for edge in book.charges.into(battery.id):
            absorption = edge.record.absorption
            margin = (
                f"{stop - absorption.value:.2f}"
                if absorption
                else Marked("cannot check: no absorption voltage", "missing")
            )
            row = [
                (book.named(edge.item), " into ", book.named(battery.id)),
                f"{absorption.value:.2f}" if absorption else "–",
                f"{stop:.2f}",
                margin,
            ]
            rows.append(
                leading(columns, row, "page:sources/bms.md#why-margin", "Management stops the charge at", "Margin")
            )
    return columns, rows
