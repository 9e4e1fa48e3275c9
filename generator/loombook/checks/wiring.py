"""Rules L, the record of the wiring: every device joined at both ends, every cable leading somewhere."""

from __future__ import annotations

from collections.abc import Iterator

from ..network import Edge
from .model import Outcome, finding, passed
from .names import listed
from .survey import Survey


def wired(survey: Survey) -> Iterator[Outcome]:
    """Every device is wired at both its ends.

    What
        A fuse, breaker, switch or shunt with a terminal to which nothing is joined, a source or motor with an open
        post, and a panel that nothing feeds. Ids given twice and ends that do not exist are refused before any check.

    Why
        What the manual does not join it cannot trace: the drawing ends in the air, and every figure behind it is
        missing.

    Failing example
        fuses:
          F9: {name: Spare holder, kind: gG, rating: 16 A, at: "locker, on the bar"}

    Passing example
        fuses:
          F9: {name: Heater fuse, kind: gG, rating: 16 A, at: "locker, on the bar"}
        circuits:
          C9: {name: Heater, from: X1, back to: X2, cable: [F9, "4 mm², 3 m"], load: 8 A}

    Source
        Integrity of the record (from memory; no clause).

    Clears
        The run or circuit that it belongs to, or the item deleted where it is no longer aboard.
    """
    network, names = survey.network, survey.names
    inside = (
        "fuse",
        "breaker",
        "switch",
        "shunt",
        "battery",
        "alternator",
        "generator",
        "solar array",
        "load",
        "input",
        *_FEEDING,
    )
    for id, edges in network.of_item.items():
        item = survey.names.items.get(id)
        own = [e for e in edges if e.kind in inside and e.item == id]
        if item is None or item.family in ("circuits", "shore inlets", "panels") or not own:
            continue
        ends = [node for e in own for node in (e.a, e.b) if network.nodes[node].pole != "PE"]
        if item.family == "batteries":
            ends = [f"{id} +", f"{id} -"]
        inside_it = (item.family, id)
        loose = [n for n in dict.fromkeys(ends) if all(e.path == inside_it for e in network.at[n])]
        if loose:
            what = f"{names.the(id)} has nothing joined to {listed([f'`{n}`' for n in loose])}"
            yield finding("B", id, what, "not wired", place=names.place_of(id))
        else:
            yield passed(id, f"{names.the(id)} is wired at every terminal")
    for id in survey.inventory.panels:
        bus = f"{id} L" if survey.inventory.panels[id].ac else id
        if not any(e.kind in ("conductor", "joint") and " way " not in e.id for e in network.at[bus]):
            yield finding("B", id, f"{names.the(id)} is fed by nothing", "not fed", place=names.place_of(id))


_FEEDING = ("controller", "charger", "converter", "inverter")


def orphans(survey: Survey) -> Iterator[Outcome]:
    """Every cable leads somewhere, and every consumer has a source.

    What
        A cable of a run with an end that nothing else is joined to, and a consumer that no source reaches in any
        position of the switches.

    Why
        A live end in a tape ball is a fire waiting; a dead one makes every fault finding longer.

    Failing example
        junctions:
          X9: {name: Old end, at: "cabin, behind the panel"}
        runs:
          old feed: [X1, W90: "2.5 mm², 3 m", X9]

    Passing example
        junctions:
          X9: {name: Joint, at: "cabin, behind the panel"}
        runs:
          old feed: [X1, W90: "2.5 mm², 3 m", X9]
        circuits:
          C9: {name: Cabin lamp, from: X9, back to: X2, cable: "2.5 mm², 3 m", load: 5 W}

    Source
        Common practice, no source.

    Clears
        The cable taken out or its end made safe by somebody qualified, then deleted here; or what it leads to written
        down.
    """
    network, names = survey.network, survey.names
    for edge in survey.cables:
        if edge.path[0] != "runs":
            continue
        ends = [n for n in (edge.a, edge.b) if _is_open(survey, edge, n)]
        if ends:
            live = any(network.nodes[n].pole in ("+", "L") for n in ends)
            what = (
                f"{names.cable(edge)} ends at {listed([names.name(network.nodes[n].item) for n in ends])}, where "
                "nothing is joined to it"
            )
            yield finding(
                "B",
                edge.item,
                what + (", and is live" if live else ""),
                "leads nowhere",
                place=names.place_of_cable(edge),
            )
        else:
            yield passed(edge.item, f"{names.cable(edge)} leads somewhere at both ends")
    for id, consumer in network.consumers.items():
        if survey.study.supply.get(id) or survey.study.reserve.get(id):
            continue
        if not network.nodes[consumer.plus].pole:
            what = f"{names.name(id)} is supplied by nothing, whatever the switches"
            yield finding("B", id, what, "no source", place=names.place_of(id))


def _is_open(survey: Survey, edge: Edge, node: str) -> bool:
    """Whether a cable's end is a bare bar or joint that nothing else meets."""
    owner = survey.names.items.get(survey.network.nodes[node].item)
    if owner is None or owner.family not in ("bars", "junctions"):
        return False
    return all(e.path == edge.path for e in survey.network.at[node])
