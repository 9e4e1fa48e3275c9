"""Two sheets for other people: what the fire service must know, and what a new crew is shown in five minutes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from ...inventory.sources import Battery
from ...study.cards import Step, cautions
from ..book import Book
from ..cards import action, aside, live, tried
from ..energy import energy_wh
from ..files import is_picture, path_of
from ..sheet import EMERGENCY, Sheet
from ..text import Action, Inline, Link, Strong, joined
from ..words import CHEMISTRIES


def pages(book: Book) -> Iterator[Sheet]:
    yield Sheet(
        "emergency/responders.md",
        "For the fire service",
        "responders",
        _responders(book),
        EMERGENCY,
        ("fire service", "harbour", "first responder"),
    )
    yield Sheet(
        "emergency/briefing.md",
        "Crew briefing in five minutes",
        "briefing",
        _briefing(book),
        EMERGENCY,
        ("briefing", "guests", "crew"),
    )


def _responders(book: Book) -> dict:
    fast, vessel, inventory = book.cards.fast, book.inventory.vessel, book.inventory
    lithium = any(b.chemistry == "lfp" for b in inventory.batteries.values())
    petrol = [book.named(s.id) for s in inventory.spaces.values() if s.petrol]
    gas = [book.named(s.id) for s in inventory.spaces.values() if s.gas]
    fuel = [book.named(s.id) for s in inventory.spaces.values() if s.engine]
    vents = [
        (book.named(s.id), ": vented to ", s.vented_to)
        for s in inventory.spaces.values()
        if s.vented_to and _holds_battery(book, s.id)
    ]
    volts = max((n.volts or 0.0 for n in book.network.nodes.values()), default=0.0)
    mains = bool(inventory.shore_inlets or inventory.inverters)
    facts: list[tuple[str, Inline]] = [
        (
            "Vessel",
            joined(
                [
                    text
                    for text in (
                        vessel.name,
                        vessel.kind,
                        str(vessel.length) if vessel.length else "",
                        vessel.mmsi and f"MMSI {vessel.mmsi}",
                    )
                    if text
                ]
            ),
        ),
        ("Batteries", f"{sum(map(_kwh, inventory.batteries.values())):.1f} kWh in all"),
        ("Highest voltage", f"{volts:.0f} V{' (mains)' if mains else ' DC'}"),
    ]
    if petrol:
        facts.append(("Petrol", joined(petrol)))
    if fuel:
        facts.append(("Engine", joined(fuel)))
    if gas:
        facts.append(("Gas", joined(gas)))
    return {
        "aside": aside(book),
        "facts": facts,
        "batteries": [_battery(book, b) for b in inventory.batteries.values()],
        "warning": LITHIUM if lithium else HYDROGEN,
        "actions": [action(book, replace(step, helm=False)) for step in fast.steps if step.handles or step.stops],
        "live": [live(book, group, 2) for group in fast.live],
        "vents": vents,
        "dangers": [cautions.SHUT, *((cautions.WATER, AGAIN, RUNS_OFF) if lithium else (HYDROGEN,))],
        "tried": tried(fast),
        "cautions": fast.cautions,
    }


LITHIUM = "Lithium batteries: their gas is poisonous and explodes; they burn again after days."
AGAIN = (
    "A lithium battery that has burned can start again hours or days later. "
    "Keep it watched, and away from other boats (from memory)."
)
RUNS_OFF = "What runs off it is poisonous: keep it out of drains and off skin."
HYDROGEN = "Lead-acid batteries give off hydrogen when they are charged: no flame, no switch near them."


def _kwh(battery: Battery) -> float:
    return energy_wh([battery]) / 1000


def _battery(book: Book, battery: Battery) -> Inline:
    chemistry = CHEMISTRIES.get(battery.chemistry, battery.chemistry)
    return (Strong(f"{_kwh(battery):.1f} kWh "), chemistry, ": ", book.link(battery.id), ", ", book.where(battery.at))


def _holds_battery(book: Book, space: str) -> bool:
    return any(b.at and b.at.space == space for b in book.inventory.batteries.values())


def _briefing(book: Book) -> dict:
    fast = book.cards.fast
    hung = [book.where(p.at) for p in book.inventory.prints if p.card == "fast"]
    shown = [step for step in fast.steps if step.handles or step.stops]
    steps = [
        Action(
            "Show where the FAST card hangs", joined(hung, "; ") if hung else "Nowhere yet: print it and hang it up"
        ),
        *(_show(book, step) for step in shown),
        Action("Show the extinguishers and the fire port", "Written by hand: ______________________________"),
        Action(
            "Show the hand-held radio and how to send a distress call",
            "Written by hand: ______________________________",
        ),
        Action("Tell what a smoking battery means", "", "Out, up-wind, shut, call. Nobody opens it"),
        Action(
            "Try each handle once, with eyes shut",
            "",
            f"The card was drilled in {fast.tried[0].seconds} s" if fast.tried else "Write down the seconds",
        ),
    ]
    photos = [(path_of(name), book.title(id)) for step in shown for id in step.handles for name in _photos(book, id)]
    return {
        "aside": aside(book),
        "actions": steps,
        "photos": photos,
        "tried": tried(fast),
        "card": Link("page:emergency/isolate.md", fast.title),
        "cautions": (cautions.LEAVE, fast.cautions[-1]),
    }


def _show(book: Book, step: Step) -> Action:
    made = action(book, step)
    return Action(("Show: ", made.do), made.where, made.see)


def _photos(book: Book, id: str) -> list[str]:
    item = book.items.get(id)
    return [name for name in (item.photo if item else ()) if is_picture(name)]
