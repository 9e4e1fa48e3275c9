"""What each fuse and breaker lets through in a short, against what the smallest wire behind it bears."""

from __future__ import annotations

from collections.abc import Iterator
from math import isinf

from ...calc.adiabatic import LONGEST, SHORTEST
from ...quantities import in_unit
from ...study.guard_whys import energy, times
from ...study.guardmodel import Guard
from ..book import Book
from ..cables import area_words
from ..devices import device_id
from ..figures import cannot
from ..judging import band_words, holds, linked, margin, spares, why_at
from ..parted import parted
from ..reasons import leading
from ..sheet import FIGURES, Sheet
from ..text import Column, Inline

PATH = "figures/adiabatic.md"
ROWS = [
    Column("Device"),
    Column("Smallest wire"),
    Column("It bears", "A²s", True),
    Column("At the highest fault it bears it for", "", True),
    Column("The device opens in"),
    Column("Lets through at most", "A²s", True),
    Column("Bears more by a factor of", "", True),
    Column("Spared"),
]
STARTS = [Column("Device"), Column("Holds the start"), Column("Band from")]


def pages(book: Book) -> Iterator[Sheet]:
    guards = [g for g in book.study.guards.values() if g.conductors]
    for path, rows, parts in parted(PATH, guards):
        first = path == PATH
        values = {
            "rows": (ROWS, [_row(book, g) for g in rows]),
            "starts": (STARTS, [_start(book, g) for g in guards if g.starts] if first else []),
            "parts": parts,
            "limits": (f"{SHORTEST:g}", f"{LONGEST:g}"),
        }
        tags = ("adiabatic", "let-through", "I²t", "k²S²", "start current")
        yield Sheet(path, "Let-through and what the wires bear", "adiabatic", values, FIGURES if first else None, tags)


def _row(book: Book, guard: Guard) -> list[Inline]:
    why = why_at(book, guard)
    highest = guard.highest.high if guard.highest else None
    edge = book.network.edges[guard.smallest] if guard.smallest else None
    stands = in_unit(guard.bears / highest**2, "time", 2) if guard.bears is not None and highest else cannot()
    row = [
        book.named(device_id(book.network.edges[guard.device])),
        (book.named(guard.smallest.split(" ")[0]), ", ", area_words(edge)) if edge else cannot("no area is known"),
        energy(guard.bears).removesuffix(" A²s") if guard.bears is not None else cannot(),
        stands,
        times(tuple(guard.band.opening_time(highest))) if guard.band and highest else cannot(),
        _most(guard),
        margin(guard),
        linked(book, guard, spares(book, guard)),
    ]
    return leading(ROWS, row, why, *(column.head for column in ROWS[2:-1]))


def _most(guard: Guard) -> Inline:
    if guard.lets_through is None:
        return cannot()
    most = max(guard.lets_through[1], guard.most_energy or 0.0)
    return "no limit" if isinf(most) else energy(most).removesuffix(" A²s")


def _start(book: Book, guard: Guard) -> list[Inline]:
    return [
        book.named(device_id(book.network.edges[guard.device])),
        linked(book, guard, holds(book, guard)),
        band_words(guard),
    ]
