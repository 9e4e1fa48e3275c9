"""One sheet for each bank of batteries: cells, battery management, fuses and switches."""

from __future__ import annotations

from collections.abc import Iterator

from ..inventory.sources import Battery
from . import facts
from .chains import Chain, Web
from .model import Branch, Element, Sheet
from .view import Ship, one_line


def bank_sets(ship: Ship) -> Iterator[Sheet]:
    """One sheet for each bank: its batteries from the bar where they meet to the negative bar."""
    banks: dict[str, list[str]] = {}
    for battery in ship.inventory.batteries.values():
        banks.setdefault(battery.bank or battery.id, []).append(battery.id)
    for name, ids in banks.items():
        branches, hubs = [], []
        for id in ids:
            above, below = _first(ship.hot, f"source {id}"), _first(ship.cold, f"source {id}")
            if above is None or below is None:
                continue
            up, down = above.reversed() if above.upper == f"source {id}" else above, below
            item = ship.inventory.batteries[id]
            size = f"{item.cells.series} cells, {facts.text(item.cells.capacity)}"
            battery = Element("battery up", id, (item.title, size), item.title, facts.href(id))
            chain = (*ship.links(up.pieces), battery, *ship.links(down.pieces))
            branches.append(Branch(f"bank {id}", ship.end(up.upper), ship.end(down.lower), chain))
            hubs += [up.upper, down.lower]
        nodes = [ship.node(hub) for hub in dict.fromkeys(hubs) if hub in ship.hot.hubs or hub in ship.cold.hubs]
        notes = tuple(_cells_note(ship.inventory.batteries[id]) for id in ids)
        notes += tuple(_bms_note(ship, id) for id in ids if ship.inventory.batteries[id].bms)
        if branches:
            title = ship.inventory.batteries[ids[0]].bank or ship.inventory.batteries[ids[0]].title
            yield one_line(f"bank-{ids[0]}", f"Bank: {title}", "Cells, battery management, fuses and switches of the bank, positive above.",
                            nodes, branches, notes)  # fmt: skip


def _first(of: Web, end: str) -> Chain | None:
    return next((chain for chain in of.chains if end in (chain.upper, chain.lower)), None)


def _cells_note(battery: Battery) -> str:
    cells = battery.cells
    said = [f"{cells.series} cells in series"]
    said += [f"{cells.parallel} strings in parallel"] if cells.parallel > 1 else []
    said += [facts.text(cells.capacity)] if cells.capacity else []
    said += [f"each cell {facts.text(cells.resistance)}"] if cells.resistance else []
    said += [f"each link {facts.text(cells.link)}"] if cells.link else []
    return f"Cells of {battery.id}: {', '.join(said)}."


def _bms_note(ship: Ship, id: str) -> str:
    bms = ship.inventory.batteries[id].bms
    said = [f"opens the {bms.side}"]
    said += [f"carries {bms.current}"] if bms.current else []
    said += [f"trips at {bms.trip}"] if bms.trip else []
    said += [f"sense leads {bms.sense_leads}"] if bms.sense_leads else []
    return f"BMS of {id}: {', '.join(said)}."
