"""What was changed since an earlier revision, and what follows from it; only where an earlier inventory is given."""

from __future__ import annotations

from collections.abc import Iterator

from ...compare.report import WRITTEN, Section, headline, sections
from ..book import Book
from ..sheet import FINDINGS, Sheet
from ..text import Column, Inline

PATH = "findings/changes.md"


def pages(book: Book) -> Iterator[Sheet]:
    if book.comparison is None:
        return
    title = f"What changed since revision {book.comparison.before.name}"
    tables = [
        {
            "title": section.title,
            "about": section.about,
            "none": section.none,
            "columns": [Column(name) for name in section.columns],
            "rows": _rows(book, section),
            "sheets": _sheets(book) if section.title == WRITTEN else [],
        }
        for section in sections(book.comparison)
    ]
    values = {"headline": headline(book.comparison), "tables": tables}
    yield Sheet(PATH, title, "changes", values, FINDINGS, ("changes", "refit", "revision", "consequences"))


def _sheets(book: Book) -> list[str]:
    """The drawings with marks, the ship's first."""
    marked = (name for name in book.drawings if name.startswith("changed-"))
    return sorted(marked, key=lambda name: ("ship" not in name, name))


def _rows(book: Book, section: Section) -> list[list[Inline]]:
    return [[_thing(book, row[0]) if section.ids else row[0], *row[1:]] for row in section.rows]


def _thing(book: Book, id: str) -> Inline:
    """Its name and id; of a circuit's cable the circuit leads on; what is gone has its id alone."""
    if id in book.links:
        return book.named(id)
    owner = id.split(" ")[0]
    return book.link(owner, id) if owner in book.links else id
