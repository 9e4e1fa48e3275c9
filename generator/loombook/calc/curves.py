"""A time–current band: between which times a device opens at a current, and what it lets through meanwhile."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, inf, log
from typing import Literal, NamedTuple

from loombook.calc.tables import Mark, OutOfTable

Edge = tuple[tuple[float, float], ...]
"""Points (current [A], time [s]) of one side of a band, by rising current. Two points at one current are a step."""
Beyond = Literal["i2t", "flat", "zero"]
"""How an edge goes on above its last point: constant I²t, constant time, or it may open at once."""


LARGEST_CURRENT = 1e6
"""No boat has more [A]; a source without any resistance is cut here, so that no result is undefined."""


class Span(NamedTuple):
    """The shortest and the longest, or the least and the most."""

    least: float
    most: float


@dataclass(frozen=True)
class Band:
    """How fast a device opens, as a band between its fastest and its slowest edge."""

    name: str
    rating: float
    """Rated current [A]."""
    fastest: Edge
    """It does not open sooner than this. Below its first current the device does not open at all."""
    slowest: Edge
    """It has opened by this time. Below its first current the device need not open."""
    fast_beyond: Beyond = "i2t"
    slow_beyond: Beyond = "i2t"
    source: str = ""
    mark: Mark = Mark.MEMORY
    notes: tuple[str, ...] = ()
    family: str = ""
    """Id of the standard family; empty for an owner's own curve."""

    def opening_time(self, current: float) -> Span:
        """Shortest and longest time to open at a constant current.

        Straight lines between the gates on logarithmic scales.

        Args:
            current: [A]
        Returns:
            least and most [s]; inf where it does not or need not open
        """
        return Span(self.soonest(current), self.latest(current))

    def soonest(self, current: float) -> float:
        """Shortest time to open at a constant current [s]; inf where it does not open."""
        return _time(self.fastest, current, self.fast_beyond)

    def latest(self, current: float) -> float:
        """Longest time to open at a constant current [s]; inf where it need not open."""
        return _time(self.slowest, current, self.slow_beyond)

    def let_through(self, current: float) -> Span:
        """Energy let through while it opens at a constant current, I²t [A²s]; inf where it need not open."""
        current = min(current, LARGEST_CURRENT)
        least, most = self.opening_time(current)
        return Span(current**2 * least, current**2 * most)

    def opens_within(self, current: float, time: float) -> bool:
        """Whether it is sure to have opened by then."""
        return self.latest(current) <= time

    def carries(self, current: float, time: float) -> bool:
        """Whether it is sure not to open before then, as a motor's start asks."""
        return self.soonest(current) > time

    def outline(self, low: float, high: float) -> tuple[Edge, Edge]:
        """Both edges between two currents, ready to draw: fastest, slowest; steps keep both their points."""
        return (
            _outline(self.fastest, self.fast_beyond, low, high),
            _outline(self.slowest, self.slow_beyond, low, high),
        )

    @property
    def currents(self) -> tuple[float, ...]:
        """Every current at which an edge bends, sorted."""
        return tuple(sorted({current for current, _ in self.fastest + self.slowest}))


def _time(edge: Edge, current: float, beyond: Beyond) -> float:
    current = min(current, LARGEST_CURRENT)
    place = bisect_right(edge, (current, inf))
    if place == 0:
        return inf
    left = edge[place - 1]
    if place == len(edge):
        if current == left[0] or beyond == "flat":
            return left[1]
        return 0.0 if beyond == "zero" else left[1] * (left[0] / current) ** 2
    right = edge[place]
    share = log(current / left[0]) / log(right[0] / left[0])
    return exp(log(left[1]) * (1 - share) + log(right[1]) * share)


def _outline(edge: Edge, beyond: Beyond, low: float, high: float) -> Edge:
    points = [point for point in edge if low <= point[0] <= high]
    ends = [(current, _time(edge, current, beyond)) for current in (low, high)]
    starts = [ends[0]] if ends[0][1] < inf and (not points or points[0][0] > low) else []
    stops = [ends[1]] if 0 < ends[1][1] < inf and (not points or points[-1][0] < high) else []
    return (*starts, *points, *stops)


def own_curve(
    name: str,
    rating: float,
    fastest: Sequence[tuple[float, float]],
    slowest: Sequence[tuple[float, float]],
    source: str = "as the owner states",
    mark: Mark = Mark.STATED,
    beyond: Beyond = "i2t",
    multiples: bool = False,
) -> Band:
    """A band from points that the owner read off a device's own curve.

    Args:
        name: of the device
        rating: rated current [A]
        fastest: points (current [A], time [s]) of the fast edge
        slowest: points of the slow edge; the same points where only one line is printed
        source: where they were read
        mark: how well
        beyond: how both edges go on above the last point
        multiples: the currents of the points are multiples of the rating
    Returns:
        the band
    Raises:
        OutOfTable: no points, a time that rises with current, or edges that cross

    >>> own_curve("inverter fuse", 100, [(200, 1), (1000, 0.01)], [(200, 10), (1000, 0.1)]).opening_time(200)
    Span(least=1.0, most=10.0)
    """
    scale = rating if multiples else 1
    edges = tuple(_edge(name, [(scale * at, time) for at, time in points]) for points in (fastest, slowest))
    band = Band(name, rating, *edges, fast_beyond=beyond, slow_beyond=beyond, source=source, mark=mark)
    for current in band.currents:
        least, most = band.opening_time(current)
        if least > most:
            raise OutOfTable(f"{name}: at {current:g} A the fast edge, {least:g} s, is above the slow one, {most:g} s")
    return band


def _edge(name: str, points: Sequence[tuple[float, float]]) -> Edge:
    edge = tuple(sorted(((float(current), float(time)) for current, time in points), key=lambda p: (p[0], -p[1])))
    if not edge:
        raise OutOfTable(f"{name}: a curve needs at least one point of current and time")
    if any(current <= 0 or time <= 0 for current, time in edge):
        raise OutOfTable(f"{name}: current and time of a curve's points are above zero")
    for before, after in zip(edge, edge[1:], strict=False):
        if after[1] > before[1]:
            raise OutOfTable(f"{name}: {after[0]:g} A takes {after[1]:g} s, longer than {before[0]:g} A")
    return edge


def trip(name: str, threshold: float | tuple[float, float], delay: float | tuple[float, float]) -> Band:
    """An electronic trip, such as a battery management system's: at a threshold, after a delay.

    Args:
        name: of the device
        threshold: current [A], or least and most
        delay: time [s], or shortest and longest
    Returns:
        the band, flat above the threshold

    >>> trip("BMS", 600, 0.0003).opening_time(1200)
    Span(least=0.0003, most=0.0003)
    """
    low, high = threshold if isinstance(threshold, tuple) else (threshold, threshold)
    soon, late = delay if isinstance(delay, tuple) else (delay, delay)
    return Band(name, low, ((low, soon),), ((high, late),), "flat", "flat", "its own setting", Mark.STATED)
