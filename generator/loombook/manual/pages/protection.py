"""The protection schedule: each fuse and breaker against the current, the voltage and the wires at its place."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ...checks import Outcome
from ...quantities import digits
from ..book import Book
from ..devices import Device
from ..figures import figure
from ..judging import breaks, guard_of, linked, opens
from ..parted import parted
from ..reasons import carrying_why
from ..sheet import FIGURES, Sheet
from ..text import EMPTY, Badge, Column, Inline, Lines, Link, Marked, joined
from ..words import kind_words, number_of, quantity, unticked

DEVICES = [
    Column("Device"),
    Column("Kind"),
    Column("Rating", "A", True),
    Column("Rated voltage", "", True),
    Column("Breaks the highest fault"),
    Column("Opens within 5 s at the far end"),
    Column("Smallest wire carries", "A", True),
    Column("The rules say"),
]
UNPROTECTED = [Column("Wire"), Column("From"), Column("To"), Column("Reached without a device by")]
FAMILIES = ("P", "C", "F", "V")
"""Families of rules that speak of protection."""


def pages(book: Book) -> Iterator[Sheet]:
    for path, devices, parts in parted("figures/protection.md", list(book.devices.values())):
        first = path == "figures/protection.md"
        yield Sheet(
            path,
            "Protection schedule",
            "protection",
            {
                "devices": (DEVICES, [_row(book, device) for device in devices]),
                "unprotected": (UNPROTECTED, _unprotected(book) if first else []),
                "parts": parts,
            },
            FIGURES if first else None,
            ("protection", "fuse schedule"),
        )


def _row(book: Book, device: Device) -> list[Inline]:
    panel = book.inventory.panels.get(device.panel)
    voltage = device.record.voltage or (panel.voltage if panel else None)
    guard = guard_of(book, device)
    least, missing, weakest = book.behind.get(device.id, (None, "", ""))
    carries = (
        figure(digits(least, 3), carrying_why(book, book.network.edges[weakest]))
        if least is not None
        else Marked(f"cannot check: {missing}", "missing")
        if missing
        else "–"
    )
    rating = number_of(device.rating) if device.rating else Marked("not known", "missing")
    return [
        book.device(device),
        kind_words(device.kind),
        rating,
        quantity(voltage),
        linked(book, guard, breaks(book, guard)) if guard else EMPTY,
        linked(book, guard, opens(book, guard)) if guard else EMPTY,
        carries,
        verdict(book, device.id),
    ]


def verdict(book: Book, id: str, families: Sequence[str] = FAMILIES) -> Inline:
    """What the rules say of one item: its findings, what cannot be checked, or pass where a rule passed it."""
    rows = [o for o in book.found.about(id) if o.rule.split("-")[0] in families]
    lines: list[Inline] = [_badge(book, o) for o in rows if o.is_finding]
    unknown = [o for o in rows if o.outcome == "unknown"]
    if unknown:
        lines.append(
            (Badge("cannot", "cannot check"), " ", joined([Link(book.found.target(o), o.rule) for o in unknown]))
        )
    passed = sorted({o.rule for o in rows if o.outcome == "pass"})
    if passed:
        lines.append((Badge("pass", "pass"), " ", joined([Link(f"item:{rule}", rule) for rule in passed])))
    return Lines(tuple(lines)) if lines else "no rule speaks of it"


def _badge(book: Book, outcome: Outcome) -> Inline:
    return (
        Badge(outcome.outcome, outcome.outcome),
        " ",
        Link(book.found.target(outcome), outcome.rule),
        " ",
        unticked(outcome.here),
    )


def _unprotected(book: Book) -> list[list[Inline]]:
    rows = []
    for id, protection in book.study.protection.items():
        if protection.unprotected_from:
            edge = book.network.edges[id]
            sources = [
                book.link(book.network.edges[s].item) if s in book.network.edges else book.link(s)
                for s in protection.unprotected_from
            ]
            name = (
                book.named(edge.item)
                if edge.path[:1] == ("runs",)
                else (book.named(id.split(" ")[0]), f" {id.split(' ', 1)[1]}")
            )
            rows.append([name, book.node(edge.a), book.node(edge.b), joined(sources)])
    return rows
