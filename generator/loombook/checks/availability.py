"""Rules S: what one failure takes away."""

from __future__ import annotations

from collections.abc import Iterator

from ..network import Consumer
from ..network.live import alive, state
from .model import Outcome, finding, not_applicable, passed
from .names import counted, listed
from .survey import Survey


def two_sources(survey: Survey) -> Iterator[Outcome]:
    """Essential consumers have two sources.

    What
        For each consumer marked `essential`: its supply in normal use and with the switches put otherwise. Two banks,
        or a bank and an alternator, are two sources; shore and sun do not count at sea. All ways through one converter
        are one.

    Why
        One blown fuse at the bank must not take the radio, the lights and the pumps together.

    Failing example
        converters:
          T2: {name: Radio converter, output: 13.2 V, current: 20 A, isolated: yes, at: "locker, top"}
        fuses:
          F9: {name: Radio fuse, kind: blade, rating: 10 A, voltage: 32 V, at: "locker, top"}
          F10: {name: Converter fuse, kind: class T, rating: 30 A, voltage: 125 V, breaking: 20 kA at 125 V}
        runs:
          converter in: [X1, F10, W90: "6 mm², 1 m", T2 in +]
          converter in negative: [T2 in -, W91: "6 mm², 1 m", X2]
        circuits:
          C2: {name: Radio, from: T2 out +, back to: T2 out -, cable: [F9, "4 mm², 2 m"], load: 5 A, essential: yes}

    Passing example
        circuits:
          C2: {name: VHF radio, from: X4 way 2, cable: "4 mm², 2 m", load: 5 A, use: radio, essential: yes}

    Source
        46 CFR 183.310 (seen).

    Clears
        A second supply, from another bank or through another converter, planned by somebody qualified.
    """
    rows = [c for c in survey.essential() if survey.is_dc(c)]
    if not rows:
        yield not_applicable(survey.ship, "no consumer is marked as essential")
    lone: dict[tuple[str, ...], list[str]] = {}
    for consumer in rows:
        origins, shared = _origins(survey, consumer)
        if shared or len(origins) < 2:
            lone.setdefault(shared or origins, []).append(consumer.id)
        else:
            what = f"{survey.names.name(consumer.id)} has {len(origins)} sources at sea: {_listed(survey, origins)}"
            yield passed(consumer.id, what, f"{len(origins)} sources")
    for cause, ids in lone.items():
        called = survey.names.names(ids, 8)
        depends = "depends" if len(ids) == 1 else "depend"
        what = f"{called} {depends} at sea on {_listed(survey, cause) or 'nothing'} alone"
        yield finding("A", ids[0], what, "1 of 2 sources", items=(*ids, *cause))


def _origins(survey: Survey, consumer: Consumer) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """(banks and alternators that can feed a consumer at sea, converters that all its ways pass)."""
    study = survey.study
    paths = [*study.supply.get(consumer.id, ()), *study.reserve.get(consumer.id, ())]
    paths = [p for p in paths if survey.network.edges[p.source].kind in ("battery", "alternator", "generator")]
    banks = {b.id: bank.batteries[0].id for bank in survey.banks for b in bank.batteries}
    origins = tuple(dict.fromkeys(banks.get(p.source, p.source) for p in paths))
    shared = set.intersection(*(set(p.through) for p in paths)) if paths else set()
    return origins, tuple(sorted(shared))


def _listed(survey: Survey, ids: tuple[str, ...]) -> str:
    return listed([survey.names.the(id) for id in ids])


def bms_opens(survey: Survey) -> Iterator[Outcome]:
    """A BMS that opens does not stop the essential consumers.

    What
        What goes dead when the BMS of one battery opens by itself, under sail: the switches as in normal use, and the
        batteries the only sources.

    Why
        A BMS opens without asking: for one cold cell, one high one, one short on the watermaker.

    Failing example
        circuits:
          C2: {name: VHF radio, from: X4 way 2, cable: "4 mm², 2 m", load: 5 A, use: radio, essential: yes}

    Passing example
        batteries:
          G2: {name: Radio battery, chemistry: agm lead-acid, cells: {series: 6, capacity: 60 Ah}, at: "locker, right"}
        fuses:
          F9: {name: Radio fuse, kind: gG, rating: 10 A, voltage: 110 V, at: "locker, on the post"}
        circuits:
          C2: {name: VHF radio, from: G2 +, back to: G2 -, cable: [F9, "4 mm², 2 m"], load: 5 A, essential: yes}

    Source
        Common practice, no source.

    Clears
        A second battery in circuit, or a reserve supply for them that needs no switching; planned by somebody
        qualified.
    """
    network, essential = survey.network, [c.id for c in survey.essential()]
    batteries = list(survey.inventory.batteries)
    before = alive(state(network), batteries).consumers
    for id, battery in survey.inventory.batteries.items():
        if battery.bms is None or not essential:
            continue
        after = alive(state(network, {}, [f"{id} bms"]), batteries).consumers
        lost, called = [c for c in essential if c in before and c not in after], survey.names.the(id)
        if lost:
            what = (
                f"when the BMS of {called} opens, {counted(len(lost), 'essential consumer')} "
                f"{'stops' if len(lost) == 1 else 'stop'}: {survey.names.names(lost)}"
            )
            yield finding("A", id, what, f"{len(lost)} of {len(essential)}", items=(id, *lost))
        else:
            yield passed(id, f"when the BMS of {called} opens, no essential consumer stops")


def pumps_stay_on(survey: Survey) -> Iterator[Outcome]:
    """Automatic bilge pumps stay on, and cannot be switched off by mistake.

    What
        Every consumer of the use `bilge pump` still works after the isolation of the whole ship, and no breaker or
        switch without a guard stands in its way.

    Why
        Boats sink at their berth because somebody tidied the switches.

    Failing example
        circuits:
          C4: {name: Bilge pump, from: X4 way 4, cable: "4 mm², 3 m", load: 4 A, use: bilge pump}
        panels:
          X4: {name: Panel, kind: thermal, negative: X5, ways: {1: 5 A, 2: 10 A, 3: 5 A, 4: "10 A, BILGE"}}

    Passing example
        circuits:
          C4: {name: Pump, from: X3, back to: X2, cable: [F5, "4 mm², 3 m"], load: 4 A, use: bilge pump, stays on: yes}

    Source
        UK boat safety scheme (seen secondary; check your own copy); common practice.

    Clears
        A feed from before the main switch with its own fuse (P-13), or a guard over the breaker.
    """
    working = set(survey.study.ship.working)
    for consumer in survey.network.consumers.values():
        if survey.use(consumer) != "bilge pump":
            continue
        id, called = consumer.id, survey.names.name(consumer.id)
        loose = _unguarded(survey, consumer)
        if id not in working:
            what = f"{called} stops when the main switches are off"
            what += f", and can be switched off at {listed([survey.names.the(i) for i in loose])}" if loose else ""
            yield finding("A", id, what, "not always live", items=(id, *loose))
        elif loose:
            what = f"{called} can be switched off by mistake at {listed([survey.names.the(i) for i in loose])}"
            yield finding("B", id, what, "no guard", items=(id, *loose))
        else:
            yield passed(id, f"{called} works with the main switches off, and has no unguarded switch")


def _unguarded(survey: Survey, consumer: Consumer) -> list[str]:
    """Ids of breakers and switches in a pump's way that nothing keeps a hand from."""
    found = []
    for path in survey.study.supply.get(consumer.id, ())[:1]:
        for hop in path.out:
            device = survey.device_of.get(hop.edge.id)
            record = hop.edge.record
            if device and device.kind == "breaker" and not getattr(record, "guarded", False):
                found.append(device.id)
            elif hop.edge.kind == "switch" and not record.stays_on and record.kind != "change-over":
                found.append(hop.edge.item)
    return found
