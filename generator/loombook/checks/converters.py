"""Rules F-12 and S-04: whether a converter blows the fuses behind it, and carries what runs on it."""

from __future__ import annotations

from collections.abc import Iterator

from ..network import Consumer
from ..study.loads import load_amps
from .model import Outcome, finding, not_applicable, passed
from .names import amps, listed
from .survey import Survey


def converter_blows(survey: Survey) -> Iterator[Outcome]:
    """A converter can blow the fuses behind it.

    What
        The current that each converter gives, against 3.5 times the largest fuse behind it that feeds a circuit, which
        opens it within half a second; twice the rating takes up to 5 s. Where a battery stands on its output, the
        battery blows it.

    Why
        A converter that limits its current holds the whole system down while a fuse takes its time: one fault and
        every instrument restarts, and no blown fuse shows which it was.

    Failing example
        converters:
          T2: {name: Instrument converter, output: 13.2 V, current: 20 A, isolated: yes, at: "locker, top"}
        fuses:
          F9: {name: Pilot fuse, kind: blade, rating: 15 A, voltage: 32 V, at: "locker, top"}
          F10: {name: Converter fuse, kind: class T, rating: 30 A, voltage: 125 V, breaking: 20 kA at 125 V}
        runs:
          converter in: [X1, F10, W90: "6 mm², 1 m", T2 in +]
          converter in negative: [T2 in -, W91: "6 mm², 1 m", X2]
        circuits:
          C9: {name: Pilot, from: T2 out +, back to: T2 out -, cable: [F9, "4 mm², 2 m"], load: 6 A}

    Passing example
        converters:
          T2: {name: Instrument converter, output: 13.2 V, current: 20 A, isolated: yes, at: "locker, top"}
        fuses:
          F9: {name: Pilot fuse, kind: blade, rating: 5 A, voltage: 32 V, at: "locker, top"}
          F10: {name: Converter fuse, kind: class T, rating: 30 A, voltage: 125 V, breaking: 20 kA at 125 V}
        runs:
          converter in: [X1, F10, W90: "6 mm², 1 m", T2 in +]
          converter in negative: [T2 in -, W91: "6 mm², 1 m", X2]
        circuits:
          C9: {name: Pilot, from: T2 out +, back to: T2 out -, cable: [F9, "4 mm², 2 m"], load: 3 A}

    Source
        ISO 8820-3:2015, gates at 200 % and 350 % (seen secondary; check your own copy).

    Clears
        Smaller fuses where the loads allow it, or a small battery on the converter's output; planned by somebody
        qualified.
    """
    fast, slow = survey.limit("converter_fast").value, survey.limit("converter_slow").value
    for id, converter in survey.inventory.converters.items():
        edge, called = survey.network.edges[id], survey.names.the(id)
        if any(survey.joined.part[f"{b} +"] == survey.joined.part[edge.b] for b in survey.inventory.batteries):
            yield not_applicable(id, f"a battery stands on the output of {called}")
            continue
        behind = [
            d
            for d in survey.last_devices
            if d.rating and not d.ac and survey.joined.part[d.edge.a] == survey.joined.part[edge.b]
        ]
        if not behind:
            continue
        gives = converter.current.value
        large = [d.id for d in behind if d.rating.value * fast > gives]
        worst = max(d.rating.value for d in behind)
        if not large:
            yield passed(
                id,
                f"{called} gives {converter.current}, enough to blow the largest fuse behind it, {amps(worst)}",
                f"{converter.current} against {amps(fast * worst)}",
            )
            continue
        grade, takes = ("B", "seconds, or for ever") if worst * slow > gives else ("C", "up to 5 s")
        what = (
            f"{called} gives {converter.current}; on a short {listed([survey.names.name(i) for i in large], 4)} may "
            f"take {takes} to open, and all behind the converter is dead meanwhile"
        )
        here = f"{converter.current} against {amps(fast * worst)}"
        yield finding(grade, id, what, here, place=survey.names.place_of(id, "current"), items=(id, *large))


def converter_carries(survey: Survey) -> Iterator[Outcome]:
    """A converter carries what runs on it at once.

    What
        The loads on each converter's output that run in the same operating condition, all at their rated current,
        against what it gives. A converter that charges a battery is not judged.

    Why
        Overloaded, it drops its voltage, and every instrument on it restarts together.

    Failing example
        converters:
          T2: {name: Instrument converter, output: 13.2 V, current: 10 A, isolated: yes, at: "locker, top"}
        fuses:
          F9: {name: Pilot fuse, kind: blade, rating: 20 A, voltage: 32 V, at: "locker, top"}
          F10: {name: Converter fuse, kind: class T, rating: 30 A, voltage: 125 V, breaking: 20 kA at 125 V}
        runs:
          converter in: [X1, F10, W90: "6 mm², 1 m", T2 in +]
          converter in negative: [T2 in -, W91: "6 mm², 1 m", X2]
        circuits:
          C9: {name: Pilot, from: T2 out +, back to: T2 out -, cable: [F9, "4 mm², 2 m"], load: 16 A}

    Passing example
        converters:
          T2: {name: Instrument converter, output: 13.2 V, current: 20 A, isolated: yes, at: "locker, top"}
        fuses:
          F9: {name: Pilot fuse, kind: blade, rating: 20 A, voltage: 32 V, at: "locker, top"}
          F10: {name: Converter fuse, kind: class T, rating: 30 A, voltage: 125 V, breaking: 20 kA at 125 V}
        runs:
          converter in: [X1, F10, W90: "6 mm², 1 m", T2 in +]
          converter in negative: [T2 in -, W91: "6 mm², 1 m", X2]
        circuits:
          C9: {name: Pilot, from: T2 out +, back to: T2 out -, cable: [F9, "4 mm², 2 m"], load: 16 A}

    Source
        Arithmetic on the inventory; makers' data of the converter.

    Clears
        A larger or second converter, or loads that are kept from running together.
    """
    for id, converter in survey.inventory.converters.items():
        if converter.charges:
            continue
        fed = [c for c in survey.network.consumers.values() if _first_through(survey, c) == id]
        if not fed:
            continue
        need, condition, running = _busiest(survey, fed)
        called = survey.names.the(id)
        what = (
            f"{called} gives {converter.current}; {len(running)} loads that can run together{condition} take "
            f"{amps(need)}"
        )
        here, items = f"{amps(need)} against {converter.current}", (id, *(c.id for c in running))
        if need > converter.current.value * 1.0001:
            yield finding("B", id, what, here, place=survey.names.place_of(id, "current"), items=items)
        else:
            yield passed(id, what, here, items=items)


def _first_through(survey: Survey, consumer: Consumer) -> str:
    """The last converter before a consumer on its first supply path; empty where there is none."""
    for path in survey.study.supply.get(consumer.id, ())[:1]:
        return path.through[-1] if path.through else ""
    return ""


def _busiest(survey: Survey, fed: list[Consumer]) -> tuple[float, str, list[Consumer]]:
    """(current, in which condition, which loads) where the most can run at once."""
    best: tuple[float, str, list[Consumer]] = (0.0, "", [])
    for name in survey.inventory.conditions or ("",):
        running = [c for c in fed if not name or survey.runs_in(c, name)]
        total = sum(load_amps(survey.network, survey.network.edges[c.edge]) for c in running)
        if total > best[0]:
            best = (total, f" in `{name}`" if name else "", running)
    return best
