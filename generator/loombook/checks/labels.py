"""Rules L: what is recorded, named, photographed and printed."""

from __future__ import annotations

from collections.abc import Iterator

from .model import Outcome, finding, passed
from .names import counted, listed
from .survey import Survey


def complete(survey: Survey) -> Iterator[Outcome]:
    """Every cable has its length, area and insulation, every consumer its place.

    What
        Counts what the record lacks: length, cross-section and insulation class of each cable, the place of each
        consumer. A default of the owner's counts as recorded.

    Why
        Each gap is a figure that cannot be worked out, and a place that somebody has to search for in the dark.

    Failing example
        circuits:
          C3: {name: Cabin light, from: X4 way 3, cable: 1.5 mm², load: 10 W}

    Passing example
        circuits:
          C3: {name: Cabin light, from: X4 way 3, cable: "1.5 mm², 3 m", load: 10 W, at: "cabin, ceiling"}

    Source
        46 CFR 177.202(b)(4) asks cable lists of small passenger vessels (seen); for others good practice.

    Clears
        The fields named, measured or estimated: `~6 m` is an estimate, and better than nothing.
    """
    names, default = survey.names, survey.inventory.defaults
    lacking: dict[str, list[str]] = {"length": [], "cross-section": [], "insulation": [], "place": []}
    for edge in survey.cables:
        cable, id = edge.cable, names.cable_id(edge)
        for word, value in (
            ("length", cable.length),
            ("cross-section", cable.area),
            ("insulation", cable.insulation or default.insulation),
        ):
            if value is None:
                lacking[word].append(id)
    consumers = survey.network.consumers.values()
    for consumer in consumers:
        if not names.where(consumer.id):
            lacking["place"].append(consumer.id)
    whole = 3 * len(survey.cables) + len(consumers)
    gaps = sum(len(ids) for ids in lacking.values())
    if not whole:
        return
    share = f"{min(999, int(1000 * (1 - gaps / whole))) / 10:g} %" if gaps else "100 %"
    if gaps:
        rows = [f"{word} of {len(ids)} ({listed(list(dict.fromkeys(ids)), 4)})" for word, ids in lacking.items() if ids]
        what = f"the record of cables and consumers is {share} complete; not known are the {listed(rows)}"
        ids = tuple(dict.fromkeys(id for rows in lacking.values() for id in rows))
        yield finding("C", survey.ship, what, share, items=(survey.ship, *ids))
    else:
        yield passed(
            survey.ship, f"all {len(survey.cables)} cables and {len(consumers)} consumers are on record", share
        )


def in_line(survey: Survey) -> Iterator[Outcome]:
    """Every in-line fuse has its place in words, and a hidden one its photograph.

    What
        A fuse in a circuit's cable or marked `hidden` must say where it is, in words beyond the space's name; where it
        is hidden, a photograph must show it.

    Why
        It is the fuse that nobody finds at night, because no panel shows it.

    Failing example
        fuses:
          F9: {name: Sounder in-line fuse, kind: glass, rating: 1 A, hidden: yes, at: cabin}
        circuits:
          C9: {name: Depth sounder, from: X4 way 3, cable: ["1.5 mm², 4 m", F9, "1 mm², 1 m"], load: 0.3 A}

    Passing example
        fuses:
          F9: {name: Sounder fuse, kind: glass, rating: 1 A, hidden: yes, at: "cabin, behind the lining", photo: f9.jpg}
        circuits:
          C9: {name: Depth sounder, from: X4 way 3, cable: ["1.5 mm², 4 m", F9, "1 mm², 1 m"], load: 0.3 A}

    Source
        Common practice, no source.

    Clears
        Its place in words that a guest can follow, and a photograph of what one sees there.
    """
    stepped = {step.item for circuit in survey.inventory.circuits.values() for step in circuit.cable}
    for fuse in survey.inventory.fuses.values():
        if not fuse.hidden and fuse.id not in stepped:
            continue
        names = survey.names
        called = f"in-line {names.the(fuse.id)}"
        lacks = [] if fuse.at and fuse.at.place else ["words for its place"]
        lacks += ["a photograph"] if fuse.hidden and not fuse.photo else []
        if lacks:
            what = f"{called}{', hidden,' if fuse.hidden else ''} has no record of {listed(lacks)}"
            field = "at" if "words for its place" in lacks else "hidden"
            yield finding("B", fuse.id, what, "not recorded", place=names.place_of(fuse.id, field))
        else:
            yield passed(fuse.id, f"{called} has its place on record")


def everyday_names(survey: Survey) -> Iterator[Outcome]:
    """Every consumer has an everyday name beside its own.

    What
        Lists consumers without `also called`.

    Why
        Nobody searches for `MFD` who wants the plotter. Under stress people look for the word they use.

    Failing example
        circuits:
          C3: {name: MFD, from: X4 way 3, cable: "1.5 mm², 3 m", load: 10 W, use: navigation}

    Passing example
        circuits:
          C3: {name: MFD, also called: [plotter], from: X4 way 3, cable: "1.5 mm², 3 m", load: 10 W, use: navigation}

    Source
        Common practice, no source.

    Clears
        One or two everyday words under `also called`.
    """
    consumers = survey.network.consumers.values()
    bare = [c.id for c in consumers if not c.record.also_called]
    if bare:
        what = (
            f"{len(bare)} of {counted(len(consumers), 'consumer')} have no everyday name beside their own: "
            f"{survey.names.names(bare)}"
        )
        yield finding("C", survey.ship, what, f"{len(bare)} without", items=(survey.ship, *bare))
    elif consumers:
        yield passed(survey.ship, f"all {len(consumers)} consumers have an everyday name beside their own")


def photographs(survey: Survey) -> Iterator[Outcome]:
    """A photograph shows each handle of the emergency isolation.

    What
        The switches and breakers that isolate the whole ship, and the controls that stop its sources, each need a
        `photo`.

    Why
        Who does not know the boat finds a red handle by its picture, not by a description.

    Failing example
        switches:
          Q1: {name: Main switch, label: MAIN, rating: 300 A, voltage: 48 V, access: open, at: "cabin, at the steps"}

    Passing example
        switches:
          Q1: {name: Main switch, label: MAIN, rating: 300 A, voltage: 48 V, at: "cabin, at the steps", photo: q1.jpg}

    Source
        Insurers' loss statistics ask for photographs on file (seen secondary; check your own copy).

    Clears
        A picture of the handle as one sees it on coming near, beside the inventory, named under `photo`.
    """
    handles = [h for h in survey.study.ship.handles if h.kind in ("switch", "breaker") and " way " not in h.id]
    bare = [h.id for h in handles if not survey.names.items[h.id].photo]
    if bare:
        what = (
            f"{len(bare)} of {counted(len(handles), 'handle')} of the ship's isolation have no photograph: "
            f"{survey.names.names(bare)}"
        )
        yield finding("C", survey.ship, what, f"{len(bare)} without", items=(survey.ship, *bare))
    elif handles:
        yield passed(survey.ship, f"all {len(handles)} handles of the ship's isolation have a photograph")


def printed(survey: Survey) -> Iterator[Outcome]:
    """Printed copies are of the present revision.

    What
        Compares the revision of each card or manual that hangs aboard with the vessel's revision.

    Why
        An old card sends a hand to a switch that is no longer there.

    Failing example
        vessel:
          revision: "16"
        prints:
          - {card: fast, at: "cabin, inside the door", revision: "14"}

    Passing example
        vessel:
          revision: "16"
        prints:
          - {card: fast, at: "cabin, inside the door", revision: "16"}

    Source
        Common practice, no source.

    Clears
        The card printed again and hung up, the old one destroyed, and its revision noted.
    """
    current = survey.inventory.vessel.revision
    for i, copy in enumerate(survey.inventory.prints):
        space = survey.inventory.spaces.get(copy.at.space or "")
        where = ", ".join(part for part in (space.title if space else "", copy.at.place or "") if part)
        place = survey.names.place("prints", i, "revision")
        if copy.revision != current:
            what = f"the printed card `{copy.card}` is of revision {copy.revision}; the manual is at {current}"
            here = f"revision {copy.revision} against {current}"
            yield finding("B", survey.ship, what, here, place=place, where=where)
        else:
            yield passed(survey.ship, f"the printed card `{copy.card}` is of revision {current}", where=where)
