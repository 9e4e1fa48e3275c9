"""The numbers on the location plan: what a hand opens or pulls first, then batteries, panels and hidden fuses."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from .fields import Location
from .records import Inventory


class Numbered(NamedTuple):
    """What a thing has on the location plan."""

    number: int
    kind: str
    """`isolator`, `bank`, `panel` or `fuse`."""
    at: Location
    """Where a hand goes: of an engine's stop its own place, not the alternator's."""


def planned(inventory: Inventory) -> Mapping[str, Numbered]:
    """Item id → its number on the plan. A stop has the id of the first source that it stops.

    A thing whose space nobody wrote down has no number. A panel's way is found by the panel's.
    """
    handles = (*inventory.switches.values(), *inventory.breakers.values(), *inventory.shore_inlets.values())
    places: list[tuple[str, str, Location | None]] = [(item.id, "isolator", item.at) for item in handles]
    places += [(id, "isolator", at) for id, at in _stops(inventory)]
    places += [(item.id, "bank", item.at) for item in inventory.batteries.values()]
    places += [(item.id, "panel", item.at) for item in inventory.panels.values()]
    places += [(item.id, "fuse", item.at) for item in inventory.fuses.values() if item.hidden]
    found = [(id, kind, at) for id, kind, at in places if at and at.space]
    return {id: Numbered(number, kind, at) for number, (id, kind, at) in enumerate(found, start=1)}


def _stops(inventory: Inventory) -> Iterator[tuple[str, Location | None]]:
    """Each stop control once, though it stops several sources."""
    told = []
    for source in (*inventory.alternators.values(), *inventory.solar_arrays.values()):
        if source.stop:
            control = (source.stop.action, source.stop.at or source.at)
            if control not in told:
                told.append(control)
                yield source.id, control[1]
