"""The cable list: every conductor aboard with what is known of it and what it carries."""

from __future__ import annotations

from collections.abc import Iterator

from ...network import Edge
from ...quantities import digits
from ...study.model import Why
from ..book import Book
from ..cables import area_words, name_of
from ..figures import amps, cannot
from ..reasons import carrying_why, expected_why, leading, warm_why
from ..sheet import LOOKUP, Sheet
from ..text import EMPTY, Column, Inline, without_empty
from ..words import quantity, span

LIST = [
    Column("Cable"),
    Column("From"),
    Column("To"),
    Column("Area", "", True),
    Column("Length", "", True),
    Column("Colour"),
    Column("Label"),
    Column("Resistance", "mΩ", True),
    Column("Carries", "A", True),
    Column("Expected", "A", True),
    Column("Gets to", "°C", True),
]


def pages(book: Book) -> Iterator[Sheet]:
    conductors = [edge for edge in book.network.edges.values() if edge.kind == "conductor"]
    runs = [edge for edge in conductors if edge.path[:1] == ("runs",)]
    circuits = [edge for edge in conductors if edge.path[:1] == ("circuits",)]
    yield Sheet(
        "lookup/cables.md",
        "Cable list",
        "cables",
        {
            "runs": without_empty(LIST, [_row(book, edge) for edge in runs]),
            "circuits": without_empty(LIST, [_row(book, edge) for edge in circuits]),
            "why": next((_shared(r.why) for e in circuits if (r := book.study.resistances.get(e.id)) and r.why), None),
        },
        LOOKUP,
        ("cable list", "wire list"),
    )


def _shared(why: Why) -> Why:
    """How the resistances of the circuits' cables came about: all in the same way, from what stands in each row."""
    inputs = (
        ("length L and area S", "in each row", "as marked there"),
        ("terminations", "both ends", "as stated, or the assumption ledger's"),
        ("copper", "plain or tinned", "as stated; tinned where nothing is said"),
    )
    return Why(why.formula, why.source, inputs, (), why.mark)


def _row(book: Book, edge: Edge) -> list[Inline]:
    cable = edge.cable
    carrying = book.study.carrying.get(edge.id)
    name = name_of(book, edge)
    if edge.path[:1] == ("runs",) and edge.id != edge.item:
        name = (name, edge.id.removeprefix(edge.item))
    row = [
        name,
        book.node(edge.a),
        book.node(edge.b),
        area_words(edge),
        quantity(cable.length),
        cable.colour or "–",
        cable.label or "–",
        _ohms(book, edge),
        "–" if carrying is None else amps(carrying.amps) if carrying.amps is not None else cannot(carrying.missing),
        "–"
        if carrying is None or carrying.design is None
        else digits(carrying.design, 2)
        if carrying.design >= 0.005
        else "0",
        f"{warm.celsius:.0f}" if (warm := book.study.warm.get(edge.id)) else EMPTY,
    ]
    row = leading(LIST, row, warm_why(book, edge), "Gets to")
    row = leading(LIST, row, carrying_why(book, edge), "Carries")
    row = leading(LIST, row, expected_why(book, edge), "Expected")
    return leading(LIST, row, _why(edge), "Resistance")


def _why(edge: Edge) -> str:
    """A cable of a run tells of its own resistance; those of the circuits share one telling, for the row has the rest."""
    return f"item:{edge.item}#why-resistance" if edge.path[:1] == ("runs",) else "page:lookup/cables.md#why-resistance"


def _ohms(book: Book, edge: Edge) -> Inline:
    found = book.study.resistances.get(edge.id)
    if found is None or found.missing:
        return cannot("length or area not known" if found is None else found.missing)
    return span(found.cold, 1000, 3)
