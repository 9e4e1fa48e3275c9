"""The assumption ledger, and how the figures are made: formula and source of each kind of figure."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from ...quantities import digits
from ...study.model import Why
from ..book import Book
from ..sheet import FIGURES, Sheet
from ..text import Column, Inline, joined

LEDGER = [
    Column("Taken for"), Column("Value"), Column("Source"), Column("Used for"), Column("Moves by (%)", "", True),
    Column("Effect"),
]  # fmt: skip
METHODS = [Column("Figure"), Column("Formula or method"), Column("Source"), Column("How well known")]
SHOWN = 12
LEAST = 1e-3
"""A smaller part of a result is not told."""


def pages(book: Book) -> Iterator[Sheet]:
    yield Sheet(
        "figures/assumptions.md",
        "Assumptions used",
        "ledger",
        {
            "ledger": (LEDGER, [_row(book, a) for a in book.study.assumptions]),
        },
        FIGURES,
        ("assumptions", "defaults"),
    )
    yield Sheet(
        "figures/how.md",
        "How the figures are made",
        "how",
        {"methods": (METHODS, _methods(book))},
        FIGURES,
        ("formula", "method"),
    )


def _row(book: Book, assumption) -> list[Inline]:
    items = [book.link(id.split(" ")[0], id) for id in assumption.items[:SHOWN]]
    more = f" and {len(assumption.items) - SHOWN} more" if len(assumption.items) > SHOWN else ""
    moves = digits(100 * assumption.moves, 2) if assumption.moves >= LEAST else "–"
    return [
        assumption.what,
        assumption.value,
        assumption.source,
        (joined(items), more),
        moves,
        assumption.effect or "–",
    ]


def _methods(book: Book) -> list[list[Inline]]:
    """Each formula that was really used, once."""
    study = book.study
    kinds = (
        ("Resistance", (r.why for r in study.resistances.values())),
        ("What a wire carries", (c.why for c in study.carrying.values())),
        ("Voltage drop", (d.why for d in study.drops.values())),
        ("Prospective fault current", (f.why for f in study.faults.values())),
    )
    return [[kind, why.formula, why.source, why.mark or "–"] for kind, whys in kinds for why in _once(whys)]


def _once(whys: Iterable[Why | None]) -> list[Why]:
    found: dict[tuple[str, str], Why] = {}
    for why in whys:
        if why is not None:
            found.setdefault((why.formula, why.source), why)
    return list(found.values())
