"""Rules V: whether every device and consumer is made for the voltage that it sees."""

from __future__ import annotations

from collections.abc import Iterator

from ..calc.families import family as family_of
from ..calc.tables import OutOfTable
from ..network import Edge
from ..quantities import Quantity
from .devices import Device
from .model import Outcome, finding, passed, unknown
from .names import volts
from .survey import Survey

AC_FAMILIES = ("B", "C", "D", "rcbo B", "rcbo C", "rcd")
"""Made for mains up to 240 V by their standards (IEC 60898, 61008, 61009)."""


def devices_rated(survey: Survey) -> Iterator[Outcome]:
    """Fuses are rated for the highest voltage of their system.

    What
        The rated voltage of each fuse against the highest that its system reaches: the cells fully charged, or the
        highest set-point of what charges them. A fuse that states none is taken at what its family is made for, where
        that is enough. The ways of a panel that share one rating are one outcome.

    Why
        A fuse above its voltage melts and goes on arcing: it does not open the circuit.

    Failing example
        batteries:
          G1: {name: Drive battery, chemistry: lfp, cells: {series: 16, capacity: 100 Ah}}
        panels:
          X4: {name: Panel, kind: blade, voltage: 32 V, negative: X5, ways: {1: 5 A, 2: 10 A, 3: 5 A}}

    Passing example
        panels:
          X4: {name: Panel, kind: blade, voltage: 32 V, negative: X5, ways: {1: 5 A, 2: 10 A, 3: 5 A}}

    Source
        33 CFR 183.455(d) (CGD 81-092, 1983).

    Clears
        A fuse, with its holder, rated for this DC voltage.
    """
    groups: dict[tuple, list[Device]] = {}
    for device in survey.devices:
        if device.kind == "fuse":
            panel = device.item if device.path[0] == "panels" else device.id
            groups.setdefault((panel, device.family, str(device.voltage)), []).append(device)
    for (item, *_), devices in groups.items():
        yield from _rated(survey, item, devices)


def _rated(survey: Survey, item: str, devices: list[Device]) -> Iterator[Outcome]:
    names, first = survey.names, devices[0]
    called = names.the(item) if item == first.id else f"{names.the(item)}: each {first.family} {first.kind}"
    yield from judge(
        survey, item, called, first.edge, first.voltage, getattr(first.record, "ac_only", False),
        family=first.family, items=(item, *(d.id for d in devices if d.id != item)),
    )  # fmt: skip


def judge(
    survey: Survey,
    item: str,
    called: str,
    edge: Edge,
    rated: Quantity | None,
    ac_only: bool,
    family: str = "",
    items: tuple[str, ...] = (),
) -> Iterator[Outcome]:
    """One device's rated voltage against the highest of its system."""
    top = survey.joined.highest_at(edge)
    if top is None or (ac_only and not survey.is_ac(edge)):  # V-03 speaks of those
        return
    place, items = survey.names.place_of(item, "voltage"), items or (item,)
    if rated is not None:
        what = f"{called} is rated {rated}; its system reaches {volts(top)}"
        here = f"{rated} against {volts(top)}"
        if rated.value < top * 0.9999:
            yield finding("A", item, what, here, place=place, items=items)
        else:
            yield passed(item, what, here, items=items)
        return
    usual = _usual(survey, edge, family)
    if usual >= top:
        yield passed(
            item,
            f"{called} states no voltage; its family is made for {volts(usual)}, its system reaches {volts(top)}",
            items=items,
        )
    else:
        what = f"the rated voltage of {called} is not recorded; its system reaches {volts(top)}"
        what += f", and its family is usually made for {volts(usual)}" if usual else ""
        yield unknown(item, what, "voltage", "whether it opens without arcing on", items=items)


def _usual(survey: Survey, edge: Edge, family: str) -> float:
    """What a family is made for on this kind of supply [V]; 0 where nothing can be said."""
    if survey.is_ac(edge):
        return 240.0 if family in AC_FAMILIES else 0.0
    try:
        return family_of(family).volts
    except OutOfTable:
        return 0.0


def switches_rated(survey: Survey) -> Iterator[Outcome]:
    """Switches and breakers are rated for the highest voltage of their system.

    What
        The same for switches and breakers, which have to break the arc with their contacts.

    Why
        A direct current does not pass through zero: a contact made for less voltage draws an arc that stays.

    Failing example
        batteries:
          G1: {name: Drive battery, chemistry: lfp, cells: {series: 16, capacity: 100 Ah}}
        switches:
          Q1: {name: Main switch, rating: 300 A, voltage: 48 V, at: "cabin, at the steps"}

    Passing example
        switches:
          Q1: {name: Main switch, rating: 300 A, voltage: 48 V, at: "cabin, at the steps"}

    Source
        33 CFR 183.455(d) (CGD 81-092, 1983) for breakers; for switches practice (from memory; check your own copy).

    Clears
        A switch or breaker with a DC rating for this voltage.
    """
    names = survey.names
    for id, switch in survey.inventory.switches.items():
        edges = [e for e in survey.network.of_item.get(id, ()) if e.kind == "switch" and not e.id.endswith(" PE")]
        hot = [e for e in edges if survey.is_hot(e)] or edges
        if hot:
            worst = max(hot, key=lambda e: survey.joined.highest_at(e) or 0.0)
            yield from judge(survey, id, names.the(id), worst, switch.voltage, switch.ac_only)
    groups: dict[tuple, list[Device]] = {}
    for device in survey.devices:
        if device.kind == "breaker":
            panel = device.item if device.path[0] == "panels" else device.id
            groups.setdefault((panel, device.family, str(device.voltage)), []).append(device)
    for (item, *_), devices in groups.items():
        yield from _rated(survey, item, devices)


def ac_in_dc(survey: Survey) -> Iterator[Outcome]:
    """No device for AC alone stands in a DC circuit.

    What
        Devices marked `ac only`, and residual-current breakers, in DC.

    Why
        An AC device counts on the current passing through zero a hundred times a second. On DC it may not open at all.

    Failing example
        breakers:
          F9: {name: Heater breaker, kind: B, rating: 16 A, voltage: 230 V, ac only: yes, at: "locker, on the bar"}
        circuits:
          C9: {name: Heater, from: X1, back to: X2, cable: [F9, "4 mm², 3 m"], load: 8 A}

    Passing example
        breakers:
          F9: {name: Heater breaker, kind: B, rating: 16 A, voltage: 60 V, at: "locker, on the bar"}
        circuits:
          C9: {name: Heater, from: X1, back to: X2, cable: [F9, "4 mm², 3 m"], load: 8 A}

    Source
        Practice: the DC breaking capacity of an AC device is much smaller than its AC one (from memory; check your own
        copy of its papers).

    Clears
        A device marked for DC at this voltage.
    """
    rows = [(d.id, d.edge, d.record, d.family) for d in survey.devices]
    for id in survey.inventory.switches:
        edges = [e for e in survey.network.of_item.get(id, ()) if e.kind == "switch"]
        rows += [(id, edges[0], edges[0].record, "")] if edges else []
    for id, edge, record, family in rows:
        if survey.is_ac(edge):
            continue
        called = survey.names.the(id)
        if getattr(record, "ac_only", False) or family.startswith("rc"):
            yield finding(
                "A",
                id,
                f"{called} is made for AC alone and stands in a DC circuit",
                "AC only",
                place=survey.names.place_of(id, "ac only"),
            )
        elif family in ("B", "C", "D"):
            yield passed(id, f"{called} is of a family made for AC, and is not marked `ac only`")
