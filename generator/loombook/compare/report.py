"""The report of changes as tables of plain words, in the order in which one works through them."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from ..quantities import in_unit
from ..study.model import Range
from .model import Change, Comparison, Moved, Revision

WRITTEN = "What was changed"
"""The section beside which the drawings belong."""
OUTCOME = {"pass": "passes", "unknown": "cannot be checked", "n/a": "does not apply", "": "–"}
"""What an outcome is called where it is no grade."""


@dataclass(frozen=True)
class Section:
    """One table of the report."""

    title: str
    about: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    """The first cell of each is an id where `ids` says so."""
    ids: bool = True
    none: str = ""
    """What is said where there is no row; empty: the section is left out then."""

    @property
    def is_told(self) -> bool:
        return bool(self.rows or self.none)


def sections(c: Comparison) -> tuple[Section, ...]:
    """Every section that has something to say."""
    return tuple(section for make in SECTIONS if (section := make(c)).is_told)


def headline(c: Comparison) -> str:
    """The two revisions in a sentence."""
    return f"{c.vessel}: from {_edition(c.before)} to {_edition(c.after)}"


def text(c: Comparison) -> str:
    """The whole report for a terminal."""
    lines = [headline(c), ""]
    for section in sections(c):
        lines += [section.title, *(f"  {line}" for line in _lines(section)), ""]
    return "\n".join(lines)


def _lines(section: Section) -> Iterator[str]:
    if not section.rows:
        yield section.none
    for row in section.rows:
        line = ""
        for name, cell in zip(section.columns, row, strict=True):
            if cell:
                line += (" → " if name.casefold().endswith("now") else " · ") * bool(line) + cell
        yield line


def _edition(revision: Revision) -> str:
    return f"revision {revision.name}" + (f" of {revision.date}" if revision.date else "")


def _verdicts(c: Comparison) -> Section:
    rows = tuple((v.item, v.kind, v.rule, _said(v.before), _said(v.after), v.what) for v in c.verdicts)
    about = f"Findings that stand as before: {c.standing}."
    columns = ("Item", "What became of it", "Rule", "Before", "Now", "Finding")
    return Section("What the rules say otherwise", about, columns, rows, none=f"No rule says anything else. {about}")


def _said(outcome: str) -> str:
    return OUTCOME.get(outcome, outcome)


def _failing(c: Comparison) -> Section:
    rows = tuple((item, condition, why) for condition, item, why in c.failing)
    return Section("What cannot be supplied any more", "", ("Item", "Operating condition", "Why"), rows)


def _moved(c: Comparison) -> Section:
    about = "What moved by one part in a hundred or more; first what a rule judges otherwise, then what moved furthest."
    columns = ("Item", "Figure", "In", "Before", "Now", "Judged before", "Judged now")
    rows = tuple((m.id, m.figure.name, m.case, *_figures(m)) for m in c.moved)
    return Section("Figures that moved", about, columns, rows, none="No figure moved by one part in a hundred.")


def _figures(m: Moved) -> tuple[str, ...]:
    return (_range(m, m.before), _range(m, m.after), _said(m.verdict_before), _said(m.verdict_after))


def _range(moved: Moved, value: Range | None) -> str:
    if value is None:
        return "none"
    kind = moved.figure.unit
    return f"{in_unit(value.low, kind)} to {in_unit(value.high, kind)}" if value.is_range else in_unit(value.low, kind)


def _written(c: Comparison) -> Section:
    rows = tuple(row for change in c.changes for row in _fields(change))
    columns = ("Item", "Change", "Field", "Before", "Now")
    return Section(WRITTEN, "", columns, rows, none="Nothing of the boat is written down otherwise.")


def _fields(change: Change) -> Iterator[tuple[str, ...]]:
    """Of what was added or removed a line is enough; what was changed is told field by field."""
    if change.kind != "changed":
        words = ", ".join(f"{f.name} {f.after or f.before}" for f in change.fields if f.name != "name")
        yield (change.id, change.kind, change.title if change.title != change.id else "", *_sides(change.kind, words))
        return
    for field in change.fields:
        yield (change.id, "changed", field.name or change.family, field.before or "–", field.after or "–")


def _sides(kind: str, words: str) -> tuple[str, str]:
    return ("–", words) if kind == "added" else (words, "–")


def _stale(c: Comparison) -> Section:
    about = "They were made before something that they rest on was changed."
    told = ((s.test, ", ".join(s.because)) for s in c.stale)
    rows = tuple((test.item, test.what, test.date.isoformat(), test.value or "–", because) for test, because in told)
    return Section("Tests to make again", about, ("Item", "Test", "Made", "Value then", "Changed since"), rows)


def _repeated(c: Comparison) -> Section:
    rows = tuple((t.item, t.what, t.date.isoformat(), t.value or "–", t.by or "–") for t in c.repeated)
    return Section("Tests made since", "", ("Item", "Test", "Made", "Value", "By"), rows)


def _reprints(c: Comparison) -> Section:
    about = "Hang the new card, destroy the old one, and run through it once."
    rows = tuple((p.name, p.kind, p.why, _hanging(p.copies)) for p in c.reprints)
    return Section("Cards to print", about, ("Card", "Change", "What differs", "Copies to replace"), rows, ids=False)


def _hanging(copies: tuple) -> str:
    told = (f"{copy.at.space}: {copy.at.place} (revision {copy.revision})" for copy in copies)
    return "; ".join(told) or "none written down"


def _labels(c: Comparison) -> Section:
    return Section("Labels to make", "", ("Item",), tuple((id,) for id in dict.fromkeys(c.labels)))


def _stock(c: Comparison) -> Section:
    about = "A spare of a size that nothing uses any more invites a fuse that is too large: take it out of the box."
    rows = tuple((f"{s.kind} {s.rating}", str(s.used_before), str(s.used_after), str(s.spares)) for s in c.stock)
    columns = ("Fuse", "In use before", "In use now", "Spares carried")
    return Section("Fuses of another size", about, columns, rows, ids=False)


def _left(c: Comparison) -> Section:
    about = (
        "They are out of the inventory. Nothing here says whether their wire is out of the boat: make sure that each is "
        "removed or capped and marked at both ends, and that it is dead."
    )
    return Section("What may still lie in the boat", about, ("Was called",), tuple((id,) for id in c.left))


def _notify(c: Comparison) -> Section:
    about = "Common practice, no source; the policy and the flag's rules say what they ask for."
    return Section("Whom to tell", about, ("Who", "Why"), c.notify, ids=False)


def _accepted(c: Comparison) -> Section:
    return Section("Accepted by the owner since", "", ("Finding",), tuple((words,) for words in c.accepted), ids=False)


SECTIONS: tuple[Callable[[Comparison], Section], ...] = (
    _verdicts, _failing, _moved, _written, _stale, _repeated, _reprints, _labels, _stock, _left, _notify, _accepted,
)  # fmt: skip
"""A new section is one function and one entry here."""
