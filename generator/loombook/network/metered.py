"""What a meter's readings say: of which parts one has failed, and what that leaves of an explanation.

The fault finder that runs in a browser reckons the same; a test holds both together.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from .loops import Loop


@dataclass(frozen=True)
class Reading:
    """What one reading on the way of a dead device says, whatever else has failed."""

    parts: frozenset[str]
    among: bool = True
    """True: a part that has failed is among these; False: one is not among these."""

    def allows(self, part: str) -> bool:
        """Whether the failure of this part alone would give the reading."""
        return (part in self.parts) == self.among


def source_read(loop: Loop, good: bool) -> Reading:
    """Voltage at the source: the way round the device has failed somewhere. None there: something else has."""
    return Reading(frozenset(loop.edges), among=good)


def point_read(loop: Loop, point: int, further: bool, source_good: bool) -> Reading:
    """A reading at a point of the loop.

    If all behind a point that the voltage reaches were sound, the device would work. If all before a point that it does
    not reach were sound, it would be there, as long as the source gives any.

    Args:
        loop: the way round the device
        point: index into its points
        further: whether the voltage reaches it
        source_good: whether voltage was read at the source before
    """
    if further:
        return Reading(frozenset(loop.edges[point:]))
    return (
        Reading(frozenset(loop.edges[:point])) if source_good else Reading(frozenset(loop.edges[point:]), among=False)
    )


def left(groups: Sequence[Sequence[str]], readings: Sequence[Reading]) -> tuple[tuple[str, ...], ...]:
    """Of one or two groups, of each of which one part has failed, the parts that account for every reading.

    Args:
        groups: parts, one failed in each
        readings: each asks for one failed part of its own kind
    Returns:
        the groups without the parts that do not; empty where nothing in them accounts for all readings

    >>> left([("a", "b", "c")], [Reading(frozenset("ab")), Reading(frozenset("bc"))])
    (('b',),)
    >>> left([("a", "b"), ("c", "d")], [Reading(frozenset("ab")), Reading(frozenset("c"))])
    (('a', 'b'), ('c',))
    """
    whole = frozenset(range(len(readings)))
    told = [{part: frozenset(n for n in whole if readings[n].allows(part)) for part in group} for group in groups]
    found = []
    for place, group in enumerate(groups):
        others = {said for n, other in enumerate(told) if n != place for said in other.values()} or {frozenset()}
        found.append(tuple(part for part in group if any(told[place][part] | other == whole for other in others)))
    return tuple(found) if all(found) else ()
