"""Rules G: what charges the batteries, with which voltages and currents, and what happens when the BMS opens."""

from __future__ import annotations

from collections.abc import Iterator

from ..inventory.sources import Battery
from ..network import Edge
from .model import Outcome, finding, not_applicable, passed, unknown
from .names import amps, listed, volts
from .survey import LITHIUM, Survey


def _pairs(survey: Survey) -> Iterator[tuple[Edge, Battery]]:
    """Each charge source with the battery that bears least of those that it charges."""
    for source in survey.network.sources():
        batteries = survey.charges(source)
        if batteries:
            yield source, min(batteries, key=lambda b: (b.chemistry not in LITHIUM, b.cells.series))


def absorption(survey: Survey) -> Iterator[Outcome]:
    """The charge voltage is within what the cells bear.

    What
        The absorption voltage of each charge source, for one cell: lithium iron phosphate up to 3.65 V, and up to 3.60 V
        as good practice; lead-acid up to 2.45 V.

    Why
        Above its limit a lithium cell is damaged at every charge, and fails sooner or burns; a lead-acid one gases dry.

    Failing example
        chargers:
          T1: {name: Charger, at: "locker, right", current: 30 A, absorption: 15.6 V, float: 13.5 V}

    Passing example
        chargers:
          T1: {name: Charger, at: "locker, right", current: 30 A, absorption: 14.2 V, float: 13.5 V}

    Source
        Cell specifications, 3.65 V (seen); 3.60 V is common practice, no source; lead-acid from trade lists
        (from memory; check your own copy).

    Clears
        The set-point put to the battery maker's figure.
    """
    names = survey.names
    for source, battery in _pairs(survey):
        id, record = source.item, source.record
        if record.absorption is None:
            what = f"the absorption voltage of {names.the(id)} is not recorded"
            yield unknown(id, what, "absorption", f"whether the cells of {names.name(battery.id)} bear it", items=(id, battery.id))
            continue
        lithium = battery.chemistry in LITHIUM
        most = survey.limit("most_lfp_cell" if lithium else "most_lead_cell")
        own = battery.cells.highest.value if battery.cells.highest else most.value
        cell, top = record.absorption.value / battery.cells.series, min(own, most.value)
        what = f"{names.the(id)} charges {names.name(battery.id)} to {record.absorption}, {volts(cell)} a cell"
        here = f"{volts(cell)} against {volts(top)}"
        more = {"place": names.place_of(id, "absorption"), "items": (id, battery.id)}
        if cell > top + 1e-6:
            yield finding("A" if lithium else "B", id, f"{what}; the cells bear {volts(top)}", here, **more)
        elif lithium and cell > survey.limit("usual_lfp_cell").value + 1e-6:
            usual = survey.limit("usual_lfp_cell")
            yield finding("C", id, f"{what}; usual is up to {volts(usual.value)}", f"{volts(cell)} against {volts(usual.value)}", source=usual.cited, **more)
        else:
            yield passed(id, what, here, **more)


def no_equalising(survey: Survey) -> Iterator[Outcome]:
    """A source that charges lithium neither equalises nor compensates for temperature.

    What
        `equalise` above the absorption voltage, and `temperature compensation`, of each source that charges a lithium
        battery.

    Why
        Both are made for lead-acid. Equalising drives lithium cells over their limit; compensation raises the voltage in
        the cold, when they must not be charged at all.

    Failing example
        chargers:
          T1: {name: Charger, current: 30 A, absorption: 14.0 V, equalise: 15.5 V, temperature compensation: no}

    Passing example
        chargers:
          T1: {name: Charger, current: 30 A, absorption: 14.0 V, temperature compensation: no}

    Source
        Battery makers' manuals (seen secondary; check your own copy).

    Clears
        Both turned off in the source's settings, and noted here.
    """
    names = survey.names
    for source, battery in _pairs(survey):
        if battery.chemistry not in LITHIUM:
            continue
        id, record = source.item, source.record
        called = names.the(id)
        if record.equalise and record.absorption and record.equalise.value > record.absorption.value:
            what = f"{called} equalises the lithium battery {names.name(battery.id)} at {record.equalise}"
            yield finding("A", id, what, f"{record.equalise} against {record.absorption}", place=names.place_of(id, "equalise"), items=(id, battery.id))
        elif record.temperature_compensation:
            what = f"{called} changes the charge voltage of the lithium battery {names.name(battery.id)} with the temperature"
            yield finding("A", id, what, "compensated", place=names.place_of(id, "temperature compensation"), items=(id, battery.id))
        elif record.temperature_compensation is None:
            what = f"nothing says whether {called} changes its voltage with the temperature"
            yield unknown(id, what, "temperature compensation", "whether it overcharges lithium in the cold")
        else:
            yield passed(id, f"{called} neither equalises nor compensates for temperature")


def floats(survey: Survey) -> Iterator[Outcome]:
    """Lithium is not kept at a high voltage when full.

    What
        The float voltage of each source that charges lithium, for one cell: up to 3.375 V, or off (`0 V`).

    Why
        Held full and high, lithium cells age; nothing is gained by it.

    Failing example
        chargers:
          T1: {name: Charger, at: "locker, right", current: 30 A, absorption: 14.0 V, float: 13.9 V}

    Passing example
        chargers:
          T1: {name: Charger, at: "locker, right", current: 30 A, absorption: 14.0 V, float: 13.5 V}

    Source
        Practice for lithium iron phosphate at rest (from memory; check your own copy).

    Clears
        A lower float voltage, or float turned off.
    """
    names, limit = survey.names, survey.limit("most_lfp_float")
    for source, battery in _pairs(survey):
        if battery.chemistry not in LITHIUM:
            continue
        id, record = source.item, source.record
        if record.float is None:
            yield unknown(id, f"the float voltage of {names.the(id)} is not recorded", "float", "whether it ages lithium cells")
            continue
        cell = record.float.value / battery.cells.series
        what = f"{names.the(id)} keeps {names.name(battery.id)} at {record.float}, {volts(cell)} a cell"
        here = f"{volts(cell)} against {volts(limit.value)}"
        more = {"place": names.place_of(id, "float"), "items": (id, battery.id)}
        if cell > limit.value + 1e-6:
            yield finding("B", id, f"{what}; up to {volts(limit.value)} is usual", here, **more)
        else:
            yield passed(id, what, here, **more)


def together(survey: Survey) -> Iterator[Outcome]:
    """All charge sources together stay within what the bank and its BMS take.

    What
        The sum of the highest currents of everything that charges a bank, against the batteries' `max charge` (half the
        capacity in an hour for lithium where nothing is given) and against the BMSs' charge current.

    Why
        Each source may be right by itself; on a sunny day under engine with the shore lead in, they add up.

    Failing example
        chargers:
          T1: {name: Charger, at: "locker, right", current: 60 A, absorption: 14.0 V, float: 13.5 V}

    Passing example
        chargers:
          T1: {name: Charger, at: "locker, right", current: 30 A, absorption: 14.0 V, float: 13.5 V}

    Source
        Makers' data of batteries and management units; the half of the capacity is a default (from memory).

    Clears
        A lower limit in a source, or sources that stop each other; by somebody who knows the battery's papers.
    """
    for bank in survey.banks:
        rows = survey.charged_by[bank.batteries[0].id]
        if not rows:
            continue
        total = sum(e.record.current.value for e in rows)
        words = " + ".join(f"{e.item} {amps(e.record.current.value)}" for e in rows)
        ids = tuple(b.id for b in bank.batteries)
        called = f"`{bank.name}`" if len(ids) > 1 else survey.names.the(ids[0])
        limits = _limits(survey, bank.batteries)
        if not limits:
            what = f"what {called} takes as charge is not recorded; its sources can give {amps(total)} ({words})"
            yield unknown(ids[0], what, "max charge", "whether all sources together are too much", items=ids)
            continue
        most, why = min(limits)
        what = f"{called} can be charged with {amps(total)} at once ({words}); {why} takes {amps(most)}"
        here, items = f"{amps(total)} against {amps(most)}", (*ids, *(e.item for e in rows))
        yield finding("A", ids[0], what, here, items=items) if total > most else passed(ids[0], what, here, items=items)


def _limits(survey: Survey, batteries: tuple[Battery, ...]) -> list[tuple[float, str]]:
    """(what a bank takes [A], by which limit)."""
    found = []
    if all(b.max_charge for b in batteries):
        found.append((sum(b.max_charge.value for b in batteries), "the bank"))
    elif all(b.chemistry in LITHIUM for b in batteries):
        rate = survey.limit("most_charge_rate").value
        capacity = sum(b.cells.capacity.value * b.cells.parallel for b in batteries)
        found.append((rate * capacity, f"the bank at {rate:g} of its capacity"))
    if all(b.bms and b.bms.charge_current for b in batteries):
        found.append((sum(b.bms.charge_current.value for b in batteries), "its BMS"))
    return found


def survives_opening(survey: Survey) -> Iterator[Outcome]:
    """The alternator survives the BMS opening.

    What
        An alternator that charges lithium behind a BMS must be told to stop before the BMS opens (`regulator: external`,
        `bms stops it: yes`), or a lead-acid battery must stay joined to it. One that charges through a converter passes.

    Why
        Cut off at full current, an alternator throws its voltage up and burns its diodes, and with them what is on the
        same bar.

    Failing example
        alternators:
          G3: {name: Alternator, at: "engine, front", current: 60 A, absorption: 14.0 V, regulator: internal}

    Passing example
        alternators:
          G3: {name: Alternator, current: 60 A, absorption: 14.0 V, regulator: external, bms stops it: yes}

    Source
        Common practice, no source.

    Clears
        An external regulator that the BMS turns off first, a converter between, or a lead-acid battery kept in circuit;
        planned by somebody qualified. A surge clamp helps, and is not enough by itself.
    """
    names = survey.names
    for id, alternator in survey.inventory.alternators.items():
        charged = survey.charges(survey.network.edges[id])
        behind = [b for b in charged if b.bms and b.chemistry in LITHIUM]
        called = names.the(id)
        if not behind:
            yield not_applicable(id, f"{called} charges no lithium battery behind a BMS")
        elif len(behind) < len(charged):
            yield passed(id, f"{called} keeps a lead-acid battery in circuit when the BMS opens")
        elif alternator.regulator == "external" and alternator.bms_stops_it:
            yield passed(id, f"{called} is stopped by the BMS through its external regulator")
        elif alternator.regulator == "internal" or alternator.bms_stops_it is False:
            lacks = [] if alternator.regulator == "external" else [f"its regulator is {alternator.regulator or 'not recorded'}"]
            lacks += [] if alternator.bms_stops_it else ["the BMS does not stop it"]
            what = f"{called} charges {names.names([b.id for b in behind])} alone: {listed(lacks)}"
            field = "regulator" if alternator.regulator == "internal" else "bms stops it"
            yield finding("A", id, what, "cut off at full current", place=names.place_of(id, field), items=(id, *(b.id for b in behind)))
        else:
            missing = "regulator" if alternator.regulator is None else "bms stops it"
            yield unknown(id, f"how {called} is stopped before the BMS opens is not recorded", missing, "whether it survives")
