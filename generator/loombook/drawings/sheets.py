"""Every drawing of a vessel by name: what each sheet shows, said in the abstract model, then drawn."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from ..checks import Checked
from ..study.model import Study
from . import coordination, energychart, facts, strip
from .banks import bank_sets
from .drawset import draw as drawn
from .isolated import isolation_set
from .model import Dot, DrawingSet, Plan, Sheet, Space
from .overview import ship_set
from .panelfronts import fronts
from .strips import strips
from .systems import charging_set, negative_set, system_sets
from .view import Ship


def draw(study: Study, checked: Checked) -> dict[str, str]:
    """All drawings of the vessel.

    Args:
        study: what was worked out
        checked: what the rules say; drawings do not show it yet, pages do
    Returns:
        name → SVG text: `ship`, `panel-X4`, `bar-X17`, `negative`, `charging`, `bank-G1`, `system-24-V-DC`, `isolation-ship`,
        `plan`, `panel-front-X4`, `strip-C21`, and the charts of energy; a sheet cut into several comes as `name`, `name.2` and so on
    """
    ship = Ship(study)
    found: dict[str, str] = {}
    for make in SETS:
        found |= drawn(DrawingSet(ship.block, tuple(make(ship))))
    for sheet in strips(study):
        found[sheet.name] = strip.draw(sheet)
    return found | energychart.draw(study) | coordination.draw(study)


BEAM = 0.32
"""Breadth of a hull against its length, where nobody says: only the outline on the plan depends on it."""


def plan_set(ship: Ship) -> Iterator[Sheet]:
    """What is where: switches, batteries, panels and hidden fuses as numbered dots."""
    inventory = ship.inventory
    length = inventory.vessel.length.value if inventory.vessel.length else 12.0
    beam = length * BEAM

    def metres(point: str) -> tuple[float, float]:
        x, y = (float(part) for part in point.split(","))
        return (round(x / 100 * length, 3), round((y - 50) / 100 * beam, 3))

    spaces = tuple(Space(s.id, s.title, tuple(metres(p) for p in s.outline), facts.href(s.id)) for s in inventory.spaces.values())
    dots = []
    for kind, items in (("isolator", inventory.switches), ("bank", inventory.batteries), ("panel", inventory.panels), ("fuse", inventory.fuses)):
        for item in items.values():
            if item.at and item.at.space and (kind != "fuse" or item.hidden):
                at = metres(item.at.plan) if item.at.plan else None
                dots.append(Dot(str(len(dots) + 1), f"{item.title} ({item.id})", item.at.space, item.at.place or "", at, kind, facts.href(item.id)))
    if spaces and dots:
        yield Plan("plan", "Location plan", spaces, tuple(dots), length, beam, "Where switches, batteries, panels and hidden fuses are.")


SETS: tuple[Callable[[Ship], Iterator[Sheet]], ...] = (
    ship_set, system_sets, negative_set, charging_set, bank_sets, isolation_set, fronts, plan_set,
)  # fmt: skip
"""Sheets that are numbered and refer to one another together. A new drawing is one function and one entry here."""
