"""Rules F, the device by itself: whether it breaks the fault current at its place."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

from ..calc.tables import OutOfTable
from ..diagnostics import Note
from ..study.devices import breaks
from ..study.guard_whys import pulse_clears, pulse_words
from ..study.model import Fault, Range
from ..study.pulses import Charged
from .devices import Device
from .model import Outcome, finding, not_applicable, passed, unknown
from .names import amps, volts
from .survey import Survey


def main_breaks(survey: Survey) -> Iterator[Outcome]:
    """The first device from a battery breaks its fault current.

    What
        The breaking capacity of each fuse or breaker that is first met from a battery, at the highest voltage of the
        system, against the highest fault current that can flow through it. Charged capacitors of inverters and drives
        add a pulse: a device that does not melt in it need not break it; whether one that may melt breaks pulse and
        fault together cannot be checked where its capacity is less than both.

    Why
        A fuse asked to break more than it can explodes or goes on arcing, and the fault is fed as long as the bank
        lasts.

    Failing example
        fuses:
          F1: {name: Main fuse, kind: bolted strip SF51, rating: 150 A, voltage: 32 V, breaking: 2 kA at 32 V}

    Passing example
        fuses:
          F1: {name: Main fuse, kind: class T, rating: 150 A, voltage: 125 V, breaking: 20 kA at 125 V}

    Source
        ABYC E-11, July 2025, on interrupting capacity (seen secondary; check your own copy); IEC 60364-4-43, 434.5.1
        (from memory).

    Clears
        A device that breaks the current at this DC voltage, of the same or a lower rating, fitted by somebody
        qualified with the batteries disconnected.
    """
    mains = _mains(survey)
    for device in survey.devices:
        if device.edge.id in mains:
            yield from _capacity(survey, device)


def _mains(survey: Survey) -> set[str]:
    """Edge ids of the devices first met from a battery."""
    found = set()
    for battery in survey.inventory.batteries:
        zone = survey.zones.of(f"{battery} +")
        found |= {edge.id for edge, _ in zone.outlets} if zone else set()
    return found


def _capacity(survey: Survey, device: Device, shown: str = "", alike: Sequence[Device] = ()) -> Iterator[Outcome]:
    """What one device breaks against what can flow through it; `shown` stands for several alike."""
    names, id = survey.names, device.id
    called, top = shown or names.the(id), survey.joined.highest_at(device.edge)
    faults = {n: f for n in (device.edge.a, device.edge.b) if (f := survey.study.faults.get(n)) and f.highest}
    if top is None or not faults:
        return
    worst = max(faults.values(), key=lambda f: f.highest.high)
    place = names.place_of(id, "breaking") if device.breaking else names.place_of(id)
    try:
        can, known = breaks(survey.inventory, device, top)
    except OutOfTable as reason:
        what = f"whether {called} breaks the {_span(worst.highest)} at its place at {volts(top)} is not known: {reason}"
        yield unknown(id, what, "breaking", "whether it can break a short circuit", place=place)
        return
    fault = worst if can >= worst.highest.high else _through(survey, device, worst)
    current = fault.highest
    what = f"{called} breaks {amps(can)} at {volts(top)}; the prospective fault current is {_span(current)}"
    here = f"{amps(can)} against {amps(current.high)}"
    shares = Note("shares", ", ".join(f"{s} {amps(a)}" for s, a in fault.shares[:4] if a >= 0.05 * current.high))
    also = (Note("known", known), shares) if shares.text else (Note("known", known),)
    if can >= current.high and (melting := _melting(survey, alike or (device,))):
        yield _melted(survey, melting, what, place=place, also=also)
    elif can >= current.high:
        yield passed(id, what, here, also=also)
    elif fault.missing:
        cables = ", ".join(names.cable_id(survey.network.edges[c]) for c in fault.missing)
        what = (
            f"{called} breaks {amps(can)}; the fault current is {amps(current.high)} at most, and less by what "
            f"{cables} takes, which is not measured"
        )
        yield unknown(id, what, "length, area", "whether it can be broken")
    elif can >= current.low and fault.assumed:
        what = (
            f"{called} breaks {amps(can)}; the fault current lies between {amps(current.low)} and "
            f"{amps(current.high)}, with a battery's resistance assumed"
        )
        yield unknown(id, what, "cells: resistance", "a figure narrow enough to judge by", place=place)
    else:
        yield finding("A", id, what, here, place=place, also=also)


def _melting(survey: Survey, devices: Sequence[Device]) -> tuple[Device, Charged] | None:
    """Of several devices alike the one with the largest pulse of charged capacitors in which it may melt."""
    found = [(device, pulse) for device in devices if (pulse := survey.pulse(device)) and not pulse.spared]
    return max(found, key=lambda pair: pair[1].pulse.peak, default=None)


def _melted(survey: Survey, melting: tuple[Device, Charged], what: str, **more: Any) -> Outcome:
    """A device that breaks the fault, but may have to break a pulse on top of it."""
    device, pulse = melting
    through = f"through {survey.names.name(device.id)}, " if device.path[0] == "panels" else ""
    gives = ", ".join(survey.names.name(item) for item in pulse.pulse.gives)
    what = f"{what}; {pulse_words(pulse)} ({through}from {gives}); {pulse_clears(pulse)}"
    missing = "breaking" if pulse.known else "length"
    return unknown(device.id, what, missing, "whether it breaks pulse and fault together", **more)


def _span(current: Range) -> str:
    low, high = amps(current.low), amps(current.high)
    return high if low == high else f"{low} to {high}"


def _through(survey: Survey, device: Device, worst: Fault) -> Fault:
    """The worst fault at a device, less what does not flow through it."""
    guard = survey.study.guards.get(device.edge.id)
    return replace(worst, highest=guard.through) if guard and guard.through else worst


def branch_breaks(survey: Survey) -> Iterator[Outcome]:
    """Branch devices break the fault current at their place.

    What
        The same for every other DC fuse and breaker, with the pulse of charged capacitors. The ways of a panel that
        share one breaking capacity are one finding. AC breakers are not judged here.

    Why
        The boat changed its bank and kept its panels: what broke a lead-acid battery's fault may not break a lithium
        one's.

    Failing example
        runs:
          panel feed: [X1, F4, W5: "35 mm², 0.5 m", X4]
          panel negative: [X5, W6: "35 mm², 0.5 m", X2]

    Passing example
        runs:
          panel feed: [X1, F4, W5: "16 mm², 4 m", X4]
          panel negative: [X5, W6: "16 mm², 4 m", X2]

    Source
        ABYC E-11, about 2012 to 2018, interrupting capacity (seen); IEC 60364-4-43, 434.5.1 (from memory).

    Clears
        Devices that break the current at this DC voltage, a longer or thinner feeder where drop allows it, or an
        upstream fuse for which the maker's papers show the combination; to be planned by somebody qualified.
    """
    mains = _mains(survey)
    panels: dict[tuple, list[Device]] = {}
    for device in survey.devices:
        if device.edge.id in mains or device.ac:
            continue
        if device.path[0] != "panels":
            if not getattr(device.record, "cascade", None):
                yield from _capacity(survey, device)
        else:
            key = (device.item, device.family, str(device.breaking), str(device.voltage))
            panels.setdefault(key, []).append(device)
    for (panel, family, *_), devices in panels.items():
        first = devices[0]
        shown = f"{survey.names.the(panel)}: each {family} {first.kind}"
        for outcome in _capacity(survey, first, shown, devices):
            yield _of_panel(survey, panel, devices, outcome)
    if survey.devices and all(d.ac for d in survey.devices):
        yield not_applicable(survey.ship, "all devices are AC")


def _of_panel(survey: Survey, panel: str, devices: list[Device], outcome: Outcome) -> Outcome:
    field = "breaking" if survey.inventory.panels[panel].breaking else "kind"
    items = (panel, *(d.id for d in devices))
    return replace(outcome, item=panel, items=items, place=survey.names.place_of(panel, field))


def cascade(survey: Survey) -> Iterator[Outcome]:
    """Back-up protection is documented.

    What
        A fuse that names another in `cascade` relies on it to break what it cannot break alone. Its `papers` must hold
        the maker's data for the combination.

    Why
        Two devices in series do not share a fault unless their maker has tried it.

    Failing example
        fuses:
          F5: {name: Bilge pump fuse, kind: blade, rating: 10 A, voltage: 32 V, cascade: F1}

    Passing example
        fuses:
          F5: {name: Bilge pump fuse, kind: blade, rating: 10 A, voltage: 32 V, cascade: F1, papers: f5.pdf}

    Source
        Practice, IEC 60947-2 Annex A (from memory; check your own copy).

    Clears
        The maker's combination data on file, or a device that breaks the current alone.
    """
    for fuse in survey.inventory.fuses.values():
        if fuse.cascade and not fuse.papers:
            what = (
                f"{survey.names.the(fuse.id)} relies on {survey.names.name(fuse.cascade)} to break the fault, and no "
                "paper shows it"
            )
            yield finding(
                "B",
                fuse.id,
                what,
                "no combination data",
                place=survey.names.place_of(fuse.id, "cascade"),
                items=(fuse.id, fuse.cascade),
            )
        elif fuse.cascade:
            yield passed(
                fuse.id, f"{survey.names.the(fuse.id)} relies on {survey.names.name(fuse.cascade)}, with papers"
            )
