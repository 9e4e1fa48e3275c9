"""Divides the width of a printed table among its columns, and says which rows are higher than a sheet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

from .text import Column, Inline, plain

BOLD = 1.12
"""Signs of heads, ids and outcomes are that much wider."""
NARROWEST, LONGEST_WORD = 4, 22
"""Signs of a column: the least it gets, and the longest word that widens it; a longer one is broken."""
SHEET, STANDING = 40, 100
"""Lines that fit on a sheet for sure, and signs in a line of a table on a standing sheet."""


@dataclass(frozen=True)
class Fit:
    """How a table goes on paper."""

    shares: tuple[int, ...]
    """Share of the width, column by column."""
    least: int
    """Signs in a line that it needs so that no usual word is broken."""
    long: frozenset[int]
    """The rows that may be higher than a sheet."""


def head(column: Column) -> str:
    return f"{column.head} ({column.unit})" if column.unit else column.head


def fitted(columns: Sequence[Column], rows: Sequence[Sequence[Inline]]) -> Fit:
    """Each column gets its longest word, and what is left goes by how much there is to say in it."""
    texts = [[plain(cell) for cell in row] for row in rows]
    needs, wants = [], []
    for place, column in enumerate(columns):
        cells = [row[place] for row in texts]
        words = [len(word) * BOLD for text in (head(column), *cells) for word in text.split()]
        need = max(NARROWEST, min(max(words, default=0), LONGEST_WORD))
        needs.append(need + 1)
        said = sum(map(len, cells)) / max(len(cells), 1)
        longest = max(map(len, cells), default=0)
        wants.append(max(sqrt(said * longest) - need, 0) + 1)
    least = round(sum(needs))
    spare = max(STANDING - least, 0)
    wide = [need + spare * want / sum(wants) for need, want in zip(needs, wants, strict=True)]
    shares = tuple(max(round(100 * one / sum(wide)), 1) for one in wide)
    lines = [max(len(cell) / max(one, 1) for cell, one in zip(row, wide, strict=True)) for row in texts]
    return Fit(shares, least, frozenset(place for place, high in enumerate(lines) if high > SHEET))
