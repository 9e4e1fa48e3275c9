"""From what is dead and what still works to the suspects that explain it, one fault or two, likeliest first.

The fault finder that runs in a browser reckons the same; a test holds both together.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from .suspects import TWICE, Suspect

MOST = 24
"""Explanations given at the most."""


@dataclass(frozen=True)
class Explanation:
    """One or two suspects that together explain all that is dead."""

    suspects: tuple[int, ...]
    """Indices into the list of suspects."""
    faults: int
    """How many parts must have failed, 1 or 2."""
    untold: int
    """Consumers that would be dead too and that nobody has looked at."""
    weight: float


def explain(suspects: Sequence[Suspect], dead: Iterable[str], working: Iterable[str]) -> tuple[Explanation, ...]:
    """What explains all that is dead and nothing that works.

    Args:
        suspects: from `suspects_of`
        dead: ids of the consumers that do not work
        working: ids of the consumers that do
    Returns:
        one fault before two, then those that leave least untold, then the likeliest; at most `MOST`
    """
    dead, working = frozenset(dead), frozenset(working)
    if not dead:
        return ()
    lost = [frozenset(suspect.lost) for suspect in suspects]
    possible = [i for i, taken in enumerate(lost) if dead & taken and not working & taken]
    alone = [i for i in possible if dead <= lost[i]]
    found = [Explanation((i,), suspects[i].faults, len(lost[i] - dead), suspects[i].weight) for i in alone]
    single = [i for i in possible if not dead <= lost[i] and suspects[i].faults == 1]
    for i, j in _pairs(single, lost, dead):
        weight = TWICE * suspects[i].weight * suspects[j].weight
        found.append(Explanation((i, j), 2, len((lost[i] | lost[j]) - dead), weight))
    return tuple(sorted(found, key=lambda e: (e.faults, e.untold, -e.weight, e.suspects))[:MOST])


def _pairs(single: Sequence[int], lost: Sequence[frozenset[str]], dead: frozenset[str]) -> Iterator[tuple[int, int]]:
    """Pairs that take all the dead together: one of them takes the dead consumer that has the fewest suspects."""
    takers = {c: [i for i in single if c in lost[i]] for c in sorted(dead)}
    rarest = min(takers, key=lambda c: len(takers[c]))
    found = set()
    for i in takers[rarest]:
        rest = dead - lost[i]
        for j in takers[min(rest)]:
            if rest <= lost[j]:
                found.add((min(i, j), max(i, j)))
    return iter(sorted(found))
