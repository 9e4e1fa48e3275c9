"""What a card warns of, said once, and only where the boat has what it warns of."""

from __future__ import annotations

from .boat import Boat
from .live import turned_by_water
from .words import listed

HELM = (
    "The helm decides when the engine or drive stops: near a lee shore, in a fairway or a lock losing it can be worse."
)
SHUT = (
    "A battery space that is hot, hisses or smokes stays shut. The smoke is poisonous and can explode: "
    "do not breathe it, do not go in, switch nothing inside."
)
WATER = (
    "Water cools a lithium battery that burns. Keep it off mains, inverter and motor controller until they are "
    "unplugged and off."
)
VENT = "Open a vent only if it leads outside and you can open it from outside."
SUN = "In daylight the cables of the solar panels are live."
PROPELLER = "A propeller that the water turns makes its drive live. Way off the boat, or the shaft locked."
RCD = "The breaker with the test button (RCD) is a help, no more: a wire behind it is not safe to touch."
LEAVE = (
    "Local rules, the harbour's orders and your training come first. "
    "This card replaces no training and no qualified electrician."
)
QUALIFIED = "Work on the wiring itself is for a qualified person."


def revision(boat: Boat) -> str:
    """Of which boat the card is, and how far what is worked out may be trusted."""
    vessel = boat.inventory.vessel
    return (
        f"This card describes {vessel.name} at revision {vessel.revision}, as far as somebody wrote her down. "
        "If she has changed since, it is wrong: destroy it."
    )


def always(boat: Boat) -> tuple[str, ...]:
    """What stands on every card that switches something off."""
    found = [SUN] if boat.inventory.solar_arrays else []
    found += [PROPELLER] if turned_by_water(boat.network) else []
    return (*found, LEAVE, revision(boat))


def of_mains(boat: Boat) -> tuple[str, ...]:
    return (RCD,) if boat.inventory.shore_inlets or boat.inventory.inverters or boat.inventory.generators else ()


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
