"""Rules B, the battery by itself: the bank as built, its restraint, what stands parallel."""

from __future__ import annotations

from collections.abc import Iterator

from ..quantities import digits
from .model import Outcome, finding, passed, unknown
from .names import listed
from .survey import Survey


def bms_fits(survey: Survey) -> Iterator[Outcome]:
    """The BMS is made for the battery's cells.

    What
        The BMS's number of cells in series and its chemistry against the battery's own.

    Why
        A BMS for another number of cells watches the wrong voltages: it opens a sound battery, or lets a bad one burn.

    Failing example
        batteries:
          G1:
            name: House battery
            chemistry: lfp
            cells: {series: 4, capacity: 200 Ah}
            bms: {series: 8, chemistry: lfp, current: 150 A}

    Passing example
        batteries:
          G1:
            name: House battery
            chemistry: lfp
            cells: {series: 4, capacity: 200 Ah}
            bms: {series: 4, chemistry: lfp, current: 150 A}

    Source
        ISO/TS 23625:2021 (seen secondary; check your own copy).

    Clears
        The BMS that is made for this number of cells and this chemistry, fitted by somebody qualified.
    """
    for battery in survey.inventory.batteries.values():
        bms, names = battery.bms, survey.names
        if bms is None:
            continue
        called, place = names.the(battery.id), names.place_of(battery.id, "bms", "series")
        if bms.series is None:
            yield unknown(
                battery.id,
                f"for how many cells the BMS of {called} is made is not recorded",
                "bms: series",
                "whether it fits",
            )
        elif bms.series != battery.cells.series:
            what = (
                f"the BMS of {called} is made for {bms.series} cells in series; the battery has {battery.cells.series}"
            )
            yield finding("A", battery.id, what, f"{bms.series} against {battery.cells.series}", place=place)
        elif bms.chemistry and bms.chemistry != battery.chemistry:
            what = f"the BMS of {called} is made for {bms.chemistry}; the battery is {battery.chemistry}"
            yield finding("A", battery.id, what, bms.chemistry, place=names.place_of(battery.id, "bms", "chemistry"))
        else:
            yield passed(battery.id, f"the BMS of {called} is made for its {bms.series} cells", f"{bms.series} cells")


def as_declared(survey: Survey) -> Iterator[Outcome]:
    """Batteries are joined as they are declared.

    What
        Batteries of one bank must stand in parallel; batteries that stand in parallel in normal use must carry one
        bank name; and nothing may be fed from, or charge into, the middle of batteries in series.

    Why
        A load on the middle of a series string drains one half; the other is then overcharged, cell by cell.

    Failing example
        batteries:
          G7: {name: Lower half, chemistry: agm lead-acid, cells: {series: 6, capacity: 100 Ah}}
          G8: {name: Upper half, chemistry: agm lead-acid, cells: {series: 6, capacity: 100 Ah}}
        runs:
          series link: [G7 +, W70: "50 mm², 0.3 m", X7]
          series link 2: [X7, W71: "50 mm², 0.1 m", G8 -]
        junctions:
          X7: {name: Middle of the string, at: "locker, left"}
        circuits:
          C9: {name: Old radio, from: X7, back to: G7 -, cable: "1.5 mm², 2 m", load: 2 A}

    Passing example
        batteries:
          G7: {name: Lower half, chemistry: agm lead-acid, cells: {series: 6, capacity: 100 Ah}}
          G8: {name: Upper half, chemistry: agm lead-acid, cells: {series: 6, capacity: 100 Ah}}
        runs:
          series link: [G7 +, W70: "50 mm², 0.3 m", G8 -]
        circuits:
          C9: {name: Radio, from: G8 +, back to: G7 -, cable: "1.5 mm², 2 m", load: 2 A}

    Source
        Common practice, no source.

    Clears
        The wiring or the record put right; loads of the lower voltage fed by a converter across the whole string.
    """
    names, part = survey.names, survey.joined.use_part
    batteries = survey.inventory.batteries
    ends = {id: (part[f"{id} -"], part[f"{id} +"]) for id in batteries}
    for bank in survey.banks:
        if len(bank.batteries) < 2:
            continue
        apart = [b.id for b in bank.batteries if ends[b.id] != ends[bank.batteries[0].id]]
        if apart:
            what = (
                f"{names.names(apart)} is declared as part of `{bank.name}`, and is not parallel to "
                f"{names.name(bank.batteries[0].id)}"
            )
            yield finding("B", apart[0], what, "not parallel", place=names.place_of(apart[0], "bank"))
        else:
            yield passed(
                bank.batteries[0].id, f"the {len(bank.batteries)} batteries of `{bank.name}` stand in parallel"
            )
    for ids in survey.parallel:
        banks = {batteries[id].bank for id in ids}
        if len(banks) > 1 or banks == {None}:
            what = f"{names.names(ids)} stand in parallel in normal use, and are not declared as one bank"
            yield finding("B", ids[0], what, "no common bank", items=ids)
    yield from _tapped(survey, ends)


def _tapped(survey: Survey, ends: dict[str, tuple[int, int]]) -> Iterator[Outcome]:
    """What is fed from, or feeds, the middle of batteries in series."""
    names, part = survey.names, survey.joined.use_part
    lows = {low: id for id, (low, _) in ends.items()}
    for id, (_, high) in ends.items():
        above = lows.get(high)
        if above is None:
            continue
        users = [c.id for c in survey.network.consumers.values() if part[c.plus] == high]
        users += [e.item for e in survey.network.edges.values() if e.kind == "input" and part[e.a] == high]
        users += [e.item for e in survey.sources if part[e.b] == high and e.item != id]
        if users:
            what = (
                f"{names.names(users)} hangs on the middle of the series string {names.name(id)} and "
                f"{names.name(above)}"
            )
            yield finding("A", users[0], what, "mid-tap", items=tuple(users))
        else:
            yield passed(id, f"nothing hangs between {names.name(id)} and {names.name(above)} in series")


def alike(survey: Survey) -> Iterator[Outcome]:
    """Batteries in parallel are alike.

    What
        Batteries that stand in parallel in normal use: one chemistry, one number of cells, one capacity, one age to a
        year. A link that is closed only in need does not count.

    Why
        Unlike batteries do not share: one charges the other, and the weaker works itself to death.

    Failing example
        batteries:
          G2: {name: Old AGM, chemistry: agm lead-acid, at: "locker, right", cells: {series: 6, capacity: 100 Ah}}
        runs:
          second battery: [G2 +, W70: "50 mm², 0.5 m", X3]
          second negative: [G2 -, W71: "50 mm², 0.5 m", X2]

    Passing example
        batteries:
          G2: {name: Twin A, bank: Twins, chemistry: lfp, cells: {series: 4, capacity: 200 Ah}, fitted: 2024-03-01}
          G4: {name: Twin B, bank: Twins, chemistry: lfp, cells: {series: 4, capacity: 200 Ah}, fitted: 2024-03-01}
        runs:
          twins positive: [G2 +, W70: "50 mm², 0.5 m", G4 +]
          twins negative: [G2 -, W71: "50 mm², 0.5 m", G4 -]

    Source
        Common practice, no source; insurers ask for it (seen secondary).

    Clears
        Batteries of one kind and age in a bank; a converter between banks that differ.
    """
    names = survey.names
    for ids in survey.parallel:
        rows = [survey.inventory.batteries[id] for id in ids]
        called = listed([names.the(id) for id in ids])
        for word, values in (
            ("chemistry", {r.chemistry for r in rows}),
            ("number of cells in series", {str(r.cells.series) for r in rows}),
            ("capacity", {f"{digits(r.cells.capacity.value * r.cells.parallel)} Ah" for r in rows}),
        ):
            if len(values) > 1:
                what = f"{called} stand in parallel and differ in {word}: {listed(sorted(values))}"
                yield finding("A", ids[0], what, word, items=ids, place=names.place_of(ids[-1]))
                break
        else:
            dates = [r.fitted for r in rows if r.fitted]
            apart = (max(dates) - min(dates)).days if len(dates) > 1 else 0
            if apart > survey.limit("same_age").value:
                what = f"{called} stand in parallel and were fitted {apart / 365:.1f} years apart"
                yield finding("B", ids[0], what, f"{min(dates)} and {max(dates)}", items=ids)
            else:
                yield passed(ids[0], f"{called} stand in parallel and are alike", items=ids)


def restrained(survey: Survey) -> Iterator[Outcome]:
    """Each battery is held fast, and its live posts are covered.

    What
        `restrained` and `covered` of each battery.

    Why
        A battery that moves tears its cables off; a post that a spanner can touch is a short circuit before any fuse.

    Failing example
        batteries:
          G2: {chemistry: agm lead-acid, cells: {series: 6, capacity: 90 Ah}, restrained: no, covered: yes}

    Passing example
        batteries:
          G2: {chemistry: agm lead-acid, cells: {series: 6, capacity: 90 Ah}, restrained: yes, covered: yes}

    Source
        33 CFR 183.420 (CGD 81-092, 1983): it moves no more than 25 mm (1 in), nothing metallic touches an ungrounded
        post. ISO 10133:2012, 5.2: no more than 10 mm.

    Clears
        A strap or chock that holds it in a knock-down, and a cover over the posts.
    """
    for battery in survey.inventory.batteries.values():
        names = survey.names
        called = names.the(battery.id)
        states = {"restrained": battery.restrained, "covered": battery.covered}
        wrong = [word for word, state in states.items() if state is False]
        silent = [word for word, state in states.items() if state is None]
        if wrong:
            yield finding(
                "A",
                battery.id,
                f"{called} is not {listed(wrong)}",
                f"not {wrong[0]}",
                place=names.place_of(battery.id, wrong[0]),
            )
        if silent:
            what = f"nothing says whether {called} is {listed(silent)}"
            yield unknown(battery.id, what, ", ".join(silent), "whether it stays in place, and safe to touch")
        if not wrong and not silent:
            yield passed(battery.id, f"{called} is restrained and covered")
