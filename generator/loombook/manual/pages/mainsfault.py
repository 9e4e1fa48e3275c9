"""Faults of alternating current: at the inlet, at each consumer to neutral and to earth, and where neutral meets earth."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from ...quantities import digits, in_unit
from ...study.ledger import told
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
    whys = [(("Why this at ", book.title(i.id)), _why_inlet(book, i), f"why-{i.id}") for i in mains.inlets]
    whys += [(("Why this at ", book.title(i.id)), _why_inverter(i), f"why-{i.id}") for i in mains.inverters]
    whys += [(("Why this at ", book.title(g.id)), _why_generator(g), f"why-{g.id}") for g in mains.generators]
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
        figure(_seconds(f.opens), why) if f.opens is not None else cannot("its curve"),
        _device(book, f.residual),
        figure(_seconds(f.residual_opens), why) if f.residual else "–",
        digits(f.limit, 2) if f.limit is not None else "–",
        figure(digits(f.allowed, 3), why) if f.allowed is not None else "–",
    ]


def _device(book: Book, edge: str) -> Inline:
    return book.id(device_id(book.network.edges[edge])) if edge else "none"


def _seconds(time: float | None) -> str:
    return "never sure" if time is None or time == inf else digits(time, 2)


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
            _why(book, f, line),
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


def _complex(value: complex) -> str:
    return f"R {_ohms(value.real)}, X {_ohms(value.imag)}"


def _ohms(value: float) -> str:
    return in_unit(value, "resistance")


def _why(book: Book, f: EarthFault, line: LineFault) -> Why:
    source = book.title(book.network.edges[f.source].item)
    inputs = [
        (
            f"impedance of {source} by itself, most",
            _ohms(f.before),
            f"its least fault current; see {PATH.split('/')[1][:-3]}",
        ),
        (
            "lead, line and protective conductor, hot",
            _complex(f.wiring),
            "why stands at each cable; X 0.08 mΩ/m from memory",
        ),
    ]
    if line.wiring is not None:
        inputs.append(("line and neutral without the lead, hot", _complex(line.wiring), "as above"))
    steps = []
    if f.loop is not None and f.amps is not None:
        steps += [
            ("loop", _ohms(f.loop)),
            ("fault current to earth, no more than the source gives", in_unit(f.amps, "current")),
        ]
    if line.amps:
        steps.append(
            (
                "fault current to neutral: hot, least and with 10 % for the arc; cold and most",
                told(line.amps, "current"),
            )
        )
    steps.append(
        ("overcurrent device opens within", f"{_seconds(f.opens)} s" if f.opens not in (None, inf) else "never sure")
    )
    if f.residual:
        steps.append(
            (
                "residual-current device opens within, at five times its rating",
                f"{_seconds(f.residual_opens)} s (IEC 61008, IEC 61009)",
            )
        )
    if f.limit is not None:
        steps.append(("time allowed", f"{digits(f.limit, 2)} s ({f.source_limit})"))
    return Why(
        "Z_s = U_0 / I_k,source + √(R² + X²); I_f = U_0 / Z_s, no more than the source's limit; Z_s allowed = U_0 / I_a",
        "IEC 60364-4-41, 411.4.4 (2005, edition from memory); reactance by IEC 60364-5-52 Annex G",
        tuple(inputs),
        tuple(steps),
        "computed",
    )


def _why_inlet(book: Book, inlet: Inlet) -> Why:
    record = book.inventory.shore_inlets[inlet.id]
    declared = "stated" if inlet.declared else "trade practice by the voltage of the country, from memory"
    inputs = (
        ("voltage", str(record.voltage), record.voltage.how),
        ("fault current at the socket", told(inlet.socket, "current"), declared),
        ("country", record.country or "not said", "the inventory"),
        (
            "lead",
            f"{record.lead_length or 'length not known'}, {record.lead_area or 'area not known'}",
            "the inventory",
        ),
    )
    steps = (
        ("impedance of the shore, least and most", told(Range(record.voltage.value / inlet.socket.high, record.voltage.value / inlet.socket.low), "resistance")),
        ("lead out and back, warm", _complex(inlet.lead)),
        *((
            ("most, as if the lead had no length", in_unit(inlet.boat.high, "current")),
            ("least, through the lead, with 10 % for the arc", in_unit(inlet.boat.low, "current")),
        ) if inlet.boat else ()),
    )  # fmt: skip
    return Why(
        "I_k = U / (U / I_k,socket + √(R² + X²))",
        "Ohm's law; the angle of the shore is not known: in line with the lead for the least current, all R or all X for the most",
        inputs,
        steps,
        "computed",
    )


def _why_generator(g: Rotating) -> Why:
    marks = ["stated" if d else "default; 0.2 and 0.3 seen secondary, the rest from memory" for d in g.declared]
    inputs = (
        ("rated current", in_unit(g.rated, "current"), "power over voltage"),
        ("rated impedance Z_N", _ohms(g.impedance), "U² / S"),
        ("x″d", told(g.reactances[0], "ratio"), marks[0]),
        ("x′d", told(g.reactances[1], "ratio"), marks[1]),
        ("lasting current", told(g.lasting, "current"), marks[2]),
    )
    steps = (
        ("first moment, I_n / x″d", told(g.first, "current")),
        ("after about 0.1 s, I_n / x′d", told(g.transient, "current")),
        (
            "highest fault current is worked with the first, the lowest and the disconnection with the least that lasts",
            told(g.lasting, "current"),
        ),
    )
    return Why(
        "I″k = I_n / x″d, I′k = I_n / x′d, all of it reactance",
        "machine theory, IEC 60034-4 (from memory)",
        inputs,
        steps,
        "computed",
    )


def _why_inverter(found: AcLimit) -> Why:
    known = "stated" if found.declared else "1.1 to 2 times rated, from memory; see its own papers"
    return Why(
        "I_k = 1.1 to 2 · I_rated" if not found.declared else "as its papers say",
        "from memory" if not found.declared else "the inventory",
        (
            ("rated current", in_unit(found.rated, "current"), "power over output voltage"),
            ("limit", told(found.limit, "current"), known),
        ),
        (),
        "from memory" if not found.declared else "",
    )
