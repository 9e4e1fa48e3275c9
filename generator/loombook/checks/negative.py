"""Rule N-01: the way back is as large as the way out."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache, partial

from ..network import Edge
from .model import Outcome, finding, passed, unknown
from .names import square
from .survey import Survey

TWO_POLED = ("batteries", "alternators", "solar controllers", "chargers", "inverters", "converters", "motors")
"""Families whose positive and negative run in cables of their own."""


def as_large(survey: Survey) -> Iterator[Outcome]:
    """The negative is as large as the positive.

    What
        At each battery, source, converter, motor and panel: the cross-section of the cables on its negative against
        that on its positive. Conductors side by side count together; thin ones, below half of the largest, do not
        count.

    Why
        The current that goes out comes back. The thinner conductor is the one that gets hot, and no fuse stands before
        it.

    Failing example
        runs:
          main negative: [G1 -, W4: "25 mm², 0.6 m", X2]

    Passing example
        runs:
          main negative: [G1 -, W4: "50 mm², 0.6 m", X2]

    Source
        ABYC E-11 practice (from memory; check your own copy).

    Clears
        A negative of the positive's size, or a fuse for the thinner of the two; planned by somebody qualified.
    """
    names, at = survey.names, cache(partial(_cables, survey))
    for id, plus, minus in _pairs(survey):
        out, back = at(plus), at(minus)
        if not out or not back:
            continue
        unmeasured = [e for e in (*out, *back) if e.cable.area is None]
        if unmeasured:
            what = f"the cross-section of {names.cable(unmeasured[0])} is not recorded"
            yield unknown(
                id, what, "area", "whether the negative is as large as the positive", items=(id, unmeasured[0].item)
            )
            continue
        one, other = _area(out), _area(back)
        thin = min(back, key=lambda e: e.cable.area.value)
        what = (
            f"the negative of {names.the(id)} is {square(other)} ({_ids(back)}), its positive {square(one)} "
            f"({_ids(out)})"
        )
        here, items = f"{square(other)} against {square(one)}", (id, *(e.item for e in (*back, *out)))
        if other < one * 0.98:
            place = names.place_of_cable(thin, "area", part=str(thin.cable.area))
            yield finding("A", id, what, here, place=place, items=tuple(dict.fromkeys(items)))
        else:
            yield passed(id, what, here)


def _pairs(survey: Survey) -> Iterator[tuple[str, str, str]]:
    """(id, positive terminal, negative terminal)."""
    for item in survey.inventory.items():
        if item.family in TWO_POLED:
            sides = ("in ", "out ") if item.family == "converters" else ("",)
            for side in sides:
                yield item.id, f"{item.id} {side}+", f"{item.id} {side}-"
    for panel in survey.inventory.panels.values():
        if not panel.ac and panel.negative:
            yield panel.id, panel.id, panel.negative


def _cables(survey: Survey, node: str) -> list[Edge]:
    """The heavy cables of runs at a terminal."""
    rows = [e for e in survey.network.at.get(node, ()) if e.kind == "conductor" and e.path[0] == "runs"]
    largest = max((e.cable.area.value * e.cable.parallel for e in rows if e.cable.area), default=0.0)
    return [e for e in rows if e.cable.area is None or e.cable.area.value * e.cable.parallel >= largest / 2]


def _area(edges: list[Edge]) -> float:
    return sum(e.cable.area.value * e.cable.parallel for e in edges)


def _ids(edges: list[Edge]) -> str:
    return " + ".join(e.item for e in edges)
