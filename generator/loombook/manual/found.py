"""What the checks say, looked up as pages ask: by item, by rule, and where on the pages each outcome stands."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from ..checks import Checked, Outcome


@dataclass(frozen=True, eq=False)
class Found:
    """The outcomes of one vessel. They are told apart by identity: two rules may say the same of one item."""

    checked: Checked = field(repr=False)

    def on(self, *items: str) -> list[Outcome]:
        """Findings that concern any of these things, worst first, each once; the accepted ones too."""
        rows = {id(o): o for item in items for o in self.checked.for_item(item) if o.is_finding}
        return sorted(rows.values(), key=lambda o: o.outcome)

    def about(self, item: str) -> list[Outcome]:
        """Every outcome of which an item is the subject, the passes too."""
        return self._by_item.get(item, [])

    def of_rule(self, rule: str) -> list[Outcome]:
        """Every outcome of one rule."""
        return self._by_rule.get(rule, [])

    def is_accepted(self, outcome: Outcome) -> bool:
        return id(outcome) in self._accepted

    def anchor(self, outcome: Outcome) -> str:
        """Its place on the page of findings, or on that of what cannot be checked."""
        return self._anchors[id(outcome)]

    def target(self, outcome: Outcome) -> str:
        """Where a link to it leads."""
        page = "findings" if outcome.is_finding else "cannot-check"
        return f"page:findings/{page}.md#{self.anchor(outcome)}"

    @cached_property
    def _accepted(self) -> frozenset[int]:
        return frozenset(id(row.outcome) for row in self.checked.accepted)

    @cached_property
    def _anchors(self) -> Mapping[int, str]:
        findings = (*self.checked.findings, *(row.outcome for row in self.checked.accepted))
        found = {id(o): f"f{number}" for number, o in enumerate(findings, start=1)}
        return found | {id(o): f"u{number}" for number, o in enumerate(self.checked.unknown, start=1)}

    @cached_property
    def _by_item(self) -> Mapping[str, list[Outcome]]:
        return _grouped((o.item, o) for o in self.checked.outcomes)

    @cached_property
    def _by_rule(self) -> Mapping[str, list[Outcome]]:
        return _grouped((o.rule, o) for o in self.checked.outcomes)


def _grouped(pairs: Iterable[tuple[str, Outcome]]) -> Mapping[str, list[Outcome]]:
    found: dict[str, list[Outcome]] = {}
    for key, outcome in pairs:
        found.setdefault(key, []).append(outcome)
    return found
