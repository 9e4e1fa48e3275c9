"""Which figures are other ones now, and whether a rule says otherwise for it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from ..checks.devices import devices
from ..checks.model import OUTCOMES
from ..study.model import Range
from .model import Figure, Moved, Side

LEAST = 0.01
"""A figure that moved by a smaller part of itself is the same."""

Key = tuple[str, str]
"""(id, operating condition or nothing)."""


def moved(before: Side, after: Side) -> tuple[Moved, ...]:
    """Every figure that differs: those whose verdict turned first, then what moved furthest."""
    found = []
    for figure, of in FIGURES:
        then, now = of(before), of(after)
        for id, case in dict.fromkeys((*now, *then)):
            was, is_ = then.get((id, case)), now.get((id, case))
            if _differs(was, is_):
                verdicts = (verdict(side, figure.rules, id) for side in (before, after))
                found.append(Moved(figure, id, case, was, is_, *verdicts))
    return tuple(sorted(found, key=lambda m: (not m.turned, -_step(m.before, m.after))))


def verdict(side: Side, rules: tuple[str, ...], id: str) -> str:
    """The gravest outcome of some rules about an item; empty where none speaks of it."""
    panel = id.split(" way ")[0]
    outcomes = (o for rule in rules for o in side.checked.of_rule(rule))
    said = {o.outcome for o in outcomes if o.item == id or (o.item == panel and id in o.items)}
    return next((outcome for outcome in OUTCOMES if outcome in said), "")


def _differs(before: Range | None, after: Range | None) -> bool:
    return _step(before, after) > LEAST


def _step(before: Range | None, after: Range | None) -> float:
    """How far a figure moved as a part of itself; one that appears or goes moved by the whole."""
    if before is None or after is None:
        return 0.0 if before is after else 1.0
    ends = ((before.low, after.low), (before.high, after.high))
    return max((abs(b - a) / max(abs(a), abs(b)) for a, b in ends if a != b), default=0.0)


def _highest(side: Side) -> Mapping[Key, Range | None]:
    return {(id, ""): guard.highest for id, guard in _guards(side)}


def _lowest(side: Side) -> Mapping[Key, Range | None]:
    return {(id, ""): _one(guard.lowest) for id, guard in _guards(side)}


def _guards(side: Side) -> Iterator[tuple]:
    """(id, guard) of every fuse and breaker."""
    guards = side.study.guards
    return ((d.id, guards[d.edge.id]) for d in devices(side.study.network) if d.edge.id in guards)


def _drops(side: Side) -> Mapping[Key, Range | None]:
    return {(id, ""): drop.fraction for id, drop in side.study.drops.items()}


def _carried(side: Side) -> Mapping[Key, Range | None]:
    """Of a circuit's cable once: its two conductors are alike."""
    return {(id.removesuffix(" -").removesuffix(" +"), ""): _one(c.amps) for id, c in side.study.carrying.items()}


def _energy(side: Side) -> Mapping[Key, Range | None]:
    banks = (study.bank for study in side.study.banks)
    return {(bank.ids[0], ""): _one(bank.energy * bank.usable) for bank in banks}


def _hours(side: Side) -> Mapping[Key, Range | None]:
    first = {study.bank.name: study.bank.ids[0] for study in side.study.banks}
    return {
        (first[flow.bank], name): _time(flow.hours)
        for name, balance in side.study.balances.items()
        for flow in balance.banks
        if flow.bank in first
    }


def _essential(side: Side) -> Mapping[Key, Range | None]:
    first = {study.bank.name: study.bank.ids[0] for study in side.study.banks}
    return {(first[e.bank], ""): _time(e.hours) for e in side.study.essentials if e.bank in first}


def _converted(side: Side) -> Mapping[Key, Range | None]:
    return {(c.item, name): _one(c.given) for name, balance in side.study.balances.items() for c in balance.conversions}


def _one(value: float | None) -> Range | None:
    return None if value is None else Range(value, value)


def _time(hours: float | None) -> Range | None:
    return _one(None if hours is None else 3600 * hours)


FIGURES: tuple[tuple[Figure, Callable[[Side], Mapping[Key, Range | None]]], ...] = (
    (Figure("highest fault current", "current", ("F-01", "F-03", "F-04")), _highest),
    (Figure("lowest fault current through it", "current", ("F-05",)), _lowest),
    (Figure("voltage drop", "ratio", ("D-01", "D-02")), _drops),
    (Figure("what the wire carries", "current", ("C-01",)), _carried),
    (Figure("usable energy", "energy"), _energy),
    (Figure("hours left from full", "time"), _hours),
    (Figure("hours of the essential loads", "time"), _essential),
    (Figure("what it converts on average", "power", ("S-04",)), _converted),
)
"""A new figure is one function and one line here."""
