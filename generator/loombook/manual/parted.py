"""A long table on several pages, so that no page of a large vessel grows beyond what a phone opens."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TypeVar

from .text import Inline, Link

T = TypeVar("T")
ROWS = 400
"""So many rows of a table stand on one page."""


def parted(path: str, rows: Sequence[T], most: int = ROWS) -> Iterator[tuple[str, Sequence[T], list[Inline]]]:
    """(path of the page, its rows, links to all the pages); one page without links where the table is short.

    >>> [(page, rows) for page, rows, _ in parted("figures/x.md", "abcde", 2)]
    [('figures/x.md', 'ab'), ('figures/x-2.md', 'cd'), ('figures/x-3.md', 'e')]
    """
    stem = path.removesuffix(".md")
    count = max(1, -(-len(rows) // most))
    paths = [path, *(f"{stem}-{n}.md" for n in range(2, count + 1))]
    links: list[Inline] = [Link(f"page:{p}", f"part {n}") for n, p in enumerate(paths, 1)] if count > 1 else []
    for n, p in enumerate(paths):
        yield p, rows[n * most : (n + 1) * most], links
