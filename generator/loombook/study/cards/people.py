"""The cards for when somebody is being hurt: still burning, electric shock, a battery that smokes."""

from __future__ import annotations

from collections.abc import Iterable

from ...network.handles import Handle
from ..loads import use_of
from . import cautions
from .boat import Boat
from .model import Card, Step
from .orders import most_first
from .words import listed
from .working import is_essential

TOUCH_VOLTS = 48.0
"""Nominal voltage from which a touch is taken as dangerous [V]: a 48 V bank is charged to above 50 V (from memory)."""
MOST_STEPS = 7
SHOUT = Step("Shout FIRE", "", "All on deck, life-jackets")


def call(boat: Boat, handles: Iterable[Handle], do: str = "Call MAYDAY") -> Step:
    """The call for help, by the radio that works with these handles open, and what to say."""
    vessel = boat.inventory.vessel
    name = f"{vessel.name}, MMSI {vessel.mmsi}" if vessel.mmsi else vessel.name
    say = f"Say: {name}, where you are, what is wrong, how many aboard"
    working = boat.isolator.working(handles)
    consumers = boat.network.consumers
    radios = [c.id for c in consumers.values() if use_of(boat.network, c) == "radio" and is_essential(boat.network, c)]
    radio = next((id for id in radios if id in working), None)
    own = f"; {consumers[radio].name} still works" if radio else "; the boat's own radio is dead" if radios else ""
    return Step(do, f"Hand-held radio, on deck{own}. {say}")


def fire(boat: Boat) -> Card:
    """After the fast card: what is still live, and what could be opened as a last resort."""
    further = _last_resort(boat)
    steps = [
        Step("Do the card FAST first"),
        Step("Watch the smoke for one minute", "", "It gets less: the current is off. It does not: go on"),
        *further,
        Step(
            "Aim the extinguisher through the smallest opening",
            "Fire port or the edge of the lid; the space stays shut",
            "Nothing flares up again",
        ),
        Step(
            "Touch the panels around it every 10 minutes, with the back of the hand",
            "",
            "No spot gets warmer, for 24 hours",
        ),
    ]
    return Card(
        "fire",
        "fire",
        "STILL BURNING",
        "The FAST card is done and there is still smoke.",
        tuple(steps[:MOST_STEPS]),
        cautions=cautions.always(boat),
        dangers=(*cautions.dangers(boat), *cautions.of_mains(boat)),
    )


def _last_resort(boat: Boat) -> list[Step]:
    """What is left on in the fast card, and the batteries' own BMS: each with what it takes down."""
    every = boat.everything
    done = {h.id for h in boat.ship.handles if h.kind != "fuse"}
    before = [h for h in every.handles if h.id in done and h.kind != "button"]
    left = [h for h in every.handles if h.kind == "button" or (h.stays_on and h.kind != "fuse")]
    if not left:
        return []
    working = every.working(before)
    steps = []
    for handle in most_first(every, left, before):
        still = set(every.working([*before, handle]))
        lost = [boat.network.title(c) for c in working if c not in still]
        see = f"Then these stop too: {listed(lost, 6)}" if lost else ""
        step = boat.step(handle)
        steps.append(Step(step.do, step.where, see or step.see, step.handles, step.stops, step.label, step.number))
    return steps[: MOST_STEPS - 4]


def shock(boat: Boat) -> Card | None:
    """Somebody is held by the current: mains, inverter and high DC off, then help."""
    network = boat.network
    nodes = [
        n.id
        for n in network.nodes.values()
        if n.pole == "L" or (n.pole == "+" and (n.volts or 0.0) >= TOUCH_VOLTS and n.system != "solar array")
    ]
    if not nodes:
        return None
    isolation = boat.isolator.kill("shock", nodes, gently=False)
    handles = sorted(isolation.handles, key=lambda h: (h.kind != "plug", h.kind != "stop"))
    steps = [
        Step("Keep your hands off the person", "", "Nobody else touches the person, the mast or wet metal"),
        *boat.steps(handles),
        Step("Pull the person clear with something dry", "Wooden pole, dry rope, blanket"),
        Step("Give chest compressions if there is no breathing", "With the defibrillator as soon as it is there"),
        call(boat, handles, "Call MAYDAY, or the emergency number ashore"),
    ]
    water = (
        "A person who goes limp in the water beside the boat may be held by current: nobody goes in. "
        "Cut the power on the pontoon first."
    )
    return Card(
        "shock",
        "shock",
        "SHOCK: held by the current",
        "Somebody is held by the current, or lies beside something live.",
        tuple(steps),
        cautions=cautions.always(boat),
        dangers=(water, *cautions.of_mains(boat)),
    )


def battery(boat: Boat) -> Card | None:
    """A battery smokes, hisses or swells: people away, charging off from outside, watch for days."""
    inventory = boat.inventory
    if not inventory.batteries:
        return None
    spaces = {b.at.space for b in inventory.batteries.values() if b.at and b.at.space}
    reached = [h for h in boat.isolator.handles if h.kind in ("plug", "stop") and not (h.at and h.at.space in spaces)]
    buttons = [h for h in boat.everything.handles if h.kind == "button"]
    handles = sorted(reached, key=lambda h: h.kind != "plug")
    off = [*boat.steps(handles), *(_if_near(boat.step(h)) for h in buttons[:1])]
    where = cautions.the_spaces(boat)
    steps = [
        Step("Get everybody out and up-wind", "", "Heads are counted on deck"),
        Step(f"Keep {where} shut", "Doors and hatches between as well"),
        *off[: MOST_STEPS - 4],
        call(boat, handles),
        Step(
            "Watch it for three days",
            "From up-wind; by day and night",
            "No heat, no hiss, no smell. It can start again after days (from memory)",
        ),
    ]
    lithium = any(b.chemistry == "lfp" for b in inventory.batteries.values())
    gas = () if lithium else ("Lead-acid batteries give off hydrogen: no flame and no switch near them.",)
    vents = [
        f"{s.title} is vented to {s.vented_to}: stay clear of it."
        for s in inventory.spaces.values()
        if s.id in spaces and s.vented_to
    ]
    return Card(
        "battery",
        "battery",
        "BATTERY smokes or hisses",
        f"Heat, a hiss, swelling or a sweet or sharp smell from {where}.",
        tuple(steps),
        cautions=(*vents, cautions.VENT, *cautions.always(boat)),
        dangers=(*cautions.dangers(boat), *gas),
    )


def _if_near(step: Step) -> Step:
    return Step(
        step.do,
        f"{step.where}; only if the way there is clear of smoke",
        step.see,
        step.handles,
        step.stops,
        step.label,
        step.number,
    )
