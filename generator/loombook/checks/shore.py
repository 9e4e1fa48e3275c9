"""Rules A, the shore inlet: residual current, polarity, the way of its earth."""

from __future__ import annotations

from collections.abc import Iterator

from .devices import Device
from .model import Outcome, finding, passed, unknown
from .names import metres
from .survey import Survey


def residual_current(survey: Survey) -> Iterator[Outcome]:
    """A residual-current device of 30 mA stands near the shore inlet.

    What
        On the way from each inlet to what it feeds, a residual-current device of 30 mA or less, within 3 m of cable.

    Why
        It is what opens when the current takes its way back through a person.

    Failing example
        breakers:
          F51: {name: Shore breaker, kind: C, poles: 2, rating: 16 A, voltage: 230 V}

    Passing example
        breakers:
          F51: {name: Shore breaker, kind: rcbo C, poles: 2, rating: 16 A, residual: 30 mA, voltage: 230 V}

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
            yield finding(
                "A", id, f"no residual-current device stands behind {called}{fed}", "no 30 mA device", items=(id, *bare)
            )
            continue
        residual = getattr(device.record, "residual", None)
        what = f"{survey.names.the(device.id)} behind {called}"
        if residual is None:
            yield unknown(
                device.id,
                f"at what current {what} trips is not recorded",
                "residual",
                "whether it saves a life",
                items=(device.id, id),
            )
        elif residual.value > limit.value * 1.0001:
            yield finding(
                "A",
                device.id,
                f"{what} trips at {residual}",
                f"{residual} against 30 mA",
                place=survey.names.place_of(device.id, "residual"),
                items=(device.id, id),
            )
        elif length is not None and length > near.value:
            yield finding(
                "A",
                device.id,
                f"{what} is {metres(length)} of cable from it",
                f"{metres(length)} against 3 m",
                source=near.cited,
                items=(device.id, id),
            )
        else:
            yield passed(id, f"{what} trips at {residual}", f"{residual} against 30 mA")


def _first_residual(survey: Survey, start: str) -> tuple[Device | None, float | None, tuple[str, ...]]:
    """From an inlet: the first residual-current device, the cable to it [m], ids of what is reached without one."""
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
        single = [
            b.id
            for b in breakers.values()
            if b.poles == 1 and any(survey.is_ac(e) for e in survey.network.of_item.get(b.id, ()))
        ]
        single += [p.id for p in panels.values() if p.ac and p.poles == 1]
        if inlet.polarity_lamp:
            yield passed(id, f"{called} has a polarity lamp")
        elif not single:
            yield passed(id, f"every AC breaker behind {called} breaks both poles")
        elif inlet.polarity_lamp is None:
            what = (
                f"{survey.names.names(single)} breaks one pole, and nothing says whether {called} has a polarity lamp"
            )
            yield unknown(id, what, "polarity lamp", "whether a reversed supply is noticed", items=(id, *single))
        else:
            what = f"{called} has no polarity lamp, and {survey.names.names(single)} breaks one pole"
            yield finding(
                "B",
                id,
                what,
                "neither lamp nor two poles",
                place=survey.names.place_of(id, "polarity lamp"),
                items=(id, *single),
            )


def galvanic(survey: Survey) -> Iterator[Outcome]:
    """The shore's earth does not run straight to the boat's metal.

    What
        Each inlet has a galvanic isolator or an isolating transformer.

    Why
        Joined by the shore's earth, the boats of a marina are one battery; the one with the least noble metal is
        eaten.

    Failing example
        shore inlets:
          X8: {name: Shore inlet, voltage: 230 V, current: 16 A, galvanic isolator: no, isolating transformer: no}

    Passing example
        shore inlets:
          X8: {name: Shore inlet, voltage: 230 V, current: 16 A, galvanic isolator: yes}

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
            yield unknown(
                id,
                f"nothing says whether {called} has a galvanic isolator or an isolating transformer",
                "galvanic isolator",
                "whether the boat's metal is eaten",
            )
        else:
            yield finding("C", id, f"{called} has neither a galvanic isolator nor an isolating transformer", "neither")
