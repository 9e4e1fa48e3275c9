"""Rules T: how conductors are made off: joints, torque, covers."""

from __future__ import annotations

from collections.abc import Iterator

from ..diagnostics import Place
from .model import Outcome, finding, passed, unknown
from .names import listed
from .survey import Survey


def _joints(survey: Survey) -> Iterator[tuple[str, str, str, Place | None]]:
    """(item, what it is called, how it is joined, where that is written) for every joint on record."""
    names = survey.names
    for junction in survey.inventory.junctions.values():
        if junction.joint:
            yield junction.id, names.the(junction.id), junction.joint, names.place_of(junction.id, "joint")
    for edge in survey.cables:
        words = {edge.cable.joint: "joint", **{end.joint: "ends" for end in edge.cable.ends}}
        for word, field in words.items():
            if word:
                yield names.cable_id(edge), names.cable(edge), word, names.place_of_cable(edge, field, part=word)


def solder(survey: Survey) -> Iterator[Outcome]:
    """Solder is not what holds a joint.

    What
        Lists joints and cable ends that are held by solder alone. Crimped and then soldered passes.

    Why
        Solder creeps under load, wicks up the strands and makes them brittle where the cable moves, and melts in a
        fault; then the joint comes apart.

    Failing example
        junctions:
          X9: {name: Mast foot joint, at: "cabin, mast post", joint: soldered}
        circuits:
          C1: {name: Navigation lights, from: X4 way 1, cable: ["2.5 mm², 5 m", X9, "2.5 mm², 8 m"], load: 12 W}

    Passing example
        junctions:
          X9: {name: Mast foot joint, at: "cabin, mast post", joint: crimped}
        circuits:
          C1: {name: Navigation lights, from: X4 way 1, cable: ["2.5 mm², 5 m", X9, "2.5 mm², 8 m"], load: 12 W}

    Source
        ABYC E-11, about 2012 to 2018, on solder as sole means of connection (seen secondary; check your own copy).

    Clears
        A crimped or screwed joint of the right size, made and pull-tested by somebody trained for it, and then on
        record.
    """
    for item, called, word, place in _joints(survey):
        if word == "soldered":
            yield finding("B", item, f"{called} is held by solder alone", "soldered", place=place)
        else:
            yield passed(item, f"{called} is {word}")


def torque(survey: Survey) -> Iterator[Outcome]:
    """Every heavy joint has its torque on record.

    What
        Counts the ends of cables that are expected to carry more than 30 A, and of them those with a torque on record:
        in the cable's `ends`, or as a test `torque` of the cable or of what it is bolted to.

    Why
        A loose heavy joint heats itself and what is around it long before any fuse notices.

    Failing example
        motors:
          M1: {name: Windlass, load: 60 A, at: "cabin, bow"}
        fuses:
          F9: {name: Windlass fuse, kind: class T, rating: 100 A, voltage: 125 V, breaking: 20 kA at 125 V}
        runs:
          windlass: [X1, F9, W90: "35 mm², 4 m", M1 +]
          windlass negative: [M1 -, W91: "35 mm², 4 m", X2]

    Passing example
        motors:
          M1: {name: Windlass, load: 60 A, at: "cabin, bow"}
        fuses:
          F9: {name: Windlass fuse, kind: class T, rating: 100 A, voltage: 125 V, breaking: 20 kA at 125 V}
        runs:
          windlass: [X1, F9, W90: {area: 35 mm², length: 4 m, ends: [{torque: 9 N·m}, {torque: 9 N·m}]}, M1 +]
          windlass negative: [M1 -, W91: {area: 35 mm², length: 4 m, ends: [{torque: 9 N·m}, {torque: 9 N·m}]}, X2]

    Source
        USCG safety alert 14-25 on heat at terminations (seen secondary; check your own copy).

    Clears
        A torque with value, date and name for each joint named, set with the maker's figure by somebody trained for
        it.
    """
    names, limit = survey.names, survey.limit("high_current")
    tested = {test.item for test in survey.inventory.tests if "torque" in test.what.casefold()}
    total, lacking = 0, []
    for edge in survey.cables:
        carrying = survey.study.carrying.get(edge.id)
        if carrying is None or carrying.design is None or carrying.design <= limit.value:
            continue
        ends = [*edge.cable.ends, None, None][:2]
        for end, node in zip(ends, (edge.a, edge.b), strict=True):
            total += 1
            owner = survey.network.nodes[node].item
            if not ({names.cable_id(edge), owner} & tested or (end and end.torque)):
                lacking.append(f"{names.cable_id(edge)} at {owner}")
    if lacking:
        ids = tuple(dict.fromkeys(row.split(" at ")[0] for row in lacking))
        what = (
            f"{len(lacking)} of {total} joints above {limit.value:g} A have no torque on record: {listed(lacking, 8)}"
        )
        yield finding("B", survey.ship, what, f"{total - len(lacking)} of {total}", items=(survey.ship, *ids))
    elif total:
        yield passed(survey.ship, f"all {total} joints above {limit.value:g} A have a torque on record")


def covers(survey: Survey) -> Iterator[Outcome]:
    """What stays live has a cover.

    What
        After the isolation of the whole ship some bars, studs and devices are still live. Each must have a boot or
        cover. The posts of the batteries themselves are B-14's.

    Why
        Whoever works or stows things there believes the boat dead. A dropped spanner on a bare live stud is a short
        circuit in the worst place, often with no fuse before it.

    Failing example
        bars:
          X3: {name: Always-live bar, at: "locker, middle", cover: no}

    Passing example
        bars:
          X3: {name: Always-live bar, at: "locker, middle", cover: yes}

    Source
        33 CFR 183.445(b) (CGD 81-092, 1983).

    Clears
        A cover or boot over the live metal; fitted with the batteries disconnected by somebody qualified for it.
    """
    names, silent = survey.names, []
    for id in _bare_metal(survey):
        called = f"{names.the(id)} stays live when the ship is isolated, and"
        cover = survey.names.items.get(id).cover
        if cover is None:
            silent.append(id)
        elif not cover:
            yield finding("A", id, f"{called} has no cover", "no cover", place=names.place_of(id, "cover"))
        else:
            yield passed(id, f"{called} has a cover")
    if silent:
        what = (
            f"{names.names(silent)} {'stays' if len(silent) == 1 else 'stay'} live when the ship is isolated, and "
            "nothing says whether there is a cover"
        )
        yield unknown(silent[0], what, "cover", "whether a dropped tool can short it", items=tuple(silent))


def _bare_metal(survey: Survey) -> list[str]:
    """Ids of what has live metal that a tool could reach after the ship is isolated, in the inventory's order."""
    inventory, network = survey.inventory, survey.network
    live = {network.nodes[node].item for node in survey.study.ship.live if network.nodes[node].pole == "+"}
    families = (inventory.bars, inventory.switches, inventory.shunts, inventory.fuses, inventory.breakers)
    posts = [id for family in families for id in family if id in live and not _in_a_cable(survey, id)]
    return [id for id in posts if not getattr(survey.names.items[id], "hidden", False)]


def _in_a_cable(survey: Survey, id: str) -> bool:
    """Whether a device stands in a final circuit's cable, in a holder of its own."""
    return any(step.item == id for circuit in survey.inventory.circuits.values() for step in circuit.cable)


def twisted(survey: Survey) -> Iterator[Outcome]:
    """No joint is twisted and taped.

    What
        Lists joints and cable ends that are twisted together.

    Why
        A twisted joint loosens, corrodes and heats; tape lets go in the damp. Surveyors find the burnt ones.

    Failing example
        junctions:
          X9: {name: Bilge joint, at: "locker, below", joint: twisted}
        circuits:
          C1: {name: Navigation lights, from: X4 way 1, cable: ["2.5 mm², 5 m", X9, "2.5 mm², 8 m"], load: 12 W}

    Passing example
        junctions:
          X9: {name: Bilge joint, at: "locker, below", joint: crimped}
        circuits:
          C1: {name: Navigation lights, from: X4 way 1, cable: ["2.5 mm², 5 m", X9, "2.5 mm², 8 m"], load: 12 W}

    Source
        Common practice, no source; surveyors list it as a frequent finding.

    Clears
        A crimped or screwed joint, made by somebody trained for it, and then on record.
    """
    for item, called, word, place in _joints(survey):
        if word == "twisted":
            yield finding("A", item, f"{called} is twisted together", "twisted", place=place)
        else:
            yield passed(item, f"{called} is {word}")
