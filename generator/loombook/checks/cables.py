"""Rules C, the current: whether a cable bears what it carries where it lies, and its class is known."""

from __future__ import annotations

from collections.abc import Iterator

from ..network import Edge
from .limits import cited
from .model import Outcome, finding, passed, unknown
from .names import amps, describe, listed
from .survey import Survey


def carries(survey: Survey) -> Iterator[Outcome]:
    """No cable carries more than it bears where it lies.

    What
        The current that each cable is expected to carry, all circuits at their rated load and the largest motor
        running, against its ampacity: insulation class, space temperature, bundle. An alternator's own cable is
        C-08's.

    Why
        A cable above its limit ages in months, and sets fire to what lies beside it on a hot day.

    Failing example
        circuits:
          C3: {name: Heater, from: X1, back to: X2, cable: [F9, "1.5 mm², 2 m, 60 °C, in engine"], load: 14 A}
        fuses:
          F9: {name: Heater fuse, kind: gG, rating: 16 A, voltage: 110 V, at: "locker, on the bar"}

    Passing example
        circuits:
          C3: {name: Heater, from: X1, back to: X2, cable: [F9, "6 mm², 2 m, 105 °C, in engine"], load: 14 A}
        fuses:
          F9: {name: Heater fuse, kind: gG, rating: 16 A, voltage: 110 V, at: "locker, on the bar"}

    Source
        33 CFR 183.425 Table 5 (CGD 81-092, 1983; the 105 °C column seen secondary, the others from memory); ISO
        10133:2012 and ISO 13297:2020, Annex A (from memory; check your own copy).

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
        what = (
            f"what {called} carries is not known: "
            f"{'its area is not recorded' if carrying.missing == 'area' else carrying.missing}"
        )
        yield unknown(id, what, "area", "the current against what it bears", place=names.place_of_cable(edge))
    elif carrying.design:
        what = f"{called} is expected to carry {amps(carrying.design)}; it bears {amps(carrying.amps)} here"
        here = f"{amps(carrying.design)} against {amps(carrying.amps)}"
        source = cited(carrying.why.source, carrying.why.mark)
        if carrying.design > carrying.amps * 1.0001:
            part = str(edge.cable.area)
            yield finding(
                grade,
                id,
                f"{what} ({describe(edge.cable)})",
                here,
                place=names.place_of_cable(edge, part=part),
                source=source,
            )
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
                    yield unknown(
                        id,
                        f"what {called} at {names.the(id)} carries is not known",
                        "area",
                        "whether it runs hot",
                        items=items,
                    )
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
