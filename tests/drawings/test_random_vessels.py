"""Vessels drawn by lot, through the study and the adapter: no drawing has a fault, and each thing has its home."""

from __future__ import annotations

from collections import Counter

import pytest
from loombook.drawings.drawset import scenes
from loombook.drawings.model import DrawingSet, Front, Plan
from loombook.drawings.quality import faults
from loombook.drawings.scene import Scene
from loombook.drawings.sheets import SETS
from loombook.drawings.view import Ship
from loombook.inventory import read_text
from loombook.network import build
from loombook.study.run import study

from tests.random_vessels import random_vessel

SEEDS = range(0, 300, 15)


def drawn(seed: int) -> tuple[Ship, list[list[Scene]]]:
    """A vessel as the drawings see it, and its sheets, set by set."""
    ship = Ship(study(build(read_text(random_vessel(seed)))))
    sets = [[s for s in make(ship) if not isinstance(s, Front | Plan)] for make in SETS]
    return ship, [scenes(DrawingSet(ship.block, tuple(sheets))) for sheets in sets if sheets]


@pytest.mark.parametrize("seed", SEEDS)
def test_the_sheets_of_a_random_vessel_are_sound(seed: int) -> None:
    _, sets = drawn(seed)
    found = {sheet.name: faults(sheet) for sheets in sets for sheet in sheets}
    tags = [Counter(item.key for s in sheets for item in s.items if item.role == "reference") for sheets in sets]
    homes = Counter(
        item.key for sheet in sets[0] for item in sheet.items if item.role in ("device", "cable") and item.key[:1] in "FQTG"
    )

    assert found == {name: [] for name in found}
    assert all(count == 2 for tag in tags for count in tag.values())
    assert {key for key, count in homes.items() if count > 1} == set()
    assert [sheet.name for sheets in sets for sheet in sheets if sheet.name == "ship.2"] == []
