"""Whether of two devices in series only the nearer one opens, and up to which fault current."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf, log
from typing import Literal

from loombook.calc.curves import LARGEST_CURRENT, Band

GG_RATIO = 1.55
"""Ratio of gG ratings from which the standard has them selective: 1 : 1.6, two steps of the series, of which 25 : 16
is the smallest. Source: IEC 60269-1 (from memory)."""
TOUCHING = 1 + 1e-6
"""Times whose ratio is no more than this count as the same."""
_NEAR = 1e-9
"""Relative distance from a bend at which an edge is looked at on one side of a step."""


@dataclass(frozen=True)
class Selectivity:
    """The verdict over a range of fault current."""

    verdict: Literal["full", "up to", "none"]
    limit: float | None
    """Current up to which only the nearer device opens [A]; None when over the whole range."""
    low: float
    high: float
    why: str = "bands compared over the whole range"

    def __str__(self) -> str:
        """The verdict as a page prints it.

        >>> str(Selectivity("up to", 482.0, 20, 1800))
        'up to 482 A'
        """
        return f"up to {self.limit:.3g} A" if self.verdict == "up to" else self.verdict


def selective_at(near: Band, far: Band, current: float) -> bool:
    """Whether at this current the nearer device has opened before the farther one can.

    True also where the farther device does not open at all. Gates that just touch count as apart.
    """
    sooner = far.soonest(current)
    return sooner == inf or near.latest(current) <= sooner * TOUCHING


def selectivity(near: Band, far: Band, low: float, high: float) -> Selectivity:
    """Selectivity of two devices in series over a range of fault current.

    Both bands are straight between their bends on logarithmic scales, so it is enough to look at the bends from
    both sides; where the verdict changes between two bends, two straight lines cross. Equal currents through both devices. Between
    two gates the standard says nothing, so gG fuse-links are judged by the ratio that their gates are laid out for.

    Args:
        near: the device nearer to the fault, which should open alone
        far: the device nearer to the source
        low: smallest fault current [A]
        high: largest fault current [A]
    Returns:
        full, up to so many amperes, or none
    Source: comparison of longest against shortest opening time; IEC 60947-2 Annex A gives the idea (from memory).

    >>> from loombook.calc.families import band
    >>> selectivity(band("blade", 5), band("blade", 30), 10, 1000).verdict
    'full'
    """
    if near.family == far.family == "gG" and far.rating >= GG_RATIO * near.rating:
        return Selectivity("full", None, low, high, "gG ratings 1 : 1.6 or more, IEC 60269-1 (from memory)")
    low, high = sorted((max(low, 1e-3), min(high, LARGEST_CURRENT)))
    bends = sorted({low, high, *(at for at in near.currents + far.currents if low < at < high)})
    if not selective_at(near, far, low):
        return Selectivity("none", None, low, high)
    for left, right in zip(bends, bends[1:], strict=False):
        inside_left, inside_right = left * (1 + _NEAR), right * (1 - _NEAR)
        if not selective_at(near, far, inside_left):
            return Selectivity("up to", left, low, high)
        if not selective_at(near, far, inside_right):
            return Selectivity("up to", _change(near, far, inside_left, inside_right), low, high)
        if not selective_at(near, far, right):
            return Selectivity("up to", right, low, high)
    return Selectivity("full", None, low, high)


def _change(near: Band, far: Band, good: float, bad: float) -> float:
    """Where two edges cross that are straight in between on logarithmic scales, and therefore above nothing [A]."""
    apart, past = (log(near.latest(at) / (far.soonest(at) * TOUCHING)) for at in (good, bad))
    return good * (bad / good) ** (apart / (apart - past))
