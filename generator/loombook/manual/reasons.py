"""Where the why of each figure is told, so that every cell that shows the figure can lead to it."""

from __future__ import annotations

from collections.abc import Sequence

from ..network import Edge
from .book import Book
from .figures import figure
from .text import EMPTY, Column, Inline, Link, Marked, plain


def leading(columns: Sequence[Column], row: Sequence[Inline], why: str, *heads: str) -> list[Inline]:
    """A row whose computed figures lead to their why: those of the columns named, or of all columns of numbers."""
    return [
        figure(cell, why) if (column.head in heads if heads else column.number) and _is_figure(cell) else cell
        for column, cell in zip(columns, row, strict=True)
    ]


def _is_figure(cell: Inline) -> bool:
    """Whether a cell holds a figure that leads nowhere yet: not a dash, not 0, and not what
    says that there is none."""
    if isinstance(cell, Link):
        return False
    return (
        cell != EMPTY
        and not (isinstance(cell, Marked) and cell.mark == "missing")
        and any(sign in "123456789" for sign in plain(cell))
    )


def fault_why(book: Book, id: str) -> str:
    """Of the prospective fault current quoted at an item; nothing where no source reaches it."""
    fault = book.fault(id)
    if fault is None or fault.why is None or fault.highest is None:
        return ""
    return f"item:{id}#why-fault-{id}" if id in book.inventory.batteries else f"item:{id}#why-fault"


def carrying_why(book: Book, edge: Edge) -> str:
    """Of what a conductor carries, and of the current that is expected in it."""
    found = book.study.carrying.get(edge.id)
    if found is None or found.why is None:
        return ""
    return f"item:{edge.item if edge.path[:1] == ('runs',) else edge.id.split(' ')[0]}#why-carrying"


def expected_why(book: Book, edge: Edge) -> str:
    """Of the current that is expected in a conductor, whether or not it is known what it carries."""
    return carrying_why(book, edge) or "page:figures/carrying.md#why-expected"


def warm_why(book: Book, edge: Edge) -> str:
    """Of how warm a conductor gets; nothing where it is not worked out."""
    if edge.id not in book.study.warm:
        return ""
    return f"item:{edge.item if edge.path[:1] == ('runs',) else edge.id.split(' ')[0]}#why-warm"


def work_why(book: Book, consumer: str) -> str:
    """Of a consumer's current and volts at work; nothing where no operating condition supplies it."""
    found = book.study.working.get(consumer)
    return f"item:{consumer}#why-volts" if found and found.worst is not None else ""
