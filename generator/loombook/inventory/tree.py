"""The located tree of what was written: texts, lists and mappings, each with its place; and how to find a place."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from ..diagnostics import Place


@dataclass(slots=True)
class Text:
    """A scalar; `value` is None where nothing was written (empty, `~` or `null`)."""

    value: str | None
    place: Place


@dataclass(slots=True)
class Seq:
    """A list."""

    items: list[Node]
    place: Place


@dataclass(slots=True)
class Map:
    """A mapping; `keys` has the place of each key."""

    entries: dict[str, Node]
    keys: dict[str, Place]
    place: Place


Node = Text | Seq | Map

_SPACE = re.compile(r"\s+")


def plain(node: Node | None) -> object:
    """The tree as plain data: dicts, lists, texts and None; runs of white space in a text become one space."""
    if isinstance(node, Text):
        return None if node.value is None else _SPACE.sub(" ", node.value).strip()
    if isinstance(node, Map):
        return {key: plain(value) for key, value in node.entries.items()}
    if isinstance(node, Seq):
        return [plain(item) for item in node.items]
    return None


def node_at(node: Node | None, path: tuple) -> Node | None:
    """The deepest node of `path` that is written; steps the owner left out are passed over."""
    for step in path:
        if isinstance(node, Map) and step in node.entries:
            node = node.entries[step]
        elif isinstance(node, Seq) and isinstance(step, int) and step < len(node.items):
            node = node.items[step]
    return node


def find(node: Node | None, path: tuple, key: bool = False) -> Place | None:
    """The place of the deepest node of `path` that is written; steps the owner left out are passed over.

    With `key`, the place of the last key rather than of its value.
    """
    here = node.place if node else None
    for step in path:
        if isinstance(node, Map) and step in node.entries:
            at_key, node = node.keys[step], node.entries[step]
            written = isinstance(node, Text) and node.value is not None
            here = node.place if written and not (key and step == path[-1]) else at_key
        elif isinstance(node, Seq) and isinstance(step, int) and step < len(node.items):
            node = node.items[step]
            here = node.place
    return here


def narrow(place: Place | None, part: str, texts: Mapping[str, str]) -> Place | None:
    """The stretch `part` inside what `place` points at, for a caret under the very words."""
    if place is None or not part or place.file not in texts:
        return place
    lines = _lines(texts[place.file])
    column = lines[place.line - 1].find(part, place.column - 1) if place.line <= len(lines) else -1
    return place if column < 0 else Place(place.file, place.line, column + 1, len(part))


@lru_cache(maxsize=4)
def _lines(text: str) -> list[str]:
    return text.split("\n")
