"""Every drawing of a vessel by name: what each sheet shows, said in the abstract model, then drawn."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from ..checks import Checked
from ..inventory.planned import planned
from ..study.model import Study
from . import cardplan, coordination, energychart, facts, strip
from .banks import bank_sets
from .charging import charging_set
from .drawset import draw as drawn
from .isolated import isolation_set
from .model import Dot, DrawingSet, Plan, Sheet, Space
from .overview import ship_set
from .panelfronts import fronts
from .strips import strips
from .systems import negative_set, system_sets
from .view import Ship


def draw(study: Study, checked: Checked) -> dict[str, str]:
    """All drawings of the vessel.

    Args:
        study: what was worked out
        checked: what the rules say; drawings do not show it yet, pages do
    Returns:
        name → SVG text: `ship`, `panel-X4`, `bar-X17`, `negative`, `charging`, `bank-G1`, `system-24-V-DC`, `isolation-ship`,
        `plan`, `plan-isolate`, `panel-front-X4`, `strip-C21`, and the charts of energy; a sheet cut into several comes as `name`, `name.2` and so on
    """
    ship = Ship(study)
    found: dict[str, str] = {}
    for make in SETS:
        found |= drawn(DrawingSet(ship.block, tuple(make(ship))))
    for sheet in strips(study):
        found[sheet.name] = strip.draw(sheet)
    if handles := card_plan(ship):
        found[handles.name] = cardplan.drawn(handles)
    return found | energychart.draw(study) | coordination.draw(study)


BEAM = 0.32
"""Breadth of a hull against its length, where nobody says: only the outline on the plan depends on it."""


def plan_set(ship: Ship) -> Iterator[Sheet]:
    """What is where: switches, breakers, batteries, panels and hidden fuses as numbered dots."""
    found = planned(ship.inventory)
    if ship.inventory.spaces and found:
        dots = tuple(_dot(ship, id, *place) for id, place in found.items())
        yield _plan(ship, "plan", "Location plan", dots, "Where switches, breakers, batteries, panels and hidden fuses are.")


def card_plan(ship: Ship) -> Plan | None:
    """The handles of the fast card alone, with their numbers on the location plan; None where none has a number."""
    found = planned(ship.inventory)
    ids = dict.fromkeys(handle.id.partition(" way ")[0] for handle in ship.study.ship.handles)
    dots = tuple(_dot(ship, id, *found[id]) for id in ids if id in found)
    return _plan(ship, "plan-isolate", "Where the handles are", dots, "The handles of the card.") if dots else None


def _plan(ship: Ship, name: str, title: str, dots: tuple[Dot, ...], about: str) -> Plan:
    inventory, (length, beam) = ship.inventory, _hull(ship)
    spaces = tuple(
        Space(s.id, s.title, tuple(_metres(ship, point) for point in s.outline), facts.href(s.id))
        for s in inventory.spaces.values()
    )
    return Plan(name, title, spaces, dots, length, beam, about)


def _dot(ship: Ship, id: str, number: int, kind: str) -> Dot:
    item = ship.inventory.item(id)
    at = _metres(ship, item.at.plan) if item.at.plan else None
    return Dot(str(number), f"{item.title} ({id})", item.at.space, item.at.place or "", at, kind, facts.href(id))


def _hull(ship: Ship) -> tuple[float, float]:
    """Length and breadth [m]."""
    vessel = ship.inventory.vessel
    length = vessel.length.value if vessel.length else 12.0
    return length, length * BEAM


def _metres(ship: Ship, point: str) -> tuple[float, float]:
    """A point in per cent, as metres from the stern and to starboard of the centre line."""
    length, beam = _hull(ship)
    x, y = (float(part) for part in point.split(","))
    return round(x / 100 * length, 3), round((y - 50) / 100 * beam, 3)


SETS: tuple[Callable[[Ship], Iterator[Sheet]], ...] = (
    ship_set, system_sets, negative_set, charging_set, bank_sets, isolation_set, fronts, plan_set,
)  # fmt: skip
"""Sheets that are numbered and refer to one another together. A new drawing is one function and one entry here."""
