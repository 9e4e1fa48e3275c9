"""What stands behind a page: findings on it, photos, papers, test records and what the owner noted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import PurePosixPath
from typing import Any

from ..checks import Outcome
from .book import Book
from .files import is_picture, path_of
from .text import Badge, Column, Inline, Link
from .words import unticked, yes_no

TESTS = [
    Column("Date"),
    Column("What"),
    Column("Value", "", True),
    Column("Limit", "", True),
    Column("Passed"),
    Column("By"),
    Column("Note"),
]


@dataclass(frozen=True)
class Evidence:
    """What a page shows below its figures."""

    photos: Sequence[tuple[str, str]] = ()
    """(path in the manual, caption)."""
    papers: Sequence[Inline] = ()
    tests: Sequence[list[Inline]] = ()
    note: str = ""
    columns: Sequence[Column] = tuple(TESTS)


def evidence(book: Book, id: str, record: Any) -> Evidence:
    """Photos, papers, tests and the note of an item or consumer."""
    names = (*getattr(record, "photo", ()), *getattr(record, "papers", ()))
    title = book.title(id)
    photos = [(path_of(name), f"{title} ({id})") for name in names if is_picture(name)]
    papers = [Link(f"page:{path_of(name)}", PurePosixPath(name).name) for name in names if not is_picture(name)]
    if book.inventory.folder is None:  # the inventory came as text: there are no files beside it
        photos, papers = [], []
    return Evidence(
        photos, papers, [test_row(test) for test in book.tests_of.get(id, ())], getattr(record, "note", None) or ""
    )


def test_row(test) -> list[Inline]:
    return [
        test.date.isoformat(), test.what, test.value or "–", test.limit or "–", yes_no(test.passed),
        " · ".join(part for part in (test.by, test.instrument) if part) or "–", test.note or "–",
    ]  # fmt: skip


def found_on(book: Book, *ids: str) -> list[Inline]:
    """Findings that concern these things, each in a line that leads to it."""
    return [finding_line(book, outcome) for outcome in book.found.on(*ids)]


def finding_line(book: Book, outcome: Outcome) -> Inline:
    accepted = " (accepted by the owner)" if book.found.is_accepted(outcome) else ""
    return (
        Badge(outcome.outcome, outcome.outcome),
        " ",
        Link(book.found.target(outcome), unticked(outcome.what)),
        accepted,
    )
