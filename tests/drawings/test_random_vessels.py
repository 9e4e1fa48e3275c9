"""300 vessels drawn by lot, through the study and the adapter: no sheet has a fault, and each thing has its home."""

from __future__ import annotations

from dataclasses import replace

import pytest
from loombook.drawings.drawset import fitted, pieces
from loombook.drawings.scene import Scene
from loombook.drawings.svg import written
from loombook.study.run import study

from tests.drawings.homes import Drawn, astray, by_lot, drawn, is_stand_in, study_for_sheets, unsound
from tests.drawings.wholewords import cut_words

SEEDS = range(300)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_sheets_of_a_random_vessel_are_sound_and_show_each_thing_once(seed: int) -> None:
    vessel = drawn(study_for_sheets(by_lot(seed)))

    assert unsound(vessel) == []
    assert astray(vessel) == []
    assert cut_words(vessel.asked, vessel.sheets) == []


@pytest.mark.parametrize("seed", SEEDS[::30])
def test_a_random_vessel_gives_the_same_bytes_again_and_by_the_whole_study(seed: int) -> None:
    network = by_lot(seed)
    once = [written(sheet) for sheet in drawn(study_for_sheets(network)).sheets]
    pieces.cache_clear()
    fitted.cache_clear()

    assert [written(sheet) for sheet in drawn(study(network)).sheets] == once


@pytest.fixture(scope="module")
def whole() -> Drawn:
    """One vessel with nothing wrong."""
    return drawn(study_for_sheets(by_lot(1)))


def shown_once(sheet: Scene, role: str) -> list[int]:
    """Places of the items that must stand on the sheet, and once."""
    found = enumerate(sheet.items)
    return [n for n, item in found if item.role == role and not item.key.startswith("~") and not is_stand_in(item)]


@pytest.mark.parametrize("role", ["device", "cable", "node"])
@pytest.mark.parametrize("name", ["ship", "negative"])
def test_a_thing_left_out_or_drawn_twice_is_told(whole: Drawn, name: str, role: str) -> None:
    """For every item of the role, so that the test over the vessels cannot pass by looking away."""
    asked = 0
    for sheet in whole.sets[name]:
        for place in shown_once(sheet, role):
            item, asked = sheet.items[place], asked + 1
            left_out = replace(sheet, items=sheet.items[:place] + sheet.items[place + 1 :])

            assert astray(whole.having(name, left_out)) != [], item.key
            assert astray(whole.having(name, replace(sheet, items=(*sheet.items, item)))) != [], item.key
    assert asked > 0


def test_a_reference_without_its_other_end_is_told(whole: Drawn) -> None:
    (sheet, *_) = whole.sets["ship"]
    kept = tuple(item for item in sheet.items if item.role != "reference")

    assert any("1 ends" in fault for fault in unsound(whole.having("ship", replace(sheet, items=kept))))
