"""The single-line diagrams with what an earlier revision did not have, or had otherwise, marked in word and line."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TypeVar

from .drawset import draw as drawn
from .model import Branch, Cable, DrawingSet, Element, End, Node, OneLine, Reference, State
from .overview import ship_set
from .view import Ship

PREFIX = "changed-"
T = TypeVar("T", Element, Cable, Node, Reference)


def changed_sheets(ship: Ship, altered: Mapping[str, str]) -> dict[str, str]:
    """Name → each sheet of the ship's set on which something is marked: `changed-ship`, `changed-panel-X4`.

    Args:
        ship: as she is now; what was removed is not on her drawings
        altered: id → `added` or `changed`
    """
    states = {id: State(kind) for id, kind in altered.items()}
    if not states:
        return {}
    sheets = [_marked(sheet, states) for sheet in ship_set(ship)]
    if not any(map(_is_marked, sheets)):
        return {}
    found = drawn(DrawingSet(ship.block, tuple(sheets)))
    return {name: svg for name, svg in found.items() if any(f"lb-is-{kind}" in svg for kind in set(states.values()))}


def _marked(sheet: OneLine, states: Mapping[str, State]) -> OneLine:
    return replace(
        sheet,
        name=PREFIX + sheet.name,
        title=f"{sheet.title}: what was changed",
        about=f"{sheet.about} What was added or changed since the earlier revision says so.",
        nodes=tuple(_state(node, states) for node in sheet.nodes),
        branches=tuple(_branch(branch, states) for branch in sheet.branches),
        denser=tuple(_marked(closer, states) for closer in sheet.denser),
    )


def _branch(branch: Branch, states: Mapping[str, State]) -> Branch:
    upper, lower = (_end(end, states) for end in (branch.upper, branch.lower))
    return replace(branch, upper=upper, lower=lower, chain=tuple(_state(link, states) for link in branch.chain))


def _end(end: End, states: Mapping[str, State]) -> End:
    return end if isinstance(end, str) else _state(end, states)


def _state(thing: T, states: Mapping[str, State]) -> T:
    """The thing in its state; of cables that are said together the first that has one."""
    found = next((states[id] for id in thing.id.split(", ") if id in states), None)
    return replace(thing, state=found) if found else thing


def _is_marked(sheet: OneLine) -> bool:
    things = [*sheet.nodes, *(thing for b in sheet.branches for thing in (b.upper, b.lower, *b.chain))]
    return any(thing.state in (State.ADDED, State.CHANGED) for thing in things if not isinstance(thing, str))
