"""A page for each panel: way by way what it feeds, which device, spare ways, what feeds the panel itself."""

from __future__ import annotations

from collections.abc import Iterator

from ...inventory.devices import Panel
from ...quantities import digits
from ...study.loads import load_amps
from ..book import Book
from ..devices import way_spot
from ..evidence import evidence, found_on
from ..figures import fault_words, figure, lowest_words
from ..faulting import course, ruled_by
from ..guarding import ways
from ..reasons import work_why
from ..sheet import ORIENTATION, Sheet
from ..text import EMPTY, Column, Id, Inline, Marked, joined
from ..words import few, kind_words, number_of, quantity
from .fault import shares

WAYS = [
    Column("Way"),
    Column("Label"),
    Column("Feeds"),
    Column("Rating", "A", True),
    Column("Load", "A", True),
    Column("Stands"),
    Column("Findings"),
]


def pages(book: Book) -> Iterator[Sheet]:
    for panel in book.inventory.panels.values():
        yield _page(book, panel)


def _page(book: Book, panel: Panel) -> Sheet:
    fault = book.fault(panel.id)
    spare = sum(way.spare for way in panel.ways.values())
    tags = tuple(
        dict.fromkeys(
            (panel.id, panel.title, *panel.also_called, *(way.label for way in panel.ways.values() if way.label))
        )
    )
    values = {
        "panel": panel,
        "answer": [
            ("Where", book.where(panel.at)),
            ("Its devices", _kinds(panel)),
            ("Ways", f"{len(panel.ways)}, {spare} of them spare"),
            ("Fed by", _fed_by(book, panel)),
            (
                "Circuits return to",
                book.named(panel.negative) if panel.negative else Marked("not written down", "missing"),
            ),
            ("Highest fault current here", fault_words(fault)),
            ("Lowest", lowest_words(fault)),
            ("Given by", shares(book, fault) if fault else EMPTY),
            ("Ruled by", ruled_by(book, panel.id)),
            ("Its devices break", _breaks(panel)),
        ],
        "fronts": book.figures(f"panel-front-{panel.id}"),
        "figures": book.figures(f"panel-{panel.id}"),
        "ways": (
            WAYS,
            [_way(book, panel, number) for number in panel.ways],
            [f"way-{number}" for number in panel.ways],
        ),
        "fault": fault,
        "course": course(book, panel.id),
        "guards": ways(book, panel),
        "also_called": panel.also_called,
        "found": found_on(book, panel.id),
        "evidence": evidence(book, panel.id, panel),
    }
    return Sheet(
        f"panels/{panel.id}.md", panel.title, "panel", values, ORIENTATION, tags, (panel.title, " ", Id(panel.id))
    )


def _kinds(panel: Panel) -> str:
    kinds = dict.fromkeys(way.kind or panel.kind for way in panel.ways.values() if not way.spare)
    return ", ".join(kind_words(kind) for kind in kinds) or kind_words(panel.kind)


def _breaks(panel: Panel) -> Inline:
    if panel.breaking is None:
        return Marked("breaking capacity not written down", "missing")
    at = (" at ", quantity(panel.breaking.voltage)) if panel.breaking.voltage else ""
    return (quantity(panel.breaking.current), at)


def _fed_by(book: Book, panel: Panel) -> Inline:
    """The devices first met from the panel towards its sources."""
    bus = f"{panel.id} L" if panel.ac else panel.id
    feeds = [edge for edge in book.network.at.get(bus, ()) if edge.kind == "conductor"]
    devices: dict[str, None] = {}
    for edge in feeds:
        protection = book.study.protection.get(edge.id)
        devices.update((book.network.edges[id].item, None) for id in (protection.devices if protection else ()))
    cables = joined([book.named(edge.item) for edge in feeds])
    if not devices:
        return cables or Marked("not written down", "missing")
    return (joined(few([book.named(id) for id in devices], 4)), ", by ", cables)


def _way(book: Book, panel: Panel, number: str) -> list[Inline]:
    way = panel.ways[number]
    column, row, _ = way_spot(panel, number)
    spot = f"column {column}, row {row}" if panel.columns > 1 else f"row {row}"
    if way.spare:
        return [number, "spare", "–", "–", "–", spot, "–"]
    id = f"{panel.id} way {number}"
    consumers = [c for circuit in book.circuits_from.get(id, ()) for c in book.consumers_of.get(circuit, ())]
    amps = sum(load_amps(book.network, book.network.edges[book.network.consumers[c].edge]) for c in consumers)
    device = book.devices[id]
    rating = number_of(device.rating) if device.rating else Marked("not known", "missing")
    feeds = (
        joined(few([book.named(c) for c in consumers]))
        if consumers
        else joined(_others(book, id)) or Marked("nothing that is written down", "missing")
    )
    load = figure(digits(amps, 2), work_why(book, consumers[0])) if amps else "–"
    found = [o for o in book.checked.for_item(id) if o.is_finding]
    badges = ", ".join(f"{o.outcome} {o.rule}" for o in found) or "–"
    return [number, way.label or "–", feeds, rating, load, spot, badges]


def _others(book: Book, way: str) -> list[Inline]:
    """What a way feeds that is no final circuit: cables of a run."""
    return [book.named(edge.item) for edge in book.network.at.get(way, ()) if edge.kind == "conductor"]
