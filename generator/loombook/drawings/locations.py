"""What the location plan shows: spaces in metres, and a numbered dot for each thing that has a number there."""

from __future__ import annotations

from collections.abc import Iterator

from ..inventory.fields import plan_point
from ..inventory.planned import Numbered, planned
from ..inventory.records import Inventory
from ..inventory.vessel import Space as SpaceRecord
from . import facts
from .model import Dot, Plan, Sheet, Space
from .view import Ship

BEAM = 0.32
"""Breadth of a hull against its length, where nobody says: only the outline on the plan depends on it."""
DEPTH = 0.16
"""Height of a hull against its length, where nobody says: only the side view depends on it."""
ROOM = 0.3
"""What is left over the highest thing whose height is known, where nobody gives the hull's depth [m]."""


def plan_set(ship: Ship) -> Iterator[Sheet]:
    """What is where: switches, breakers, batteries, panels and hidden fuses as numbered dots."""
    found = planned(ship.inventory)
    if ship.inventory.spaces and found:
        dots = tuple(_dot(ship, id, place) for id, place in found.items())
        yield _plan(
            ship,
            "plan",
            "Location plan",
            dots,
            "Where switches, breakers, batteries, panels and hidden fuses are, from above and from the side.",
        )


def card_plans(ship: Ship) -> Iterator[Plan]:
    """For each emergency card its own handles, with their numbers on the location plan."""
    found = {place.number: (id, place) for id, place in planned(ship.inventory).items()}
    for name, card in ship.study.cards.plans.items():
        dots = tuple(_dot(ship, *found[number]) for number in card.numbers)
        yield _plan(ship, name, "Where the handles are", dots, "The handles of the card.")


def _plan(ship: Ship, name: str, title: str, dots: tuple[Dot, ...], about: str) -> Plan:
    length, beam = _hull(ship)
    depth = _depth(ship.inventory, length)
    spaces = tuple(_space(ship, space, depth) for space in ship.inventory.spaces.values())
    on_the_side = any(space.side or space.floor is not None for space in spaces)
    return Plan(name, title, spaces, dots, length, beam, about, depth=depth if on_the_side else 0.0)


def _space(ship: Ship, space: SpaceRecord, depth: float) -> Space:
    length, _ = _hull(ship)
    outline = tuple(_metres(ship, point) for point in space.outline)
    side = tuple((round(x / 100 * length, 3), round(z / 100 * depth, 3)) for x, z in map(plan_point, space.side))
    floor = space.floor.value if space.floor else None
    return Space(space.id, space.title, outline, facts.href(space.id), side, floor, space.outside)


def _depth(inventory: Inventory, length: float) -> float:
    """Height of the side view [m]."""
    if inventory.vessel.depth:
        return inventory.vessel.depth.value
    floors = [space.floor.value for space in inventory.spaces.values() if space.floor]
    places = [item.at.height.value for item in inventory.items() if item.at and item.at.height]
    return round(max([DEPTH * length, *(height + ROOM for height in (*floors, *places))]), 3)


def _dot(ship: Ship, id: str, place: Numbered) -> Dot:
    item, at = ship.inventory.item(id), place.at
    name = item.title if item.at == at else f"Stop of {item.title}"
    point = _metres(ship, at.plan) if at.plan else None
    height = at.height.value if at.height else None
    return Dot(
        str(place.number), f"{name} ({id})", at.space, at.place or "", point, place.kind, facts.href(id), height=height
    )


def _hull(ship: Ship) -> tuple[float, float]:
    """Length and breadth [m]."""
    vessel = ship.inventory.vessel
    length = vessel.length.value if vessel.length else 12.0
    return length, length * BEAM


def _metres(ship: Ship, point: str) -> tuple[float, float]:
    """A point in per cent, as metres from the stern and to starboard of the centre line."""
    length, beam = _hull(ship)
    x, y = plan_point(point)
    return round(x / 100 * length, 3), round((y - 50) / 100 * beam, 3)
