"""Rules C: whether the cable is large enough, of the right kind, and its parallel conductors alike."""

from __future__ import annotations

from collections.abc import Iterator

from ..network import Edge
from .limits import limit
from .model import Outcome, finding, passed, unknown
from .names import amps, describe, listed, metres, per_cent, square
from .survey import Survey


def carries(survey: Survey) -> Iterator[Outcome]:
    """No cable carries more than it bears where it lies.

    What
        The current that each cable is expected to carry, all circuits at their rated load and the largest motor running,
        against its ampacity: insulation class, space temperature, bundle. An alternator's own cable is C-08's.

    Why
        A cable above its limit ages in months, and sets fire to what lies beside it on a hot day.

    Failing example
        circuits:
          C3: {name: Heater, from: X1, back to: X2, cable: [F9, "1.5 mm², 2 m, 60 °C, in engine"], load: 14 A, use: heating}
        fuses:
          F9: {name: Heater fuse, kind: gG, rating: 16 A, voltage: 110 V, at: "locker, on the bar"}

    Passing example
        circuits:
          C3: {name: Heater, from: X1, back to: X2, cable: [F9, "6 mm², 2 m, 105 °C, in engine"], load: 14 A, use: heating}
        fuses:
          F9: {name: Heater fuse, kind: gG, rating: 16 A, voltage: 110 V, at: "locker, on the bar"}

    Source
        33 CFR 183.425 Table 5 (CGD 81-092, 1983; the 105 °C column seen secondary, the others from memory); ISO 10133:2012
        and ISO 13297:2020, Annex A (from memory; check your own copy).

    Clears
        A thicker cable, a cooler way, or a smaller load; to be planned by somebody qualified.
    """
    charging = _charging(survey)
    for edge in survey.cables:
        if edge.path in charging:
            continue
        yield from _carries(survey, edge, "A")


def _carries(survey: Survey, edge: Edge, grade: str) -> Iterator[Outcome]:
    names, carrying = survey.names, survey.study.carrying[edge.id]
    id, called = names.cable_id(edge), names.cable(edge)
    if carrying.amps is None:
        what = f"what {called} carries is not known: {'its area is not recorded' if carrying.missing == 'area' else carrying.missing}"
        yield unknown(id, what, "area", "the current against what it bears", place=names.place_of_cable(edge))
    elif carrying.design:
        what = f"{called} is expected to carry {amps(carrying.design)}; it bears {amps(carrying.amps)} here"
        here = f"{amps(carrying.design)} against {amps(carrying.amps)}"
        source = carrying.why.source if carrying.why else ""
        if carrying.design > carrying.amps * 1.0001:
            part = str(edge.cable.area)
            yield finding(grade, id, f"{what} ({describe(edge.cable)})", here, place=names.place_of_cable(edge, part=part), source=source)
        else:
            yield passed(id, what, here, source=source)


def _charging(survey: Survey) -> set[tuple]:
    """Where the cables at the alternators are written."""
    ends = [n for id in survey.inventory.alternators for n in (f"{id} +", f"{id} -")]
    return {e.path for n in ends for e in survey.network.at[n] if e.kind == "conductor"}


def charge_cable(survey: Survey) -> Iterator[Outcome]:
    """The alternator's cable carries its full current for hours.

    What
        The highest current of each alternator against the ampacity of the cables at its posts.

    Why
        A lithium bank takes the full current to the end. Cables that only ever saw a short peak now run hot all day.

    Failing example
        runs:
          alternator positive: [X1, F2, W7: "4 mm², 2.5 m, 70 °C, in engine", G3 +]

    Passing example
        runs:
          alternator positive: [X1, F2, W7: "16 mm², 2.5 m, in engine", G3 +]

    Source
        Common practice, no source; ampacity as for C-01.

    Clears
        A thicker cable, or a lower limit in the regulator; by somebody qualified.
    """
    names = survey.names
    for id, alternator in survey.inventory.alternators.items():
        for node in (f"{id} +", f"{id} -"):
            for edge in survey.network.at[node]:
                if edge.kind != "conductor":
                    continue
                amperes, called = survey.study.carrying[edge.id].amps, names.cable(edge)
                items = (id, names.cable_id(edge))
                if amperes is None:
                    yield unknown(id, f"what {called} at {names.the(id)} carries is not known", "area", "whether it runs hot", items=items)
                    continue
                what = f"{names.the(id)} gives {alternator.current}; {called} bears {amps(amperes)} here"
                here, place = f"{alternator.current} against {amps(amperes)}", names.place_of_cable(edge)
                if alternator.current.value > amperes * 1.0001:
                    yield finding("A", id, what, here, place=place, items=items)
                else:
                    yield passed(id, what, here, items=items)


def insulation(survey: Survey) -> Iterator[Outcome]:
    """The insulation class of every cable is known.

    What
        Cables without a temperature class, where the owner's defaults give none either. They are taken as 60 °C, the
        lowest of the tables.

    Why
        The class decides what a cable carries: 60 °C is half of 105 °C in a hot engine space.

    Failing example
        defaults:
          tinned: yes
          insulation:

    Passing example
        defaults:
          tinned: yes
          insulation: 105 °C

    Source
        33 CFR 183.425 Table 5 (CGD 81-092, 1983).

    Clears
        What is printed on the cable, written down for each, or for all under `defaults`.
    """
    default = survey.inventory.defaults.insulation
    bare = [survey.names.cable_id(e) for e in survey.cables if e.cable.insulation is None and default is None]
    bare = list(dict.fromkeys(bare))
    if bare:
        what = f"the insulation class of {len(bare)} cables is not known, and taken as 60 °C: {listed(bare)}"
        yield finding("C", survey.ship, what, "60 °C assumed", items=(survey.ship, *bare))
    elif survey.cables:
        yield passed(survey.ship, f"the insulation class of all {len(survey.cables)} cables is known")


def smallest(survey: Survey) -> Iterator[Outcome]:
    """No conductor is thinner than the rule set allows.

    What
        The cross-section of each conductor: ISO 1 mm² alone, 0.75 mm² in a sheath; US 16 AWG alone, 18 AWG in a sheath. The
        American rule leaves out communication and navigation electronics and circuits below 1 A.

    Why
        A thinner wire breaks of its own weight and vibration before its current matters.

    Failing example
        circuits:
          C3: {name: Cabin light, from: X4 way 3, cable: "0.5 mm², 3 m", load: 10 W, use: lighting}

    Passing example
        circuits:
          C3: {name: Cabin light, from: X4 way 3, cable: "1.5 mm², 3 m", load: 10 W, use: lighting}

    Source
        ISO 10133:2012, 7.7 (seen); 33 CFR 183.425 (CGD 81-092, 1983).

    Clears
        A conductor of the size named, with its fuse looked at again.
    """
    names = survey.names
    for edge in survey.cables:
        area, id = edge.cable.area, names.cable_id(edge)
        if area is None:
            continue
        sheathed = edge.cable.sheathed or (edge.cable.cores or 1) > 1
        rows = [limit("least_sheathed" if sheathed else "least_single", (r,)) for r in survey.rule_sets if not _exempt(survey, edge, r)]
        if not rows:
            continue
        least = max(rows, key=lambda row: row.value)
        kind = "in a sheath" if sheathed else "alone"
        what = f"{names.cable(edge)} is {area}; the least for a conductor {kind} is {square(least.value)}"
        here = f"{area} against {square(least.value)}"
        if area.value < least.value * 0.995:
            place = names.place_of_cable(edge, part=str(area))
            yield finding("B", id, what, here, place=place, source=least.cited)
        else:
            yield passed(id, what, here, source=least.cited)


def _exempt(survey: Survey, edge: Edge, rules: str) -> bool:
    """Whether the American rule leaves a circuit out."""
    circuit = survey.inventory.circuits.get(edge.item)
    if rules != "us" or circuit is None:
        return False
    design = survey.study.carrying[edge.id].design
    return circuit.use in ("radio", "navigation") or (design is not None and design < 1.0)


UNFIT = ("speaker cable", "solid", "copper-clad aluminium", "house wire")


def boat_cable(survey: Survey) -> Iterator[Outcome]:
    """Conductors are stranded copper made for boats.

    What
        Cables recorded as solid, house wire, speaker cable or copper-clad aluminium. Those that say nothing are listed
        together as not checked.

    Why
        Solid wire breaks where the boat works; thin insulation and plated aluminium corrode where nobody looks.

    Failing example
        circuits:
          C3: {name: Cabin light, from: X4 way 3, cable: "1.5 mm², 3 m, speaker cable", load: 10 W, use: lighting}

    Passing example
        circuits:
          C3: {name: Cabin light, from: X4 way 3, cable: "1.5 mm², 3 m, boat cable", load: 10 W, use: lighting}

    Source
        33 CFR 183.425 (CGD 81-092, 1983).

    Clears
        Stranded, insulated, preferably tinned copper of the right size, fitted by somebody qualified.
    """
    silent = []
    for edge in survey.cables:
        id, kind, called = survey.names.cable_id(edge), edge.cable.conductor, survey.names.cable(edge)
        if kind is None:
            silent.append(id)
        elif kind in UNFIT:
            yield finding("A", id, f"{called} is {kind}", kind, place=survey.names.place_of_cable(edge, part=kind))
        else:
            yield passed(id, f"{called} is {kind}")
    silent = list(dict.fromkeys(silent))
    if silent:
        what = f"of what kind {len(silent)} cables are is not recorded: {listed(silent)}"
        yield unknown(survey.ship, what, "conductor", "whether they are stranded boat cable", items=(survey.ship, *silent))


def parallel(survey: Survey) -> Iterator[Outcome]:
    """Conductors side by side are alike.

    What
        Cables that join the same two points: the same cross-section, and lengths that differ by no more than 5 %.
        Conductors written as one cable (`2 × 70 mm²`) are taken as alike.

    Why
        Two unlike conductors do not share: the shorter one carries more than its half, and more than its limit.

    Failing example
        runs:
          main switch: [X3, W3: "35 mm², 1.2 m", Q1, W13: "50 mm², 1.1 m", X1]
          main switch, second: [X3, W30: "35 mm², 1.9 m", Q1 1]

    Passing example
        runs:
          main switch: [X3, W3: "35 mm², 1.2 m", Q1, W13: "50 mm², 1.1 m", X1]
          main switch, second: [X3, W30: "35 mm², 1.2 m", Q1 1]

    Source
        Common practice, no source; the 5 % from memory.

    Clears
        Both conductors of the same length and size, with the same lugs.
    """
    groups: dict[frozenset[str], list[Edge]] = {}
    for edge in survey.cables:
        groups.setdefault(frozenset((edge.a, edge.b)), []).append(edge)
    for edges in groups.values():
        if len(edges) > 1:
            yield _alike(survey, edges)
        elif edges[0].cable.parallel > 1:
            yield passed(survey.names.cable_id(edges[0]), f"{survey.names.cable(edges[0])} is written as {edges[0].cable.parallel} equal conductors")


def _alike(survey: Survey, edges: list[Edge]) -> Outcome:
    names, most = survey.names, survey.limit("parallel_difference").value
    ids = tuple(names.cable_id(e) for e in edges)
    called = listed([names.cable(e) for e in edges])
    if any(e.cable.area is None or e.cable.length is None for e in edges):
        return unknown(ids[-1], f"whether {called} share the current is not known", "length, area", "how they share", items=ids)
    areas, lengths = [e.cable.area.value for e in edges], [e.cable.length.value for e in edges]
    shares = [e.cable.area.value * e.cable.parallel / e.cable.length.value for e in edges if e.cable.length.value]
    split = " to ".join(per_cent(s / sum(shares)) for s in shares) if len(shares) == len(edges) else "unequally"
    apart = (max(lengths) - min(lengths)) / max(lengths) if max(lengths) else 0.0
    if max(areas) > min(areas) * 1.005:
        what = f"{called} lie side by side with {listed([square(a) for a in areas])}: they share {split}"
    elif apart > most:
        what = f"{called} lie side by side and differ by {metres(max(lengths) - min(lengths))}: they share {split}"
    else:
        return passed(ids[0], f"{called} lie side by side and are alike", split, items=ids)
    longest = edges[lengths.index(max(lengths))]
    place = names.place_of_cable(longest, part=str(longest.cable.length))
    order = (names.cable_id(longest), *(i for i in ids if i != names.cable_id(longest)))
    return finding("B", order[0], what, split, place=place, items=order)
