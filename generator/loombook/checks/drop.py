"""Rules D: the voltage that is left at the consumer."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from ..calc.drop import better_areas
from ..diagnostics import Note
from ..inventory.loads import CRITICAL_USES
from ..network import Consumer
from ..study.model import Drop
from .model import Outcome, finding, passed, unknown
from .names import amps, describe, listed, per_cent, square, volts
from .survey import Survey

VITAL = ("navigation lights", "bilge pump")
"""Uses for which too much drop is of the first grade."""


def critical(survey: Survey) -> Iterator[Outcome]:
    """Critical circuits lose no more than 3 %.

    What
        The drop from the source to each critical consumer and back, by the rule set's own formula, all circuits of the
        feeder at their rated load: navigation lights, bilge pumps and blowers, radio, navigation, steering, alarms. A
        limit of the owner's or maker's goes first. Where the circuit's own cable is within the limit and only the sum
        is not, D-03 says so.

    Why
        A radio on low voltage transmits weakly, a pump moves much less water, a lamp falls below its range: in the
        very moment that they are needed for.

    Failing example
        circuits:
          C2: {name: VHF radio, from: X4 way 2, cable: "2.5 mm², 8 m", load: 6 A, use: radio}

    Passing example
        circuits:
          C2: {name: VHF radio, from: X4 way 2, cable: "6 mm², 3 m", load: 6 A, use: radio}

    Source
        ISO 10133:2012, Annex C, and ABYC E-11 (seen secondary; check your own copy).

    Clears
        A thicker cable for the part that loses most, or a shorter way.
    """
    for consumer in survey.network.consumers.values():
        if survey.use(consumer) in CRITICAL_USES:
            yield from _judge(survey, consumer, "A" if survey.use(consumer) in VITAL else "B")


def others(survey: Survey) -> Iterator[Outcome]:
    """Other circuits lose no more than 10 %.

    What
        The same for every other DC consumer, with 10 %, or the owner's or maker's own limit.

    Why
        What loses more than a tenth on the way heats the boat instead of doing its work, and stops first as the
        battery empties.

    Failing example
        circuits:
          C3: {name: Searchlight, from: X4 way 3, cable: "1.5 mm², 12 m", load: 5 A, use: lighting}

    Passing example
        circuits:
          C3: {name: Searchlight, from: X4 way 3, cable: "4 mm², 12 m", load: 5 A, use: lighting}

    Source
        ISO 10133:2012 (from memory), ABYC E-11 (seen secondary; check your own copy).

    Clears
        A thicker cable for the part that loses most, or a shorter way.
    """
    for consumer in survey.network.consumers.values():
        if survey.use(consumer) not in CRITICAL_USES:
            yield from _judge(survey, consumer, "C")


def in_sum(survey: Survey) -> Iterator[Outcome]:
    """The drop counts from the source to the load and back, not for each cable alone.

    What
        Consumers whose own cable is within the limit, while feeder, switches' cables and negative bring the sum above
        it.

    Why
        Each piece looked right to whoever fitted it. The consumer gets what the sum leaves.

    Failing example
        runs:
          panel feed: [X1, F4, W5: "10 mm², 6 m", X4]
          panel negative: [X5, W6: "10 mm², 6 m", X2]
        circuits:
          C2: {name: VHF radio, from: X4 way 2, cable: "2.5 mm², 3 m", load: 6 A, use: radio}

    Passing example
        runs:
          panel feed: [X1, F4, W5: "25 mm², 6 m", X4]
          panel negative: [X5, W6: "25 mm², 6 m", X2]
        circuits:
          C2: {name: VHF radio, from: X4 way 2, cable: "4 mm², 3 m", load: 6 A, use: radio}

    Source
        ISO 10133:2012, Annex C, and ABYC E-11 (seen secondary; check your own copy): length of positive and negative
        together, from the source.

    Clears
        A thicker feeder, or a thicker cable from the panel.
    """
    for consumer in survey.network.consumers.values():
        drop = survey.study.drops.get(consumer.id)
        if drop is None or drop.fraction is None or not survey.is_dc(consumer):
            continue
        own = _own_share(survey, consumer, drop)
        grade = "B" if survey.use(consumer) in CRITICAL_USES else "C"
        parts = f"; its own cable {per_cent(own)}, what is before it {per_cent(max(0.0, drop.fraction.value - own))}"
        if drop.fraction.low > drop.limit >= own:
            yield finding(grade, consumer.id, _what(survey, consumer, drop) + parts, **_more(survey, consumer, drop))
        elif drop.fraction.high <= drop.limit:
            yield passed(consumer.id, _what(survey, consumer, drop) + parts)


def _own_share(survey: Survey, consumer: Consumer, drop: Drop) -> float:
    """The part of the nominal voltage that a circuit's own cables take."""
    return sum(row[4] for row in drop.segments if survey.network.edges[row[0]].item == consumer.circuit) / drop.nominal


def _judge(survey: Survey, consumer: Consumer, grade: str) -> Iterator[Outcome]:
    """The drop of one consumer; where the sum alone is too much, D-03 speaks."""
    drop = survey.study.drops.get(consumer.id)
    if drop is None or not survey.is_dc(consumer):
        return
    names, id = survey.names, consumer.id
    if drop.fraction is None:
        if drop.missing:
            cables = list(dict.fromkeys(names.cable(survey.network.edges[c]) for c in drop.missing))
            fields = {
                f for c in drop.missing for f in ("length", "area") if getattr(survey.network.edges[c].cable, f) is None
            }
            what = f"the drop at {names.name(id)} is not known: {listed(cables)} is not measured"
            yield unknown(id, what, ", ".join(sorted(fields)), f"the drop against its {per_cent(drop.limit)}")
    elif drop.fraction.high <= drop.limit:
        yield passed(
            id,
            _what(survey, consumer, drop),
            f"{per_cent(drop.fraction.value)} against {per_cent(drop.limit)}",
            source=drop.limit_source,
        )
    elif drop.fraction.low <= drop.limit:
        low, high = per_cent(drop.fraction.low), per_cent(drop.fraction.high)
        what = f"{names.name(id)} loses between {low} and {high}; the limit is {per_cent(drop.limit)}"
        yield unknown(
            id, what, "length", "the drop with measured instead of estimated lengths", source=drop.limit_source
        )
    elif _own_share(survey, consumer, drop) > drop.limit:
        yield finding(grade, id, _what(survey, consumer, drop), **_more(survey, consumer, drop))


def _what(survey: Survey, consumer: Consumer, drop: Drop) -> str:
    lost = f"{per_cent(drop.fraction.value)} ({volts(drop.volts.value)})"
    return f"{survey.names.name(consumer.id)} loses {lost} at {amps(drop.current)}; the limit is {per_cent(drop.limit)}"


def _more(survey: Survey, consumer: Consumer, drop: Drop) -> dict[str, Any]:
    """What else a finding of drop says."""
    names, circuit = survey.names, consumer.circuit
    return {
        "here": f"{per_cent(drop.fraction.value)} against {per_cent(drop.limit)}",
        "place": names.place_of(circuit, "cable") if circuit in survey.inventory.circuits else names.place_of(circuit),
        "source": drop.limit_source,
        "items": tuple(dict.fromkeys((consumer.id, circuit))),
        "also": _parts(survey, drop),
        "clears": _better(survey, drop),
    }


def _parts(survey: Survey, drop: Drop) -> tuple[Note, ...]:
    """The cables that lose most."""
    lost: dict[str, float] = {}
    edges = {}
    for edge, _, _, _, fallen in drop.segments:
        id = survey.network.edges[edge].item
        lost[id] = lost.get(id, 0.0) + fallen
        edges.setdefault(id, survey.network.edges[edge])
    worst = sorted(lost, key=lost.get, reverse=True)[:2]
    return tuple(
        Note("cable", f"{id}, {describe(edges[id].cable)}: {volts(lost[id])}", survey.names.place_of_cable(edges[id]))
        for id in worst
    )


def _better(survey: Survey, drop: Drop) -> str:
    """What a thicker cable, for the part that loses most, would give; empty where none would do alone."""
    lost: dict[str, float] = {}
    for edge, _, _, _, fallen in drop.segments:
        path = survey.network.edges[edge].path
        lost[path] = lost.get(path, 0.0) + fallen
    if not lost:
        return ""
    worst = max(lost, key=lost.get)
    rows = [row for row in drop.segments if survey.network.edges[row[0]].path == worst]
    length, area, current = sum(row[1] for row in rows), rows[0][2], rows[0][3]
    rest = sum(row[4] for row in drop.segments) - lost[worst]
    rules = survey.rule_sets[0]
    for size, percent in better_areas(rules, current, length, area, drop.nominal, count=8):
        total = percent / 100 + rest / drop.nominal
        if total <= drop.limit:
            cable = survey.names.cable(survey.network.edges[rows[0][0]])
            return f"{square(size)} for {cable} would bring it to {per_cent(total)}; its fuse stays as it is"
    return ""
