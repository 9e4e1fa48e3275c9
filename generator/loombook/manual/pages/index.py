"""Look up by everyday name: A to Z over all names, labels and ids, each line with its fuse."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator

from ..book import Book
from ..routes import route
from ..sheet import LOOKUP, Sheet
from ..text import Id, Inline


def pages(book: Book) -> Iterator[Sheet]:
    letters: dict[str, list[Inline]] = {}
    for name, id in _entries(book):
        letters.setdefault(_letter(name), []).append(_line(book, name, id))
    yield Sheet(
        "lookup/index.md",
        "Find a device by its everyday name",
        "index",
        {"letters": sorted(letters.items(), key=_last_others)},
        LOOKUP,
        ("index", "A to Z", "where is the fuse"),
    )


def _last_others(entry: tuple[str, list]) -> tuple[bool, str]:
    return (not entry[0].isalpha(), entry[0])


def _entries(book: Book) -> list[tuple[str, str]]:
    """Every name by which a consumer, panel or device may be looked for, in alphabetical order."""
    found: set[tuple[str, str]] = set()
    things = [(c.id, c.record) for c in book.network.consumers.values()]
    things += [(i.id, i) for i in book.inventory.items() if i.id not in book.network.consumers]
    for id, record in things:
        names = (record.name or id, *record.also_called, *((record.label,) if record.label else ()))
        found |= {(name, id) for name in names}
    return sorted(found, key=lambda entry: (_key(entry[0]), entry[0], entry[1]))


def _key(name: str) -> str:
    """For sorting: without accents and case."""
    return "".join(c for c in unicodedata.normalize("NFKD", name.casefold()) if not unicodedata.combining(c))


def _letter(name: str) -> str:
    first = _key(name)[:1].upper()
    return first if first.isalpha() else "0–9"


def _line(book: Book, name: str, id: str) -> Inline:
    words: list[Inline] = [book.link(id, name)]
    title = book.title(id)
    if title != name:
        words += [": ", title]
    words += [" ", Id(id)] if id not in book.inventory.spaces else []
    consumer = book.network.consumers.get(id)
    if consumer:
        own = route(book, consumer).own
        words += [" · ", own[-1].short(book.title(own[-1].panel)) if own else "no fuse of its own"]
    return tuple(words)
