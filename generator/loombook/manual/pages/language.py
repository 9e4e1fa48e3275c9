"""How the inventory is written: every family and key, read off the records that check it."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

from ...inventory.describe import Family, families
from ..book import Book
from ..sheet import ABOUT, Sheet
from ..text import Column, Inline, Strong

COLUMNS = [Column("Key"), Column("Write"), Column("Means")]
SHAPES = {
    "one": "Given once.",
    "by id": "Each member under its id.",
    "by name": "Each member under a name of your own.",
    "list": "A list: each member after a hyphen.",
    "inside": "Stands inside other records.",
}


def pages(book: Book) -> Iterator[Sheet]:
    yield Sheet("about/language.md", "How the inventory is written", "language", {"families": _families()}, ABOUT,
                ("inventory", "yaml", "keys"))  # fmt: skip


@cache
def _families() -> list[tuple[str, str, str, tuple]]:
    return [(f.name, f.means, SHAPES[f.shape], (COLUMNS, _rows(f))) for f in families() if f.keys]


def _rows(family: Family) -> list[list[Inline]]:
    return [
        [(Strong(key.name), " (needed)") if key.needed else key.name, _plain(key.takes), _plain(key.means)]
        for key in family.keys
    ]


def _plain(words: str) -> str:
    """The writer escapes signs of markup, so backquotes would be seen; quotation marks say the same."""
    return words.replace("`", "“", 1).replace("`", "”", 1) if words.count("`") == 2 else words.replace("`", "")
