"""What each wire carries where it lies, against what it is expected to carry and the device before it."""

from __future__ import annotations

from collections.abc import Iterator

from ...network import Edge
from ...quantities import digits
from ...study.model import Why
from ..book import Book
from ..cables import area_words, name_of
from ..devices import device_id
from ..figures import cannot
from ..reasons import carrying_why, expected_why, leading
from ..sheet import FIGURES, Sheet
from ..text import Column, Inline, joined
from ..words import few, quantity

TABLE = [
    Column("Wire"),
    Column("Area", "", True),
    Column("Insulation", "", True),
    Column("Through"),
    Column("Carries", "A", True),
    Column("Expected", "A", True),
    Column("Used", "%", True),
    Column("Device before it"),
]

EXPECTED = Why(
    "I = Σ of the circuits behind it, shared between sources and parallel ways by their resistances",
    "Kirchhoff's laws; load-balance practice",
    (
        ("load of each circuit", "its rated load, all at once", "the inventory, on the consumer's own page"),
        ("motors", "the one that adds most", "the inventory"),
    ),
    (),
    "computed",
)


def pages(book: Book) -> Iterator[Sheet]:
    edges = [book.network.edges[id] for id in book.study.carrying if id in book.network.edges]
    yield Sheet(
        "figures/carrying.md",
        "What the wires carry",
        "carrying",
        {
            "rows": (TABLE, [_row(book, edge) for edge in edges if _shown(edge)]),
            "why": EXPECTED,
        },
        FIGURES,
        ("ampacity", "current-carrying capacity"),
    )


def _shown(edge: Edge) -> bool:
    """The feed of each circuit; its return beside it in the same cable is the same wire."""
    return edge.path[:1] == ("runs",) or edge.id.endswith((" +", " L"))


def _row(book: Book, edge: Edge) -> list[Inline]:
    found = book.study.carrying[edge.id]
    protection = book.study.protection.get(edge.id)
    ids = list(dict.fromkeys(device_id(book.network.edges[id]) for id in protection.devices)) if protection else []
    devices = (
        joined(few([(str(book.devices[id].rating or ""), " ", book.id(id)) for id in ids if id in book.devices], 3))
        if ids
        else "–"
    )
    spaces = joined([book.link(space) for space in edge.cable.spaces]) if edge.cable.spaces else "–"
    design = "–" if found.design is None else digits(found.design, 2) if found.design >= 0.005 else "0"
    used = f"{found.design / found.amps * 100:.0f}" if found.amps and found.design is not None else "–"
    carries = digits(found.amps, 3) if found.amps is not None else cannot(found.missing)
    row = [
        name_of(book, edge),
        area_words(edge),
        quantity(edge.cable.insulation, "–"),
        spaces,
        carries,
        design,
        used,
        devices,
    ]
    row = leading(TABLE, row, carrying_why(book, edge), "Carries", "Used")
    return leading(TABLE, row, expected_why(book, edge), "Expected")
