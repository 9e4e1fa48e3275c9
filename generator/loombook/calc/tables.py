"""Published data as CSV files that carry their source, edition and honesty mark with them."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from importlib.resources import files
from types import MappingProxyType


class OutOfTable(LookupError):
    """A value that the published table does not cover; the message says so in plain words."""


class Mark(StrEnum):
    """How well a value is known. Pages print it beside the value."""

    SEEN = "seen"
    SECONDARY = "seen secondary"
    LOW_AUTHORITY = "low authority"
    MEMORY = "from memory"
    COMPUTED = "computed"
    PRACTICE = "common practice, no source"
    STATED = "stated by the owner"
    ASSUMED = "assumed"
    INVENTED = "invented"

    @property
    def words(self) -> str:
        """The mark as a reader of the manual needs it."""
        return _WORDS[self]

    @property
    def weight(self) -> int:
        """Order of trust, 0 is best: a result is only as good as the weakest value in it."""
        return _TRUST.index(self)


_WORDS = {
    Mark.SEEN: "read in the source",
    Mark.SECONDARY: "read where somebody restates the source; check your own copy",
    Mark.LOW_AUTHORITY: "read on a page of no standing, the arithmetic done again",
    Mark.MEMORY: "from memory, not read in the source; check your own copy",
    Mark.COMPUTED: "computed from the stated formula, not a printed value",
    Mark.PRACTICE: "common practice, no source",
    Mark.STATED: "as the vessel's inventory states it",
    Mark.ASSUMED: "assumed by likeness to something known; give the device's own value",
    Mark.INVENTED: "invented for the demonstration, true of no device",
}
_TRUST = [
    Mark.SEEN,
    Mark.COMPUTED,
    Mark.STATED,
    Mark.SECONDARY,
    Mark.LOW_AUTHORITY,
    Mark.PRACTICE,
    Mark.MEMORY,
    Mark.ASSUMED,
    Mark.INVENTED,
]


def weakest(marks: Iterable[Mark]) -> Mark:
    """The mark that a result made from these values carries.

    >>> weakest([Mark.SEEN, Mark.MEMORY])
    <Mark.MEMORY: 'from memory'>
    """
    return max(marks, key=lambda mark: mark.weight)


@dataclass(frozen=True)
class Table:
    """One published table: its rows, and where they come from."""

    name: str
    """File name without its ending."""
    title: str
    source: str
    edition: str
    clause: str
    mark: Mark
    """The mark of every value that has no mark of its own."""
    note: str
    columns: tuple[str, ...]
    rows: tuple[Mapping[str, str], ...]
    marks: Mapping[str, Mark]
    """Marks of single columns, where they differ from the table's."""

    def __str__(self) -> str:
        """The line that a page prints under the table."""
        where = ", ".join(part for part in (self.source, self.edition, self.clause) if part)
        return f"{self.title} ({where}; {self.mark.words})"

    @property
    def citation(self) -> str:
        """Source, edition and clause in one line."""
        return ", ".join(part for part in (self.source, self.edition, self.clause) if part)

    def mark_of(self, column: str, row: Mapping[str, str] | None = None) -> Mark:
        """The mark of one value: the row's own, else the column's, else the table's."""
        if row is not None and row.get("mark"):
            return Mark(row["mark"])
        return self.marks.get(column, self.mark)

    def column(self, name: str) -> tuple[float, ...]:
        """One column as numbers; a blank or a dash is an error."""
        return tuple(float(row[name]) for row in self.rows)

    def row(self, key: str, value: str) -> Mapping[str, str]:
        """The row whose column `key` holds `value`."""
        for row in self.rows:
            if row[key] == value:
                return row
        known = ", ".join(row[key] for row in self.rows)
        raise OutOfTable(f"{self.title}: no {key} {value}; the table has {known}")


@cache
def table(name: str) -> Table:
    """Read one table of `tables/` by file name without its ending.

    Lines that begin with `#` say `key: value`: title, source, edition, clause, mark, note, and `mark of COLUMN`
    where one column is known better or worse than the rest. A key said twice is joined.

    >>> table("iec60228").source
    'IEC 60228'
    """
    text = (files(__package__) / "tables" / f"{name}.csv").read_text(encoding="utf-8")
    lines = text.splitlines()
    header: dict[str, str] = {}
    for line in lines:
        if line.startswith("#"):
            key, _, value = line.lstrip("# ").partition(":")
            said = header.get(key.strip(), "")
            header[key.strip()] = f"{said} {value.strip()}".strip()
    reader = csv.DictReader(line for line in lines if line.strip() and not line.startswith("#"))
    rows = tuple(MappingProxyType({key: (cell or "").strip() for key, cell in row.items()}) for row in reader)
    marks = {key.removeprefix("mark of "): Mark(value) for key, value in header.items() if key.startswith("mark of ")}
    return Table(
        name=name,
        title=header["title"],
        source=header["source"],
        edition=header.get("edition", ""),
        clause=header.get("clause", ""),
        mark=Mark(header["mark"]),
        note=header.get("note", ""),
        columns=tuple(reader.fieldnames or ()),
        rows=rows,
        marks=MappingProxyType(marks),
    )


def table_names() -> tuple[str, ...]:
    """Every table there is, sorted, so that a page can list them with their marks."""
    folder = files(__package__) / "tables"
    return tuple(sorted(entry.name.removesuffix(".csv") for entry in folder.iterdir() if entry.name.endswith(".csv")))


def next_size_up(sizes: Iterable[float], least: float) -> float:
    """The smallest standard size that is not below `least`.

    >>> next_size_up([1, 1.5, 2.5, 4], 1.6)
    2.5
    """
    fitting = [size for size in sizes if size >= least * (1 - ROUNDING)]
    if not fitting:
        raise OutOfTable(f"no standard size reaches {least:g}")
    return min(fitting)


def next_size_down(sizes: Iterable[float], most: float) -> float:
    """The largest standard size that is not above `most`.

    >>> next_size_down([1, 1.5, 2.5, 4], 3.31)
    2.5
    """
    fitting = [size for size in sizes if size <= most * (1 + ROUNDING)]
    if not fitting:
        raise OutOfTable(f"no standard size is as small as {most:g}")
    return max(fitting)


ROUNDING = 0.005
"""Relative slack when a size is compared with a standard size, so that 33.6 mm² still counts as 2 AWG (33.63 mm²)."""
