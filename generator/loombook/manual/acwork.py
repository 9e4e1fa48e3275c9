"""AC circuits in tables: an earth that is an electrode, what the conductors carry, how much voltage they drop."""

from __future__ import annotations

from math import inf

from ..calc.ac import TOUCH_AC
from ..network import Edge
from ..quantities import digits, in_unit
from ..study.legs import ElectrodeFault
from ..study.model import Why
from .book import Book
from .cables import area_words, name_of
from .devices import device_id
from .figures import cannot, figure
from .text import Badge, Column, Inline, Marked, joined
from .words import few, span

ELECTRODE = [
    Column("Consumer"), Column("Verdict"), Column("Residual-current device"), Column("Trips at", "mA", True), Column("Earth at most", "Ω", True),
    Column("Earth here", "Ω", True), Column("Touch voltage", "V", True), Column("Fault current", "A", True), Column("Opens in", "s", True),
    Column("Allowed", "s", True),
]  # fmt: skip
CARRYING = [
    Column("Wire"), Column("Area", "", True), Column("Verdict"), Column("Carries", "A", True), Column("Expected", "A", True), Column("Used", "%", True),
    Column("Device before it"), Column("Device against wire"),
]  # fmt: skip
DROP = [
    Column("Consumer"), Column("Verdict"), Column("Current", "A", True), Column("Drop", "V", True), Column("Drop", "%", True), Column("Limit", "%", True),
]  # fmt: skip


# an earth that is an electrode


def electrode_row(book: Book, f: ElectrodeFault) -> list[Inline]:
    """One consumer on a shore whose earth is an electrode."""
    why = f"item:{f.consumer}#{electrode_anchor(book, f)}"
    earth = digits(f.earth, 3) if f.earth is not None else cannot("earth resistance")
    return [
        book.named(f.consumer),
        figure(electrode_verdict(f), why),
        book.id(device_id(book.network.edges[f.residual])) if f.residual else "none",
        digits(1000 * f.rated, 3) if f.rated else "–",
        figure(digits(f.largest, 4), why) if f.largest is not None else "–",
        earth,
        figure(digits(f.touch, 3), why) if f.touch is not None else "–",
        figure(digits(f.amps, 3), why) if f.amps is not None else cannot("a length on the way of the earth"),
        figure("never sure" if f.opens == inf else digits(f.opens, 2), why) if f.opens is not None else "–",
        digits(f.limit, 2) if f.limit is not None else "–",
    ]


def electrode_verdict(f: ElectrodeFault) -> Inline:
    """Whether touch voltage and time hold, and up to which earth."""
    if f.holds is None:
        return Badge("cannot", "cannot check")
    if not f.residual:
        return Badge("A", "no residual-current device: nothing opens")
    if not f.holds:
        return Badge("A", "does not hold")
    return Badge("pass", "holds" if f.earth is not None else f"holds up to {digits(f.largest, 4)} Ω")


def electrode_anchor(book: Book, f: ElectrodeFault) -> str:
    """The place of its "why" on the consumer's page."""
    return f"why-electrode-{book.network.edges[f.source].item}"


def electrode_why(f: ElectrodeFault) -> Why:
    """How it came about."""
    known = (
        "the inventory, as measured at the berth"
        if f.earth is not None
        else "not recorded: the largest allowed is reckoned with"
    )
    inputs = [
        ("rated residual current IΔn", in_unit(f.rated, "current") if f.rated else "no such device", "the inventory")
    ]
    if f.largest is not None:
        inputs.append(("earth R_A", in_unit(f.earth if f.earth is not None else f.largest, "resistance", 4), known))
    steps = []
    if f.largest is not None:
        steps.append((f"largest earth, {TOUCH_AC:g} V / IΔn", in_unit(f.largest, "resistance", 4)))
    if f.touch is not None:
        steps.append(("touch voltage R_A · IΔn", in_unit(f.touch, "voltage")))
    if f.amps is not None and f.rated:
        steps.append(("fault current through loop and earth", in_unit(f.amps, "current")))
        steps.append(("as a multiple of IΔn", digits(f.amps / f.rated, 2)))
    if f.opens is not None:
        steps.append(
            (
                "device opens within",
                "never sure" if f.opens == inf else f"{digits(f.opens, 2)} s (IEC 61008, IEC 61009)",
            )
        )
    if f.limit is not None:
        steps.append(("time allowed", f"{digits(f.limit, 2)} s ({f.source_limit})"))
    return Why(
        "R_A · IΔn ≤ 50 V; I_f = U_0 / (Z_loop + R_A); the device's time at I_f ≤ the time of Table 41.1 for TT",
        "IEC 60364-4-41, 411.5.3 and Table 41.1 (2005, edition from memory)",
        tuple(inputs), tuple(steps), "computed",
    )  # fmt: skip


# what the conductors carry


def carrying_rows(book: Book) -> list[list[Inline]]:
    """The line conductors of the AC wiring against the current they are expected to carry, and the device before."""
    edges = [book.network.edges[id] for id in book.study.carrying if id in book.network.edges]
    return [_carrying(book, e) for e in edges if book.network.nodes[e.a].pole == "L"]


def _carrying(book: Book, edge: Edge) -> list[Inline]:
    found = book.study.carrying[edge.id]
    owner = edge.item if edge.path[:1] == ("runs",) else edge.id.split(" ")[0]
    why = f"item:{owner}#why-carrying" if found.why else ""
    protection = book.study.protection.get(edge.id)
    ids = list(dict.fromkeys(device_id(book.network.edges[id]) for id in protection.devices)) if protection else []
    rated = [(r.value, id) for id in ids if id in book.devices and (r := book.devices[id].rating)]
    rating = max(rated)[0] if rated else None
    devices = joined(few([(f"{digits(amps, 3)} A ", book.id(id)) for amps, id in rated], 3)) if rated else "–"
    design = found.design or 0.0
    return [
        name_of(book, edge),
        area_words(edge),
        _enough(found.amps, design),
        figure(digits(found.amps, 3), why) if found.amps is not None else cannot(found.missing),
        figure(digits(design, 2), why) if design >= 0.005 else "0",
        figure(f"{design / found.amps * 100:.0f}", why) if found.amps else "–",
        devices,
        _kept(found.amps, rating),
    ]


def _enough(carries: float | None, design: float) -> Inline:
    if carries is None:
        return Badge("cannot", "cannot check")
    return Badge("pass", "carries it") if design <= carries else Badge("A", "overloaded")


def _kept(carries: float | None, rating: float | None) -> Inline:
    if carries is None or rating is None:
        return Marked("–", "missing") if carries is None else "no device of known rating"
    return Badge("pass", "kept by it") if rating <= carries else Badge("B", "rated above the wire")


# drop


def drop_rows(book: Book) -> list[list[Inline]]:
    """Drop of each AC consumer from its last source, by IEC 60364-5-52 Annex G."""
    return [_drop(book, c.id) for c in book.network.consumers.values() if book.network.nodes[c.plus].pole == "L"]


def _drop(book: Book, consumer: str) -> list[Inline]:
    drop = book.study.drops.get(consumer)
    if drop is None or drop.volts is None or drop.fraction is None:
        limit = digits(drop.limit * 100, 2) if drop else "–"
        return [book.named(consumer), Badge("cannot", "cannot check"), "–", "–", "–", limit]
    why = f"item:{consumer}#why-drop" if drop.why else ""
    over = drop.fraction.high > drop.limit
    verdict = (
        Badge("B", "over" if drop.fraction.low > drop.limit else "may be over") if over else Badge("pass", "within")
    )
    return [
        book.named(consumer),
        verdict,
        digits(drop.current, 3) if drop.current else "–",
        figure(span(drop.volts, 1, 2), why),
        figure(span(drop.fraction, 100, 2), why),
        digits(drop.limit * 100, 2),
    ]


__all__ = [
    "CARRYING", "DROP", "ELECTRODE", "carrying_rows", "drop_rows", "electrode_anchor", "electrode_row", "electrode_why",
]  # fmt: skip
