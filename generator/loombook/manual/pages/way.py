"""The way of the current on a consumer's page: points with volts to measure, and what else dies at each level."""

from __future__ import annotations

from collections.abc import Sequence

from ...network import Edge
from ...network.model import SOURCES
from ...network.supply import SupplyPath
from ...study.model import Flow
from ..book import Book
from ..cables import cable_words
from ..devices import Device, device_id
from ..reasons import leading, work_why
from ..routes import Point, Way, levels, middle
from ..text import Column, Inline, Lines, Strong, joined
from ..words import SOURCE_KINDS, few

OUT = [
    Column("Measure at"),
    Column("Expect", "V", True),
    Column("Lost so far", "V", True),
    Column("Where"),
    Column("Wire to it"),
]
BACK = [Column("Measure at"), Column("Expect", "V", True), Column("Where"), Column("Wire to it")]
DEAD = [Column("What else is dead"), Column("The fault is in"), Column("Measure first at")]

ALONE = "start here if nothing else is dead"
SHARED = "start here if its neighbours are dead too"
ROUND = 0.005
"""Less than this reads as nothing on a meter [V]."""


def dead_together(book: Book, path: SupplyPath) -> list[list[Inline]]:
    """For each stretch: what goes dead with it, what it consists of, where to measure first."""
    rows = []
    for number, level in enumerate(levels(book, path)):
        names, count = book.more_lost(level)
        more = [book.link(c) for c in names] + ([f"and {count - len(names)} more"] if count > len(names) else [])
        also = "also " if number > 1 else ""
        words = (also, joined(more, ", ")) if more else "nothing else"
        parts = list(dict.fromkeys(_part(book, edge) for edge in level.edges))
        device = next(
            (edge for edge in level.edges if edge.kind in ("fuse", "breaker", "switch") and not _is_hidden(book, edge)),
            None,
        )
        rows.append([words, joined(few(parts, 6)), book.node(device.b) if device else "–"])
    return rows


def _is_hidden(book: Book, edge: Edge) -> bool:
    device = book.devices.get(device_id(edge))
    return device is not None and device.hidden


def _part(book: Book, edge: Edge) -> Inline:
    if edge.path[:1] == ("circuits",):
        return ("the cable of ", book.named(edge.id.split(" ")[0]))
    if edge.path[:1] == ("panels",):
        return book.named(f"{edge.item} way {edge.path[3]}")
    return book.named(edge.item)


def way(book: Book, path: SupplyPath, flow: Flow | None, own: Sequence[Device]) -> dict:
    """The points out and back, and at which of them to begin."""
    found = Way(book, path, flow)
    out, back = found.out(), found.back()
    first = _own_from(out, own)
    starts = {}
    for begin, points, words in ((1, out[1:first], SHARED), (first, out[first:], ALONE)):
        place = middle(points)
        if place is not None:
            starts[begin + place] = words
    why = work_why(book, path.consumer)
    blacks = list(dict.fromkeys(point.black for point in out))
    return {
        "source": book.named(book.network.edges[path.source].item),
        "blacks": [book.node(black) for black in blacks],
        "through": [book.named(id) for id in path.through],
        "out": (OUT, [_out_row(book, point, starts.get(i, ""), why) for i, point in enumerate(out)]),
        "back": (BACK, [_back_row(book, point, why) for point in back]),
        "back_to": book.node(back[-1].node) if back else "",
    }


def _own_from(out: Sequence[Point], own: Sequence[Device]) -> int:
    """The point from which on the wiring is the consumer's own: the load side of its fuse."""
    edges = {edge for device in own[-1:] for edge in device.edges}
    return next(
        (i for i, point in enumerate(out) if point.device is not None and point.device.id in edges),
        max(len(out) - 1, 1),
    )


def _out_row(book: Book, point: Point, start: str, why: str) -> list[Inline]:
    name = book.node(point.node)
    words = Lines((name, Strong(f"◀ {start}"))) if start else name
    expect = f"at most {volts(point.volts)}" if point.at_most and point.volts is not None else volts(point.volts)
    return leading(OUT, [words, expect, volts(point.drop), _where(book, point), _wires(book, point)], why)


def _back_row(book: Book, point: Point, why: str) -> list[Inline]:
    return leading(BACK, [book.node(point.node), volts(point.volts), _where(book, point), _wires(book, point)], why)


def volts(value: float | None) -> str:
    """Volts as a hand meter shows them."""
    return "–" if value is None else "0" if abs(value) < ROUND else f"{value:.2f}"


def _where(book: Book, point: Point) -> Inline:
    device = point.device
    if device is not None and device.path[:1] == ("panels",):
        return book.where_is(f"{device.item} way {device.path[3]}")
    where = book.where_is(point.node.split(" ")[0])
    return ("HIDDEN; ", where) if point.hidden else where


def _wires(book: Book, point: Point) -> Inline:
    parts = []
    for edge in point.by:
        name = (book.id(edge.item), " ") if edge.path[:1] == ("runs",) else ""
        parts.append((name, cable_words(edge)))
    return Lines(tuple(parts)) if parts else "–"


def other_sources(book: Book, path: SupplyPath) -> list[Inline]:
    """Further sources that feed it as the switches usually stand, each with the way as far as it is another."""
    main = {hop.edge.id for hop in path.out}
    found = []
    for other in book.study.supply.get(path.consumer, ()):
        if other is path:
            continue
        source = book.network.edges[other.source]
        apart = [
            hop.edge
            for hop in other.out
            if hop.edge.id not in main and hop.edge.kind in (*SOURCES, "fuse", "breaker", "switch")
        ]
        ways = dict.fromkeys(_part(book, edge) for edge in apart if edge.item != source.item)
        found.append(
            (
                book.named(source.item),
                f" ({SOURCE_KINDS[source.kind]})",
                (", by way of ", joined(list(ways))) if ways else "",
            )
        )
    return found


def reserves(book: Book, path: SupplyPath) -> list[Inline]:
    """What can feed it once switches are put otherwise than usual: the fewest switches, then the sources."""
    network = book.network
    groups: dict[tuple, dict[str, None]] = {}
    for other in book.study.reserve.get(path.consumer, ()):
        moved = {
            (hop.edge.item, hop.edge.positions)
            for hop in (*other.out, *other.back)
            if not network.is_closed(hop.edge, network.normal)
        }
        groups.setdefault(tuple(sorted(moved)), {})[network.edges[other.source].item] = None
    shortest = [moved for moved in groups if not any(set(less) < set(moved) for less in groups)]
    found = []
    for moved in shortest:
        switches = joined([(book.named(id), f" to {positions[0].upper()}") for id, positions in moved], " and ")
        found.append((switches, ": ", joined([book.named(id) for id in groups[moved]])))
    return found
