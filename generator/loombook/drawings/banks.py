"""One sheet for each bank of batteries: cells, battery management, fuses and switches."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from ..inventory.sources import Battery
from . import facts
from .chains import Chain, Web
from .model import Branch, Cable, Element, Sheet
from .view import Ship, one_line

ABOUT = "Cells, battery management, fuses and switches of the bank, positive above."


def bank_sets(ship: Ship) -> Iterator[Sheet]:
    """One sheet for each bank: its batteries from the bars where they meet to the negative bar."""
    banks: dict[str, list[str]] = {}
    for battery in ship.inventory.batteries.values():
        banks.setdefault(battery.bank or battery.id, []).append(battery.id)
    for ids in banks.values():
        strings = [found for id in ids if (found := _string(ship, id))]
        if strings:
            branches = [_branch(ship, *string) for string in strings]
            for web, upward in ((ship.hot, True), (ship.cold, False)):
                ends = [up.upper if upward else down.lower for _, up, down in strings]
                branches += [ship.branch(chain) for chain in _beyond(ship, web, ends, ids, upward)]
            nodes = [ship.node(hub) for hub in (*ship.hot.hubs, *ship.cold.hubs)]
            batteries = [ship.inventory.batteries[id] for id in ids]
            notes = (*map(cells_note, batteries), *(bms_note(battery) for battery in batteries if battery.bms))
            title = batteries[0].bank or batteries[0].title
            yield one_line(f"bank-{ids[0]}", f"Bank: {title}", ABOUT, nodes, branches, notes)


def _string(ship: Ship, id: str) -> tuple[str, Chain, Chain] | None:
    """A battery with the chain that rises from its positive side and the one that goes down from its negative side."""
    end = f"source {id}"
    up = next((c for c in ship.hot.chains if end in (c.upper, c.lower)), None)
    down = next((c for c in ship.cold.chains if end in (c.upper, c.lower)), None)
    if up is None or down is None:
        return None
    return id, up.reversed() if up.upper == end else up, down.reversed() if down.lower == end else down


def _branch(ship: Ship, id: str, up: Chain, down: Chain) -> Branch:
    bms = ship.inventory.batteries[id].bms
    kind = "battery up" if not bms else "battery balanced" if bms.balance else "battery sensed"
    battery = replace(facts.source(ship.network, id), kind=kind)
    links = (*ship.links(up.pieces), battery, *ship.links(down.pieces))
    chain = tuple(_told(ship, link) for link in links)
    return Branch(f"bank {id}", ship.end(up.upper), ship.end(down.lower), chain)


def _told(ship: Ship, link: Element | Cable) -> Element | Cable:
    """A battery management unit with the facts that this sheet alone has room for."""
    if not isinstance(link, Element) or link.kind != "bms":
        return link
    bms = ship.inventory.batteries[link.id].bms
    leads = (
        f"sense leads {facts.text(bms.sense_leads)}{', fused' if bms.sense_fused else ''}" if bms.sense_leads else ""
    )
    balancer = f"balancer {facts.text(bms.balance)}" if bms.balance else ""
    return replace(link, lines=(*link.lines, *(line for line in (leads, balancer) if line)))


def _beyond(ship: Ship, web: Web, ends: list[str], ids: list[str], upward: bool) -> Iterator[Chain]:
    """What goes on from the unnamed joints among the ends, on every way up to the next bar, source or load."""
    own = {f"source {id}" for id in ids}
    seen: set[str] = set()
    joints = [end for end in dict.fromkeys(ends) if _is_joint(ship, web, end)]
    for joint in joints:  # grows while joints lead to further ones
        for chain in web.chains:
            if joint not in (chain.upper, chain.lower) or chain.id in seen or own & {chain.upper, chain.lower}:
                continue
            seen.add(chain.id)
            away = chain.lower if joint == chain.upper else chain.upper
            joints += [away] if _is_joint(ship, web, away) and away not in joints else []
            rises = not away.startswith("load ") and (upward or away.startswith("source "))
            yield chain if (away == chain.upper) == rises else chain.reversed()


def _is_joint(ship: Ship, web: Web, end: str) -> bool:
    return end in web.hubs and ship.hub_id(end).startswith("~")


def cells_note(battery: Battery) -> str:
    """The cells of a battery in one line."""
    cells = battery.cells
    said = [f"{cells.series} cells in series"]
    said += [f"{cells.parallel} strings in parallel"] if cells.parallel > 1 else []
    said += [facts.text(cells.capacity)] if cells.capacity else []
    said += [f"each cell {facts.text(cells.resistance)}"] if cells.resistance else []
    said += [f"each link {facts.text(cells.link)}"] if cells.link else []
    return f"Cells of {battery.id}: {', '.join(said)}."


def bms_note(battery: Battery) -> str:
    """What the battery management of a battery opens, by what, and at which limits."""
    bms = battery.bms
    said = [f"opens the {bms.side} by {bms.opens_by}"]
    for value, words in (
        (bms.current, "carries {}"), (bms.trip, "trips at {}"), (bms.highest_cell, "stops the charge at {} in a cell"),
        (bms.lowest_cell, "stops the discharge at {} in a cell"), (bms.no_charge_below, "no charge below {}"),
    ):  # fmt: skip
        said += [words.format(facts.text(value))] if value else []
    return f"BMS of {battery.id}: {', '.join(said)}."
