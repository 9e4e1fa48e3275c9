"""What a check says: one outcome a rule and item, and all outcomes of a vessel with the owner's waivers applied."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from ..diagnostics import Diagnostic, Note, Place
from ..inventory.vessel import Waiver

GRADES = ("A", "B", "C")
"""A: fix before use. B: timely attention. C: good practice."""
OUTCOMES = (*GRADES, "unknown", "pass", "n/a")


@dataclass(frozen=True)
class Outcome:
    """What one rule says about one item, able to stand alone: what, where, number, limit, why, source, remedy."""

    outcome: str
    """One of `OUTCOMES`."""
    item: str
    """Id; a panel's way is `X4 way 7`; the vessel's name where it is about the whole vessel."""
    what: str
    """A sentence in lower case without a full stop, its numbers in it."""
    here: str = ""
    """The number against its limit: what stands at the caret."""
    place: Place | None = None
    """Where in the inventory."""
    clears: str = ""
    missing: str = ""
    """For `unknown`: the field that would allow the check."""
    unlocks: str = ""
    """For `unknown`: what the field would unlock."""
    also: tuple[Note, ...] = ()
    """Other things that one has to see: the cable of a fuse."""
    items: tuple[str, ...] = ()
    """Ids of everything concerned, `item` first."""
    rule: str = ""
    where: str = ""
    """Where aboard, in words."""
    why: str = ""
    source: str = ""
    """Standard, clause, edition and how well it is known."""

    @property
    def is_finding(self) -> bool:
        return self.outcome in GRADES


def finding(grade: str, item: str, what: str, here: str = "", **more: Any) -> Outcome:
    """A finding of grade A, B or C."""
    return Outcome(grade, item, what, here, **more)


def unknown(item: str, what: str, missing: str, unlocks: str = "", **more: Any) -> Outcome:
    """What cannot be checked, and the field that would allow it."""
    return Outcome("unknown", item, what, missing=missing, unlocks=unlocks, **more)


def passed(item: str, what: str, here: str = "", **more: Any) -> Outcome:
    return Outcome("pass", item, what, here, **more)


def not_applicable(item: str, what: str, **more: Any) -> Outcome:
    return Outcome("n/a", item, what, **more)


@dataclass(frozen=True)
class Accepted:
    """A finding that the owner accepts, with a reason, a name and an end."""

    outcome: Outcome
    waiver: Waiver


@dataclass(frozen=True)
class Checked:
    """Every outcome of every rule for one vessel, with the waivers applied."""

    outcomes: tuple[Outcome, ...] = field(repr=False)
    """All of them, the accepted findings included, in the order of the rules."""
    accepted: tuple[Accepted, ...] = ()
    """Findings under a waiver that still holds."""

    @cached_property
    def findings(self) -> tuple[Outcome, ...]:
        """The findings that stand: A, then B, then C."""
        waived = {id(row.outcome) for row in self.accepted}
        standing = [o for o in self.outcomes if o.is_finding and id(o) not in waived]
        return tuple(sorted(standing, key=lambda o: o.outcome))

    @property
    def unknown(self) -> tuple[Outcome, ...]:
        """What cannot be checked."""
        return self._of("unknown")

    @property
    def passed(self) -> tuple[Outcome, ...]:
        return self._of("pass")

    @property
    def not_applicable(self) -> tuple[Outcome, ...]:
        return self._of("n/a")

    def _of(self, outcome: str) -> tuple[Outcome, ...]:
        return tuple(o for o in self.outcomes if o.outcome == outcome)

    @cached_property
    def counts(self) -> Mapping[str, int]:
        """Outcome → how many; `accepted` counts apart from A, B and C."""
        counts = {grade: sum(o.outcome == grade for o in self.findings) for grade in GRADES}
        counts |= {"unknown": len(self.unknown), "accepted": len(self.accepted)}
        return counts | {"pass": len(self.passed), "n/a": len(self.not_applicable)}

    def for_item(self, item: str) -> tuple[Outcome, ...]:
        """The findings about an item, accepted ones included, and what cannot be checked; a panel gets its ways'."""
        return self._by_item.get(item, ())

    @cached_property
    def _by_item(self) -> Mapping[str, tuple[Outcome, ...]]:
        found: dict[str, list[Outcome]] = {}
        telling = [o for o in self.outcomes if o.is_finding or o.outcome == "unknown"]
        for outcome in sorted(telling, key=lambda o: OUTCOMES.index(o.outcome)):
            for name in dict.fromkeys(name for id in outcome.items for name in (id, id.split(" way ")[0])):
                found.setdefault(name, []).append(outcome)
        return {name: tuple(rows) for name, rows in found.items()}

    def of_rule(self, rule: str) -> tuple[Outcome, ...]:
        """Every outcome of one rule."""
        return tuple(o for o in self.outcomes if o.rule == rule)

    def diagnostics(self) -> tuple[Diagnostic, ...]:
        """The findings as located messages, then what cannot be checked."""
        return tuple(diagnostic(o) for o in (*self.findings, *self.unknown))


def diagnostic(outcome: Outcome) -> Diagnostic:
    """One outcome as a located message."""
    rows: Iterable[tuple[str, str]] = (
        ("where", outcome.where),
        ("why", outcome.why if outcome.is_finding else ""),
        ("missing", outcome.missing),
        ("unlocks", outcome.unlocks),
        ("source", outcome.source),
        ("clears", outcome.clears if outcome.is_finding else ""),
    )
    notes = outcome.also + tuple(Note(tag, text) for tag, text in rows if text)
    return Diagnostic(outcome.outcome, outcome.rule, outcome.what, outcome.place, outcome.here, notes)
