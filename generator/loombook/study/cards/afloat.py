"""The cards for what the sea does: water in the boat, leaving her, somebody near the propeller, lightning."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from ...inventory.vessel import Item
from ...network.handles import Handle
from ..loads import use_of
from . import cautions
from .boat import Boat
from .live import turned_by_water
from .model import Card, Step, Wet
from .orders import drives, heavy_loads
from .people import MOST_STEPS, call
from .words import listed, place
from .working import is_essential

_SOAKED = (
    "batteries",
    "shore inlets",
    "generators",
    "chargers",
    "inverters",
    "converters",
    "solar controllers",
    "alternators",
    "bars",
    "panels",
    "switches",
    "breakers",
    "motors",
    "junctions",
)
"""Families that water does harm to."""
_SEEN = ("navigation lights", "radio", "navigation")
"""Uses by which a boat is seen and heard."""


def flooding(boat: Boat) -> Card:
    """Water comes in: the pumps on, the mains off before it is reached, the lowest battery before its posts are."""
    wet, unknown = first_wet(boat)
    mains = boat.isolator.kill("mains", [n.id for n in boat.network.nodes.values() if n.pole in ("L", "N")])
    pumps = [c for c in boat.network.consumers.values() if use_of(boat.network, c) == "bilge pump"]
    working = set(boat.isolator.working(mains.handles))
    running = [c for c in pumps if c.id in working]
    steps = (
        [Step("Check that the pumps run, and leave them ON", listed([c.name for c in running], 4))] if running else []
    )
    steps += boat.steps(sorted(mains.handles, key=lambda h: h.kind != "plug"))[:3]
    steps += [Step("Look for the leak", "Sea cocks, hoses, shaft, log, the last place that was worked on")]
    kept = [
        c.name
        for c in boat.network.consumers.values()
        if c.id in working and is_essential(boat.network, c) and use_of(boat.network, c) in (*_SEEN, "alarm")
    ]
    steps += [Step("Leave ON what makes her seen and heard", listed(kept, 4))] if kept else []
    steps += [call(boat, mains.handles), *_lowest_bank(boat, wet, mains.handles)]
    water = "Nobody stands in water and touches anything electric."
    return Card(
        "flooding",
        "flooding",
        "WATER in the boat",
        "Water rises above the floor.",
        tuple(steps),
        first=water,
        wet=wet,
        dry_unknown=unknown,
        cautions=cautions.always(boat),
    )


def _lowest_bank(boat: Boat, wet: tuple[Wet, ...], before: Sequence[Handle]) -> list[Step]:
    """The switch of the battery that the water reaches first, if any switch parts it, and what it takes down."""
    battery = next((w for w in wet if w.id in boat.inventory.batteries), None)
    handle = battery and next((h for h in boat.ship.handles if battery.id in boat.parted[h.id]), None)
    if not handle or handle.id in {h.id for h in before}:
        return []
    lost = set(boat.isolator.working(before)) - set(boat.isolator.working([*before, handle]))
    names = [c.name for c in boat.network.consumers.values() if c.id in lost and is_essential(boat.network, c)]
    step = boat.step(handle)
    too = f"Then these stop too: {listed(names, 3)}" if names else ""
    see = ". ".join(words for words in (step.see, too) if words)
    return [replace(step, do=f"{step.do} before water is {battery.height:.2g} m deep", see=see)]


def first_wet(boat: Boat) -> tuple[tuple[Wet, ...], tuple[str, ...]]:
    """What water reaches, lowest first; and what has no height written down."""
    rows: list[Wet] = []
    unknown: list[str] = []
    for item in _soaked(boat):
        space = boat.inventory.spaces.get(item.at.space) if item.at and item.at.space else None
        own = item.at.height if item.at else None
        height = own or (space.floor if space else None)
        if space is not None and space.outside:
            continue
        if height is None:
            unknown.append(item.title)
        else:
            rows.append(Wet(item.id, item.title, place(boat.inventory, item.at), height.low, own is not None))
    return tuple(sorted(rows, key=lambda w: w.height)), tuple(unknown)


def _soaked(boat: Boat) -> list[Item]:
    found = [item for item in boat.inventory.items() if item.family in _SOAKED]
    for consumer in boat.network.consumers.values():
        item = boat.inventory.item(consumer.id)
        if item is not None and item not in found and is_essential(boat.network, consumer):
            found.append(item)
    return found


def abandoning(boat: Boat) -> Card:
    """She is left: what is to be seen and heard stays on."""
    kept = [
        c.name
        for c in boat.network.consumers.values()
        if is_essential(boat.network, c) and use_of(boat.network, c) in _SEEN
    ]
    gas = [s.title for s in boat.inventory.spaces.values() if s.gas]
    turning = _turning(boat)
    steps = [
        call(boat, ()),
        *(
            [Step("Leave ON what makes her seen and heard", listed(kept, 8), "All off only if she burns")]
            if kept
            else []
        ),
        *turning[:2],
        *([Step("Close the gas at the bottle", f"Gas is used in: {listed(gas)}")] if gas else []),
        Step("Switch ON the distress beacon", "It goes with you into the raft"),
        Step("Take hand-held radio, torch, water, warm clothes, this card"),
    ]
    return Card(
        "abandoning",
        "abandoning",
        "LEAVING the boat",
        "She sinks or burns and cannot be saved.",
        tuple(steps[:MOST_STEPS]),
        cautions=cautions.always(boat),
    )


def _turning(boat: Boat) -> list[Step]:
    """What turns a propeller, stopped: engines, drives, and the switches of drives and thrusters."""
    steps = [boat.stop_engine(e) for e in boat.engines]
    moving = {m.id for m in boat.inventory.motors.values() if m.kind in ("drive", "thruster")}
    steps += [step for step in drives(boat) if step.do.startswith("Stop")]
    own = [h for h in heavy_loads(boat) if boat.isolator.lost_by(h) & moving]
    masters = [h for h in boat.isolator.handles if h.propulsion and h not in own]
    return steps + boat.steps([*masters, *own])


def swimmer(boat: Boat) -> Card | None:
    """Somebody in the water near a propeller."""
    turning = _turning(boat)
    if not turning:
        return None
    locks = [step for step in drives(boat) if step.do.startswith("Lock")]
    steps = [
        Step("Tell the helm on which side the person is", "", "The helm turns the stern away"),
        *turning,
        *locks,
        Step("Watch the person without a break, arm stretched out"),
        Step("Keep one hand at the switch until the person is aboard", "", "Nobody switches it ON again"),
    ]
    free = (cautions.PROPELLER,) if turned_by_water(boat.network) else ()
    return Card(
        "swimmer",
        "swimmer",
        "PROPELLER: somebody is near",
        "Somebody is over board, swims or dives beside the boat.",
        tuple(steps),
        cautions=(*free, cautions.HELM, cautions.LEAVE, cautions.revision(boat)),
    )


def lightning(boat: Boat) -> Card:
    """A thunderstorm comes: people away from metal, leads apart, the boat switched off in order."""
    aerials = [c.name for c in boat.network.consumers.values() if use_of(boat.network, c) in ("radio", "navigation")]
    steps = [
        Step("Get everybody away from mast, shrouds and wheel", "Below, sitting, hands off metal"),
        *(
            [Step("Unplug aerials and leads at the devices", listed(aerials, 10), "The plugs lie apart")]
            if aerials
            else []
        ),
        Step("Do the card ORDERLY as far as there is time", "", "The engine stays ready if she needs it"),
        Step("Keep a hand-held radio in a closed metal box", "The oven will do (common practice, no source)"),
        Step(
            "Look for smoke and water after a strike",
            "Skin fittings, mast foot, panels",
            "Nothing is warm, nothing leaks",
        ),
        Step("Check the compass before you trust it"),
    ]
    return Card(
        "lightning",
        "lightning",
        "THUNDERSTORM",
        "Thunder is heard.",
        tuple(steps),
        cautions=(cautions.HELM, *cautions.always(boat)),
    )
