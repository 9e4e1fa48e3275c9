"""Rules A, two sources of AC: one at a time, neutral and earth joined where they must be."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from ..network import Edge
from ..network.core import core_of
from ..network.model import ALTERNATING
from .model import Outcome, finding, not_applicable, passed, unknown
from .names import listed
from .survey import Survey


def _parts(survey: Survey, throw: str) -> Mapping[str, int]:
    """Core part of every node with every switch closed and the change-over switches in one throw."""
    positions = {}
    for id, switch in survey.inventory.switches.items():
        positions[id] = {"change-over": throw, "selector": "both"}.get(switch.kind, "on")
    core = core_of(survey.network, positions)
    return {node: core.part[core.attach(node)] for node in survey.network.nodes}


def _ac_sources(survey: Survey) -> list[Edge]:
    return [e for e in survey.sources if e.kind in ALTERNATING]


def one_at_a_time(survey: Survey) -> Iterator[Outcome]:
    """Only one AC source can feed at a time.

    What
        With every switch closed and the change-over switches in either throw, no two AC sources may be joined.

    Why
        Two mains sources on one bar destroy each other, and make the pins of an unplugged inlet live.

    Failing example
        inverters:
          T5: {name: Inverter, power: 1 kVA, bond: switched, at: "locker, top"}
        fuses:
          F9: {name: Inverter fuse, kind: class T, rating: 125 A, voltage: 125 V, breaking: 20 kA at 125 V}
        runs:
          inverter feed: [X1, F9, W90: "35 mm², 1 m", T5 +]
          inverter negative: [T5 -, W91: "35 mm², 1 m", X2]
          inverter mains: [T5, W92: "2.5 mm², 2 m, 3-core", X9]
          shore: [X8, W11: "2.5 mm², 1 m, 3-core", F51, W12: "2.5 mm², 3 m, 3-core", X9]
        junctions:
          X9: {name: Mains box, at: "locker, top"}

    Passing example
        inverters:
          T5: {name: Inverter, power: 1 kVA, bond: switched, at: "locker, top"}
        fuses:
          F9: {name: Inverter fuse, kind: class T, rating: 125 A, voltage: 125 V, breaking: 20 kA at 125 V}
        switches:
          Q9: {name: Mains change-over, kind: change-over, poles: 2, normal: off, rating: 25 A, voltage: 230 V}
        runs:
          inverter feed: [X1, F9, W90: "35 mm², 1 m", T5 +]
          inverter negative: [T5 -, W91: "35 mm², 1 m", X2]
          inverter mains: [T5, W92: "2.5 mm², 2 m, 3-core", Q9 2]
          shore: [X8, W11: "2.5 mm², 1 m, 3-core", F51, W12: "2.5 mm², 3 m, 3-core", Q9 1]

    Source
        UK boat safety scheme, 3.9.1 (seen secondary; check your own copy).

    Clears
        A change-over switch that breaks both poles, fitted by a qualified electrician.
    """
    sources = _ac_sources(survey)
    if len(sources) < 2:
        yield not_applicable(survey.ship, "one AC source at most")
        return
    joined: dict[str, list[str]] = {}
    for throw in ("1", "2"):
        parts = _parts(survey, throw)
        for i, one in enumerate(sources):
            joined.setdefault(one.item, [])
            joined[one.item] += [s.item for s in sources[i + 1 :] if parts[s.b] == parts[one.b]]
    for id, others in joined.items():
        if others:
            what = (
                f"{survey.names.the(id)} and {listed([survey.names.the(o) for o in dict.fromkeys(others)])} can be "
                "joined"
            )
            yield finding("A", id, what, "no change-over", items=(id, *dict.fromkeys(others)))
    if not any(joined.values()):
        yield passed(survey.ship, f"no two of {listed([survey.names.name(s.item) for s in sources])} can be joined")


def bond(survey: Survey) -> Iterator[Outcome]:
    """Neutral and earth are joined at the inverter or generator while it feeds, and not when shore does.

    What
        `bond` of each inverter and generator. One that is always joined must have its neutral parted from the shore's in every
        position.

    Why
        Without the bond no residual-current device behind the inverter can trip; with it on shore power, the boat's
        earth carries the marina's neutral current.

    Failing example
        inverters:
          T5: {name: Inverter, power: 1 kVA, bond: none, at: "locker, top"}
        fuses:
          F9: {name: Inverter fuse, kind: class T, rating: 125 A, voltage: 125 V, breaking: 20 kA at 125 V}
        runs:
          inverter feed: [X1, F9, W90: "35 mm², 1 m", T5 +]
          inverter negative: [T5 -, W91: "35 mm², 1 m", X2]

    Passing example
        inverters:
          T5: {name: Inverter, power: 1 kVA, bond: switched, at: "locker, top"}
        fuses:
          F9: {name: Inverter fuse, kind: class T, rating: 125 A, voltage: 125 V, breaking: 20 kA at 125 V}
        runs:
          inverter feed: [X1, F9, W90: "35 mm², 1 m", T5 +]
          inverter negative: [T5 -, W91: "35 mm², 1 m", X2]

    Source
        ISO 13297:2020 and practice (from memory; check your own copy).

    Clears
        The bond put right by a qualified electrician; it is a setting or a link in many inverters.
    """
    for id, inverter in (*survey.inventory.inverters.items(), *survey.inventory.generators.items()):
        called, place = survey.names.the(id), survey.names.place_of(id, "bond")
        if inverter.bond is None:
            yield unknown(
                id,
                f"whether {called} joins neutral and earth is not recorded",
                "bond",
                "whether a fault behind it trips anything",
            )
        elif inverter.bond == "none":
            yield finding("A", id, f"{called} does not join neutral and earth when it feeds", "no bond", place=place)
        elif inverter.bond == "fixed" and _neutral_with_shore(survey, id):
            yield finding(
                "A",
                id,
                f"{called} joins neutral and earth always, and its neutral can be joined to the shore's",
                "always joined",
                place=place,
            )
        else:
            yield passed(id, f"{called} joins neutral and earth: {inverter.bond}")


def _neutral_with_shore(survey: Survey, inverter: str) -> bool:
    for throw in ("1", "2"):
        parts = _parts(survey, throw)
        if any(parts[f"{inlet} N"] == parts[f"{inverter} N"] for inlet in survey.inventory.shore_inlets):
            return True
    return False
