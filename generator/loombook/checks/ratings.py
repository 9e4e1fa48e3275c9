"""Rules P, the device's rating: against the conductors behind it, and against the load."""

from __future__ import annotations

from collections.abc import Iterator

from ..calc.tables import OutOfTable
from ..diagnostics import Note
from ..inventory.loads import Motor
from ..network import Consumer
from ..study.loads import load_amps
from .cover import Gap
from .devices import Device
from .limits import cited
from .model import Outcome, finding, passed, unknown
from .names import amps, describe, per_cent, seconds
from .survey import Survey


def not_above_cable(survey: Survey) -> Iterator[Outcome]:
    """The fuse or breaker is not above what its cable carries.

    What
        The rating of each device against the ampacity of the cable right behind it, where it lies: insulation class,
        space temperature and bundle count. Below 50 V the American rules allow 150 % of the ampacity, ISO 100 %.

    Why
        Between what the cable carries and what the fuse lets through, the cable is hotter than its insulation bears,
        for hours, and nothing opens.

    Failing example
        panels:
          X4: {name: Panel, kind: blade, negative: X5, ways: {1: "30 A, FANS", 2: "10 A, VHF", 3: "5 A, LIGHT"}}
        circuits:
          C1: {name: Fans, from: X4 way 1, cable: "1 mm², 5 m, 70 °C", load: 1 A}

    Passing example
        panels:
          X4: {name: Panel, kind: blade, negative: X5, ways: {1: "5 A, FANS", 2: "10 A, VHF", 3: "5 A, LIGHT"}}
        circuits:
          C1: {name: Fans, from: X4 way 1, cable: "1 mm², 5 m, 70 °C", load: 1 A}

    Source
        33 CFR 183.425 Table 5 and 183.455(c) (CGD 81-092, 1983); ISO 10133:2012 and ISO 13297:2020, Annex A (from
        memory; check your own copy).

    Clears
        A smaller device, or a thicker cable.
    """
    for device in survey.devices:
        gap = survey.cover.over.get(device.edge.id, (None, None))[0]
        if gap:
            yield _too_large(survey, device, gap, "")
        else:
            yield from _within(survey, device)


def _within(survey: Survey, device: Device) -> Iterator[Outcome]:
    names, cover = survey.names, survey.cover
    behind = [e for n in (device.edge.a, device.edge.b) for e in survey.network.at[n] if e.kind == "conductor"]
    unmeasured = [e for e in behind if e.cable.area is None]
    if unmeasured:
        what = (
            f"what {names.cable(unmeasured[0])} carries is not known, so neither is whether {names.the(device.id)} "
            "protects it"
        )
        yield unknown(
            device.id, what, "area", "the fuse against the cable", items=(device.id, names.cable_id(unmeasured[0]))
        )
    elif device.rating and behind and device.edge.id in cover.over:
        limits = [limit.amperes for e in behind if (limit := cover.allowed(e))]
        if limits and device.rating.value <= min(limits) * 1.0001:
            what = f"{names.the(device.id)}, {device.rating}, is within what the cables at it may have"
            yield passed(device.id, what, f"{device.rating} against {amps(min(limits))}")
        elif limits:
            what = (
                f"{names.the(device.id)}, {device.rating}, is above the {amps(min(limits))} that a cable at it may have, "
                f"but its sources together give no more than {amps(cover.lets(device.edge))} through it"
            )
            yield passed(device.id, what, f"{amps(cover.lets(device.edge))} against {amps(min(limits))}")


def _too_large(survey: Survey, device: Device, gap: Gap, farther: str) -> Outcome:
    names, edge = survey.names, gap.edges[0]
    carrying = survey.study.carrying[edge.id]
    limit, rating = survey.cover.allowed(edge), device.rating.value
    over = rating / carrying.amps if carrying.amps else float("inf")
    part = "a piece of " if farther and names.cable_id(edge) == edge.item and edge.path[0] != "runs" else ""
    what = (
        f"{names.the(device.id)} ({device.rating}) is above what {part}{names.cable(edge)} carries here "
        f"({amps(carrying.amps)})"
    )
    what += "" if over == float("inf") else f": {over * 100:.0f} %"
    note = Note("cable", f"{names.cable_id(edge)}, {describe(edge.cable)}", names.place_of_cable(edge))
    grade = "A" if farther or over > survey.limit("most_over").value else "B"
    return finding(
        grade, device.id, what, f"{device.rating} against {amps(limit.amperes)}",
        place=names.place_of(device.id, "rating", part=str(device.rating)), also=(note,),
        items=(device.id, names.cable_id(edge)),
        source=f"{cited(carrying.why.source, carrying.why.mark)}; {cited(limit.source, limit.mark)}",
        clears=survey.cover.remedy(edge, rating),
    )  # fmt: skip


def smallest_governs(survey: Survey) -> Iterator[Outcome]:
    """The smallest conductor behind a device governs its rating.

    What
        The rating of each device against every further conductor behind it, to the next device: taps, tails, the piece
        after a joint. The one right behind it is P-05's.

    Why
        The fuse protects the thick cable; the thin tail at the reading lamp burns alone.

    Failing example
        circuits:
          C3:
            name: Lamps
            from: X1
            back to: X2
            cable: [F9, "6 mm², 3 m"]
            loads: {E1: {name: Reading lamp, load: 5 W, cable: "0.75 mm², 1 m"}}
        fuses:
          F9: {name: Lamp fuse, kind: gG, rating: 40 A, voltage: 110 V, at: "locker, on the bar"}

    Passing example
        circuits:
          C3:
            name: Lamps
            from: X1
            back to: X2
            cable: [F9, "6 mm², 3 m"]
            loads: {E1: {name: Reading lamp, load: 5 W, cable: "0.75 mm², 1 m"}}
        fuses:
          F9: {name: Lamp fuse, kind: gG, rating: 6 A, voltage: 110 V, at: "locker, on the bar"}

    Source
        33 CFR 183.455 (CGD 81-092, 1983) and practice; ampacity as for P-05.

    Clears
        A smaller device, a thicker tail, or a fuse of its own where the thin part begins.
    """
    bare_zones = {gap.feed.zone.number for gap in survey.cover.without.values()}
    for device in survey.devices:
        first, further = survey.cover.over.get(device.edge.id, (None, None))
        zones = {survey.zones.of_node.get(n) for n in (device.edge.a, device.edge.b)}
        if further:
            yield _too_large(survey, device, further, "farther on")
        elif device.edge.id in survey.cover.over and not first and not zones & bare_zones:
            what = f"every conductor farther behind {survey.names.the(device.id)} bears what comes through it for long"
            yield passed(device.id, what)


CONTINUOUS = (
    "navigation lights",
    "radio",
    "navigation",
    "alarm",
    "lighting",
    "refrigeration",
    "heating",
    "entertainment",
    "sockets",
)
"""Uses that may run for hours; others, pumps and deck gear, run for minutes."""


def fits_load(survey: Survey) -> Iterator[Outcome]:
    """The load fits its fuse or breaker, running and starting.

    What
        The current of each circuit against its own device: what may run for hours up to 80 % of the rating, the rest
        up to the rating. A starting current must not open the device within its time: B where it is sure to, C where
        it may.

    Why
        A device at its limit blows in the heat or on a start, at the worst moment, and teaches people to fit a larger
        one.

    Failing example
        circuits:
          C2: {name: Refrigerator, from: X4 way 2, cable: "4 mm², 2 m", load: 9 A, use: refrigeration}

    Passing example
        circuits:
          C2: {name: Refrigerator, from: X4 way 2, cable: "4 mm², 2 m", load: 5 A, start: 12 A for 0.5 s}

    Source
        Practice for fuses in holders (from memory; check your own copy); time-current bands of the standard families.

    Clears
        A device of the next size if the cable allows it (P-05), or the load shared.
    """
    loads: dict[str, list[Consumer]] = {}
    for consumer in survey.network.consumers.values():
        loads.setdefault(consumer.circuit, []).append(consumer)
    for circuit, consumers in loads.items():
        device = _own_device(survey, consumers[0])
        if device is None or device.rating is None:
            continue
        current = sum(load_amps(survey.network, survey.network.edges[c.edge]) for c in consumers)
        yield from _fits(survey, circuit, consumers, device, current)


def _fits(survey: Survey, circuit: str, consumers: list[Consumer], device: Device, current: float) -> Iterator[Outcome]:
    names, rating = survey.names, device.rating.value
    lasting = survey.use(consumers[0]) in CONTINUOUS and not isinstance(consumers[0].record, Motor)
    share = survey.limit("most_continuous").value if lasting else 1.0
    called, at = names.name(circuit), names.the(device.id)
    more = {"items": (circuit, device.id), "place": names.place_of(circuit, "load")}
    what = f"{called} takes {amps(current)} on {at}, {device.rating}"
    here = f"{amps(current)} against {amps(share * rating)}"
    if current > share * rating * 1.0001:
        why = (
            f": more than {per_cent(share)} of it for hours"
            if lasting and current <= rating
            else ": more than its rating"
        )
        yield finding("B", circuit, what + why, here, **more)
    else:
        yield passed(circuit, what, here, **more)
    for consumer in consumers:
        start = consumer.record.start
        if start is None or start.time is None:
            continue
        peak = current + start.current.value - load_amps(survey.network, survey.network.edges[consumer.edge])
        try:
            opens = survey.band(device).opening_time(peak)
        except OutOfTable:
            continue
        if opens.least <= start.time.value:
            sure = opens.most <= start.time.value
            after = seconds(opens.most if sure else opens.least)
            what = (
                f"{names.name(consumer.id)} starts with {amps(peak)} for {seconds(start.time.value)}; {at} "
                f"{'opens' if sure else 'may open'} after {after}"
            )
            here, place = f"{seconds(start.time.value)} against {after}", names.place_of(consumer.id, "start")
            yield finding("B" if sure else "C", consumer.id, what, here, place=place, items=(consumer.id, device.id))


def _own_device(survey: Survey, consumer: Consumer) -> Device | None:
    """The last device before a consumer, if it feeds this circuit alone."""
    for path in survey.study.supply.get(consumer.id, ())[:1]:
        for hop in reversed(path.out):
            device = survey.device_of.get(hop.edge.id)
            if device:
                lost = survey.study.lost.get(hop.edge.id, ())
                return device if {survey.network.consumers[c].circuit for c in lost} == {consumer.circuit} else None
    return None
