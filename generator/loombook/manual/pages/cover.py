"""The first page: who the vessel is, how old the data are, and the three doors of the reader."""

from __future__ import annotations

from collections.abc import Iterator

from ..book import Book
from ..sheet import Sheet
from ..text import Badge, Inline, Link
from ..words import count, day, quantity
from .changes import PATH as CHANGES

RULE_SETS = {
    "iso": "ISO small-craft standards",
    "us": "United States regulations and practice",
    "both": "ISO standards and United States rules, the stricter of the two",
}

DOORS = (
    ("page:emergency/isolate.md", "Something burns or smokes: isolate now"),
    ("page:find/index.md", "Something is dead: find its fuse, find out why"),
    ("page:findings/findings.md", "Survey, purchase, refit: what was found"),
)


def pages(book: Book) -> Iterator[Sheet]:
    vessel = book.inventory.vessel
    counts = book.checked.counts
    yield Sheet(
        "index.md",
        vessel.name,
        "cover",
        {
            "doors": [Link(target, words) for target, words in DOORS],
            "identity": _identity(book),
            "age": _age(book),
            "found": [
                (Badge("A", "A"), f" {count(counts['A'], 'finding')} to put right before use"),
                (Badge("B", "B"), f" {count(counts['B'], 'finding')} that want timely attention"),
                (Badge("C", "C"), f" {count(counts['C'], 'finding')} of good practice"),
                (
                    Badge("cannot", "cannot check"),
                    " ",
                    Link(
                        "page:findings/cannot-check.md",
                        f"{count(counts['unknown'], 'check')} that missing data do not allow",
                    ),
                ),
                (
                    f"{count(counts['accepted'], 'finding')} accepted by the owner: ",
                    Link("page:findings/waivers.md", "by whom, until when"),
                ),
                *_changes(book),
            ],
            "policy": vessel.policy,
            "history": vessel.history,
            "note": vessel.note or "",
        },
        None,
        (vessel.name, "home"),
        (vessel.name, ": electrical manual"),
    )


def _changes(book: Book) -> Iterator[Inline]:
    if book.comparison:
        yield Link(f"page:{CHANGES}", f"what changed since revision {book.comparison.before.name}, and what follows")


def _identity(book: Book) -> list[tuple[str, Inline]]:
    vessel = book.inventory.vessel
    rows = [
        ("Kind", vessel.kind),
        ("Length", quantity(vessel.length) if vessel.length else None),
        ("Built", vessel.built),
        ("Builder", vessel.builder),
        ("Hull", vessel.hull),
        ("Flag", vessel.flag),
        ("Home port", vessel.home_port),
        ("MMSI", vessel.mmsi),
        ("Call sign", vessel.call_sign),
        ("Owner", vessel.owner),
    ]
    known = [(term, words) for term, words in rows if words]
    return [
        *known,
        ("Rules applied", RULE_SETS[vessel.rules] + (f" ({vessel.rules_edition})" if vessel.rules_edition else "")),
        ("Revision", vessel.revision),
        ("Date of the revision", day(vessel.date)),
    ]


def _age(book: Book) -> Inline:
    vessel = book.inventory.vessel
    if vessel.date is None:
        return "How old the data are is not known: the inventory has no date."
    days = (book.as_of - vessel.date).days
    if days < 0:
        return f"This manual speaks from {book.as_of.isoformat()}, before its own revision: one of the two is wrong."
    return f"The data were {count(days, 'day')} old when this manual was made, for {book.as_of.isoformat()}."
