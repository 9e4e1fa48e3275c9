"""Rules F, the device in time: whether it cuts off a short far away, and one close by."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from ..calc.adiabatic import insulation_limit, k_factor, withstand
from ..calc.conductors import conductor_temperature
from ..calc.tables import OutOfTable
from ..diagnostics import Note
from ..network import Consumer, Edge
from ..study.carrying import surroundings
from .bands import slow_band_of
from .devices import Device
from .model import Outcome, finding, passed, unknown
from .names import amps, counted, describe, listed, seconds
from .survey import Survey


def far_end(survey: Survey) -> Iterator[Outcome]:
    """A short at the far end clears in time.

    What
        The smallest fault current at each consumer (hot wire, low battery, an arc in the fault), and the longest time
        that its last device may take to open at it: not longer than 5 s, nor than the conductor bears. Breakers whose
        family only says "between a moment and minutes" are listed as not checked, unless even their fastest is too
        slow. Where a converter's own limit decides the fault current, F-12 judges it.

    Why
        A thin wire to the masthead can let so little current through that its fuse never sees a fault: the short goes
        on heating until something burns.

    Failing example
        circuits:
          C1: {name: Masthead light, from: X1, back to: X2, cable: [F9, "1.5 mm², 22 m"], load: 12 W}
        fuses:
          F9: {name: Masthead fuse, kind: blade, rating: 20 A, voltage: 32 V, at: "locker, on the bar"}

    Passing example
        circuits:
          C1: {name: Masthead light, from: X1, back to: X2, cable: [F9, "1.5 mm², 22 m"], load: 12 W}
        fuses:
          F9: {name: Masthead fuse, kind: blade, rating: 3 A, voltage: 32 V, at: "locker, on the bar"}

    Source
        IEC 60364-4-43, 434.5.2 (from memory; check your own copy); time-current bands of the standard families.

    Clears
        A smaller device if the load allows it (P-07), or a thicker cable.
    """
    open_questions: dict[str, list[tuple[Device, Consumer]]] = {}
    for consumer in survey.network.consumers.values():
        if (
            not survey.is_dc(consumer)
            or consumer.id in survey.inventory.motors
            or consumer.circuit in survey.cover.without
        ):
            continue
        outcome = _clears(survey, consumer)
        if isinstance(outcome, Device):
            open_questions.setdefault(outcome.item, []).append((outcome, consumer))
        elif outcome:
            yield outcome
    for item, rows in open_questions.items():
        called, ids = survey.names.the(item), [c.id for _, c in rows]
        what = (
            f"whether a short at the far end of {counted(len(ids), 'circuit')} clears in time depends on the own "
            f"curve of {called}: {survey.names.names(ids, 4)}"
        )
        yield unknown(
            item,
            what,
            "curves",
            "how fast a short at the far end is cut off",
            items=(item, *ids, *(d.id for d, _ in rows)),
        )


def _clears(survey: Survey, consumer: Consumer) -> Outcome | Device | None:
    """What there is to say about one consumer; its device, where only the device's own curve can tell."""
    names, id = survey.names, consumer.id
    fault, device = survey.study.faults.get(consumer.plus), survey.last_device(consumer)
    if device is None or fault is None:
        return None
    if fault.lowest is None:
        return _unmeasured(survey, id, fault.missing) if fault.missing else None
    if any(survey.network.edges[s].kind != "battery" for s in fault.weakest):
        return None
    current = fault.lowest.low
    try:
        span = slow_band_of(survey.inventory, device).opening_time(current)
    except OutOfTable:
        return device
    thin = _thinnest(survey, consumer, device)
    bears = _bears(survey, thin, current)
    limit = min(survey.limit("clearing_time").value, bears)
    what, at = f"a short at {names.name(id)} gives {amps(current)}", names.the(device.id)
    if span.most <= limit:
        return passed(
            id, f"{what}; {at} opens within {seconds(span.most)}", f"{seconds(span.most)} against {seconds(limit)}"
        )
    if device.kind == "breaker" and span.least <= limit and current >= 2 * device.rating.value:
        return device
    how_long = f"may take up to {seconds(span.most)}" if span.most < inf else "need not open at all"
    here = f"{seconds(span.most) if span.most < inf else 'never'} against {seconds(limit)}"
    also = (
        (Note("cable", f"{names.cable_id(thin)}, {describe(thin.cable)}", names.place_of_cable(thin)),) if thin else ()
    )
    carried = survey.study.carrying[thin.id].amps if thin else None
    grade = "B" if carried and current <= carried else "A"
    return finding(grade, id, f"{what}; {at} {how_long}", here, also=also, items=(id, device.id))


def _unmeasured(survey: Survey, id: str, missing: tuple[str, ...]) -> Outcome:
    """What cannot be said of a consumer, for cables on its way that lack a length or an area."""
    cables = [survey.network.edges[edge] for edge in missing]
    fields = sorted({field for e in cables for field in ("length", "area") if getattr(e.cable, field) is None})
    called = listed(list(dict.fromkeys(survey.names.cable(e) for e in cables)))
    what = f"the smallest fault current at {survey.names.name(id)} is not known: {called} is not measured"
    return unknown(id, what, ", ".join(fields), "whether its fuse opens on a short at the far end")


def _thinnest(survey: Survey, consumer: Consumer, device: Device) -> Edge | None:
    """The thinnest conductor between a device and its consumer."""
    rows: list[Edge] = []
    for hop in reversed(survey.study.supply[consumer.id][0].out):
        if hop.edge.id == device.edge.id:
            break
        if hop.edge.cable and hop.edge.cable.area:
            rows.append(hop.edge)
    return min(rows, key=lambda e: e.cable.area.value * e.cable.parallel, default=None)


def _bears(survey: Survey, edge: Edge | None, current: float) -> float:
    """How long a conductor bears a current without harm [s]."""
    return _withstand(survey, edge) / current**2 if edge and current > 0 else inf


def _withstand(survey: Survey, edge: Edge) -> float:
    """Energy that a conductor bears, from the temperature that its own load gives it [A²s]."""
    insulation = edge.cable.insulation or survey.inventory.defaults.insulation
    limit = insulation_limit(insulation.value if insulation else None)
    carrying = survey.study.carrying[edge.id]
    _, ambient = surroundings(survey.network, edge)
    start = limit.initial
    if carrying.amps and carrying.design is not None:
        start = min(start, conductor_temperature(carrying.design, carrying.amps, ambient or 30.0, limit.initial))
    return withstand(edge.cable.area.value, k_factor(start, limit.final), edge.cable.parallel)


def near_end(survey: Survey) -> Iterator[Outcome]:
    """A conductor bears what its device lets through on a short close by.

    What
        The energy I²t that each device lets through at the highest fault current, against what the conductor behind it
        bears, k²S², from the temperature that its load gives it. Where the family's band leaves it open, the device's
        own I²t is asked for. A device that is too large for its conductor is P-05's or P-06's.

    Why
        Close to the bank the current is largest. A fuse that is too slow there saves the bank and loses the cable.

    Failing example
        circuits:
          C3: {name: Lamp, from: X3, back to: X2, cable: [F9, "0.75 mm², 3 m"], load: 5 W}
        fuses:
          F9: {name: Lamp fuse, kind: slow strip, rating: 10 A, voltage: 80 V, at: "locker, on the bar"}
        curves:
          slow strip: {source: invented, mark: invented, points: {"2.0": 20 s to 60 s, "100": 0.2 s to 0.4 s}}

    Passing example
        circuits:
          C3: {name: Lamp, from: X3, back to: X2, cable: [F9, "2.5 mm², 3 m"], load: 5 W}
        fuses:
          F9: {name: Lamp fuse, kind: blade, rating: 5 A, voltage: 32 V, at: "locker, on the bar"}

    Source
        IEC 60364-4-43:2008, 434.5.2 (from memory; check your own copy).

    Clears
        A faster or current-limiting device, or a thicker conductor.
    """
    open_questions: dict[str, list[Device]] = {}
    for device in survey.devices:
        outcome = None if device.ac or any(survey.cover.over.get(device.edge.id, ())) else _near(survey, device)
        if isinstance(outcome, Device):
            open_questions.setdefault(device.item, []).append(device)
        elif outcome:
            yield outcome
    for item, rows in open_questions.items():
        called, many = survey.names.the(item), len(rows)
        which = called if many == 1 else f"{many} ways of {called}"
        what = (
            f"whether the conductors behind {which} bear a short close by depends on its own I²t, which is not recorded"
        )
        yield unknown(
            item, what, "curves", "whether a short close by destroys the cable", items=(item, *(d.id for d in rows))
        )


def _near(survey: Survey, device: Device) -> Outcome | Device | None:
    """What there is to say about one device; the device itself, where only its own I²t can tell."""
    names, thin = survey.names, survey.cover.thinnest_behind(device.edge)
    faults = [f for n in (device.edge.b, device.edge.a) if (f := survey.study.faults.get(n)) and f.highest]
    if thin is None or not faults:
        return None
    current = faults[0].highest.high
    try:
        band = slow_band_of(survey.inventory, device)
    except OutOfTable:
        return None
    times, let, bears = band.opening_time(current), band.let_through(current), _withstand(survey, thin)
    if times.most <= survey.limit("clearing_time").value and let.most <= bears:
        what = (
            f"{names.the(device.id)} lets through {let.most:,.0f} A²s at most; {names.cable(thin)} bears "
            f"{bears:,.0f} A²s"
        )
        return passed(device.id, what, f"{let.most:,.0f} against {bears:,.0f} A²s")
    if times.least > survey.limit("clearing_time").value:
        return None  # an overload, not a short: P-05 and F-05 judge it
    if let.least <= bears:
        return device
    also = (Note("cable", f"{names.cable_id(thin)}, {describe(thin.cable)}", names.place_of_cable(thin)),)
    what = (
        f"{names.the(device.id)} lets through {let.least:,.0f} A²s or more at {amps(current)}; {names.cable(thin)} "
        f"bears {bears:,.0f} A²s"
    )
    here = f"{let.least:,.0f} against {bears:,.0f} A²s"
    return finding("A", device.id, what, here, also=also, items=(device.id, names.cable_id(thin)))
