"""Rules G, charging as a whole: all sources together, and the alternator when the BMS opens."""

from __future__ import annotations

from collections.abc import Iterator

from ..inventory.sources import Battery
from .model import Outcome, finding, not_applicable, passed, unknown
from .names import amps, listed
from .survey import LITHIUM, Survey


def together(survey: Survey) -> Iterator[Outcome]:
    """All charge sources together stay within what the bank and its BMS take.

    What
        The sum of the highest currents of everything that charges a bank, against the batteries' `max charge` (half
        the capacity in an hour for lithium where nothing is given) and against the BMSs' charge current.

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
        An alternator that charges lithium behind a BMS must be told to stop before the BMS opens (`regulator:
        external`, `bms stops it: yes`), or a lead-acid battery must stay joined to it. One that charges through a
        converter passes.

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
        An external regulator that the BMS turns off first, a converter between, or a lead-acid battery kept in
        circuit; planned by somebody qualified. A surge clamp helps, and is not enough by itself.
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
            lacks = (
                []
                if alternator.regulator == "external"
                else [f"its regulator is {alternator.regulator or 'not recorded'}"]
            )
            lacks += [] if alternator.bms_stops_it else ["the BMS does not stop it"]
            what = f"{called} charges {names.names([b.id for b in behind])} alone: {listed(lacks)}"
            field = "regulator" if alternator.regulator == "internal" else "bms stops it"
            yield finding(
                "A",
                id,
                what,
                "cut off at full current",
                place=names.place_of(id, field),
                items=(id, *(b.id for b in behind)),
            )
        else:
            missing = "regulator" if alternator.regulator is None else "bms stops it"
            yield unknown(
                id, f"how {called} is stopped before the BMS opens is not recorded", missing, "whether it survives"
            )
