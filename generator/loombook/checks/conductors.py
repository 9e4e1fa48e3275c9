"""Rules C, the conductor itself: thick enough, of boat cable, alike with those beside it."""

from __future__ import annotations

from collections.abc import Iterator

from ..network import Edge
from .limits import limit
from .model import Outcome, finding, passed, unknown
from .names import listed, metres, per_cent, square
from .survey import Survey


def smallest(survey: Survey) -> Iterator[Outcome]:
    """No conductor is thinner than the rule set allows.

    What
        The cross-section of each conductor: ISO 1 mm² alone, 0.75 mm² in a sheath; US 16 AWG alone, 18 AWG in a
        sheath. The American rule leaves out communication and navigation electronics and circuits below 1 A.

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
        rows = [
            limit("least_sheathed" if sheathed else "least_single", (r,))
            for r in survey.rule_sets
            if not _exempt(survey, edge, r)
        ]
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
        Cables recorded as solid, house wire, speaker cable or copper-clad aluminium. Those that say nothing take
        `conductor` of `defaults`; without one they are listed together as not checked.

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
        id, called = survey.names.cable_id(edge), survey.names.cable(edge)
        kind = edge.cable.conductor or survey.inventory.defaults.conductor
        if kind is None:
            silent.append(id)
        elif kind in UNFIT:
            yield finding("A", id, f"{called} is {kind}", kind, place=survey.names.place_of_cable(edge, part=kind))
        else:
            yield passed(id, f"{called} is {kind}")
    silent = list(dict.fromkeys(silent))
    if silent:
        what = f"of what kind {len(silent)} cables are is not recorded: {listed(silent)}"
        yield unknown(
            survey.ship, what, "conductor", "whether they are stranded boat cable", items=(survey.ship, *silent)
        )


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
            yield passed(
                survey.names.cable_id(edges[0]),
                f"{survey.names.cable(edges[0])} is written as {edges[0].cable.parallel} equal conductors",
            )


def _alike(survey: Survey, edges: list[Edge]) -> Outcome:
    names, most = survey.names, survey.limit("parallel_difference").value
    ids = tuple(names.cable_id(e) for e in edges)
    called = listed([names.cable(e) for e in edges])
    if any(e.cable.area is None or e.cable.length is None for e in edges):
        return unknown(
            ids[-1], f"whether {called} share the current is not known", "length, area", "how they share", items=ids
        )
    areas, lengths = [e.cable.area.value for e in edges], [e.cable.length.value for e in edges]
    shares = [
        1 / survey.study.resistances[e.id].hot.value for e in edges
    ]  # with their lugs, as the page of sharing has it
    split = " to ".join(per_cent(s / sum(shares)) for s in shares)
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
