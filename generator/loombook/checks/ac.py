"""Rules A: shore power, inverter and mains circuits."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from ..network import Edge
from ..network.core import core_of
from .model import Outcome, finding, not_applicable, passed, unknown
from .names import listed, metres
from .survey import Survey


def residual_current(survey: Survey) -> Iterator[Outcome]:
    """A residual-current device of 30 mA stands near the shore inlet.

    What
        On the way from each inlet to what it feeds, a residual-current device of 30 mA or less, within 3 m of cable.

    Why
        It is what opens when the current takes its way back through a person.

    Failing example
        breakers:
          F51: {name: Shore breaker, kind: C, poles: 2, rating: 16 A, voltage: 230 V, at: "cockpit, locker"}

    Passing example
        breakers:
          F51: {name: Shore breaker, kind: rcbo C, poles: 2, rating: 16 A, residual: 30 mA, voltage: 230 V, at: "cockpit, locker"}

    Source
        IEC 60364-7-709, 709.531.2 (seen); ABYC E-11, about 2012 to 2018, 11.10.2.8.3 for the 3 m (seen).

    Clears
        A residual-current device of 30 mA within 3 m of the inlet, fitted and tested by a qualified electrician.
    """
    limit, near = survey.limit("most_residual"), survey.limit("inlet_distance")
    for id in survey.inventory.shore_inlets:
        called = survey.names.the(id)
        device, length, bare = _first_residual(survey, f"{id} L")
        if bare or device is None:
            fed = f": {survey.names.names(bare)} is fed without one" if bare else ""
            yield finding("A", id, f"no residual-current device stands behind {called}{fed}", "no 30 mA device", items=(id, *bare))
            continue
        residual = getattr(device.record, "residual", None)
        what = f"{survey.names.the(device.id)} behind {called}"
        if residual is None:
            yield unknown(device.id, f"at what current {what} trips is not recorded", "residual", "whether it saves a life", items=(device.id, id))
        elif residual.value > limit.value * 1.0001:
            yield finding("A", device.id, f"{what} trips at {residual}", f"{residual} against 30 mA", place=survey.names.place_of(device.id, "residual"), items=(device.id, id))
        elif length is not None and length > near.value:
            yield finding("A", device.id, f"{what} is {metres(length)} of cable from it", f"{metres(length)} against 3 m", source=near.cited, items=(device.id, id))
        else:
            yield passed(id, f"{what} trips at {residual}", f"{residual} against 30 mA")


def _first_residual(survey: Survey, start: str) -> tuple:
    """(the first residual-current device, length of cable to it [m], ids of what is reached without one) from an inlet."""
    network, found, length_to = survey.network, None, None
    reached: list[str] = []
    seen, stack = {start}, [(start, 0.0)]
    while stack:
        node, length = stack.pop()
        for edge in network.at[node]:
            device = survey.device_of.get(edge.id)
            if device and (device.family.startswith("rc") or getattr(device.record, "residual", None)):
                if found is None or (length is not None and length_to is not None and length < length_to):
                    found, length_to = device, length
                continue
            if edge.kind in ("load", "input"):
                reached.append(edge.item)
            other = edge.other(node)
            if edge.conducts and other not in seen:
                seen.add(other)
                own = edge.cable.length.high if edge.cable and edge.cable.length else None if edge.cable else 0.0
                stack.append((other, None if length is None or own is None else length + own))
    return found, length_to, tuple(dict.fromkeys(reached))


def _parts(survey: Survey, throw: str) -> Mapping[str, int]:
    """Core part of every node with every switch closed and the change-over switches in one throw."""
    positions = {}
    for id, switch in survey.inventory.switches.items():
        positions[id] = {"change-over": throw, "selector": "both"}.get(switch.kind, "on")
    core = core_of(survey.network, positions)
    return {node: core.part[core.attach(node)] for node in survey.network.nodes}


def _ac_sources(survey: Survey) -> list[Edge]:
    return [e for e in survey.network.sources() if e.kind in ("shore", "inverter")]


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
            what = f"{survey.names.the(id)} and {listed([survey.names.the(o) for o in dict.fromkeys(others)])} can be joined"
            yield finding("A", id, what, "no change-over", items=(id, *dict.fromkeys(others)))
    if not any(joined.values()):
        yield passed(survey.ship, f"no two of {listed([survey.names.name(s.item) for s in sources])} can be joined")


def bond(survey: Survey) -> Iterator[Outcome]:
    """Neutral and earth are joined at the inverter while it feeds, and not when shore does.

    What
        `bond` of each inverter. One that is always joined must have its neutral parted from the shore's in every position.

    Why
        Without the bond no residual-current device behind the inverter can trip; with it on shore power, the boat's earth
        carries the marina's neutral current.

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
    for id, inverter in survey.inventory.inverters.items():
        called, place = survey.names.the(id), survey.names.place_of(id, "bond")
        if inverter.bond is None:
            yield unknown(id, f"whether {called} joins neutral and earth is not recorded", "bond", "whether a fault behind it trips anything")
        elif inverter.bond == "none":
            yield finding("A", id, f"{called} does not join neutral and earth when it feeds", "no bond", place=place)
        elif inverter.bond == "fixed" and _neutral_with_shore(survey, id):
            yield finding("A", id, f"{called} joins neutral and earth always, and its neutral can be joined to the shore's", "always joined", place=place)
        else:
            yield passed(id, f"{called} joins neutral and earth: {inverter.bond}")


def _neutral_with_shore(survey: Survey, inverter: str) -> bool:
    for throw in ("1", "2"):
        parts = _parts(survey, throw)
        if any(parts[f"{inlet} N"] == parts[f"{inverter} N"] for inlet in survey.inventory.shore_inlets):
            return True
    return False


def polarity(survey: Survey) -> Iterator[Outcome]:
    """A reversed shore supply is shown, or both poles are broken.

    What
        Each inlet has a polarity lamp, or every breaker behind it breaks both poles.

    Why
        On a reversed supply a single-pole breaker leaves the circuit live when it is off.

    Failing example
        shore inlets:
          X8: {name: Shore inlet, at: "cockpit, port coaming", voltage: 230 V, current: 16 A, polarity lamp: no}
        breakers:
          F51: {name: Shore breaker, kind: rcbo C, poles: 1, rating: 16 A, residual: 30 mA, voltage: 230 V}

    Passing example
        shore inlets:
          X8: {name: Shore inlet, at: "cockpit, port coaming", voltage: 230 V, current: 16 A, polarity lamp: no}
        breakers:
          F51: {name: Shore breaker, kind: rcbo C, poles: 2, rating: 16 A, residual: 30 mA, voltage: 230 V}

    Source
        ISO 13297:2020/A1:2022, 6.10 and 13.2.1 (seen).

    Clears
        A polarity indicator, or two-pole breakers, fitted by a qualified electrician.
    """
    panels, breakers = survey.inventory.panels, survey.inventory.breakers
    for id, inlet in survey.inventory.shore_inlets.items():
        called = survey.names.the(id)
        single = [b.id for b in breakers.values() if b.poles == 1 and any(survey.is_ac(e) for e in survey.network.of_item.get(b.id, ()))]
        single += [p.id for p in panels.values() if p.ac and p.poles == 1]
        if inlet.polarity_lamp:
            yield passed(id, f"{called} has a polarity lamp")
        elif not single:
            yield passed(id, f"every AC breaker behind {called} breaks both poles")
        elif inlet.polarity_lamp is None:
            what = f"{survey.names.names(single)} breaks one pole, and nothing says whether {called} has a polarity lamp"
            yield unknown(id, what, "polarity lamp", "whether a reversed supply is noticed", items=(id, *single))
        else:
            what = f"{called} has no polarity lamp, and {survey.names.names(single)} breaks one pole"
            yield finding("B", id, what, "neither lamp nor two poles", place=survey.names.place_of(id, "polarity lamp"), items=(id, *single))


def galvanic(survey: Survey) -> Iterator[Outcome]:
    """The shore's earth does not run straight to the boat's metal.

    What
        Each inlet has a galvanic isolator or an isolating transformer.

    Why
        Joined by the shore's earth, the boats of a marina are one battery; the one with the least noble metal is eaten.

    Failing example
        shore inlets:
          X8: {name: Shore inlet, voltage: 230 V, current: 16 A, galvanic isolator: no, isolating transformer: no, polarity lamp: yes}

    Passing example
        shore inlets:
          X8: {name: Shore inlet, voltage: 230 V, current: 16 A, galvanic isolator: yes, polarity lamp: yes}

    Source
        AS/NZS 3004.2:2014 (from memory); ISO 13297:2020/A1:2022, 6.9 on the isolator's own failure (seen).

    Clears
        A galvanic isolator that fails closed, or an isolating transformer, fitted by a qualified electrician.
    """
    for id, inlet in survey.inventory.shore_inlets.items():
        called = survey.names.the(id)
        states = (inlet.galvanic_isolator, inlet.isolating_transformer)
        if any(states):
            yield passed(id, f"{called} has {'a galvanic isolator' if states[0] else 'an isolating transformer'}")
        elif states == (None, None):
            yield unknown(id, f"nothing says whether {called} has a galvanic isolator or an isolating transformer", "galvanic isolator", "whether the boat's metal is eaten")
        else:
            yield finding("C", id, f"{called} has neither a galvanic isolator nor an isolating transformer", "neither")
