"""The smallest set of handles that parts a target from every source, exactly: each way energy could take is hit once.

What is live is taken from the safe side: a switch that is ever used may stand in any position, and a converter gives
as long as its input is joined to something live. A way by which energy reaches the target is then a set of handles of
which at least one must be opened. Ways are gathered until the cheapest set that hits all of them leaves none over.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from heapq import heappop, heappush
from typing import Any, TypeVar

from .handles import Handle
from .model import ALTERNATING, PRIMARY, Edge, Network

REMEMBERED = 64
"""Answers that are kept; on a large boat each is as long as the boat has clusters."""
T = TypeVar("T")
Ways = frozenset[int]
"""Numbers of the handles on one way of the energy."""


@dataclass(frozen=True)
class Flow:
    """The boat as energy sees it: clusters of nodes with no handle between, and the links that handles open."""

    network: Network = field(repr=False)
    handles: tuple[Handle, ...]
    cluster: Mapping[str, int] = field(repr=False)
    """Node → its cluster."""
    links: Mapping[int, tuple[tuple[int, int], ...]] = field(repr=False)
    """Cluster → (the cluster beyond, number of the handle between)."""
    entries: Mapping[str, tuple[int, ...]] = field(repr=False)
    """Source edge → the clusters of its live terminals."""
    stops: Mapping[str, int] = field(repr=False)
    """Source edge → number of the handle that stops it."""
    inputs: Mapping[int, tuple[str, ...]] = field(repr=False)
    """Cluster → source edges that convert what they take from it."""
    _answers: dict[tuple, Any] = field(default_factory=dict, repr=False, compare=False)
    """What was asked before: each space asks for much the same as the one before it."""

    def _once(self, question: tuple, answer: Callable[[], T]) -> T:
        if question not in self._answers:
            if len(self._answers) >= REMEMBERED:
                self._answers.clear()
            self._answers[question] = answer()
        return self._answers[question]

    def live(self, opened: Iterable[int], without: Iterable[str] = (), more: Iterable[int] = ()) -> frozenset[int]:
        """Clusters that are live with some handles opened.

        Args:
            opened: numbers of the handles
            without: source edges that give nothing
            more: clusters that something else keeps live, such as a motor that the water turns
        """
        question = (frozenset(opened), frozenset(without), frozenset(more))
        return self._once(("live", *question), lambda: self._live(*question))

    def _live(self, opened: frozenset[int], without: frozenset[str], more: frozenset[int]) -> frozenset[int]:
        starts = [c for s in self._primary(without) if self.stops.get(s, -1) not in opened for c in self.entries[s]]
        seen: set[int] = set()
        stack = [*starts, *more]
        while stack:
            here = stack.pop()
            if here in seen:
                continue
            seen.add(here)
            stack += [there for there, handle in self.links.get(here, ()) if handle not in opened]
            stack += [c for s in self.inputs.get(here, ()) for c in self.entries[s]]
        return frozenset(seen)

    def fed_by(self, opened: Iterable[int], without: Iterable[str] = ()) -> Mapping[int, tuple[str, ...]]:
        """Live cluster → ids of the source edges joined to it, converters among them."""
        opened, without = frozenset(opened), frozenset(without)
        live = self.live(opened, without)
        found: dict[int, set[str]] = {}
        for id, starts in sorted(self.entries.items()):
            edge = self.network.edges[id]
            on = self._is_on(edge, opened, without, live)
            stack = list(starts) if on else []
            while stack:
                here = stack.pop()
                if id in found.setdefault(here, set()):
                    continue
                found[here].add(id)
                stack += [there for there, handle in self.links.get(here, ()) if handle not in opened]
        return {cluster: tuple(sorted(ids)) for cluster, ids in found.items() if ids}

    def joined(self, opened: Iterable[int]) -> Mapping[int, int]:
        """Cluster → number of the joined part that it is in."""
        opened = frozenset(opened)
        part: dict[int, int] = {}
        for number, start in enumerate(sorted(set(self.cluster.values()))):
            stack = [start]
            while stack:
                here = stack.pop()
                if here not in part:
                    part[here] = number
                    stack += [there for there, handle in self.links.get(here, ()) if handle not in opened]
        return part

    def ways(self, targets: Iterable[int], opened: frozenset[int], without: frozenset[str]) -> list[Ways]:
        """For live targets the way with the fewest handles to each, shortest first; none that holds another."""
        reached = self._once(("reached", opened, without), lambda: self._reached(opened, without))
        found: list[Ways] = []
        used: set[int] = set()
        for way in sorted({reached[t] for t in targets if t in reached}, key=lambda way: (len(way), sorted(way))):
            if not way & used:  # the others are left for the next round: what hits these may hit them
                found.append(way)
                used |= way
        return found

    def _reached(self, opened: frozenset[int], without: frozenset[str]) -> Mapping[int, Ways]:
        """Live cluster → the way to it with the fewest handles."""
        reached: dict[int, Ways] = {}
        queue: list[tuple[int, int, tuple[int, ...]]] = []
        for source in self._primary(without):
            stop = self.stops.get(source, -1)
            if stop not in opened:
                for start in self.entries[source]:
                    heappush(queue, (int(stop >= 0), start, (stop,) if stop >= 0 else ()))
        while queue:
            count, here, way = heappop(queue)
            if here in reached:
                continue
            reached[here] = frozenset(way)
            for there, handle in self.links.get(here, ()):
                if there not in reached and handle not in opened:
                    heappush(queue, (count + 1, there, (*way, handle)))
            for source in self.inputs.get(here, ()):
                for there in self.entries[source]:
                    heappush(queue, (count, there, way))
        return reached

    def _primary(self, without: frozenset[str]) -> list[str]:
        return [s for s in self.entries if self.network.edges[s].kind in PRIMARY and s not in without]

    def _is_on(self, edge: Edge, opened: frozenset[int], without: frozenset[str], live: frozenset[int]) -> bool:
        if edge.id in without or self.stops.get(edge.id, -1) in opened:
            return False
        return edge.kind in PRIMARY or self.cluster[self.network.input_of(edge).a] in live


def flow_of(network: Network, handles: Sequence[Handle], closes: Callable[[Edge], bool], insulated: bool) -> Flow:
    """The clusters and links of a network.

    Args:
        network: the boat
        handles: those that may be opened
        closes: whether an edge without a handle is ever closed
        insulated: whether both poles count as live
    """
    by_edge = {edge: number for number, h in enumerate(handles) for edge in h.edges}
    cluster: dict[str, int] = {}
    for number, start in enumerate(network.nodes):
        stack = [start] if start not in cluster else []
        while stack:
            node = stack.pop()
            if node not in cluster:
                cluster[node] = number
                stack += [e.other(node) for e in network.at[node] if e.conducts and e.id not in by_edge and closes(e)]
    links: dict[int, list[tuple[int, int]]] = {}
    for id, handle in by_edge.items():
        edge = network.edges[id]
        a, b = cluster[edge.a], cluster[edge.b]
        if a != b:
            links.setdefault(a, []).append((b, handle))
            links.setdefault(b, []).append((a, handle))
    entries, inputs = {}, {}
    for edge in network.sources():
        ends = [edge.b, edge.a] if insulated or edge.kind in ALTERNATING else [edge.b]
        entries[edge.id] = tuple(cluster[end] for end in ends)
        if edge.kind not in PRIMARY:
            inputs.setdefault(cluster[network.input_of(edge).a], []).append(edge.id)
    stops = {source: number for number, h in enumerate(handles) for source in h.sources}
    frozen_links = {c: tuple(there) for c, there in links.items()}
    return Flow(
        network, tuple(handles), cluster, frozen_links, entries, stops, {c: tuple(s) for c, s in inputs.items()}
    )


def cheapest_cut(
    flow: Flow, targets: Iterable[int], costs: Sequence[int], opened: Iterable[int] = (), without: Iterable[str] = ()
) -> list[int]:
    """Numbers of the handles that kill all targets at the least cost. Every target must be one that they can kill.

    Args:
        flow: the boat
        targets: clusters to be killed
        costs: of each handle
        opened: handles that are open already
        without: source edges that are left out
    """
    targets, opened, without = frozenset(targets), frozenset(opened), frozenset(without)
    ways: list[Ways] = []
    chosen: frozenset[int] = frozenset()
    while True:
        more = flow.ways(targets, opened | chosen, without)
        if not more:
            return sorted(chosen)
        ways += more
        chosen = _cheapest_hit(ways, costs)


def _cheapest_hit(ways: Sequence[Ways], costs: Sequence[int]) -> frozenset[int]:
    """The cheapest set of handles of which each way holds at least one, by branch and bound."""
    best: tuple[int, frozenset[int]] = (sum(costs[h] for h in frozenset().union(*ways)) + 1, frozenset())

    def search(left: list[Ways], chosen: frozenset[int], spent: int) -> None:
        nonlocal best
        left, forced = _without_forced(left)
        chosen, spent = chosen | forced, spent + sum(costs[h] for h in forced)
        if spent + _at_least(left, costs) >= best[0]:
            return
        if not left:
            best = (spent, chosen)
            return
        way = left[0]
        shut: set[int] = set()
        for handle in sorted(way, key=lambda h: (costs[h] / sum(h in w for w in left), h)):
            rest = [w - shut for w in left if handle not in w]
            if all(rest):
                search(rest, chosen | {handle}, spent + costs[handle])
            shut.add(handle)  # the branches after this one are those without it

    search(list(ways), frozenset(), 0)
    return best[1]


def _without_forced(ways: Sequence[Ways]) -> tuple[list[Ways], frozenset[int]]:
    """What is left once each way of one handle is hit, shortest first, none holding another; and those handles."""
    forced = frozenset().union(*(w for w in ways if len(w) == 1))
    left: list[Ways] = []
    for way in sorted({w for w in ways if not w & forced}, key=lambda w: (len(w), sorted(w))):
        if not any(other <= way for other in left):
            left.append(way)
    return left, forced


def _at_least(ways: Sequence[Ways], costs: Sequence[int]) -> int:
    """What any set must cost: ways that share no handle are hit apart."""
    used: set[int] = set()
    total = 0
    for way in sorted(ways, key=len):
        if not way & used:
            used |= way
            total += min(costs[h] for h in way)
    return total
