"""What a card warns of, said once, and only where the boat has what it warns of."""

from __future__ import annotations

from .boat import Boat
from .live import turned_by_water
from .words import listed

HELM = (
    "Near a lee shore, in a fairway or in a lock a boat without an engine can be the greater danger. "
    "The helm decides when the engine or drive stops."
)
SHUT = (
    "A battery space that is hot, hisses or smokes stays shut. What comes out is poisonous and can explode; "
    "do not breathe it, do not go in, do not switch anything inside."
)
WATER = (
    "Water cools the cells of a lithium battery. It is no help on anything that is joined to the mains, an inverter "
    "or a motor controller: unplug and switch off first, and keep away."
)
VENT = "Open a vent only if it leads outside and you can open it from outside."
SUN = "In daylight the cables of the solar panels are live, whatever is switched off."
PROPELLER = "A propeller that the water turns makes its drive live. Way off the boat, or the shaft locked."
RCD = "A residual-current device protects in addition to everything else. It does not make a wire safe to touch."
LEAVE = "Local rules, the harbour's orders and your own training come before this card."
QUALIFIED = "Work on the wiring itself is for a qualified person."
DEEP = "What is worked out here comes from the boat's inventory. What nobody wrote down is not on this card."


def revision(boat: Boat) -> str:
    vessel = boat.inventory.vessel
    said = f"This card describes {vessel.name} at revision {vessel.revision}."
    return f"{said} If the boat has been changed since, it is wrong: destroy it."


def always(boat: Boat) -> tuple[str, ...]:
    """What stands on every card that switches something off."""
    found = [SUN] if boat.inventory.solar_arrays else []
    found += [PROPELLER] if turned_by_water(boat.network) else []
    return (*found, LEAVE, DEEP, revision(boat))


def of_mains(boat: Boat) -> tuple[str, ...]:
    return (RCD,) if boat.inventory.shore_inlets or boat.inventory.inverters else ()


def dangers(boat: Boat) -> tuple[str, ...]:
    """What can kill, on the cards for smoke and fire."""
    found = [SHUT] if boat.inventory.batteries else []
    lithium = any(b.chemistry == "lfp" for b in boat.inventory.batteries.values())
    return (*found, WATER) if lithium else tuple(found)


def battery_spaces(boat: Boat) -> tuple[str, ...]:
    """Names of the spaces with batteries in them."""
    inventory = boat.inventory
    ids = dict.fromkeys(b.at.space for b in inventory.batteries.values() if b.at and b.at.space)
    return tuple(inventory.spaces[id].title for id in ids if id in inventory.spaces)


def the_spaces(boat: Boat) -> str:
    return listed(battery_spaces(boat)) or "the battery space"
