"""Faults drawn by lot on boats drawn by lot: what is then dead, and whether an explanation names what has failed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from random import Random

from loombook.network import Network
from loombook.network.core import Core
from loombook.network.explain import Explanation
from loombook.network.live import all_primary, alive, state
from loombook.network.model import CONDUCTS, SOURCES
from loombook.network.suspects import Suspect, suspects_of

from .random_boats import random_boat


@dataclass(frozen=True)
class Boat:
    """A boat, sound, and what can fail on her."""

    network: Network
    core: Core
    on: frozenset[str]
    suspects: tuple[Suspect, ...]
    living: frozenset[str]
    breakable: tuple[str, ...]

    def dead(self, failed: Sequence[str]) -> frozenset[str]:
        """Who does not work when these parts have failed: reckoned from the graph alone, part by part."""
        kinds = {id: self.network.edges[id].kind for id in failed}
        opened = [id for id, kind in kinds.items() if kind in CONDUCTS]
        silent = {id for id, kind in kinds.items() if kind in SOURCES}
        own = {c.id for c in self.network.consumers.values() if c.edge in kinds}
        after = alive(state(self.network, {}, opened), self.on - silent, without=silent).consumers
        return self.living - (after - own)


def boat(seed: int) -> Boat:
    network = random_boat(seed)
    core, on = state(network), all_primary(network)
    before = alive(core, on)
    closed = {edge.id for edge in network.closed(network.normal)}
    breakable = tuple(
        e.id for e in network.edges.values() if e.id in closed or e.id in before.sources or e.kind == "load"
    )
    return Boat(network, core, on, suspects_of(core, on), before.consumers, breakable)


@dataclass(frozen=True)
class Fault:
    boat: Boat
    failed: tuple[str, ...]
    dead: tuple[str, ...]
    working: tuple[str, ...]


def faults(count: int, each: int = 25) -> Iterator[Fault]:
    """So many faults of one part or two that somebody aboard would notice, `each` of them on a boat."""
    lot = Random(1)
    for seed in range(count // each):
        aboard = boat(seed)
        found = 0
        while found < each:
            failed = tuple(lot.sample(aboard.breakable, lot.choice([1, 2])))
            dead = aboard.dead(failed)
            if dead:
                found += 1
                yield Fault(aboard, failed, tuple(sorted(dead)), tuple(sorted(aboard.living - dead)))


def names(explanation: Explanation, fault: Fault) -> bool:
    """Whether an explanation names what has failed.

    A part that takes nothing beyond what the other takes cannot be told from the outside; the other then is the answer.
    """
    suspects = [fault.boat.suspects[i] for i in explanation.suspects]
    felt = felt_of(fault)
    if len(suspects) == 1 and suspects[0].also:
        one, two = set(suspects[0].edges), set(suspects[0].also)
        return any({a, b} <= set(felt) for a in one for b in two if a != b)
    return len(felt) >= len(suspects) and any(
        all(id in suspect.edges for id, suspect in zip(order, suspects)) for order in (felt, felt[::-1])
    )


def felt_of(fault: Fault) -> tuple[str, ...]:
    """The failed parts without which less would be dead."""
    for id in fault.failed:
        if fault.boat.dead([id]) == frozenset(fault.dead):
            return tuple(i for i in fault.failed if fault.boat.dead([i]) == frozenset(fault.dead))
    return fault.failed
