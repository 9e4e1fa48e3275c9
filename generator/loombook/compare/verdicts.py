"""What the rules said then and say now: findings that are new, graver, less grave or closed, and what can be judged."""

from __future__ import annotations

from ..checks.model import GRADES, OUTCOMES, Outcome
from .model import Side, Verdict

ORDER = (
    "new", "worse", "cannot be checked now", "less grave", "closed", "gone with the item", "can be checked now",
)  # fmt: skip
"""Kinds of movement, what asks for work first."""


def verdicts(before: Side, after: Side) -> tuple[Verdict, ...]:
    """Every rule and item of which something else is said now, gravest first."""
    then, now = _gravest(before), _gravest(after)
    aboard = {o.item for o in after.checked.outcomes} | {item.id for item in after.inventory.items()}
    found = []
    for rule, item in dict.fromkeys((*now, *then)):
        was, is_ = then.get((rule, item)), now.get((rule, item))
        kind = _kind(was.outcome if was else "", is_.outcome if is_ else "", item in aboard)
        if kind:
            said = is_ if is_ and (is_.is_finding or not (was and was.is_finding)) else was
            found.append(Verdict(kind, rule, item, was.outcome if was else "", is_.outcome if is_ else "", said.what))
    return tuple(sorted(found, key=lambda v: (ORDER.index(v.kind), _rank(v.after), _rank(v.before))))


def standing(before: Side, after: Side) -> int:
    """Findings that stood before and stand now with the same grade."""
    then, now = _gravest(before), _gravest(after)
    return sum(o.is_finding and key in then and then[key].outcome == o.outcome for key, o in now.items())


def failing(before: Side, after: Side) -> tuple[tuple[str, str, str], ...]:
    """(operating condition, item, why) of what cannot be supplied now and could before."""
    then = {(name, item) for name, flow in before.study.flows.items() for item, _ in flow.problems}
    return tuple(
        (name, item, why)
        for name, flow in after.study.flows.items()
        for item, why in flow.problems
        if (name, item) not in then
    )


def accepted(before: Side, after: Side) -> tuple[str, ...]:
    """What the owner accepts now and did not before."""
    then = {(row.waiver.rule, row.waiver.item) for row in before.checked.accepted}
    rows = [row for row in after.checked.accepted if (row.waiver.rule, row.waiver.item) not in then]
    return tuple(
        f"{row.outcome.rule}, {row.outcome.what}: accepted by {row.waiver.by} until {row.waiver.until}, "
        f"because {row.waiver.reason}"
        for row in rows
    )


def _gravest(side: Side) -> dict[tuple[str, str], Outcome]:
    """(rule, item) → the gravest outcome about it."""
    found: dict[tuple[str, str], Outcome] = {}
    for outcome in side.checked.outcomes:
        key = (outcome.rule, outcome.item)
        if key not in found or _rank(outcome.outcome) < _rank(found[key].outcome):
            found[key] = outcome
    return found


def _rank(outcome: str) -> int:
    return OUTCOMES.index(outcome) if outcome else len(OUTCOMES)


def _kind(before: str, after: str, aboard: bool) -> str:
    """What became of a rule's word about an item; empty where nothing did that anybody has to know."""
    if before == after:
        return ""
    if after in GRADES:
        return "new" if before not in GRADES else "worse" if after < before else "less grave"
    if after == "unknown":
        return "cannot be checked now"
    if before in GRADES:
        return "closed" if aboard else "gone with the item"
    return "can be checked now" if before == "unknown" and after == "pass" else ""
