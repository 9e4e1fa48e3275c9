"""Every drawing of a vessel by name: what each sheet shows, said in the abstract model, then drawn."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from ..checks import Checked
from ..study.model import Study
from . import cardplan, coordination, energychart, strip
from .banks import bank_sets
from .changed import changed_sheets
from .charging import charging_set
from .drawset import draw as drawn
from .isolated import isolation_set
from .locations import card_plans, plan_set
from .model import DrawingSet, Sheet
from .overview import ship_set
from .panelfronts import fronts
from .strips import strips
from .systems import negative_set, system_sets
from .view import Ship


def draw(study: Study, checked: Checked, altered: Mapping[str, str] = {}) -> dict[str, str]:
    """All drawings of the vessel.

    Args:
        study: what was worked out
        checked: what the rules say; drawings do not show it yet, pages do
        altered: id → `added` or `changed` since an earlier revision; sheets of their own mark it
    Returns:
        name → SVG text: `ship`, `panel-X4`, `bar-X17`, `negative`, `charging`, `bank-G1`, `system-24-V-DC`, `isolation-ship`,
        `plan`, `plan-fast` for a card, `panel-front-X4`, `strip-C21`, and the charts of energy; a sheet cut into several comes as `name`, `name.2` and so on
    """
    ship = Ship(study)
    found: dict[str, str] = {}
    for make in SETS:
        found |= drawn(DrawingSet(ship.block, tuple(make(ship))))
    for sheet in strips(study):
        found[sheet.name] = strip.draw(sheet)
    for plan in card_plans(ship):
        found[plan.name] = cardplan.drawn(plan)
    found |= changed_sheets(ship, altered)
    return found | energychart.draw(study) | coordination.draw(study)


SETS: tuple[Callable[[Ship], Iterator[Sheet]], ...] = (
    ship_set, system_sets, negative_set, charging_set, bank_sets, isolation_set, fronts, plan_set,
)  # fmt: skip
"""Sheets that are numbered and refer to one another together. A new drawing is one function and one entry here."""
