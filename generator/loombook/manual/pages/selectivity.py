"""Which fuse or breaker opens first, over the whole range of fault current, and which short makes the BMS black out the ship."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ...quantities import in_unit
from ...study.coordination import RULE
from ...study.guardmodel import Guard, Selective
from ..book import Book
from ..devices import device_id
from ..figures import bound, cannot, figure
from ..judging import against, guard_of, upstream, why_at, worst_fault
from ..parted import parted
from ..sheet import FIGURES, Sheet
from ..text import EMPTY, Column, Inline, Lines, Link, joined
from ..words import few, kind_words

PATH = "figures/selectivity.md"
PAIRS = [
    Column("Device"),
    Column("Kind and rating"),
    Column("Fault current", "", True),
    Column("Opens alone, whatever flows, against"),
    Column("Not, or only up to a current"),
    Column("Chart"),
]
DARK = [Column("Short just behind"), Column("Fault current", "", True), Column("Opens before the device")]
UNITS = [Column("BMS of"), Column("Trips above", "", True), Column("After", "", True)]
NAMED = 6


def pages(book: Book) -> Iterator[Sheet]:
    rows = _pairs(book)
    for path, part, parts in parted(PATH, rows):
        first = path == PATH
        units = [b for b in book.inventory.batteries.values() if b.bms]
        values = {
            "pairs": (PAIRS, part),
            "dark": (DARK, _darks(book) if first else []),
            "lost": _lost(book) if first else [],
            "units": (UNITS, [_unit(book, b) for b in units] if first else []),
            "silent": [book.named(b.id) for b in units if b.bms.trip is None or b.bms.trip_delay is None],
            "charts": _charts(book) if first else [],
            "rule": RULE,
            "parts": parts,
        }
        tags = ("selectivity", "discrimination", "coordination", "dark ship", "black out")
        yield Sheet(path, "Which device opens first", "selectivity", values, FIGURES if first else None, tags)


def _pairs(book: Book) -> list[list[Inline]]:
    """A row for each device with something upstream; ways of a panel that are judged alike share one."""
    groups: dict[tuple, list[Guard]] = {}
    for device in book.devices.values():
        guard = guard_of(book, device)
        if guard and guard.selectivity:
            verdicts = tuple((s.upstream, s.verdict, _told(s)) for s in guard.selectivity)
            own = "" if device.panel else device.id
            groups.setdefault((device.panel, own, guard.family, guard.rating, verdicts), []).append(guard)
    return [_row(book, guards) for guards in groups.values()]


def _told(found: Selective) -> str:
    return in_unit(found.limit, "current", 2) if found.limit is not None else found.unknown


def _row(book: Book, guards: Sequence[Guard]) -> list[Inline]:
    guard, why = guards[0], why_at(book, guards[0])
    good = [upstream(book, s) for s in guard.selectivity if s.verdict == "full"]
    rest = [
        against(book, s, why) for s in sorted(guard.selectivity, key=lambda s: not s.verdict) if s.verdict != "full"
    ]
    chart = next((_chart(book, g) for g in guards if book.charted(g.device)), EMPTY)
    return [
        _names(book, guards),
        (kind_words(guard.family), f", {guard.rating:g} A" if guard.rating else ", rating not known"),
        figure(_currents(book, guards), why) if guard.lowest is not None and guard.highest else cannot(),
        joined(few(good, NAMED)) if good else EMPTY,
        Lines(tuple(rest)) if rest else EMPTY,
        chart,
    ]


def _names(book: Book, guards: Sequence[Guard]) -> Inline:
    edges = [book.network.edges[g.device] for g in guards]
    if len(edges) == 1:
        return book.named(device_id(edges[0]))
    ways = joined([book.link(device_id(e), str(e.path[3])) for e in edges])
    return (book.named(edges[0].item), " ways ", ways)


def _chart(book: Book, guard: Guard, words: str = "chart") -> Inline:
    edge = book.network.edges[guard.device]
    return Link(f"item:{edge.item}#{book.charted(guard.device)}", words)


def _charts(book: Book) -> list[Inline]:
    """Every coordination chart, by the device that it is of."""
    drawn = [path.guard for path in book.charts if book.charted(path.guard.device)]
    return [_chart(book, guard, device_id(book.network.edges[guard.device])) for guard in drawn]


def _currents(book: Book, guards: Sequence[Guard]) -> Inline:
    lows = [g.lowest for g in guards if g.lowest is not None]
    highs = [g.highest.high for g in guards if g.highest]
    if not lows or not highs:
        return cannot()
    return _most(book, guards, f"{in_unit(min(lows), 'current', 2)} to {in_unit(max(highs), 'current', 2)}")


def _most(book: Book, guards: Sequence[Guard], words: str) -> Inline:
    """The highest current of some devices; a bound where a cable on the way is not known."""
    faults = [fault for guard in guards if (fault := worst_fault(book, guard))]
    worst = max(faults, key=lambda fault: fault.highest.high, default=None)
    return bound(worst, words) if worst else words


def _darks(book: Book) -> list[list[Inline]]:
    """A row for each device, the ways of one panel together."""
    groups: dict[tuple, list[Guard]] = {}
    for device in book.devices.values():
        guard = guard_of(book, device)
        if guard and guard.blackout:
            groups.setdefault((device.panel or device.id, guard.blackout), []).append(guard)
    return [
        [
            _names(book, guards),
            figure(
                _most(book, guards, in_unit(max(g.highest.high for g in guards), "current", 2)), why_at(book, guards[0])
            ),
            joined([("the BMS of ", book.id(id)) for id in units]),
        ]
        for (_, units), guards in groups.items()
    ]


def _lost(book: Book) -> list[Inline]:
    """What goes dark with each set of units."""
    lines: list[Inline] = []
    for units in dict.fromkeys(g.blackout for g in book.study.guards.values() if g.blackout):
        lost = book.blacked_out(units)
        names = joined(few([book.link(c) for c in lost], NAMED)) if lost else "nothing: another source goes on"
        lines.append(("When the BMS of ", joined([book.id(id) for id in units]), " opens, these go dark: ", names))
    return lines


def _unit(book: Book, battery) -> list[Inline]:
    bms = battery.bms
    trip = str(bms.trip) if bms.trip else cannot("bms: trip would tell")
    delay = str(bms.trip_delay) if bms.trip_delay else cannot("bms: trip delay would tell")
    return [book.named(battery.id), trip, delay]
