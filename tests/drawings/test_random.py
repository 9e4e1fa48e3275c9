"""Any boat: sheets, fronts, plans and strips drawn by lot overlap nowhere, end nowhere loose, and come out the same."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest
from loombook.drawings import strip
from loombook.drawings.drawset import fitted, pieces, scenes
from loombook.drawings.model import DrawingSet
from loombook.drawings.quality import faults
from loombook.drawings.svg import written

from tests.drawings.random_sheets import Lot

SEEDS = range(40)


def good(drawings: DrawingSet) -> None:
    """No faults, well-formed, and the same again from scratch."""
    drawn = scenes(drawings)
    texts = [written(scene) for scene in drawn]
    pieces.cache_clear()
    fitted.cache_clear()

    assert [faults(scene) for scene in drawn] == [[] for _ in drawn]
    assert all(ElementTree.fromstring(text) is not None for text in texts)
    assert texts == [written(scene) for scene in scenes(drawings)]


@pytest.mark.parametrize("seed", SEEDS)
def test_no_random_sheet_has_a_fault(seed: int) -> None:
    lot = Lot(seed)

    good(lot.set(lot.one_line()))


@pytest.mark.parametrize("seed", SEEDS)
def test_no_random_panel_front_has_a_fault(seed: int) -> None:
    lot = Lot(seed)

    good(lot.set(lot.front()))


@pytest.mark.parametrize("seed", SEEDS)
def test_no_random_plan_has_a_fault(seed: int) -> None:
    lot = Lot(seed)

    good(lot.set(lot.plan()))


@pytest.mark.parametrize("seed", SEEDS)
def test_no_random_strip_has_a_fault(seed: int) -> None:
    scene = strip.scene(Lot(seed).strip())

    assert faults(scene) == []
    assert ElementTree.fromstring(written(scene)) is not None
