"""Faults of alternating current: at the inlet, at each consumer to neutral and to earth, and where neutral meets earth."""

from __future__ import annotations

from collections.abc import Iterator

from ...quantities import digits, in_unit
from ...study.legs import EarthFault, ElectrodeFault, LineFault
from ...study.mains import AcLimit, Inlet, Rotating
from ...study.model import Range, Why
from ...study.neutral import BondState
from ..acwork import (
    CARRYING,
    DROP,
    ELECTRODE,
    carrying_rows,
    drop_rows,
    electrode_anchor,
    electrode_row,
    electrode_verdict,
    electrode_why,
)  # fmt: skip
from ..book import Book
from ..devices import device_id
from ..figures import cannot, figure
from ..mainswhy import of_fault, of_generator, of_inlet, of_inverter, seconds
from ..sheet import FIGURES, Sheet
from ..text import Badge, Column, Inline, Lines, Link, Marked, joined
from ..words import span, span_unit

PATH = "figures/mains.md"
SOURCES = [
    Column("Source"), Column("Fault current"), Column("Least", "A", True), Column("Most", "A", True), Column("How known"),
]  # fmt: skip
EARTH = [
    Column("Consumer"), Column("Fed by"), Column("Verdict"), Column("Loop", "Ω", True), Column("To earth", "A", True), Column("To neutral", "A", True),
    Column("Device"), Column("Opens in", "s", True), Column("Residual-current device"), Column("Opens in", "s", True),
    Column("Allowed", "s", True), Column("Loop allowed", "Ω", True),
]  # fmt: skip
BONDS = [Column("Source"), Column("Neutral and earth")]
STATES = [Column("Change-over"), Column("Supplies"), Column("Joined at"), Column("Verdict")]


def pages(book: Book) -> Iterator[Sheet]:
    mains = book.study.mains
    if mains is None or not (mains.inlets or mains.inverters or mains.generators):
        return
    whys = [(("Why this at ", book.title(i.id)), of_inlet(book, i), f"why-{i.id}") for i in mains.inlets]
    whys += [(("Why this at ", book.title(i.id)), of_inverter(i), f"why-{i.id}") for i in mains.inverters]
    whys += [(("Why this at ", book.title(g.id)), of_generator(g), f"why-{g.id}") for g in mains.generators]
    lines = {(f.consumer, f.source): f for f in mains.line_faults}
    values = {
        "sources": (SOURCES, [
            *(row for i in mains.inlets for row in _inlet(book, i)), *(_inverter(book, i) for i in mains.inverters),
            *(row for g in mains.generators for row in _generator(book, g)),
        ]),
        "whys": whys,
        "earth": (EARTH, [_earth(book, f, lines[f.consumer, f.source]) for f in mains.earth_faults]),
        "electrode": (ELECTRODE, [electrode_row(book, f) for f in mains.electrode_faults]),
        "carrying": (CARRYING, carrying_rows(book)),
        "drop": (DROP, drop_rows(book)),
        "bonds": (BONDS, [[book.named(b.source), _joined(b.joined, b.words)] for b in mains.bonds]),
        "states": (STATES, [_state(book, s) for s in mains.states]),
    }  # fmt: skip
    yield Sheet(
        PATH,
        "Faults of alternating current",
        "mainsfault",
        values,
        FIGURES,
        ("earth fault", "loop impedance", "RCD", "neutral"),
    )


def _inlet(book: Book, inlet: Inlet) -> list[list[Inline]]:
    why = f"page:{PATH}#why-{inlet.id}"
    known: Inline = (
        "declared by the shore" if inlet.declared else Marked("default for the voltage, from memory", "default")
    )
    rows: list[tuple[str, Range]] = [("at the socket ashore", inlet.socket)]
    if inlet.boat is not None:
        rows.append(("at the inlet, behind the lead", inlet.boat))
    return [
        [book.named(inlet.id), where, figure(digits(found.low, 3), why), figure(digits(found.high, 3), why), known]
        for where, found in rows
    ]


def _inverter(book: Book, found: AcLimit) -> list[Inline]:
    why = f"page:{PATH}#why-{found.id}"
    known: Inline = "stated" if found.declared else Marked("1.1 to 2 times its rated current, from memory", "default")
    return [
        book.named(found.id),
        "limits itself",
        figure(digits(found.limit.low, 3), why),
        figure(digits(found.limit.high, 3), why),
        known,
    ]


def _generator(book: Book, g: Rotating) -> list[list[Inline]]:
    why = f"page:{PATH}#why-{g.id}"
    rows = (("in the first moment", g.first), ("after a tenth of a second", g.transient), ("what lasts", g.lasting))
    return [
        [
            book.named(g.id), where, figure(digits(found.low, 3), why), figure(digits(found.high, 3), why),
            "stated" if declared else Marked("default, partly from memory", "default"),
        ]
        for (where, found), declared in zip(rows, g.declared)
    ]  # fmt: skip


def _earth(book: Book, f: EarthFault, line: LineFault) -> list[Inline]:
    why = f"item:{f.consumer}#{_anchor(book, f)}"
    lacking = "earth resistance" if f.system == "TT" else "the way of the earth, or a length on it"
    loop = figure(digits(f.loop, 3), why) if f.loop is not None else cannot(lacking)
    return [
        book.named(f.consumer),
        (book.named(book.network.edges[f.source].item), " (TT)" if f.system == "TT" else ""),
        _verdict(f),
        loop,
        figure(digits(f.amps, 3), why) if f.amps is not None else cannot(),
        figure(span(line.amps, 1, 3), why) if line.amps else cannot(),
        _device(book, f.device),
        figure(seconds(f.opens), why) if f.opens is not None else cannot("its curve"),
        _device(book, f.residual),
        figure(seconds(f.residual_opens), why) if f.residual else "–",
        digits(f.limit, 2) if f.limit is not None else "–",
        figure(digits(f.allowed, 3), why) if f.allowed is not None else "–",
    ]


def _device(book: Book, edge: str) -> Inline:
    return book.id(device_id(book.network.edges[edge])) if edge else "none"


def _verdict(f: EarthFault) -> Inline:
    if f.in_time is None:
        return Badge("cannot", "cannot check")
    if not f.in_time:
        return Badge("A", "not cut off in time")
    by_device = f.opens is not None and f.limit is not None and f.opens <= f.limit
    return Badge("pass", "in time" if by_device or not f.residual else "in time by the residual-current device alone")


def _joined(joined_aboard: bool | None, words: str) -> Inline:
    return Marked(words, "missing") if joined_aboard is None else words


def _state(book: Book, s: BondState) -> list[Inline]:
    where = joined([(book.named(id), f" at {position}") for id, position in s.positions]) or "no change-over switch"
    supplies = joined([book.link(id) for id in s.supplying]) or "nothing"
    bonds: list[Inline] = [(book.link(id), " (ashore)" if id in book.inventory.shore_inlets else "") for id in s.bonds]
    bonds += [(book.link(id), " ", Marked("not recorded", "missing")) for id in s.unknown]
    verdict: Inline = "–"
    if s.right is True:
        verdict = Badge("pass", "one")
    elif s.right is False:
        verdict = Badge("A", "more than one" if s.bonds else "none: a fault to earth trips nothing")
    elif s.supplying:
        verdict = Badge("cannot", "cannot check")
    return [where, supplies, Lines(tuple(bonds)) if bonds else "nowhere", verdict]


# on the consumer's page


def _of(book: Book, consumer: str) -> list[tuple[EarthFault, LineFault]]:
    mains = book.study.mains
    if mains is None:
        return []
    lines = {f.source: f for f in mains.line_faults if f.consumer == consumer}
    return [(f, lines[f.source]) for f in mains.earth_faults if f.consumer == consumer]


def mains_facts(book: Book, consumer: str) -> list[tuple[str, Inline]]:
    """A fault to earth at an AC consumer, for its own page; nothing on DC."""
    rows: list[tuple[str, Inline]] = []
    for f, line in _of(book, consumer):
        source, where = book.title(book.network.edges[f.source].item), f"item:{consumer}#{_anchor(book, f)}"
        found = in_unit(f.amps, "current") if f.amps is not None else "cannot check"
        rows.append((f"Fault to earth, fed by {source}", (Link(where, found), ": ", _verdict(f))))
        if line.amps:
            rows.append((f"Fault to neutral, fed by {source}", Link(where, span_unit(line.amps, "current"))))
    for e in _electrodes(book, consumer):
        where = f"item:{consumer}#{electrode_anchor(book, e)}"
        rows.append(("Where the shore's earth is an electrode", (Link(where, "TT"), ": ", electrode_verdict(e))))
    if rows:
        rows.append(("All AC circuits", Link(f"page:{PATH}", "faults of alternating current")))
    return rows


def mains_whys(book: Book, consumer: str) -> list[tuple[str, Why, str]]:
    """How they came about."""
    found = [
        (
            f"Why these faults, fed by {book.title(book.network.edges[f.source].item)}",
            of_fault(book, f, line),
            _anchor(book, f),
        )
        for f, line in _of(book, consumer)
    ]
    return found + [
        ("Why this where the shore's earth is an electrode", electrode_why(e), electrode_anchor(book, e))
        for e in _electrodes(book, consumer)
    ]


def _electrodes(book: Book, consumer: str) -> list[ElectrodeFault]:
    mains = book.study.mains
    return [e for e in mains.electrode_faults if e.consumer == consumer] if mains else []


def _anchor(book: Book, f: EarthFault) -> str:
    return f"why-loop-{book.network.edges[f.source].item}"
