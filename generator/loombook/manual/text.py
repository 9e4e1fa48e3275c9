"""Words with a meaning, before a writer has set them: links, ids, marked values, rows and steps."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, Union

Inline = Union[str, "Link", "Id", "Label", "Strong", "Marked", "Badge", "Lines", "Raw", tuple["Inline", ...]]
"""Anything in a line. A plain `str` is always text, whatever signs it holds; a tuple is its parts in a row."""


class Raw(str):
    """Text that a writer has set already; it goes out as it is."""

    __slots__ = ()


@dataclass(frozen=True)
class Link:
    """Words that lead to an item (`item:F12`) or to a page or a place on one (`page:figures/drop.md#C21`)."""

    target: str
    words: Inline


@dataclass(frozen=True)
class Id:
    """An id, set as on its label."""

    text: str


@dataclass(frozen=True)
class Label:
    """What is written on a handle aboard: large on a card."""

    text: str


@dataclass(frozen=True)
class Strong:
    words: Inline


@dataclass(frozen=True)
class Marked:
    """A value with what is to be known about it: `estimate`, `default`, `memory` or `missing`. The words say it too."""

    words: Inline
    mark: Literal["estimate", "default", "memory", "missing"]


@dataclass(frozen=True)
class Badge:
    """A rank (`A`, `B`, `C`) or an outcome (`pass`, `cannot`, `na`), with its word."""

    kind: Literal["A", "B", "C", "pass", "cannot", "na"]
    words: str


@dataclass(frozen=True)
class Lines:
    """Parts below each other in one cell."""

    parts: tuple[Inline, ...]


@dataclass(frozen=True)
class Column:
    """A column of a table. The unit stands in the header, not in each cell."""

    head: str
    unit: str = ""
    number: bool = False


@dataclass(frozen=True)
class Action:
    """One numbered step: one thing to do, where, and what one then sees, hears or feels."""

    do: Inline
    where: Inline = ""
    see: Inline = ""


def joined(parts: list[Inline] | tuple[Inline, ...], between: str = ", ") -> Inline:
    """The parts with `between` between them.

    >>> joined(["a", "b"])
    ('a', ', ', 'b')
    """
    found: list[Inline] = []
    for part in parts:
        found += [between, part] if found else [part]
    return tuple(found)


EMPTY = "–"
"""What stands in a cell where there is nothing to say."""


def without_empty(
    columns: Sequence[Column], rows: Sequence[Sequence[Inline]]
) -> tuple[list[Column], list[list[Inline]]]:
    """A table without the columns in which no row says anything."""
    keep = [i for i in range(len(columns)) if i == 0 or any(row[i] != EMPTY for row in rows)]
    return [columns[i] for i in keep], [[row[i] for i in keep] for row in rows]


def plain(inline: Inline) -> str:
    """The words alone.

    >>> plain(("See ", Link("item:F1", "the fuse"), "."))
    'See the fuse.'
    """
    if isinstance(inline, str):
        return inline
    if isinstance(inline, tuple):
        return "".join(plain(part) for part in inline)
    if isinstance(inline, Lines):
        return "; ".join(plain(part) for part in inline.parts)
    return inline.text if isinstance(inline, (Id, Label)) else plain(inline.words)


_CONTROL = re.compile(r"[\x00-\x1f\x7f-\x9f\u2028\u2029]")
_TURNS = re.compile(
    r"[\u0590-\u08ff\u200e\u200f\u202a-\u202e\u2066-\u2069\ufb1d-\ufdff\ufe70-\ufeff\U00010800-\U00010fff\U0001e800-\U0001efff]"
)
"""Letters that run from the right, and the signs that change direction."""
_CLOSES = str.maketrans("", "", "\u202c\u2069")


def isolated(text: str) -> str:
    """One line of text that cannot turn round what stands beside it.

    Writing that runs from the right, and the signs that change direction, are put between FIRST STRONG ISOLATE and POP
    DIRECTIONAL ISOLATE; signs that would close more than they open are dropped. Control characters become spaces.

    >>> isolated("a\\nb"), isolated("70 mm²")
    ('a b', '70 mm²')
    """
    text = _CONTROL.sub(" ", text)
    if text.isascii() or not _TURNS.search(text):
        return text
    return f"\u2068{text.translate(_CLOSES)}\u2069"
