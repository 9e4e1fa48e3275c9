"""Rules P, between two sources: a device near each of them, and for each battery of a bank its own."""

from __future__ import annotations

from collections.abc import Iterator

from ..network import Edge
from .cover import Lead
from .model import Outcome, finding, passed
from .names import amps, listed
from .protection import nearest
from .survey import Survey


def both_ends(survey: Survey) -> Iterator[Outcome]:
    """A conductor between two sources has a device at both ends.

    What
        Between two banks there must be two devices, one near each. Between a charge source, which limits itself, and a
        battery there must be one at the battery's end. Links that are closed only in need count as closed. An
        alternator on the start battery of its own engine is of grade B.

    Why
        Fault current comes from both ends: a fuse at one end leaves the conductor fed from the other.

    Failing example
        batteries:
          G2: {name: Start battery, chemistry: agm lead-acid, duty: start, cells: {series: 6, capacity: 90 Ah}}
        switches:
          Q9: {name: Parallel switch, kind: paralleling, rating: 300 A, normal: off, at: "cabin, at the steps"}
        fuses:
          F9: {name: Link fuse, kind: class T, rating: 100 A, voltage: 125 V, breaking: 20 kA at 125 V}
        runs:
          link: [X1, F9, W90: "50 mm², 1 m", Q9, W91: "50 mm², 2 m", G2 +]
          start negative: [G2 -, W92: "50 mm², 0.5 m", X2]

    Passing example
        batteries:
          G2: {name: Start battery, chemistry: agm lead-acid, duty: start, cells: {series: 6, capacity: 90 Ah}}
        switches:
          Q9: {name: Parallel switch, kind: paralleling, rating: 300 A, normal: off, at: "cabin, at the steps"}
        fuses:
          F9: {name: Link fuse, kind: class T, rating: 100 A, voltage: 125 V, breaking: 20 kA at 125 V}
          F10: {name: Link fuse 2, kind: class T, rating: 100 A, voltage: 125 V, breaking: 20 kA at 125 V}
        runs:
          link: [X1, F9, W90: "50 mm², 1 m", Q9, W93: "50 mm², 2 m", F10, W91: "50 mm², 0.1 m", G2 +]
          start negative: [G2 -, W92: "50 mm², 0.5 m", X2]

    Source
        Common practice, no source; follows from 33 CFR 183.455(b) at each source.

    Clears
        A device near the other source too, fitted by somebody qualified.
    """
    yield from _between_banks(survey)
    zones, names = survey.zones, survey.names
    for id, sources in survey.charged_by.items():
        zone = zones.of(f"{id} +")
        for source in sources:
            what = f"{names.the(source.item)} and {names.the(id)}"
            if zone is not None and zone is zones.of(source.b):
                start = source.kind == "alternator" and survey.inventory.batteries[id].duty == "start"
                said = f"no fuse or breaker stands between {what}" + (", as in many engine looms" if start else "")
                yield finding("B" if start else "A", source.item, said, "no device", items=(source.item, id))
            else:
                yield passed(source.item, f"a fuse or breaker stands between {what}", items=(source.item, id))


def _between_banks(survey: Survey) -> Iterator[Outcome]:
    """Each pair of banks that are joined, or can be: a device near each."""
    zones, names = survey.linked_zones, survey.names
    seats = [(bank.batteries[0].id, zone) for bank in survey.banks if (zone := zones.of(f"{bank.batteries[0].id} +"))]
    for i, (one, zone) in enumerate(seats):
        levels = zones.level(zone.number)
        for other, there in seats[i + 1 :]:
            if there.number not in levels:
                continue
            called = f"{names.the(one)} and {names.the(other)}"
            if there is zone:
                yield finding("A", one, f"no fuse or breaker stands between {called}", "no device", items=(one, other))
                continue
            bare = [id for id, towards in ((one, there), (other, zone)) if not _is_near(survey, id, towards.number)]
            if bare:
                what = (
                    f"{called} can be joined, and no fuse or breaker is near "
                    f"{listed([names.the(id) for id in bare])} on the way"
                )
                yield finding("A", bare[0], what, "one end", items=tuple(dict.fromkeys((bare[0], one, other))))
            else:
                yield passed(one, f"{called} can be joined, with a fuse or breaker near each", items=(one, other))


def _is_near(survey: Survey, battery: str, goal: int) -> bool:
    """Whether the first device on a battery's way to a zone is near; a starter's cable is exempt."""
    zones = survey.linked_zones
    entry = survey.network.edges[battery].b
    feed = next(f for f in zones.feeds[zones.of_node[entry]] if f.entry == entry)
    levels = zones.level(goal)
    near = [(levels.get(zones.of_node.get(e.other(n), -1), 99), n, e) for e, n in feed.zone.outlets]
    _, node, device = min(near, key=lambda row: row[0])
    spoken_of = {lead.device.id for lead in survey.cover.leads if lead.edges and lead.at_battery}
    if device.id in spoken_of:
        return True  # how near it is, P-02 judges
    way = [e for e in feed.way(node) if e.kind == "conductor" and not _starts(survey, battery, e)]
    lead = Lead(feed, device, tuple(way), True)
    limit = nearest(survey, lead).metres
    return lead.length is not None and (limit is None or lead.length <= limit * 1.0001)


def _starts(survey: Survey, battery: str, edge: Edge) -> bool:
    """Whether a conductor is on the way from a start battery to its starter."""
    entry = survey.network.edges[battery].b
    feeds = [f for f in survey.zones.feeds.get(survey.zones.of_node[entry], ()) if f.entry == entry]
    return any(edge.a in f.zone.nodes and survey.cover.is_cranking(f, edge) for f in feeds)


def each_string(survey: Survey) -> Iterator[Outcome]:
    """Each battery of a parallel bank has its own device.

    What
        Two batteries that stand in parallel may not be joined without a fuse or breaker between each of them and the
        other.

    Why
        A fault inside one battery is fed by all the others, and a main fuse behind the bank does not see it.

    Failing example
        batteries:
          G2: {name: Second house battery, chemistry: lfp, cells: {series: 4, capacity: 200 Ah, resistance: 0.5 mΩ}}
        runs:
          second battery: [G2 +, W70: "50 mm², 0.3 m", G1 +]
          second negative: [G2 -, W71: "50 mm², 0.5 m", X2]

    Passing example
        batteries:
          G2: {name: Second house battery, chemistry: lfp, cells: {series: 4, capacity: 200 Ah, resistance: 0.5 mΩ}}
        fuses:
          F9: {name: Second main fuse, kind: class T, rating: 150 A, voltage: 125 V, breaking: 20 kA at 125 V}
        runs:
          second battery: [G2 +, W70: "50 mm², 0.15 m", F9, W72: "50 mm², 0.3 m", X3]
          second negative: [G2 -, W71: "50 mm², 0.5 m", X2]

    Source
        ABYC E-11, July 2025, 11.10.1.4.1 (seen secondary; check your own copy).

    Clears
        A fuse near the post of each battery, fitted by somebody qualified.
    """
    names, zones = survey.names, survey.zones
    for ids in survey.parallel:
        for id in ids:
            zone = zones.of(f"{id} +")
            others = [o for o in ids if o != id and zone is not None and zones.of(f"{o} +") is zone]
            if not others:
                yield passed(id, f"{names.the(id)} has a device of its own towards the batteries parallel to it")
                continue
            fault = survey.study.faults.get(f"{id} +")
            pushed = sum(a for source, a in fault.shares if source in others) if fault else 0.0
            what = f"{names.the(id)} stands parallel to {names.names(others)} with no fuse or breaker between"
            what += f"; up to {amps(pushed)} flow into a fault in it" if pushed else ""
            yield finding("A", id, what, "no device of its own", items=(id, *others))
