"""What a meter reads narrows what can have failed, and never to something else."""

from __future__ import annotations

from collections.abc import Iterator

from loombook.network.explain import Explanation, explain
from loombook.network.metered import Reading, left, point_read
from loombook.network.suspects import likely

from .faults import Fault, faults, felt_of
from .meter import Meter


def explained(fault: Fault, readings: list[Reading]) -> tuple[Explanation, ...]:
    """What explains the fault with what has been read."""
    weights = {id: likely(edge) for id, edge in fault.boat.network.edges.items()}
    return explain(fault.boat.suspects, fault.dead, fault.working, readings, weights)


def measured(count: int) -> Iterator[tuple[Fault, list[Reading]]]:
    """Faults with what is then read along the way of the first dead device that has one."""
    for fault in faults(count):
        meter = Meter(fault)
        if loop := next((meter.loops[c] for c in fault.dead if c in meter.loops), None):
            yield fault, list(meter.readings(loop))


def has(explanation: Explanation, fault: Fault) -> bool:
    """Whether what an explanation still holds for possible has what has failed in it, each fault in a group of its own."""
    felt = felt_of(fault)
    groups = explanation.left
    if len(groups) == 1:
        return any(id in groups[0] for id in felt)
    return any(a in groups[0] and b in groups[1] for a in felt for b in felt if a != b)


def parts(explanations: tuple[Explanation, ...]) -> set[str]:
    """All that it can be."""
    return {id for explanation in explanations for group in explanation.left for id in group}


def test_what_has_failed_is_never_read_away_and_most_else_is() -> None:
    """Where a second part has failed that another stands in for, the readings may fit nothing: then they narrow nothing."""
    missed, puzzled, asked, before, after = [], 0, 0, 0, 0
    for fault, readings in measured(1000):
        found, unread = explained(fault, readings), explained(fault, [])
        asked += 1
        before += len(parts(unread))
        after += len(parts(found or unread))
        puzzled += not found
        if not any(has(explanation, fault) for explanation in found or unread):
            missed.append((fault.failed, fault.dead))

    assert [] == missed
    assert asked > 900
    assert puzzled < 15
    assert after < before / 3


def test_each_reading_leaves_what_the_one_before_it_left_or_less() -> None:
    """Of what one fault explains: where that does not, two faults are looked for of which one hides the other."""
    grown = []
    for fault, readings in measured(200):
        found = [explained(fault, readings[:n]) for n in range(len(readings) + 1)]
        ones = [parts(tuple(e for e in rows if e.faults == 1)) for rows in found]
        grown += [fault.failed for more, fewer in zip(ones, ones[1:]) if not fewer <= more]

    assert [] == grown


def test_one_fault_is_read_down_to_its_section() -> None:
    """A single fault on the way that is measured: what is left has failed parts of that section alone."""
    for fault, readings in measured(200):
        felt = felt_of(fault)
        if len(fault.failed) == 1 and any(reading.among and felt[0] in reading.parts for reading in readings):
            best = explained(fault, readings)[0]

            assert felt == best.left[0] and len(best.left) == 1, fault.failed


def test_a_reading_that_nothing_accounts_for_leaves_nothing() -> None:

    assert () == left([("a", "b")], [Reading(frozenset("c"))])


def test_without_a_look_at_the_source_no_voltage_may_be_the_sources_fault() -> None:
    fault, _ = next(measured(25))
    meter = Meter(fault)
    loop = next(iter(meter.loops.values()))
    blind, checked = (point_read(loop, 1, False, good) for good in (False, True))

    assert blind.allows("something else") and not checked.allows("something else")
    assert blind.allows(loop.edges[0]) and checked.allows(loop.edges[0])
