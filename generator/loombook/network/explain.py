"""From what is dead and what still works to the suspects that explain it, one fault or two, likeliest first.

The fault finder that runs in a browser reckons the same; a test holds both together.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from .metered import Reading, left
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
    left: tuple[tuple[str, ...], ...] = ()
    """The parts of which one has failed, for one fault or for each of two, as far as the readings leave them."""


def explain(
    suspects: Sequence[Suspect],
    dead: Iterable[str],
    working: Iterable[str],
    readings: Sequence[Reading] = (),
    weights: Mapping[str, float] | None = None,
) -> tuple[Explanation, ...]:
    """What explains all that is dead and nothing that works.

    Args:
        suspects: from `suspects_of`
        dead: ids of the consumers that do not work
        working: ids of the consumers that do
        readings: what a meter has said
        weights: part → how likely it is to have failed; needed with readings alone
    Returns:
        one fault before two, then those that leave least untold, then the likeliest; at most `MOST`
    """
    dead, working = frozenset(dead), frozenset(working)
    if not dead:
        return ()
    lost = [frozenset(suspect.lost) for suspect in suspects]
    possible = [i for i, taken in enumerate(lost) if dead & taken and not working & taken]
    single = [i for i in possible if not dead <= lost[i] and suspects[i].faults == 1]
    found = []
    alone = [i for i in possible if dead <= lost[i]]

    def hold(taken: tuple[int, ...]) -> bool:
        """Takes these suspects for an explanation, if the readings leave them."""
        some = [suspects[i] for i in taken]
        groups = left([group for suspect in some for group in (suspect.edges, suspect.also) if group], readings)
        if groups:
            untold = len(frozenset().union(*(lost[i] for i in taken)) - dead)
            weight = _weight(groups, weights) if readings else _known(some)
            found.append(Explanation(taken, len(groups), untold, weight, groups))
        return bool(groups)

    for i in alone:
        if not hold((i,)) and suspects[i].faults == 1:  # a second fault, whose dead are dead by the first one, too
            for j in possible:
                if suspects[j].faults == 1 and lost[j] <= lost[i] and j != i:
                    hold((i, j))
    for pair in _pairs(single, lost, dead):
        hold(pair)
    return tuple(sorted(found, key=lambda e: (e.faults, e.untold, -e.weight, e.suspects))[:MOST])


def _known(suspects: Sequence[Suspect]) -> float:
    """How likely one suspect is, or two of them at once."""
    return suspects[0].weight if len(suspects) == 1 else TWICE * suspects[0].weight * suspects[1].weight


def _weight(groups: Sequence[Sequence[str]], weights: Mapping[str, float]) -> float:
    """The same for what the readings have left."""
    sums = [sum(weights[part] for part in group) for group in groups]
    return sums[0] if len(sums) == 1 else TWICE * sums[0] * sums[1]


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
