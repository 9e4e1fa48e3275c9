"""Rules B-05 and N-06: what is joined to the cells past the BMS."""

from __future__ import annotations

from collections.abc import Iterator

from ..inventory.sources import Battery
from ..network import Edge
from .model import Outcome, finding, passed
from .survey import Survey


def no_way_round(survey: Survey) -> Iterator[Outcome]:
    """No charge source reaches the cells past the BMS.

    What
        Nothing that charges may be joined to the cell side of a BMS: when the BMS opens, the charge must stop.

    Why
        A charger beyond the BMS goes on charging a battery that has said stop. Boats have burnt of it.

    Failing example
        runs:
          charger negative: [T1 -, W10: "10 mm², 0.8 m", G1 cell -]

    Passing example
        runs:
          charger negative: [T1 -, W10: "10 mm², 0.8 m", X2]

    Source
        Accident reports on lithium banks (seen secondary; check your own copy).

    Clears
        The charger's wire moved to the system side of the BMS by somebody qualified.
    """
    for battery, node, reached in _cell_side(survey):
        chargers = [e.item for e in reached if e.kind in ("alternator", "controller", "charger", "converter")]
        for id in dict.fromkeys(chargers):
            what = (
                f"{survey.names.the(id)} is joined to the cells of {survey.names.name(battery.id)} at `{node}`, past "
                "the BMS"
            )
            yield finding("A", id, what, "past the BMS", items=(id, battery.id))
        if not chargers:
            yield passed(
                battery.id, f"no charge source reaches the cells of {survey.names.name(battery.id)} past the BMS"
            )


def _cell_side(survey: Survey) -> Iterator[tuple[Battery, str, list[Edge]]]:
    """For every battery with a BMS: itself, its cell-side terminal, what is joined to that without passing the BMS."""
    network = survey.network
    for battery in survey.inventory.batteries.values():
        if battery.bms is None:
            continue
        node = f"{battery.id} cell {'-' if battery.bms.side == 'negative' else '+'}"
        own = {e.id for e in network.of_item[battery.id]}
        seen, stack, reached = {node}, [node], []
        while stack:
            here = stack.pop()
            for edge in network.at[here]:
                if edge.id in own:
                    continue
                if not edge.conducts:
                    reached.append(edge)
                elif edge.other(here) not in seen:
                    seen.add(edge.other(here))
                    stack.append(edge.other(here))
        if f"{battery.id} {node[-1]}" in seen:  # a second way round: everything is reached, and N-06 says so
            reached = []
        yield battery, node, reached


def not_bridged(survey: Survey) -> Iterator[Outcome]:
    """Nothing bridges the BMS.

    What
        No load and no other wire may be joined to the cell side of a BMS, and there may be no second way round it.

    Why
        Through the second way the battery goes on discharging, or charging, after its BMS has opened.

    Failing example
        circuits:
          C9: {name: Clock, from: X1, back to: G1 cell -, cable: "1.5 mm², 2 m", load: 0.1 A}

    Passing example
        circuits:
          C9: {name: Clock, from: X1, back to: X2, cable: "1.5 mm², 2 m", load: 0.1 A}

    Source
        Accident reports on lithium banks (seen secondary); otherwise from memory; check your own copy.

    Clears
        The wire moved to the system side of the BMS by somebody qualified.
    """
    for battery, node, reached in _cell_side(survey):
        name = survey.names.name(battery.id)
        own = {e.id for e in survey.network.of_item[battery.id]}
        outer = [e for e in survey.network.at[node] if e.id not in own]
        loads = list(dict.fromkeys(e.item for e in reached if e.kind in ("load", "input")))
        if loads:
            what = f"{survey.names.names(loads)} is joined to the cells of {name} at `{node}`, past the BMS"
            yield finding("A", loads[0], what, "past the BMS", items=(*loads, battery.id))
        elif outer and not reached:
            what = (
                f"{survey.names.cable(outer[0]) if outer[0].cable else outer[0].id} leads round the BMS of {name} "
                f"from `{node}`"
            )
            yield finding(
                "A",
                battery.id,
                what,
                "round the BMS",
                place=survey.names.place(*outer[0].path),
                items=(battery.id, outer[0].item),
            )
        else:
            yield passed(battery.id, f"nothing bridges the BMS of {name}")
