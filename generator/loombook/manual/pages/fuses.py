"""The schedule of all fuses and breakers by place, and what is lost when one of them is gone."""

from __future__ import annotations

from collections.abc import Iterator

from ...quantities import digits
from ..book import Book
from ..devices import Device
from ..figures import figure, kiloamps
from ..reasons import carrying_why, fault_why
from ..sheet import LOOKUP, Sheet
from ..text import Column, Inline, Marked, joined
from ..words import ACCESS, few, kind_words, number_of, quantity

SCHEDULE = [
    Column("Device"),
    Column("Kind"),
    Column("Rating", "A", True),
    Column("Stands"),
    Column("Smallest wire behind it carries", "A", True),
    Column("Breaks", "kA", True),
    Column("Highest fault here", "kA", True),
    Column("Spare"),
]
LOST = [Column("If this is gone"), Column("Rating"), Column("You lose"), Column("How many", "", True)]
NAMES = 12
"""So many names in a row; the rest is counted."""


def pages(book: Book) -> Iterator[Sheet]:
    yield Sheet(
        "lookup/fuses.md",
        "All fuses and breakers, place by place",
        "fuses",
        {"places": _by_place(book)},
        LOOKUP,
        ("fuse list", "breaker list"),
    )
    rows = [_lost(book, device) for device in book.devices.values()]
    rows += [_lost_switch(book, switch) for switch in book.inventory.switches.values()]
    yield Sheet("lookup/lost.md", "If this fuse is gone, what you lose", "lost", {"lost": (LOST, rows)}, LOOKUP)


def _by_place(book: Book) -> list[tuple[str, list[Column], list[list[Inline]]]]:
    """(place, columns, rows): panels first, then the spaces in the order of the inventory."""
    groups: dict[str, list[Device]] = {}
    for device in book.devices.values():
        space = device.at.space if device.at and device.at.space else ""
        place = book.title(device.panel) if device.panel else book.title(space) if space else "Place not written down"
        groups.setdefault(place, []).append(device)
    return [(place, SCHEDULE, [_row(book, device) for device in devices]) for place, devices in groups.items()]


def _row(book: Book, device: Device) -> list[Inline]:
    rating = number_of(device.rating) if device.rating else Marked("not known", "missing")
    access = ACCESS.get(device.access, "")
    stands = (
        device.place_on_panel
        if device.panel
        else (joined([part for part in ((device.at.place if device.at else "") or "", access) if part], "; ") or "–")
    )
    place = device.panel or device.id
    return [
        book.device(device),
        kind_words(device.kind),
        rating,
        ("HIDDEN; ", stands) if device.hidden else stands,
        _carries(book, device),
        breaks(book, device),
        figure(kiloamps(book.fault(place)), fault_why(book, place)),
        book.spare_words(device),
    ]


def _carries(book: Book, device: Device) -> Inline:
    found = book.behind.get(device.id)
    if found is None:
        return "–"
    amps, missing, conductor = found
    if amps is None:
        return Marked(f"cannot check: {missing}", "missing")
    words = digits(amps, 3) if not missing else Marked(f"{digits(amps, 3)} or less: {missing}", "missing")
    return figure(words, carrying_why(book, book.network.edges[conductor]))


def breaks(book: Book, device: Device) -> Inline:
    """Breaking capacity as its label has it, in kiloamperes and at which voltage."""
    panel = book.inventory.panels.get(device.panel)
    found = device.record.breaking or (panel.breaking if panel else None)
    if found is None:
        return Marked("not known", "missing")
    at = (" at ", quantity(found.voltage)) if found.voltage else ""
    return (f"{found.current.value / 1000:g}", at)


def _lost(book: Book, device: Device) -> list[Inline]:
    lost = book.lost_with(device)
    rating = (quantity(device.rating) if device.rating else Marked("not known", "missing"), " ", device.word.lower())
    return [book.device(device), rating, _names(book, lost), str(len(lost))]


def _lost_switch(book: Book, switch) -> list[Inline]:
    lost = book.lost_with([edge.id for edge in book.network.of_item.get(switch.id, ()) if edge.kind == "switch"])
    return [book.named(switch.id), "switch", _names(book, lost), str(len(lost))]


def _names(book: Book, lost: tuple[str, ...]) -> Inline:
    if not lost:
        return "nothing, as long as the other way holds"
    return joined(few([book.link(id) for id in lost], NAMES))
