"""Findings by rank, what cannot be checked by the field that would allow it, and what the owner accepts."""

from __future__ import annotations

from collections.abc import Iterator

from ...checks import Accepted, Outcome
from ..book import Book
from ..sheet import FINDINGS, Sheet
from ..text import Column, Inline, Link, joined
from ..words import count, few, sentence, unticked

RANKS = {"A": "A: fix before use", "B": "B: timely attention", "C": "C: good practice"}
CANNOT = [Column("What cannot be checked"), Column("Item"), Column("Rule"), Column("It would unlock")]
WAIVERS = [Column("Rule"), Column("Item"), Column("Reason"), Column("Accepted by"), Column("Until"), Column("State")]


def pages(book: Book) -> Iterator[Sheet]:
    checked = book.checked
    yield Sheet(
        "findings/findings.md",
        "Findings",
        "findings",
        {
            "counts": ", ".join(f"{rank}: {checked.counts[rank]}" for rank in RANKS),
            "cannot": count(checked.counts["unknown"], "check"),
            "ranks": [
                (head, [_finding(book, o) for o in checked.findings if o.outcome == rank])
                for rank, head in RANKS.items()
            ],
            "accepted": [_accepted(book, row) for row in checked.accepted],
        },
        FINDINGS,
        ("findings", "survey", "defects"),
    )
    yield Sheet(
        "findings/cannot-check.md",
        "What cannot be checked",
        "cannot",
        {"fields": _fields(book)},
        FINDINGS,
        ("missing data", "unknown"),
    )
    yield Sheet(
        "findings/waivers.md",
        "Accepted by the owner",
        "waivers",
        {"waivers": (WAIVERS, _waivers(book))},
        FINDINGS,
        ("waivers",),
    )


def _finding(book: Book, outcome: Outcome) -> dict:
    others = [book.named(id) for id in outcome.items if id != outcome.item]
    facts: list[tuple[str, Inline]] = [
        ("What", (book.named(outcome.item), f" ({unticked(outcome.here)})" if outcome.here else ""))
    ]
    facts += [("Where", unticked(outcome.where))] if outcome.where else []
    facts += [("Also", joined(few(others, 8)))] if others else []
    facts += [("Why it matters", sentence(outcome.why))] if outcome.why else []
    facts += [("Clears", sentence(outcome.clears))] if outcome.clears else []
    facts += [("Source", outcome.source)] if outcome.source else []
    facts.append(("Rule", Link(f"item:{outcome.rule}", outcome.rule)))
    if outcome.place:
        facts.append(("Written in", f"{outcome.place.file}, line {outcome.place.line}"))
    return {
        "rank": outcome.outcome,
        "head": sentence(outcome.what),
        "facts": facts,
        "anchor": book.found.anchor(outcome),
    }


def _accepted(book: Book, row: Accepted) -> dict:
    """A finding that the owner accepts, with who, why and until when first."""
    found, waiver = _finding(book, row.outcome), row.waiver
    return {
        **found,
        "facts": [("Accepted by", f"{waiver.by}, until {waiver.until.isoformat()}: {waiver.reason}"), *found["facts"]],
    }


def _fields(book: Book) -> list[tuple[str, list[Column], list[list[Inline]], list[str]]]:
    """What is missing, by field, that which unlocks most first."""
    groups: dict[str, list[Outcome]] = {}
    for outcome in book.checked.unknown:
        groups.setdefault(outcome.missing or "not said which field", []).append(outcome)
    ordered = sorted(groups.items(), key=lambda group: (-len(group[1]), group[0]))
    found = []
    for field, outcomes in ordered:
        rows = [
            [sentence(o.what), book.named(o.item), Link(f"item:{o.rule}", o.rule), sentence(o.unlocks) or "–"]
            for o in outcomes
        ]
        found.append((unticked(field), CANNOT, rows, [book.found.anchor(o) for o in outcomes]))
    return found


def _waivers(book: Book) -> list[list[Inline]]:
    held = {(a.waiver.rule, a.waiver.item) for a in book.checked.accepted}
    rows = []
    for waiver in book.inventory.waivers:
        if waiver.until < book.as_of:
            state = f"ended {(book.as_of - waiver.until).days} days ago: the finding stands again"
        elif (waiver.rule, waiver.item) in held:
            state = f"holds for {count((waiver.until - book.as_of).days, 'day')} more"
        else:
            state = "no such finding: it may go"
        rows.append(
            [
                book.link(waiver.rule, waiver.rule),
                book.named(waiver.item),
                waiver.reason,
                waiver.by,
                waiver.until.isoformat(),
                state,
            ]
        )
    return rows
