"""The ship's own sheet: sources, banks, bars, converters and panels, with references to the sheets of their circuits."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from . import facts
from .chains import Chain
from .dense import denser
from .feeders import feeder_sheet, panel_reference, way_reference
from .model import Branch, OneLine, Reference, Sheet
from .view import Ship, one_line


def ship_set(ship: Ship) -> Iterator[Sheet]:
    """The ship's sheet, and the sheets of panels and crowded bars that it refers to."""
    own = [chain for chain in ship.hot.chains if chain.id not in ship.homes]
    yield _ship_sheet(ship, own)
    for hub in ship.hot.hubs:
        name = f"panel-{ship.panels[hub]}" if hub in ship.panels else f"bar-{hub}"
        chains = [chain for chain in ship.hot.chains if ship.homes.get(chain.id) == name]
        if chains or hub in ship.panels:
            yield feeder_sheet(ship, hub, name, chains, own)


def _ship_sheet(ship: Ship, own: list[Chain]) -> OneLine:
    """Every cable by itself where the paper holds that; else cables of a line together, then lines broken at converters."""
    whole = _said(ship, own, dense=False)
    dense = _said(ship, own, dense=True)
    return replace(whole, denser=denser(dense))


def _said(ship: Ship, own: list[Chain], dense: bool) -> OneLine:
    branches = []
    for chain in own:
        inside = chain
        if chain.upper in ship.panels:  # behind a panel's way: the way itself stands on the panel's sheet
            inside = replace(chain, pieces=chain.pieces[1:])
        branch = ship.branch(inside, dense=dense)
        if chain.upper in ship.panels:
            branch = replace(branch, upper=way_reference(ship, chain))
        if chain.lower in ship.panels:
            branch = replace(branch, lower=panel_reference(ship, chain, ship.panels[chain.lower]))
        branches.append(replace(branch, id=chain.id))
    for hub in ship.hot.hubs:
        if f"bar-{hub}" in ship.homes.values():
            count = sum(1 for c in ship.hot.chains if c.upper == hub and ship.homes.get(c.id) == f"bar-{hub}")
            words = "1 circuit" if count == 1 else f"{count} circuits"
            lower = Reference(f"{hub} circuits", (words,), f"circuits of {hub}", facts.href(hub))
            branches.append(Branch(f"{hub} circuits", ship.hub_id(hub), lower))
    nodes = [ship.node(hub, dense=dense) for hub in ship.hot.hubs if hub not in ship.panels]
    about = "Sources, banks, bars, converters and panels with their main devices and cables."
    return one_line("ship", "Single-line diagram of the ship", about, nodes, branches)
