"""What the formulas give for published cases, beside what is printed there."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from ...calc.published import Case, cases
from ...calc.tables import table
from ...quantities import digits
from ..book import Book
from ..sheet import FIGURES, Sheet
from ..text import Badge, Column, Inline

COLUMNS = [
    Column("Case"), Column("Unit"), Column("Printed", "", True), Column("Ours", "", True), Column("Difference", "", True),
    Column("Allowed", "", True), Column("Result"), Column("Source"), Column("Printed value is"),
]  # fmt: skip
SECOND = [
    Column("Vessel"), Column("What"), Column("Cases", "", True), Column("Figures compared", "", True),
    Column("Largest difference", "µV", True), Column("Largest difference", "µA", True),
    Column("Largest part of the value", "millionths", True),
]  # fmt: skip

ROUNDING = 1e-12
"""A computer keeps fifteen digits; after a few steps so small a part of the value means nothing."""


def pages(book: Book) -> Iterator[Sheet]:
    groups: dict[str, list[Case]] = {}
    for case in cases():
        groups.setdefault(case.heading, []).append(case)
    marks = Counter(case.mark.words for case in cases())
    yield Sheet("figures/verification.md", "Our figures beside published ones", "verification", {
        "groups": [(heading, (COLUMNS, [_row(case) for case in rows])) for heading, rows in groups.items()],
        "second": (SECOND, _second()),
        "count": len(cases()),
        "agree": sum(case.agrees for case in cases()),
        "marks": ([Column("The printed value is"), Column("Cases", "", True)], [[words, str(n)] for words, n in marks.most_common()]),
    }, FIGURES, ("verification", "published values", "accuracy"))  # fmt: skip


def _row(case: Case) -> list[Inline]:
    result = Badge("pass", "agrees") if case.agrees else Badge("A", "differs")
    ours = digits(case.ours, max(4, sum(sign.isdigit() for sign in case.printed) + 1))
    return [
        case.title, case.unit, case.printed, ours, difference(case.difference, case.expected), digits(case.tolerance, 2), result,
        case.citation, case.mark.words,
    ]  # fmt: skip


def difference(value: float, expected: float) -> str:
    """A difference as people read it: what is left of rounding inside the computer is none.

    >>> difference(-8.9e-16, 5.0), difference(-0.027, 4769.0), difference(8.1e-8, 0.017871)
    ('0', '-0.027', '0.00000008')
    """
    if abs(value) <= ROUNDING * abs(expected):
        return "0"
    return digits(value, 2 if abs(value) >= 1e-6 else 1)


def _second() -> list[list[Inline]]:
    """What the other program was asked, and how far it was off."""
    return [
        [
            row["vessel"], row["what"], row["cases"], row["figures"],
            *(digits(1e6 * float(row[name]), 1) for name in ("volts", "amps", "part")),
        ]
        for row in table("second_program").rows
    ]  # fmt: skip
