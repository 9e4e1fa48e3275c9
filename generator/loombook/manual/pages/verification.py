"""What the formulas give for published cases, beside what is printed there."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from ...calc.published import Case, cases
from ...quantities import digits
from ..book import Book
from ..sheet import FIGURES, Sheet
from ..text import Badge, Column, Inline

COLUMNS = [
    Column("Case"), Column("Unit"), Column("Printed", "", True), Column("Ours", "", True), Column("Difference", "", True),
    Column("Allowed", "", True), Column("Result"), Column("Source"), Column("Printed value is"),
]  # fmt: skip


def pages(book: Book) -> Iterator[Sheet]:
    groups: dict[str, list[Case]] = {}
    for case in cases():
        groups.setdefault(case.heading, []).append(case)
    marks = Counter(case.mark.words for case in cases())
    yield Sheet("figures/verification.md", "Our figures beside published ones", "verification", {
        "groups": [(heading, (COLUMNS, [_row(case) for case in rows])) for heading, rows in groups.items()],
        "count": len(cases()),
        "agree": sum(case.agrees for case in cases()),
        "marks": ([Column("The printed value is"), Column("Cases", "", True)], [[words, str(n)] for words, n in marks.most_common()]),
    }, FIGURES, ("verification", "published values", "accuracy"))  # fmt: skip


def _row(case: Case) -> list[Inline]:
    result = Badge("pass", "agrees") if case.agrees else Badge("A", "differs")
    ours = digits(case.ours, max(4, sum(sign.isdigit() for sign in case.printed) + 1))
    return [
        case.title, case.unit, case.printed, ours, digits(case.difference, 2), digits(case.tolerance, 2), result, case.citation,
        case.mark.words,
    ]  # fmt: skip
