"""The card for a dark ship: the BMS of a bank has opened; which switches bring the essentials back."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import combinations

from ...network.handles import Handle
from ...network.live import alive, state
from . import cautions
from .boat import Boat
from .model import Card, Opened, Step
from .words import NO_PLACE, capital, listed, place
from .working import still_working

MOST_SWITCHES = 2
"""Switches that the search puts otherwise, where the inventory names no emergency condition."""


def dark_ship(boat: Boat) -> Card | None:
    """One card for every bank behind a BMS whose opening darkens something."""
    opened = [found for bank in banks(boat) if (found := when_opened(boat, bank)).lost]
    if not opened:
        return None
    worst = max(opened, key=lambda o: (sum(w.essential for w in o.lost), len(o.lost)))
    names = {w.name for w in worst.back}
    steps = [
        Step("Look for smoke", worst.name, "Smoke or heat: take the card FAST"),
        *_back_on(_positions(boat, worst.positions), sorted(names)),
        Step("Switch OFF all that is not needed", "What carries her now is smaller"),
    ]
    reset = [
        Step("Read the alarm of the battery", capital(worst.alarm) or "Where its alarm shows is not written down"),
        Step(
            "Do one reset of the battery, once the cause is gone",
            "One only",
            "It opens again: leave it open and sail on",
        ),
    ]
    if worst.positions:  # light comes first; what cures the battery is done by that light, and last
        reset += _put_back(boat, worst.positions)
    else:
        steps, reset = [*steps, *reset], []
    return Card(
        "dark ship",
        "dark ship",
        "DARK: the battery has opened",
        f"The battery has switched itself off ({worst.name}); lights and instruments are dead.",
        tuple(steps),
        restore=tuple(reset),
        works=worst.works,
        pools=worst.pools,
        opened=tuple(opened),
        cautions=cautions.always(boat),
    )


def _back_on(steps: list[Step], names: Sequence[str]) -> list[Step]:
    """The last of the switches says what then works again."""
    if not steps or not names:
        return steps
    return [*steps[:-1], replace(steps[-1], see=f"These work again: {listed(names, 6)}")]


def _put_back(boat: Boat, positions: Sequence[tuple[str, str]]) -> list[Step]:
    """The switches as they usually stand, the last put otherwise first, so that no full bank is joined to an empty one."""
    return _positions(boat, [(id, boat.network.normal.get(id, "on")) for id, _ in reversed(positions)])


def banks(boat: Boat) -> list[tuple[str, ...]]:
    """Batteries behind a BMS, bank by bank; one without a bank name is a bank of its own."""
    groups: dict[str, list[str]] = {}
    for battery in boat.inventory.batteries.values():
        if battery.bms:
            groups.setdefault(battery.bank or battery.id, []).append(battery.id)
    return [tuple(ids) for ids in groups.values()]


def when_opened(boat: Boat, batteries: tuple[str, ...]) -> Opened:
    """What the opening of a bank takes, and what the emergency condition's switches bring back."""
    network, edges = boat.network, [f"{id} bms" for id in batteries]
    before, _ = still_working(network, (), boat.ledger)
    after, _ = still_working(network, edges, boat.ledger)
    gone = {w.id for w in before if w.works} - {w.id for w in after if w.works}
    lost = tuple(w for w in before if w.id in gone)
    wanted = [w.id for w in lost if w.essential]
    positions = tuple(_ordered(_emergency(boat) or _search(boat, edges, wanted)))
    again, pools = still_working(network, edges, boat.ledger, dict(positions))
    back = tuple(w for w in again if w.id in wanted and w.works)
    if not back:
        positions, (again, pools) = (), still_working(network, edges, boat.ledger)
    name = boat.inventory.batteries[batteries[0]].bank or listed([network.title(id) for id in batteries])
    alarm = next((b.bms.alarm for id in batteries if (b := boat.inventory.batteries[id]).bms and b.bms.alarm), "")
    return Opened(batteries, name, alarm, lost, back, positions, again, pools)


def _emergency(boat: Boat) -> Mapping[str, str]:
    """Switches that the emergency condition puts otherwise than normal."""
    normal = boat.network.normal
    for condition in boat.inventory.conditions.values():
        if condition.emergency:
            return {id: position for id, position in condition.switches.items() if normal.get(id) != position}
    return {}


def _search(boat: Boat, edges: list[str], wanted: list[str]) -> Mapping[str, str]:
    """The fewest switches that bring most of the wanted back."""
    if not wanted:
        return {}
    changes = list(_changes(boat))
    batteries = {e.id for e in boat.network.sources() if e.kind == "battery"}
    best: tuple[int, Mapping[str, str]] = (0, {})
    for count in range(1, MOST_SWITCHES + 1):
        for chosen in combinations(changes, count):
            positions = dict(chosen)
            if len(positions) == count:
                works = len(alive(state(boat.network, positions, edges), batteries).consumers & set(wanted))
                if works > best[0]:
                    best = (works, positions)
        if best[0] == len(wanted):
            break
    return best[1]


def _changes(boat: Boat) -> Iterator[tuple[str, str]]:
    for handle in boat.isolator.handles:
        switch = boat.inventory.switches.get(handle.id)
        if switch is None:
            continue
        positions = {p for id in handle.edges for p in boat.network.edges[id].positions}
        for position in sorted(positions - {switch.normal}):
            yield switch.id, position


def _ordered(positions: Mapping[str, str]) -> list[tuple[str, str]]:
    """What is put OFF first, so that nothing new is joined to the bank that has opened."""
    return sorted(positions.items(), key=lambda item: item[1] != "off")


def _positions(boat: Boat, positions: Sequence[tuple[str, str]]) -> list[Step]:
    by_id: dict[str, Handle] = {h.id: h for h in boat.isolator.handles}
    steps = []
    for id, position in positions:
        handle, switch = by_id.get(id), boat.inventory.item(id)
        at = handle.at if handle else switch.at if switch else None
        name = switch.title if switch else id
        do = {"on": f"Turn ON {name}", "off": f"Turn OFF {name}"}.get(position, f"Put {name} to {position}")
        where = place(boat.inventory, at) if at else NO_PLACE
        steps.append(
            Step(do, where, "", (id,), (), (switch.label or "") if switch else "", boat.number(handle) if handle else 0)
        )
    return steps
