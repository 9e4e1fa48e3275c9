"""Side by side: how the strings of a bank and parallel conductors share what they carry together."""

from __future__ import annotations

from collections.abc import Iterator

from ...network import Edge
from ...quantities import digits, in_unit
from ...study.ledger import Ledger, told
from ...study.model import Range, Why
from ...study.sharing import Sharing
from ...study.sources import battery_ohms
from ..book import Book
from ..cables import area_words, name_of
from ..figures import figure
from ..reasons import expected_why, leading
from ..sheet import FIGURES, Sheet
from ..text import Badge, Column, Inline

PATH = "figures/sharing.md"
COLUMNS = [
    Column("Side by side"), Column("One of them"), Column("At design current", "A", True), Column("Its part", "%", True),
    Column("An even part", "%", True), Column("Carries for good", "A", True), Column("Verdict"),
]  # fmt: skip
FLOWS = [
    Column("Bank"),
    Column("Condition"),
    Column("String"),
    Column("Gives", "A", True),
    Column("Its part", "%", True),
]
CABLES = [
    Column("Cable"),
    Column("Conductors", "", True),
    Column("Expected together", "A", True),
    Column("Each", "A", True),
]
UNEVEN, EVEN = 1.25, 1.05
"""A part this many times an even one is called uneven, and up to this even: common practice, no source."""


def pages(book: Book) -> Iterator[Sheet]:
    found = book.study.sharings
    if not has_any(book):
        return
    whys = [(_title(book, s), _why(book, s), f"why-share-{n}") for n, s in enumerate(found, 1)]
    rows = [row for n, s in enumerate(found, 1) for row in _rows(book, s, f"page:{PATH}#why-share-{n}")]
    flows = [row for s in found if s.kind == "strings" for row in _flows(book, s)]
    values = {
        "rows": (COLUMNS, rows),
        "flows": (FLOWS, flows),
        "cables": (CABLES, [_cable(book, e) for e in _several(book)]),
        "whys": whys,
    }
    yield Sheet(PATH, "Side by side", "sharing", values, FIGURES, ("parallel", "strings", "sharing"))


def has_any(book: Book) -> bool:
    """Whether anything aboard lies side by side."""
    return bool(book.study.sharings or _several(book))


def _several(book: Book) -> list[Edge]:
    """Cables that are written as several conductors: `2 × 70 mm²`."""
    return [e for e in book.network.edges.values() if e.kind == "conductor" and e.cable.parallel > 1]


def _cable(book: Book, edge: Edge) -> list[Inline]:
    """One such cable; its conductors are equal, and so is what each takes."""
    count, amps = edge.cable.parallel, abs(book.study.design.get(edge.id, 0.0))
    name = (book.named(edge.item) if edge.item in book.links else name_of(book, edge), ", ", area_words(edge))
    row: list[Inline] = [
        name,
        str(count),
        digits(amps, 3) if amps >= 5e-3 else "0",
        digits(amps / count, 3) if amps >= 5e-3 else "0",
    ]
    return leading(CABLES, row, expected_why(book, edge), "Expected together", "Each")


def _title(book: Book, sharing: Sharing) -> Inline:
    if sharing.kind == "strings":
        return f"Strings of {sharing.between[0]}"
    a, b = sharing.between
    return ("Between ", book.node(a), " and ", book.node(b))


def _rows(book: Book, sharing: Sharing, why: str) -> Iterator[list[Inline]]:
    for n, (id, amps, part) in enumerate(sharing.ways):
        carries = _carries(book, sharing, id)
        verdict: Inline = "–"
        if carries is not None and amps > carries:
            verdict = Badge("A", "over what it carries")
        elif part > UNEVEN * sharing.even:
            verdict = Badge("C", "uneven")
        elif amps:
            verdict = Badge("pass", "even" if part <= EVEN * sharing.even else "nearly even")
        yield [
            _title(book, sharing) if n == 0 else "as above",
            _name(book, sharing, id),
            figure(digits(amps, 3), why) if amps >= 5e-4 else "none",
            figure(digits(100 * part, 3), why) if part else "–",
            digits(100 * sharing.even, 3),
            figure(digits(carries, 3), _why_carries(book, sharing, id)) if carries is not None else "–",
            verdict,
        ]  # fmt: skip


def _name(book: Book, sharing: Sharing, id: str) -> Inline:
    if sharing.kind == "strings":
        return book.named(id)
    edge = book.network.edges[id]
    return (book.named(edge.item) if edge.item in book.links else id, ", ", area_words(edge))


def _carries(book: Book, sharing: Sharing, id: str) -> float | None:
    if sharing.kind == "strings":
        limit = book.inventory.batteries[id].max_discharge
        return limit.value if limit else None
    found = book.study.carrying.get(id)
    return found.amps if found else None


def _why_carries(book: Book, sharing: Sharing, id: str) -> str:
    edge = book.network.edges[id]
    found = book.study.carrying.get(id)
    return (
        f"item:{edge.item}#why-carrying"
        if sharing.kind == "conductors" and edge.path[:1] == ("runs",) and found and found.why
        else ""
    )


def _flows(book: Book, sharing: Sharing) -> Iterator[list[Inline]]:
    """What each string gives in each load flow."""
    ids = [id for id, _, _ in sharing.ways]
    for condition, sources in book.study.supplying.items():
        why = f"page:{book.flow_pages[condition]}#why-flow"
        given = {book.network.edges[s.edge].item: s.amps for s in sources if s.kind == "battery"}
        total = sum(given.get(id, 0.0) for id in ids)
        for n, id in enumerate(ids):
            amps = given.get(id)
            if amps is None:
                yield [sharing.between[0], condition, book.named(id), "not joined", "–"]
                continue
            part = figure(digits(100 * amps / total, 3), why) if abs(total) > 1e-3 else "–"
            words = digits(amps, 3) if abs(amps) >= 5e-4 else "0"
            yield [sharing.between[0] if n == 0 else "as above", condition, book.named(id), figure(words, why), part]


def _why(book: Book, sharing: Sharing) -> Why:
    total = sum(amps for _, amps, _ in sharing.ways)
    if sharing.kind == "strings":
        inputs = [
            (id, told(battery_ohms(book.inventory.batteries[id], Ledger())[0], "resistance"), "its own resistance")
            for id, _, _ in sharing.ways
        ]
        formula = "I_i = I · (1/R_i) / Σ(1/R), with the links and cables of each string in R_i"
        source = "Kirchhoff's laws on the whole network; at design current, cells by their capacity. In the load flow, by the resistance stated here"
    else:
        known = [(id, book.study.resistances[id]) for id, _, _ in sharing.ways]
        inputs = [
            (id, "not known" if r.missing else told(Range(r.hot.low, r.hot.high), "resistance"), "hot, with both ends")
            for id, r in known
        ]
        formula, source = "I_i = I · (1/R_i) / Σ(1/R)", "Kirchhoff's laws"
    steps = [("together", in_unit(total, "current"))]
    steps += [(id, f"{in_unit(amps, 'current')}, {digits(100 * part, 3)} %") for id, amps, part in sharing.ways]
    return Why(formula, source, tuple(inputs), tuple(steps), "computed")
