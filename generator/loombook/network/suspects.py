"""What can have failed: groups of parts that a look at dead and living consumers cannot tell apart.

A fuse, the cable behind it and the device at its end die together, so they are one suspect. Parts that something else
stands in for, such as each side of a ring or the fuse of each of two strings, are found in pairs. The same groups go to
the fault finder that runs in a browser.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import combinations

from .core import Core
from .live import alive, taken_outwards
from .model import PRIMARY, Edge

LIKELY: Mapping[str, float] = {
    "fuse": 4, "breaker": 2, "switch": 2, "conductor": 2, "joint": 1, "shunt": 0.5, "bms": 2, "bond": 0.2, "load": 3,
    "battery": 1, "converter": 2, "inverter": 2, "charger": 1, "controller": 1, "alternator": 1, "shore": 2, "generator": 2,
    "solar array": 0.5, "input": 0,
}  # fmt: skip
"""How often a part is the one that failed, against the others: common practice, no source. A cable counts its two ends."""

HIDDEN = 1.5
"""How much likelier a part is to have failed where nobody looks at it: common practice, no source."""

TWICE = 0.05
"""How much rarer two faults at once are than one: common practice, no source."""

Pair = tuple[str, str]
"""The core nodes from which both poles of something hang."""
Feeds = Mapping[Pair, frozenset[str]]
"""Where something wants energy → the sources joined to it on both poles, awake or not."""


@dataclass(frozen=True)
class Suspect:
    """Parts whose failure looks the same, and the consumers that it takes."""

    edges: tuple[str, ...]
    lost: tuple[str, ...]
    weight: float
    also: tuple[str, ...] = ()
    """Where only a pair of failures is felt: one of `edges` and one of these have both failed."""

    @property
    def faults(self) -> int:
        return 2 if self.also else 1


def suspects_of(core: Core, on: Iterable[str]) -> tuple[Suspect, ...]:
    """Every group of parts of which a failure is felt, single failures first, in the order of the network.

    Args:
        core: the network in the switch positions in which the fault is looked for
        on: ids of the primary sources that are on
    """
    return _Search(core, frozenset(on)).suspects()


@dataclass(frozen=True)
class _Weakened:
    """Failures that take the same supplies away."""

    ids: list[str]
    feeds: Feeds
    """What is joined to what then."""
    silent: frozenset[str]
    given: Feeds
    """Which of these give energy then."""


_NONE: frozenset[str] = frozenset()


class _Search:
    def __init__(self, core: Core, on: frozenset[str]) -> None:
        self.core, self.on, self.network = core, on, core.network
        state = alive(core, on)
        attach, network = core.attach, core.network
        self.living = state.consumers
        self.order = {id: i for i, id in enumerate(network.edges)}
        self.sources = [network.edges[id] for id in sorted(state.sources, key=self.order.__getitem__)]
        self.ends = [(e.id, attach(e.b), attach(e.a)) for e in self.sources]
        entries = {e.id: network.input_of(e) for e in self.sources if e.kind not in PRIMARY}
        self.inputs: dict[str, Pair] = {id: (attach(entry.a), attach(entry.b)) for id, entry in entries.items()}
        self.hangs: dict[Pair, list[str]] = {pair: [] for pair in self.inputs.values()}
        for consumer in network.consumers.values():
            if consumer.id in self.living:
                self.hangs.setdefault((attach(consumer.plus), attach(consumer.minus)), []).append(consumer.id)
        self.rank = {id: i for i, id in enumerate(network.consumers)}
        self.before = self.feeds(())

    # what is fed by what

    def feeds(self, opened: Iterable[str]) -> Feeds:
        """The sources joined to everything that wants energy, with edges of the core opened."""
        part = self.core.parts(opened)
        by_parts: dict[tuple[int, int], set[str]] = {}
        for id, plus, minus in self.ends:
            by_parts.setdefault((part[plus], part[minus]), set()).add(id)
        found = {parts: frozenset(ids) for parts, ids in by_parts.items()}
        return {pair: found.get((part[pair[0]], part[pair[1]]), _NONE) for pair in self.hangs}

    def giving(self, feeds: Feeds, silent: frozenset[str] = frozenset()) -> Feeds:
        """Only the sources that have energy to give: primary ones that are on, and converters that one of them wakes."""
        awake = {e.id for e in self.sources if e.id in self.on} - silent
        asleep = {id: entry for id, entry in self.inputs.items() if id not in silent}
        while woken := [id for id, entry in asleep.items() if feeds[entry] & awake]:
            awake.update(woken)
            for id in woken:
                del asleep[id]
        return {pair: joined & awake for pair, joined in feeds.items()}

    def lost(self, given: Feeds) -> tuple[str, ...]:
        """The consumers that are given nothing, in the order of the network."""
        return tuple(
            sorted(
                (c for pair, sources in given.items() if not sources for c in self.hangs[pair]),
                key=self.rank.__getitem__,
            )
        )

    # single failures

    def suspects(self) -> tuple[Suspect, ...]:
        weakened = self.weakened()
        lost = dict(taken_outwards(self.core, self.living))
        lost |= {id: taken for found in weakened for taken in [self.lost(found.given)] for id in found.ids}
        lost |= {c.edge: (c.id,) for c in self.network.consumers.values() if c.id in self.living}
        groups: dict[tuple[str, ...], list[str]] = {}
        for id in self.network.edges:
            if taken := lost.get(id):
                groups.setdefault(taken, []).append(id)
        singles = [Suspect(tuple(ids), taken, self.weight(ids)) for taken, ids in groups.items()]
        return (*singles, *self.pairs(weakened), *self.ring_pairs())

    def weakened(self) -> list[_Weakened]:
        """Each failure of the core or of a source that takes a supply from somebody."""
        found: dict[frozenset, _Weakened] = {}
        failures = [(id, self.feeds({id}), frozenset()) for id in self.core.bridges]
        failures += [(e.id, self.before, frozenset({e.id})) for e in self.sources]
        for id, feeds, silent in sorted(failures, key=lambda row: self.order[row[0]]):
            gone = frozenset((pair, s) for pair, joined in self.before.items() for s in joined - (feeds[pair] - silent))
            if gone in found:
                found[gone].ids.append(id)
            elif gone:
                found[gone] = _Weakened([id], feeds, silent, self.giving(feeds, silent))
        return list(found.values())

    def weight(self, ids: Iterable[str]) -> float:
        return sum(likely(self.network.edges[id]) for id in ids)

    # pairs

    def pairs(self, weakened) -> Iterator[Suspect]:
        """Pairs that take more together than one by one, such as the fuses of both strings.

        That needs somebody who loses one supply by the first, another by the second, and lives with either.
        """
        given = self.giving(self.before)
        partly = [{p for p, sources in found.given.items() if sources and sources != given[p]} for found in weakened]
        for i, j in combinations(range(len(weakened)), 2):
            if not partly[i] & partly[j]:
                continue
            one, two = weakened[i], weakened[j]
            feeds = {pair: joined & two.feeds[pair] for pair, joined in one.feeds.items()}
            lost = self.lost(self.giving(feeds, one.silent | two.silent))
            if len(lost) > len({*self.lost(one.given), *self.lost(two.given)}):
                yield self.pair(tuple(one.ids), tuple(two.ids), lost)

    def ring_pairs(self) -> Iterator[Suspect]:
        """Pairs that cut a ring in two, each side with everything in series on it."""
        for ring in self.core.rings():
            sides: list[list[str]] = []
            for id in ring:
                for side in sides:
                    if self.feeds((side[0], id)) == self.before:
                        side.append(id)
                        break
                else:
                    sides.append([id])
            for first, second in combinations(sides, 2):
                if lost := self.lost(self.giving(self.feeds((first[0], second[0])))):
                    yield self.pair(tuple(first), tuple(second), lost)

    def pair(self, first: tuple[str, ...], second: tuple[str, ...], lost: tuple[str, ...]) -> Suspect:
        return Suspect(first, lost, TWICE * self.weight(first) * self.weight(second), second)


def likely(edge: Edge) -> float:
    """How often this part is the one that failed, against the others."""
    return LIKELY[edge.kind] * (HIDDEN if getattr(edge.record, "hidden", False) else 1.0)
