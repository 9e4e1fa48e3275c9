"""A place's fault current in the words of pages: who gives it, what rules it, and its course in time."""

from __future__ import annotations

from math import isinf

from ..quantities import in_unit
from ..study.course import Part
from ..study.model import Range
from .book import Book
from .figures import cannot
from .reasons import fault_why, leading
from .text import EMPTY, Column, Inline, Strong, joined
from .words import span_unit

COURSE = [
    Column("Given by"),
    Column("At its peak", "", True),
    Column("Settles to", "", True),
    Column("Rises with τ1", "", True),
    Column("Peak after", "", True),
    Column("Decays with τ2", "", True),
    Column("Its BMS"),
]
HEADS = tuple(column.head for column in COURSE[1:])
PLACES = (
    "batteries", "bars", "panels", "fuses", "breakers", "switches", "shunts", "chargers", "converters", "inverters",
    "alternators", "motors",
)  # fmt: skip
"""Families whose pages show a fault over time."""
KINDS = {
    "lead-acid": "lead-acid",
    "lithium": "lithium, cells and links",
    "limited": "limits itself",
    "motor": "a running motor",
    "capacitor": "a charged capacitor",
}


def course(book: Book, id: str) -> dict | None:
    """Values for the template `course`: a place's fault over time; None where no source reaches it."""
    node = book.fault_node(id)
    parts = book.courses.at(node) if node and book.network.nodes[node].pole == "+" else ()
    if not parts:
        return None
    why = book.courses.why(node)
    place = f"item:{id}#why-course-{id}" if why else fault_why(book, id)
    return {
        "rows": (COURSE, [leading(COURSE, _row(book, part), place, *HEADS) for part in parts]),
        "capacitor": any(p.kind == "capacitor" for p in parts),
        "lithium": any(p.kind == "lithium" for p in parts),
        "drawn_on": any(p.drawn_on for p in parts),
        "why": why,
        "anchor": f"why-course-{id}",
        "place": f"course-{id}",
    }


def ruled_by(book: Book, id: str) -> Inline:
    """Which part rules the highest fault current of an item: it takes most of the power, or limits it."""
    fault = book.fault(id)
    edge = book.network.edges.get(fault.ruled_by) if fault else None
    return book.named(edge.item) if edge else EMPTY


def _row(book: Book, part: Part) -> list[Inline]:
    edge = book.network.edges.get(part.source)
    item = edge.item if edge else part.source
    series: Inline = (", in series with ", joined([book.id(id) for id in part.series])) if part.series else ""
    return [
        (book.link(item), ", ", KINDS[part.kind], series),
        _peak(part),
        _settled(part),
        _time(part, part.rise),
        ("within ", _span(part.to_peak)) if part.kind == "capacitor" and part.to_peak else _time(part, part.to_peak),
        in_unit(part.decay, "time", 2) if part.decay else EMPTY,
        _bms(part),
    ]


def _peak(part: Part) -> Inline:
    if isinf(part.peak.high):
        return cannot("only its own resistance limits it here")
    if part.kind == "capacitor":
        return f"up to {in_unit(part.peak.high, 'current', 2)}, besides"
    return span_unit(part.peak, "current", 2)


def _settled(part: Part) -> Inline:
    if part.kind == "capacitor":
        return "nothing"
    return span_unit(part.sustained, "current", 2) if part.sustained else cannot("its data would tell")


def _time(part: Part, span: Range | None) -> Inline:
    if span is not None:
        return span_unit(span, "time", 2)
    return cannot("lengths of the wires would tell") if part.kind in ("lead-acid", "lithium") else EMPTY


def _span(span: Range) -> str:
    return in_unit(span.high, "time", 2)


def _bms(part: Part) -> Inline:
    if part.opens == "unknown":
        return cannot("bms: trip and trip delay would tell")
    if part.opens == "yes":
        return (Strong("opens"), " after ", span_unit(part.delay, "time", 2))
    if part.opens == "may":
        return (Strong("may open"), f", after {in_unit(part.delay.high, 'time', 2)} at the latest")
    return "stays closed: below its trip" if part.opens == "no" else EMPTY
