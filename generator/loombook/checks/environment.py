"""Rules E: what the space around electrical gear asks for: petrol, gas, ventilation, chafe."""

from __future__ import annotations

from collections.abc import Iterator

from ..calc.ventilation import air_flow, gas_current, opening_area
from ..inventory.sources import Battery
from ..inventory.vessel import Item, Space, Sparking
from ..quantities import digits
from .model import Outcome, finding, passed, unknown
from .names import listed
from .survey import LITHIUM, Survey

SPARKING = (
    "fuses", "breakers", "switches", "panels", "motors", "chargers", "inverters", "converters", "solar controllers",
    "alternators", "generators", "batteries",
)  # fmt: skip
"""Families that open contacts, run brushes, or hold a fuse that can blow."""


def _in(survey: Survey, space: Space) -> Iterator[Item]:
    """What stands in a space and can spark."""
    for item in survey.inventory.items():
        if item.family in SPARKING and item.at and item.at.space == space.id:
            yield item


def petrol(survey: Survey) -> Iterator[Outcome]:
    """Nothing that can ignite petrol vapour stands in a petrol space.

    What
        Every device and consumer in a space marked `petrol` must be ignition protected: `ignition protected: yes` where
        its plate or papers say so, `no` where they say otherwise.

    Why
        Petrol vapour is heavier than air, gathers low, and needs one spark.

    Failing example
        spaces:
          well: {name: Outboard well, petrol: yes}
        switches:
          Q9: {name: Trim switch, at: "well, port side", rating: 20 A, voltage: 32 V, ignition protected: no}

    Passing example
        spaces:
          well: {name: Outboard well, petrol: yes}
        switches:
          Q9: {name: Trim switch, at: "well, port side", rating: 20 A, voltage: 32 V, ignition protected: yes}

    Source
        33 CFR 183.410 (CGD 81-092, 1983).

    Clears
        A device that is ignition protected, or the device moved by somebody qualified: behind a bulkhead, or 0.61 m (2
        ft) away and open to the atmosphere.
    """
    names = survey.names
    for space in survey.inventory.spaces.values():
        for id, record in _sparking_in(survey, space) if space.petrol else ():
            called = f"{names.the(id)} in the petrol space {space.title}"
            if record.ignition_protected is None:
                what = f"nothing says whether {called} is ignition protected"
                need = "whether it can ignite petrol vapour"
                yield unknown(id, what, "ignition protected", need, place=names.place_of(id, "at"))
            elif record.ignition_protected:
                yield passed(id, f"{called} is ignition protected")
            else:
                what, place = f"{called} is not ignition protected", names.place_of(id, "ignition protected")
                yield finding("A", id, what, "can ignite vapour", place=place)


def _sparking_in(survey: Survey, space: Space) -> Iterator[tuple[str, Sparking]]:
    """Devices and consumers in a space: id and record."""
    found = {item.id: item for item in _in(survey, space)}
    for consumer in survey.network.consumers.values():
        at = consumer.record.at
        if at is not None and at.space == space.id:
            found.setdefault(consumer.id, consumer.record)
    yield from found.items()


def gas_locker(survey: Survey) -> Iterator[Outcome]:
    """Nothing that sparks stands in the gas locker.

    What
        Lists devices and consumers in a space marked `gas` whose name says that it is a locker, or whose own place
        says `gas locker`. The gas valve itself may be there. A galley with a gas cooker is not a gas locker.

    Why
        Gas from a leaking bottle fills its locker first.

    Failing example
        spaces:
          gas-locker: {name: Gas locker, gas: yes, vented to: overboard}
        switches:
          Q9: {name: Windlass relay, kind: remote, rating: 100 A, voltage: 32 V, at: "gas-locker, aft side"}

    Passing example
        spaces:
          gas-locker: {name: Gas locker, gas: yes, vented to: overboard}
        circuits:
          C9: {name: Gas valve, from: X4 way 3, cable: "1.5 mm², 5 m", load: 0.5 A, use: gas, at: gas-locker}

    Source
        Practice for gas lockers (from memory; check your own copy of the gas standard).

    Clears
        The device moved out of the locker by somebody qualified, its holes in the locker's wall made gas-tight.
    """
    names, inventory = survey.names, survey.inventory
    lockers = {s.id for s in inventory.spaces.values() if s.gas and _is_locker(s)}
    for item in [i for s in lockers for i in _in(survey, inventory.spaces[s])] + _said_to_be_inside(survey):
        what = f"{names.the(item.id)} stands in the gas locker"
        yield finding("A", item.id, what, "can spark", place=names.place_of(item.id, "at"))
    for consumer in survey.network.consumers.values():
        at = consumer.record.at
        if at is None or not (at.space in lockers or "gas locker" in (at.place or "").casefold()):
            continue
        if survey.use(consumer) != "gas":
            what = f"{names.name(consumer.id)} stands in the gas locker"
            yield finding("A", consumer.id, what, "can spark", place=names.place_of(consumer.id, "at"))
        else:
            yield passed(consumer.id, f"{names.name(consumer.id)} belongs in the gas locker")


def _is_locker(space: Space) -> bool:
    words = f"{space.id} {space.title}".casefold()
    return any(word in words for word in ("locker", "bottle", "gas"))


def _said_to_be_inside(survey: Survey) -> list[Item]:
    items = [i for i in survey.inventory.items() if i.family in SPARKING and i.at and i.at.place]
    return [i for i in items if "gas locker" in i.at.place.casefold()]


def lead_acid_air(survey: Survey) -> Iterator[Outcome]:
    """The space of a lead-acid battery is ventilated.

    What
        Works out the air that the batteries of each space need on boost charge, Q = 0.05 · n · I · C / 1000, and asks
        that the space says where it is vented to. The size of the vent is for a person to compare.

    Why
        A lead-acid battery on charge gives off hydrogen; four per cent of it in air burns.

    Failing example
        spaces:
          box: {name: Battery box, vented to: none}
        batteries:
          G2: {name: Start battery, chemistry: flooded lead-acid, at: box, cells: {series: 6, capacity: 100 Ah}}

    Passing example
        spaces:
          box: {name: Battery box, vented to: "deck, 50 mm hose"}
        batteries:
          G2: {name: Start battery, chemistry: flooded lead-acid, at: box, cells: {series: 6, capacity: 100 Ah}}

    Source
        IEC 62485-2:2010, 7.2 (from memory; check your own copy); 33 CFR 183.420(e) (CGD 81-092, 1983).

    Clears
        A vent from the top of the space to the open, and an inlet low down, each of the area named.
    """
    for space, batteries in _batteries_by_space(survey, lithium=False).items():
        flow = sum(
            air_flow(b.cells.series, b.cells.capacity.value * b.cells.parallel, gas_current(b.chemistry))
            for b in batteries
        )
        needs = f"{digits(flow, 2)} m³/h, two openings of {digits(opening_area(flow), 2)} cm²"
        yield from _vent(survey, space, [b.id for b in batteries], needs, "B")


def lithium_space(survey: Survey) -> Iterator[Outcome]:
    """A lithium battery stands in a space that is vented outside, away from sleepers, petrol and gas.

    What
        The battery's space must say that it is vented to the outside, and must not be a petrol or gas space, nor one
        that people sleep in unless it is vented.

    Why
        A cell that fails gives off gas that burns and poisons. Where it goes decides whether anybody is hurt.

    Failing example
        spaces:
          locker: {name: Aft berth, sleeping: yes, vented to: none}

    Passing example
        spaces:
          locker: {name: Battery locker, vented to: deck}

    Source
        ISO/TS 23625:2021 (seen secondary; check your own copy).

    Clears
        A way out for the gas, or another place for the battery, planned by somebody qualified.
    """
    for space, batteries in _batteries_by_space(survey, lithium=True).items():
        ids = [b.id for b in batteries]
        record = survey.inventory.spaces.get(space, Space())
        wrong = [word for word, flag in (("petrol", record.petrol), ("gas", record.gas)) if flag]
        if wrong:
            what = f"{survey.names.names(ids)} stands in {record.title}, a space with {listed(wrong)}"
            yield finding(
                "A", ids[0], what, f"{wrong[0]} space", place=survey.names.place_of(space), items=(*ids, space)
            )
        else:
            sleeping = " where people sleep" if record.sleeping else ""
            yield from _vent(survey, space, ids, f"a way out for gas{sleeping}", "A")


def _batteries_by_space(survey: Survey, lithium: bool) -> dict[str, list[Battery]]:
    """Space → the batteries of a chemistry in it; the empty name for those of which nobody says where they are."""
    found: dict[str, list[Battery]] = {}
    for battery in survey.inventory.batteries.values():
        if (battery.chemistry in LITHIUM) == lithium:
            found.setdefault((battery.at and battery.at.space) or "", []).append(battery)
    return found


def _vent(survey: Survey, space: str, ids: list[str], needs: str, grade: str) -> Iterator[Outcome]:
    """Whether a space with batteries is vented; unknown where the space or its vent is not recorded."""
    called = survey.names.names(ids)
    if not space:
        what = f"in which space {called} {'stands' if len(ids) == 1 else 'stand'} is not recorded"
        yield unknown(ids[0], what, "at", "whether gas gets out", items=tuple(ids))
        return
    record = survey.inventory.spaces[space]
    place = survey.names.place_of(space, "vented to")
    items, need = (*ids, space), "needs" if len(ids) == 1 else "need"
    if record.outside:
        yield passed(ids[0], f"{called} stands in the open", items=items)
    elif record.vented_to is None:
        what = f"{called} in {record.title} {need} {needs}, and nothing says where the space is vented to"
        yield unknown(
            ids[0], what, "vented to", "whether gas gets out", place=survey.names.place_of(space), items=items
        )
    elif record.vented_to.casefold() in ("none", "no", "nowhere", "inside"):
        what = f"{called} in {record.title} {need} {needs}, and the space is not vented"
        yield finding(grade, ids[0], what, "not vented", place=place, items=items)
    else:
        yield passed(ids[0], f"{called} in {record.title} {need} {needs}; vented to {record.vented_to}", items=items)


def chafe(survey: Survey) -> Iterator[Outcome]:
    """Cables are protected where they pass from space to space.

    What
        A cable that passes two spaces or more crosses a bulkhead: its `chafe` says whether it is protected there.
        Those that say nothing take `chafe` of `defaults`; without one they are listed together as not checked.

    Why
        A bulkhead's edge saws through insulation in a few years of engine running, and then the bulkhead is live.

    Failing example
        runs:
          panel feed: [X1, F4, W5: {area: 16 mm², length: 4 m, spaces: [locker, cabin], chafe: no}, X4]

    Passing example
        runs:
          panel feed: [X1, F4, W5: {area: 16 mm², length: 4 m, spaces: [locker, cabin], chafe: yes}, X4]

    Source
        33 CFR 183.445(a) (CGD 81-092, 1983).

    Clears
        A grommet or sleeve where it crosses, the cable looked at first for damage already done.
    """
    silent: list[str] = []
    for edge in survey.cables:
        id, called = survey.names.cable_id(edge), survey.names.cable(edge)
        chafe = edge.cable.chafe if edge.cable.chafe is not None else survey.inventory.defaults.chafe
        if chafe is False and (edge.cable.chafe is False or len(edge.cable.spaces) > 1):
            where = f" on its way through {listed(list(edge.cable.spaces))}" if edge.cable.spaces else ""
            what = f"{called} has no protection against chafe{where}"
            yield finding("B", id, what, "not protected", place=survey.names.place_of_cable(edge, "chafe"))
        elif chafe:
            yield passed(id, f"{called} is protected against chafe")
        elif len(edge.cable.spaces) > 1:
            silent.append(id)
    if silent:
        what = (
            f"{len(silent)} cables pass from space to space, and nothing says whether they are protected: "
            f"{listed(silent)}"
        )
        yield unknown(survey.ship, what, "chafe", "whether an edge wears them", items=(survey.ship, *silent))
