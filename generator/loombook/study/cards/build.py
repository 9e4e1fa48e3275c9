"""Every card of a vessel for one day: the order, what it leaves live, what it leaves working."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Sequence
from dataclasses import replace

from ...inventory.records import Inventory
from ...network import Network
from ...network.isolate import Handle, Isolation
from . import cautions
from .afloat import abandoning, flooding, lightning, swimmer
from .boat import Boat
from .copies import copies, tried
from .darkship import dark_ship
from .live import still_live, waits
from .model import Card, Cards, Live, Step, Wait
from .orders import back_on, by_choice, fast, orderly, partial
from .people import SHOUT, battery, call, fire, shock
from .points import DEAD, known_live, points
from .words import capital, listed, span
from .working import still_working

VARIANTS = (fire, shock, battery, flooding, abandoning, dark_ship, swimmer, lightning)
"""The cards for one event each. A new one is a function here; it gives None where the boat has nothing of the sort."""


def cards(network: Network, as_of: datetime.date) -> Cards:
    """Every card for one day.

    Args:
        network: the boat
        as_of: the day from which drills are counted
    """
    return dated(undated(network), network.inventory, as_of)


def undated(network: Network) -> Cards:
    """Every card, without who tried it."""
    boat = Boat(network)
    variants = [_boxed(boat, card) for make in VARIANTS if (card := make(boat))]
    systems = dict.fromkeys(
        n.system for n in network.nodes.values() if n.pole in ("+", "L") and n.system and n.system != "solar array"
    )
    made = Cards(
        _fast(boat),
        _orderly(boat),
        tuple(_system(boat, system) for system in sorted(systems)),
        tuple(card for space in network.inventory.spaces if (card := _space(boat, space))),
        tuple(variants),
        copies(network.inventory),
    )
    return replace(made, assumptions=boat.ledger.assumptions({}))


def dated(made: Cards, inventory: Inventory, as_of: datetime.date) -> Cards:
    """Cards with who tried them up to a day, where they hang, and the revision that they speak of."""
    hung = copies(inventory)

    def on_the_day(card: Card) -> Card:
        prints = tuple(p for p in hung if p.card == card.name)
        return replace(
            card, tried=tried(inventory, card.name, as_of), prints=prints, revision=inventory.vessel.revision
        )

    return replace(
        made,
        fast=on_the_day(made.fast),
        orderly=on_the_day(made.orderly),
        systems=tuple(map(on_the_day, made.systems)),
        spaces=tuple(map(on_the_day, made.spaces)),
        variants=tuple(map(on_the_day, made.variants)),
    )


def _fast(boat: Boat) -> Card:
    steps = [SHOUT, *fast(boat), call(boat, boat.ship.handles)]
    card = _isolating(
        boat,
        Card(
            "fast",
            "fast",
            "FAST: fire, smoke, sparks",
            "You see flames, sparks or smoke, or smell something burning.",
            (),
        ),
        boat.ship,
        steps,
    )
    checks = ["After one minute there is less smoke. If not: take the card STILL BURNING."]
    checks += _running_on(boat)
    if not card.handles:
        checks.insert(0, "No handle on this boat switches anything off without a tool: have a main switch fitted.")
    helm = (cautions.HELM,) if any(step.helm for step in steps) else ()
    first = "a battery smokes or hisses? Take card BATTERY." if boat.inventory.batteries else ""
    return replace(card, first=first, checks=tuple(checks), dangers=(*helm, *cautions.dangers(boat)))


def _running_on(boat: Boat) -> list[str]:
    """What is live as well as long as the helm keeps the engine or drive running."""
    turns = [
        h
        for h in boat.ship.handles
        if h.propulsion or (h.kind == "stop" and h.sources[0] in boat.inventory.alternators)
    ]
    if not turns:
        return []
    without = boat.isolator.after("", [h for h in boat.ship.handles if h not in turns])
    more = set(without.live) - set(boat.ship.live)
    groups = [g for g in still_live(boat, without) if g.when == "always" or "engine" in g.when]
    names = [name for g in groups if g.nodes & more for name in _beyond(boat, g, more)]
    what = "engine" if any(h.kind == "stop" for h in turns) else "drive"
    return [f"While the {what} runs on, these stay live too: {listed(names, 5)}."] if names else []


def _beyond(boat: Boat, group: Live, more: set[str]) -> list[str]:
    """What of a group a person would name, where it is live only without those handles."""
    reached = {boat.network.nodes[n].item for n in group.nodes & more}
    return [
        boat.items[id].title
        for id in group.items
        if id in reached and boat.items[id].family not in ("fuses", "switches", "breakers")
    ]


def _orderly(boat: Boat) -> Card:
    steps = orderly(boat)
    done = boat.named(list(dict.fromkeys(id for step in steps for id in step.handles)))
    isolation = boat.isolator.after("ship", done, boat.ship.unstoppable)
    before = [
        Step("Tell the crew what goes off, and for how long"),
        Step("Write down time, position, wind and depth"),
        Step("Take off rings, watch and chains", "Dry shoes on, dry hands"),
    ]
    wait = waits(boat)
    card = Card(
        "orderly",
        "orderly",
        "ORDERLY: all off, in order",
        "A smell, a hot wire, or before work on the wiring. Nothing burns.",
        (),
    )
    card = _isolating(boat, card, isolation, [*before, *steps, *_dead(boat, isolation, wait)])
    check = ["When all is on again, look one by one at polarity, bilge pumps, radio, lights and alarms."]
    return replace(
        card,
        waits=wait,
        points=points(boat, isolation),
        restore=tuple(back_on(boat, steps)),
        checks=tuple(check),
        dangers=cautions.of_mains(boat),
        cautions=(*card.cautions, cautions.QUALIFIED),
    )


def _dead(boat: Boat, isolation: Isolation, wait: Sequence[Wait]) -> list[Step]:
    """Wait, prove dead with a meter that is proved itself, and lock."""
    known = [w.seconds for w in wait if w.seconds is not None]
    charged = listed([w.name for w in wait])
    waiting = (
        Step(
            f"Wait {span(max(known))}" if len(known) == len(wait) else "Wait as long as the makers say",
            "",
            f"The charge in {charged} is gone",
        )
        if wait
        else None
    )
    return [
        *([waiting] if waiting else []),
        Step(
            "Prove the meter on something live",
            capital(known_live(boat, isolation)) or "On a source that is known to be live",
            "It shows the voltage",
        ),
        Step(
            "Test every point of the list",
            "Between the poles, and each pole to earth",
            f"Less than {DEAD} V everywhere. More: find the source in the list STILL LIVE",
        ),
        Step("Prove the meter again", "At the same place as before", "It still works"),
        Step("Lock or tag every handle that is off", "Name and time on the tag; keys and fuses in your pocket"),
    ]


def _system(boat: Boat, system: str) -> Card:
    isolation = boat.isolator.system(system)
    inside = frozenset(n.id for n in boat.network.nodes.values() if n.system == system)
    card = Card("system", system, f"Only {system} off", f"Trouble in the {system} system alone.", ())
    return _part(boat, card, isolation, inside)


def _space(boat: Boat, space: str) -> Card | None:
    nodes = [n for n in boat.isolator.nodes_in(space) if boat.isolator.is_hot(n)]
    if not nodes:
        return None
    isolation = boat.isolator.space(space)
    title = boat.inventory.spaces[space].title
    card = Card("space", space, f"Only this space off: {title}", f"Trouble in this space alone: {title}.", ())
    return _part(boat, card, isolation, frozenset(nodes), space)


def _part(boat: Boat, card: Card, isolation: Isolation, inside: frozenset[str], space: str = "") -> Card:
    """A card for a part of the boat: what stays live in that part; everything else does anyway."""
    steps = partial(boat, isolation.handles, space)
    extra = [h for h in boat.named([id for step in steps for id in step.handles]) if h not in isolation.handles]
    isolation = boat.isolator.after(isolation.target, [*isolation.handles, *extra], isolation.unstoppable)
    wait = waits(boat, inside)
    card = _isolating(boat, card, isolation, [*steps, *_dead(boat, isolation, wait)], inside)
    rest = (
        "Only this part is off. Take the rest of the boat as live."
        if isolation.handles
        else "No handle switches this part off without a tool."
    )
    return replace(
        card,
        waits=wait,
        points=points(boat, isolation),
        checks=(rest,),
        restore=tuple(back_on(boat, steps)),
        cautions=(*card.cautions, cautions.QUALIFIED),
    )


def _boxed(boat: Boat, card: Card) -> Card:
    """A variant with what stays live and what still works after it and the card that it begins with."""
    if card.works:
        return card
    before: list[str] = []
    if card.kind == "fire":
        before = [h.id for h in boat.ship.handles]
    elif card.kind == "lightning":
        before = [id for step in orderly(boat) for id in step.handles]
    every = {h.id: h for h in boat.everything.handles}
    handles = [every[id] for id in dict.fromkeys((*before, *card.handles))]
    isolation = boat.everything.after(card.kind, handles)
    works, pools = still_working(boat.network, boat.opened(handles), boat.ledger)
    return replace(card, live=still_live(boat, isolation, isolator=boat.everything), works=works, pools=pools)


def _isolating(
    boat: Boat, card: Card, isolation: Isolation, steps: Sequence[Step], inside: frozenset[str] | None = None
) -> Card:
    """What every card that switches off says: what stays live (of `inside`), what works, what must be found off."""
    works, pools = still_working(boat.network, boat.opened(isolation.handles), boat.ledger)
    return replace(
        card,
        steps=tuple(steps),
        live=still_live(boat, isolation, inside),
        works=works,
        pools=pools,
        keep_off=tuple(_found_off(boat, isolation.keep_off)),
        unstoppable=isolation.unstoppable,
        cautions=cautions.always(boat),
    )


def _found_off(boat: Boat, handles: Iterable[Handle]) -> list[Step]:
    return [replace(by_choice(boat.step(h)), do=f"Check that {h.name} is OFF", see="") for h in handles]
