"""Rules B-04 and G, the voltages set: charge, float and BMS, for one cell, in the right order."""

from __future__ import annotations

from collections.abc import Iterator

from ..inventory.sources import Battery
from ..network import Edge
from .model import Outcome, finding, passed, unknown
from .names import cell_volts, volts
from .survey import LITHIUM, Survey


def _pairs(survey: Survey) -> Iterator[tuple[Edge, Battery]]:
    """Each charge source with the battery that bears least of those that it charges."""
    for source in survey.sources:
        batteries = survey.charges(source)
        if batteries:
            yield source, min(batteries, key=lambda b: (b.chemistry not in LITHIUM, b.cells.series))


def absorption(survey: Survey) -> Iterator[Outcome]:
    """The charge voltage is within what the cells bear.

    What
        The absorption voltage of each charge source, for one cell: lithium iron phosphate up to 3.65 V, and up to 3.60
        V as good practice; lead-acid up to 2.45 V.

    Why
        Above its limit a lithium cell is damaged at every charge, and fails sooner or burns; a lead-acid one gases
        dry.

    Failing example
        chargers:
          T1: {name: Charger, at: "locker, right", current: 30 A, absorption: 15.6 V, float: 13.5 V}

    Passing example
        chargers:
          T1: {name: Charger, at: "locker, right", current: 30 A, absorption: 14.2 V, float: 13.5 V}

    Source
        Cell specifications, 3.65 V (seen); 3.60 V is common practice, no source; lead-acid from trade lists (from
        memory; check your own copy).

    Clears
        The set-point put to the battery maker's figure.
    """
    names = survey.names
    for source, battery in _pairs(survey):
        id, record = source.item, source.record
        if record.absorption is None:
            what = f"the absorption voltage of {names.the(id)} is not recorded"
            yield unknown(
                id, what, "absorption", f"whether the cells of {names.name(battery.id)} bear it", items=(id, battery.id)
            )
            continue
        lithium = battery.chemistry in LITHIUM
        most = survey.limit("most_lfp_cell" if lithium else "most_lead_cell")
        own = battery.cells.highest.value if battery.cells.highest else most.value
        cell, top = record.absorption.value / battery.cells.series, min(own, most.value)
        what = f"{names.the(id)} charges {names.name(battery.id)} to {record.absorption}, {cell_volts(cell)} a cell"
        here = f"{cell_volts(cell)} against {cell_volts(top)}"
        more = {"place": names.place_of(id, "absorption"), "items": (id, battery.id)}
        if cell > top + 1e-6:
            yield finding("A" if lithium else "B", id, f"{what}; the cells bear {cell_volts(top)}", here, **more)
        elif lithium and cell > survey.limit("usual_lfp_cell").value + 1e-6:
            usual = survey.limit("usual_lfp_cell")
            yield finding(
                "C",
                id,
                f"{what}; usual is up to {cell_volts(usual.value)}",
                f"{cell_volts(cell)} against {cell_volts(usual.value)}",
                source=usual.cited,
                **more,
            )
        else:
            yield passed(id, what, here, **more)


def no_equalising(survey: Survey) -> Iterator[Outcome]:
    """A source that charges lithium neither equalises nor compensates for temperature.

    What
        `equalise` above the absorption voltage, and `temperature compensation`, of each source that charges a lithium
        battery.

    Why
        Both are made for lead-acid. Equalising drives lithium cells over their limit; compensation raises the voltage
        in the cold, when they must not be charged at all.

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
            yield finding(
                "A",
                id,
                what,
                f"{record.equalise} against {record.absorption}",
                place=names.place_of(id, "equalise"),
                items=(id, battery.id),
            )
        elif record.temperature_compensation:
            what = (
                f"{called} changes the charge voltage of the lithium battery {names.name(battery.id)} with the "
                "temperature"
            )
            yield finding(
                "A",
                id,
                what,
                "compensated",
                place=names.place_of(id, "temperature compensation"),
                items=(id, battery.id),
            )
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
            yield unknown(
                id, f"the float voltage of {names.the(id)} is not recorded", "float", "whether it ages lithium cells"
            )
            continue
        cell = record.float.value / battery.cells.series
        what = f"{names.the(id)} keeps {names.name(battery.id)} at {record.float}, {cell_volts(cell)} a cell"
        here = f"{cell_volts(cell)} against {cell_volts(limit.value)}"
        more = {"place": names.place_of(id, "float"), "items": (id, battery.id)}
        if cell > limit.value + 1e-6:
            yield finding("B", id, f"{what}; up to {cell_volts(limit.value)} is usual", here, **more)
        else:
            yield passed(id, what, here, **more)


def voltage_order(survey: Survey) -> Iterator[Outcome]:
    """Charge voltage, BMS and cell limits stand in the right order.

    What
        For each cell: the highest set-point of every charge source is below the voltage at which the BMS opens, and
        that is not above what the cell bears; at the other end the BMS opens above the cell's lowest voltage. A charge
        voltage above the cell's own limit is G-01's.

    Why
        Where the charger reaches the BMS's limit, the BMS has become the charge regulator: it opens the battery at
        full current, and takes the boat's supply with it.

    Failing example
        chargers:
          T1: {name: Charger, at: "locker, right", current: 30 A, absorption: 14.5 V, float: 13.5 V}

    Passing example
        chargers:
          T1: {name: Charger, at: "locker, right", current: 30 A, absorption: 14.0 V, float: 13.5 V}

    Source
        ABYC E-13 (seen secondary; check your own copy), and makers' manuals.

    Clears
        The set-points put in order: charge below alarm, alarm below BMS, BMS not above the cell; by somebody who knows
        the battery's papers.
    """
    names, judged = survey.names, set()
    for battery in survey.inventory.batteries.values():
        bms, cells, id = battery.bms, battery.cells, battery.id
        if bms is None or battery.chemistry not in LITHIUM:
            continue
        called = names.the(id)
        most = cells.highest.value if cells.highest else survey.limit("most_lfp_cell").value
        if bms.highest_cell is None:
            what = f"the cell voltage at which the BMS of {called} stops the charge is not recorded"
            yield unknown(id, what, "bms: highest cell", "whether it protects the cells, and leaves the charger room")
        else:
            limit = bms.highest_cell.value
            if limit > most:
                what = (
                    f"the BMS of {called} stops the charge at {cell_volts(limit)} a cell, above the "
                    f"{cell_volts(most)} that the cell bears"
                )
                yield finding(
                    "A",
                    id,
                    what,
                    f"{cell_volts(limit)} against {cell_volts(most)}",
                    place=names.place_of(id, "bms", "highest cell"),
                )
            rows = [e for e in survey.charged_by[id] if (e.id, limit) not in judged]
            judged |= {(e.id, limit) for e in rows}
            yield from _charge_below(survey, battery, rows, limit, most)
        if bms.lowest_cell and cells.lowest and bms.lowest_cell.value < cells.lowest.value:
            low, least = bms.lowest_cell.value, cells.lowest.value
            what = (
                f"the BMS of {called} opens at {cell_volts(low)} a cell, below the {cell_volts(least)} that the cell "
                "bears"
            )
            yield finding(
                "A",
                id,
                what,
                f"{cell_volts(low)} against {cell_volts(least)}",
                place=names.place_of(id, "bms", "lowest cell"),
            )


def _charge_below(
    survey: Survey, battery: Battery, sources: list[Edge], limit: float, most: float
) -> Iterator[Outcome]:
    names, series = survey.names, battery.cells.series
    for source in sources:
        stages = {"absorption": source.record.absorption, "equalise": source.record.equalise}
        top, field = max(((q.value, f) for f, q in stages.items() if q), default=(None, ""))
        if top is None or top / series > most:
            continue
        cell, called = top / series, names.the(source.item)
        if cell >= limit:
            what = (
                f"{called} charges to {volts(top)}, {cell_volts(cell)} a cell; the BMS of {names.name(battery.id)} "
                f"opens at {cell_volts(limit)}"
            )
            yield finding(
                "A",
                source.item,
                what,
                f"{cell_volts(cell)} against {cell_volts(limit)}",
                place=names.place_of(source.item, field),
                items=(source.item, battery.id),
            )
        else:
            what = f"{called} charges to {cell_volts(cell)} a cell, below the BMS's {cell_volts(limit)}"
            yield passed(
                source.item, what, f"{cell_volts(cell)} against {cell_volts(limit)}", items=(source.item, battery.id)
            )
