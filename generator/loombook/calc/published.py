"""Published check values beside what this program computes for them, for the tests and for the verification page."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from loombook.calc.published_ways import WAYS
from loombook.calc.tables import Mark, OutOfTable, table, table_names

GROUPS = ("conductors", "ampacity", "drop", "fault", "adiabatic", "protection", "energy", "mechanics", "ac", "practice")
"""The tables `published_….csv` in the order in which a page shows them."""


@dataclass(frozen=True)
class Case:
    """One published value and ours."""

    group: str
    """Which of `GROUPS` it stands in."""
    heading: str
    """The group's title."""
    title: str
    way: str
    """Name of the calculation in `published_ways`."""
    inputs: str
    """As the table gives them."""
    printed: str
    """The expected value with the digits that the source prints."""
    expected: float
    ours: float
    unit: str
    tolerance: float
    """Largest difference that counts as agreement, in the unit."""
    source: str
    edition: str
    clause: str
    mark: Mark
    note: str

    @property
    def difference(self) -> float:
        """Ours less expected, in the unit."""
        return self.ours - self.expected

    @property
    def agrees(self) -> bool:
        """Whether the difference is within the tolerance."""
        return abs(self.difference) <= self.tolerance * (1 + 1e-9)

    @property
    def citation(self) -> str:
        """Source, edition and clause in one line."""
        return ", ".join(part for part in (self.source, self.edition, self.clause) if part)

    def __str__(self) -> str:
        """The case in one line, as a failing test prints it."""
        return f"{self.title}: expected {self.printed} {self.unit}, ours {self.ours:.6g} ({self.citation}; {self.mark})"


@cache
def cases() -> tuple[Case, ...]:
    """Every published case with our value computed, in the order of the tables.

    >>> all(case.agrees for case in cases())
    True
    """
    return tuple(case for group in GROUPS for case in _read(group))


def unlisted() -> tuple[str, ...]:
    """Tables of published values that `GROUPS` forgets; empty when all is well.

    >>> unlisted()
    ()
    """
    known = {f"published_{group}" for group in GROUPS}
    return tuple(name for name in table_names() if name.startswith("published_") and name not in known)


def _read(group: str) -> list[Case]:
    data = table(f"published_{group}")
    found = []
    for row in data.rows:
        if row["way"] not in WAYS:
            raise OutOfTable(f"{data.name}: {row['title']}: no way {row['way']!r} to compute it")
        expected = float(row["expected"])
        ours = WAYS[row["way"]](**_inputs(row["inputs"]))
        if ours is None:
            raise OutOfTable(f"{data.name}: {row['title']}: there is no value to compare")
        found.append(
            Case(
                group=group,
                heading=data.title,
                title=row["title"],
                way=row["way"],
                inputs=row["inputs"],
                printed=row["expected"],
                expected=expected,
                ours=ours,
                unit=row["unit"],
                tolerance=_tolerance(row["tolerance"], row["expected"]),
                source=row["source"],
                edition=row["edition"],
                clause=row["clause"],
                mark=Mark(row["mark"]),
                note=row["note"],
            )
        )
    return found


def _inputs(text: str) -> dict[str, int | float | bool | str]:
    """`current=1.6; tinned=yes` → arguments."""
    pairs = (part.split("=", 1) for part in text.split(";") if part.strip())
    return {key.strip(): _value(value.strip()) for key, value in pairs}


def _value(text: str) -> int | float | bool | str:
    if text in ("yes", "no"):
        return text == "yes"
    if text.isdigit():
        return int(text)
    try:
        return float(text)
    except ValueError:
        return text


def _tolerance(text: str, printed: str) -> float:
    """A number in the unit, or per cent of the printed value; blank is half the last printed digit."""
    if text.endswith("%"):
        return abs(float(printed)) * float(text.rstrip("% ")) / 100
    if text:
        return float(text)
    _, _, fraction = printed.partition(".")
    return 0.5 * 10 ** -len(fraction)
