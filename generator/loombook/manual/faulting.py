"""A place's fault current in the words of pages: who gives it, what rules it, and its course in time."""

from __future__ import annotations

from math import isinf, sqrt

from ..calc.generators import SUBTRANSIENT_TIME, TRANSIENT_TIME
from ..quantities import in_unit
from ..study.course import Part
from ..study.model import Range
from .book import Book
from .figures import cannot
from .reasons import fault_why, leading
from .text import EMPTY, Column, Inline, Link, Strong, joined
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
    "alternators", "motors", "solar arrays", "solar controllers",
)  # fmt: skip
"""Families whose pages show a fault over time."""
KINDS = {
    "lead-acid": "lead-acid",
    "lithium": "lithium, cells and links",
    "limited": "limits itself",
    "sun": "as the sun gives",
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
        "motor": any(p.kind == "motor" for p in parts),
        "standard": any(p.kind != "sun" for p in parts),
        "sun": any(p.kind == "sun" for p in parts),
        "drawn_on": any(p.drawn_on for p in parts),
        "why": why,
        "anchor": f"why-course-{id}",
        "place": f"course-{id}",
    }


CREST = 2.0
"""Most that the crest of the first half-wave can be over that of what follows, all reactance: κ of IEC 60909-0 (from memory)."""


def lasting(book: Book, id: str) -> list[tuple[str, Inline]]:
    """How the fault current of a source of alternating current goes on, at its own terminals; nothing for other items."""
    mains = book.study.mains
    for inlet in mains.inlets if mains else ():
        if inlet.id == id and inlet.boat is not None:
            why = f"page:figures/mains.md#why-{id}"
            crest = Range(sqrt(2) * inlet.boat.low, CREST * sqrt(2) * inlet.boat.high)
            return [
                ("Until a device opens", (Link(why, span_unit(inlet.boat, "current", 2)), ", constant: a shore supply does not decay (far from a generator, IEC 60909-0, from memory)")),
                ("Crest of the first half-wave", (Link(why, span_unit(crest, "current", 2)), ": √2 times that, and up to twice as much where the short begins as the voltage crosses zero and reactance rules")),
            ]  # fmt: skip
    for g in mains.generators if mains else ():
        if g.id == id:
            why = f"page:figures/mains.md#why-{id}"
            return [
                ("In the first moment", Link(why, span_unit(g.first, "current", 2))),
                ("After a tenth of a second", Link(why, span_unit(g.transient, "current", 2))),
                ("What lasts, after some seconds", Link(why, span_unit(g.lasting, "current", 2))),
                ("It falls", f"with T″d of about {SUBTRANSIENT_TIME * 1000:.0f} ms, then with T′d of about {TRANSIENT_TIME} s: those of a textbook’s typical machine (seen secondary); its own papers may say"),
            ]  # fmt: skip
    return []


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
        _decay(book, part),
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
    if part.kind == "motor":
        return "goes on while the water turns it" if part.turned else "nothing, once it stands"
    return span_unit(part.sustained, "current", 2) if part.sustained else cannot("its data would tell")


def _decay(book: Book, part: Part) -> Inline:
    """τ2; of a motor, by when it has come to a stand."""
    if part.kind != "motor":
        return in_unit(part.decay, "time", 2) if part.decay else EMPTY
    if part.stands is not None:
        return f"over within {in_unit(part.stands, 'time', 2)}, at most"
    if part.turned:
        return EMPTY
    place = book.inventory.place_of(book.inventory.motors[part.source])
    where = f", {place.file}, line {place.line}" if place else ""
    return cannot(f"“runs on” of {part.source} would tell{where}")


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
