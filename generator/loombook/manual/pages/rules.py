"""The standards statement, and a page for each rule: what it asks, why, its source, examples, its outcome here."""

from __future__ import annotations

from collections.abc import Iterator

from ...checks import RULES
from ..book import Book
from ..evidence import finding_line
from ..sheet import FINDINGS, Sheet
from ..text import Column, Inline, Link
from ..words import sentence, unticked
from .cover import RULE_SETS

RULE = [
    Column("Rule"),
    Column("Asks"),
    Column("Source"),
    Column("Found", "", True),
    Column("Cannot check", "", True),
    Column("Passed", "", True),
]


def pages(book: Book) -> Iterator[Sheet]:
    vessel = book.inventory.vessel
    counts = {
        rule.id: [_count(book, rule.id, kinds) for kinds in (("A", "B", "C"), ("unknown",), ("pass",))]
        for rule in RULES
    }
    families = dict.fromkeys(rule.family for rule in RULES)
    yield Sheet(
        "findings/standards.md",
        "Standards and rules applied",
        "standards",
        {
            "rules": RULE_SETS[vessel.rules] + (f" ({vessel.rules_edition})" if vessel.rules_edition else ""),
            "families": [
                (family, RULE, [_row(rule, counts[rule.id]) for rule in RULES if rule.family == family])
                for family in families
            ],
            "total": len(RULES),
            "applied": sum(any(counts[rule.id]) for rule in RULES),
        },
        FINDINGS,
        ("standards", "rules"),
    )
    for rule in RULES:
        yield _rule(book, rule)


def _count(book: Book, rule: str, kinds: tuple[str, ...]) -> int:
    return sum(o.outcome in kinds for o in book.found.of_rule(rule))


def _row(rule, counts: list[int]) -> list[Inline]:
    return [
        Link(f"item:{rule.id}", rule.id),
        unticked(rule.title),
        unticked(" ".join(rule.page.source.split())),
        *(str(count) if count else "–" for count in counts),
    ]


def _rule(book: Book, rule) -> Sheet:
    page = rule.page
    outcomes = book.found.of_rule(rule.id)
    return Sheet(
        f"rules/{rule.id}.md",
        f"{rule.id}: {unticked(rule.title)}",
        "rule",
        {
            "what": _paragraphs(page.what),
            "why": _paragraphs(page.why),
            "source": _paragraphs(page.source),
            "clears": _paragraphs(page.clears),
            "failing": page.failing,
            "passing": page.passing,
            "found": [finding_line(book, o) for o in outcomes if o.is_finding],
            "cannot": [(book.named(o.item), ": ", sentence(o.what)) for o in outcomes if o.outcome == "unknown"],
            "passed": sum(o.outcome == "pass" for o in outcomes),
            "not_applicable": bool(outcomes) and all(o.outcome == "n/a" for o in outcomes),
        },
        None,
        (rule.id, rule.title),
    )


def _paragraphs(text: str) -> list[str]:
    return [unticked(" ".join(part.split())) for part in text.split("\n\n") if part.strip()]
