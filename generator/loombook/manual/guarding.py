"""The sections about fuses and breakers: a device's own on its page, and the ways of a panel in a table."""

from __future__ import annotations

from collections.abc import Iterator

from ..calc.adiabatic import LONGEST
from ..inventory.devices import Panel
from ..study.guard_whys import of_guard, of_ways
from ..study.guardmodel import Guard
from .book import Book
from .devices import Device, device_id
from .judging import SOME, anchor, band_words, breaks, guard_of, holds, linked, opens, pulse_of, selective, spares
from .text import EMPTY, Column, Inline, Marked, Strong, joined, without_empty

WAYS = [
    Column("Way"), Column("Breaks the highest fault"), Column("Opens within 5 s at the far end"), Column("Spares its smallest wire"),
    Column("Holds the start"), Column("Opens before what stands upstream"),
]  # fmt: skip


def section(book: Book, device: Device) -> dict | None:
    """Values for the template `guard`; None for a device of which nothing was worked out."""
    guard = guard_of(book, device)
    if guard is None:
        return None
    return {
        "facts": list(_facts(book, guard)),
        "whys": [("Why it is judged so", of_guard(book.network, guard, pulse_of(book, guard)), anchor(book, guard))],
        "charts": [(chart, caption(book, guard))] if (chart := book.charted(guard.device)) else [],
    }


def _facts(book: Book, guard: Guard) -> Iterator[tuple[str, Inline]]:
    yield "Breaks the highest fault", breaks(book, guard).badge
    yield f"Opens within {LONGEST:g} s at the far end", opens(book, guard).badge
    yield "Spares its smallest wire", spares(book, guard).badge
    start = holds(book, guard)
    if start:
        yield "Holds the start", start.badge
    goes = selective(book, guard)
    yield "Opens before what stands upstream", goes.badge if goes else "nothing stands between it and its sources"
    if guard.blackout:
        yield "A short just behind it", blackout_words(book, guard)
    yield "Its time–current band", band_words(guard)


def blackout_words(book: Book, guard: Guard) -> Inline:
    """Which management units leave the ship dark."""
    units = joined([book.id(id) for id in guard.blackout])
    return (Strong("may black out the ship: "), "the BMS of ", units, " opens before it")


def caption(book: Book, guard: Guard) -> Inline:
    """What a coordination chart shows, and how well each band in it is known."""
    near = [guard] + [book.study.guards[s.upstream] for s in guard.selectivity if s.kind == "device"]
    known = dict.fromkeys((g.family, g.band.source, g.band.mark.words) for g in near if g.band)
    bands = "; ".join(f"{family}: {source}, {words}" for family, source, words in known)
    like = next((path.like for path in book.charts if path.guard is guard), ())
    stands = joined([book.id(device_id(book.network.edges[id])) for id in like[:SOME]])
    more = f" and {len(like) - SOME} more" if len(like) > SOME else ""
    alike: Inline = (" It stands for ", stands, more, " too.") if like else ""
    return ("Hatched: between the shortest and the longest time. ", Marked(bands, "memory"), ".", alike)


def ways(book: Book, panel: Panel) -> dict | None:
    """Values for the template `guards`: the ways of a panel; None where nothing was worked out."""
    found = [(n, g) for n in panel.ways if (d := book.devices.get(f"{panel.id} way {n}")) and (g := guard_of(book, d))]
    if not found:
        return None
    rows = [_way(book, number, guard) for number, guard in found]
    charts = [
        (chart, (f"Way {n}. ", caption(book, guard))) for n, guard in found if (chart := book.charted(guard.device))
    ]
    pulses = {number: pulse for number, guard in found if (pulse := pulse_of(book, guard))}
    whys = (
        "Why the ways are judged so",
        of_ways(book.network, dict(found), pulses),
        [anchor(book, guard) for _, guard in found],
    )
    return {"rows": without_empty(WAYS, rows), "charts": charts, "whys": whys}


def _way(book: Book, number: str, guard: Guard) -> list[Inline]:
    goes = linked(book, guard, selective(book, guard))
    dark = (goes, "; ", blackout_words(book, guard)) if goes != EMPTY and guard.blackout else goes
    return [
        number,
        linked(book, guard, breaks(book, guard)),
        linked(book, guard, opens(book, guard)),
        linked(book, guard, spares(book, guard)),
        linked(book, guard, holds(book, guard)),
        dark,
    ]
