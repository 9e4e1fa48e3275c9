"""A meter on a boat on which something has failed: what it reads on the way of a dead device, from the graph alone."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field

from loombook.network.live import alive, state
from loombook.network.loops import Loop, best_point, loops_of, narrowed
from loombook.network.metered import Reading, point_read, source_read
from loombook.network.model import CONDUCTS, CONVERTS, SOURCES
from loombook.network.suspects import likely

from .faults import Fault


@dataclass
class Meter:
    """The boat of a fault as it now is, with a meter in hand."""

    fault: Fault
    loops: dict[str, Loop] = field(init=False)
    """The way round each device and each converter while all was well."""

    def __post_init__(self) -> None:
        boat = self.fault.boat
        edges = boat.network.edges
        opened = [id for id in self.fault.failed if edges[id].kind in CONDUCTS]
        silent = {id for id in self.fault.failed if edges[id].kind in SOURCES}
        self.core = state(boat.network, {}, opened)
        self.living = alive(self.core, boat.on - silent, without=silent).sources
        self.loops = dict(loops_of(boat.core, boat.on))
        self.through: dict[int, set[int]] = defaultdict(set)
        takes = [(c.edge, c.plus, c.minus) for c in boat.network.consumers.values()]
        entries = [(e.id, boat.network.input_of(e)) for e in boat.network.sources() if e.kind in CONVERTS]
        for id, plus, minus in (*takes, *((id, entry.a, entry.b) for id, entry in entries)):
            if id not in self.fault.failed:
                a, b = self.joined(plus), self.joined(minus)
                self.through[a].add(b)
                self.through[b].add(a)

    def joined(self, node: str) -> int:
        """All that conducts to a node has its number."""
        return self.core.part[self.core.root[node]]

    def fed_beside(self, minus: int) -> set[int]:
        """What a living source lifts over this."""
        sources = [self.fault.boat.network.edges[id] for id in self.living]
        return {self.joined(source.b) for source in sources if self.joined(source.a) == minus}

    def source_is_good(self, loop: Loop) -> bool:
        """Whether there is voltage between the two ends of a loop."""
        return self.joined(loop.points[0]) in self.fed_beside(self.joined(loop.points[-1]))

    def reaches(self, loop: Loop, point: int) -> bool:
        """Whether a meter with its black lead on the last point says that the voltage reaches this one.

        What hangs loose has the voltage of what it is joined to through devices that are on. Between both it is less than
        full on the way out, and more than none on the way back.
        """
        here, minus = self.joined(loop.points[point]), self.joined(loop.points[-1])
        plus = self.fed_beside(minus)
        seen, waiting, touched = {here}, [here], set()
        while waiting:
            part = waiting.pop()
            if part == minus or part in plus:
                touched.add(part == minus)
                continue  # no device pulls a source
            waiting += (more := self.through.get(part, set()) - seen)
            seen |= more
        return False in touched and (point >= loop.turn or True not in touched)

    def readings(self, loop: Loop) -> Iterator[Reading]:
        """As the fault finder asks for them: at the source, then halving; without voltage there, on the way that feeds it."""
        good = self.source_is_good(loop)
        yield source_read(loop, good)
        network = self.fault.boat.network
        if not good:
            before = self.loops.get(network.edges[loop.source].item)
            if before is not None:
                yield from self.readings(before)
            return
        weights = {id: likely(network.edges[id]) for id in loop.edges}
        while (point := best_point(loop, weights)) is not None:
            further = self.reaches(loop, point)
            yield point_read(loop, point, further, source_good=True)
            weights = narrowed(loop, weights, point, further)
