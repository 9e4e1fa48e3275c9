"""Rules B, the BMS in the circuit: what it carries, who hears its alarm, who opens the battery by hand."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from ..inventory.sources import Battery, Inverter
from ..network import Edge
from .model import Outcome, finding, passed, unknown
from .names import amps, listed, per_cent
from .survey import Bank, Survey


def carries_load(survey: Survey) -> Iterator[Outcome]:
    """The BMS carries what the boat takes at once.

    What
        The current of the bank's BMSs together, against what the bank gives in the heaviest operating condition with
        the largest motor or inverter at full load on top.

    Why
        A BMS that opens on overcurrent takes everything with it, at the moment of the heaviest work.

    Failing example
        motors:
          M1: {name: Windlass, load: 200 A, at: "cabin, bow"}
        fuses:
          F9: {name: Windlass fuse, kind: class T, rating: 250 A, voltage: 125 V, breaking: 20 kA at 125 V}
        runs:
          windlass: [X1, F9, W90: "95 mm², 4 m", M1 +]
          windlass negative: [M1 -, W91: "95 mm², 4 m", X2]

    Passing example
        motors:
          M1: {name: Windlass, load: 80 A, at: "cabin, bow"}
        fuses:
          F9: {name: Windlass fuse, kind: class T, rating: 125 A, voltage: 125 V, breaking: 20 kA at 125 V}
        runs:
          windlass: [X1, F9, W90: "50 mm², 4 m", M1 +]
          windlass negative: [M1 -, W91: "50 mm², 4 m", X2]

    Source
        Makers' data of management units (from memory; check your own copy).

    Clears
        A BMS for the current, a smaller load, or limits set so that they cannot run together.
    """
    for bank in survey.banks:
        if not any(b.bms for b in bank.batteries):
            continue
        id, called = bank.batteries[0].id, _called(survey, bank)
        limit = _together(bank, "current")
        if limit is None:
            yield unknown(
                id, f"what the BMS of {called} carries is not recorded", "bms: current", "whether it opens under load"
            )
            continue
        average, condition = _heaviest(survey, bank)
        top, heavy = _largest(survey, bank)
        need = average + top
        words = f"{amps(average)} in `{condition}`" + (f" and {amps(top)} for {heavy}" if heavy else "")
        what = f"{called} gives {amps(need)} at once ({words}); its BMS carries {amps(limit)}"
        here = f"{amps(need)} against {amps(limit)}"
        items = tuple(b.id for b in bank.batteries)
        if need > limit:
            yield finding("A", id, what, here, place=survey.names.place_of(id, "bms", "current"), items=items)
        else:
            yield passed(id, what, here, items=items)


def _called(survey: Survey, bank: Bank) -> str:
    if len(bank.batteries) > 1:
        return f"`{bank.name}` ({listed([b.id for b in bank.batteries])})"
    return survey.names.the(bank.batteries[0].id)


def _together(bank: Bank, field: str) -> float | None:
    values = [getattr(b.bms, field, None) for b in bank.batteries if b.bms]
    if not values or any(v is None for v in values):
        return None
    return sum(v.value for v in values)


def _heaviest(survey: Survey, bank: Bank) -> tuple[float, str]:
    """What the bank gives in the operating condition that takes most [A], and which that is."""
    flows = survey.study.flows.items()
    rows = [(max(0.0, sum(flow.amps.get(b.id, 0.0) for b in bank.batteries)), name) for name, flow in flows]
    return max(rows, default=(0.0, "no condition"))


def _largest(survey: Survey, bank: Bank) -> tuple[float, str]:
    """The largest motor or inverter on the bank at full load [A], and its name."""
    ends = _ends(survey, bank.batteries[0].id)
    found: list[tuple[float, str]] = []
    for motor in survey.inventory.motors.values():
        if _ends(survey, motor.id) == ends:
            found.append((rated_amps(survey, survey.network.edges[motor.id]), survey.names.name(motor.id)))
    for inverter in survey.inventory.inverters.values():
        if _ends(survey, inverter.id) == ends:
            found.append((inverter_amps(survey, inverter), survey.names.name(inverter.id)))
    return max(found, default=(0.0, ""))


def _ends(survey: Survey, id: str) -> tuple[int, int]:
    return survey.ends(f"{id} +", f"{id} -")


def rated_amps(survey: Survey, edge: Edge) -> float:
    """What a motor takes at its rating [A]; a drive's controller may limit it."""
    load = edge.record.load
    volts = edge.record.voltage.value if edge.record.voltage else survey.nominal(edge)
    full = load.value if load.kind == "current" else load.value / volts if volts else 0.0
    limit = edge.record.controller_limit
    return min(full, limit.value) if limit else full


def inverter_amps(survey: Survey, inverter: Inverter) -> float:
    """What an inverter takes at full power [A]."""
    volts = survey.network.nodes[f"{inverter.id} +"].volts or inf
    return inverter.power.value / volts / (inverter.efficiency.value if inverter.efficiency else 0.9)


def limited_below(survey: Survey) -> Iterator[Outcome]:
    """Drives and inverters are limited below the BMS.

    What
        The current limit set in a drive's controller, and the input current of an inverter at full power, against 80 %
        of the bank's BMS current.

    Why
        The device that gives up first should be the one that only slows the boat, not the one that blacks her out.

    Failing example
        motors:
          M1: {name: Drive, kind: drive, load: 120 A, controller limit: 140 A, at: "engine, aft"}
        fuses:
          F9: {name: Drive fuse, kind: class T, rating: 150 A, voltage: 125 V, breaking: 20 kA at 125 V}
        runs:
          drive: [X1, F9, W90: "70 mm², 2 m", M1 +]
          drive negative: [M1 -, W91: "70 mm², 2 m", X2]

    Passing example
        motors:
          M1: {name: Drive, kind: drive, load: 100 A, controller limit: 110 A, at: "engine, aft"}
        fuses:
          F9: {name: Drive fuse, kind: class T, rating: 150 A, voltage: 125 V, breaking: 20 kA at 125 V}
        runs:
          drive: [X1, F9, W90: "70 mm², 2 m", M1 +]
          drive negative: [M1 -, W91: "70 mm², 2 m", X2]

    Source
        Practice for limits set below a BMS (from memory; check your own copy).

    Clears
        A lower limit in the controller, set by somebody who knows its papers; or a BMS for more.
    """
    share = survey.limit("bms_share").value
    for bank in survey.banks:
        total = _together(bank, "current")
        if total is None:
            continue
        ends = _ends(survey, bank.batteries[0].id)
        rows = [
            (m.id, m.controller_limit and m.controller_limit.value, "controller limit")
            for m in survey.inventory.motors.values()
            if m.kind == "drive"
        ]
        rows += [(i.id, inverter_amps(survey, i), "power") for i in survey.inventory.inverters.values()]
        for id, current, field in rows:
            if _ends(survey, id) != ends:
                continue
            called, place = survey.names.the(id), survey.names.place_of(id, field)
            if current is None:
                what = f"the current limit set in the controller of {called} is not recorded"
                yield unknown(id, what, field, "whether it stays below the BMS")
                continue
            what = (
                f"{called} takes up to {amps(current)}; the BMS of {_called(survey, bank)} carries {amps(total)}, of "
                f"which {per_cent(share)} is {amps(share * total)}"
            )
            here = f"{amps(current)} against {amps(share * total)}"
            yield finding("B", id, what, here, place=place) if current > share * total else passed(id, what, here)


def alarm(survey: Survey) -> Iterator[Outcome]:
    """An alarm is given before the BMS opens the battery.

    What
        `alarm` of each BMS says where its alarm before opening is seen or heard.

    Why
        A minute's warning lets a crew take the load off, or start the engine; without it the boat goes dark at once.

    Failing example
        batteries:
          G1:
            name: House battery
            chemistry: lfp
            cells: {series: 4, capacity: 200 Ah}
            bms: {series: 4, current: 150 A, alarm: none}

    Passing example
        batteries:
          G1:
            name: House battery
            chemistry: lfp
            cells: {series: 4, capacity: 200 Ah}
            bms: {series: 4, current: 150 A, alarm: buzzer at the helm}

    Source
        ABYC E-13 and ISO/TS 23625:2021, 8.2 to 8.4 (seen secondary; check your own copy).

    Clears
        An alarm that is seen or heard at the helm, wired by somebody qualified and tested.
    """
    for battery in survey.inventory.batteries.values():
        if battery.bms is None:
            continue
        called, words = survey.names.the(battery.id), battery.bms.alarm
        place = survey.names.place_of(battery.id, "bms", "alarm")
        if words is None:
            what = f"nothing says where the alarm of {called} before its BMS opens is seen or heard"
            yield unknown(battery.id, what, "bms: alarm", "whether anybody is warned before the boat goes dark")
        elif words.casefold() in ("none", "no"):
            yield finding("A", battery.id, f"{called} gives no alarm before its BMS opens", "no alarm", place=place)
        else:
            yield passed(battery.id, f"{called} gives its alarm before it opens: {words}")


def opened_by_hand(survey: Survey) -> Iterator[Outcome]:
    """A battery with a BMS can also be opened by hand.

    What
        A switch or breaker for a hand stands between each battery with a BMS and what it feeds. What is meant to stay
        on does not count, nor does a fuse.

    Why
        A BMS is electronics: it can fail closed, and in smoke nobody works a menu.

    Failing example
        runs:
          main switch: [X3, W3: "50 mm², 1.2 m", X1]

    Passing example
        runs:
          main switch: [X3, W3: "50 mm², 1.2 m", Q1, W13: "50 mm², 1.1 m", X1]

    Source
        ABYC E-13 (seen secondary); UK boat safety scheme (seen secondary; check your own copy).

    Clears
        An isolator in series with the battery, near it and not in its space, fitted by somebody qualified.
    """
    for battery in survey.inventory.batteries.values():
        if battery.bms:
            yield from by_hand(survey, battery)


def by_hand(survey: Survey, battery: Battery) -> Iterator[Outcome]:
    """Whether handles part a battery from every consumer that is not meant to stay on."""
    name = survey.names.the(battery.id)
    fed = survey.fed_with_all_open(f"{battery.id} +")
    if fed:
        what = f"no switch parts {name} from {survey.names.names(fed)}"
        yield finding("A", battery.id, what, "no isolator", items=(battery.id, *fed))
    else:
        yield passed(battery.id, f"a switch parts {name} from all that is not meant to stay on")
