"""Any boat: random sheets, fronts, plans and strips overlap nowhere, end nowhere loose, and come out the same."""

from __future__ import annotations

from xml.etree import ElementTree

from hypothesis import HealthCheck, given, settings
from loombook.drawings import strip
from loombook.drawings.drawset import fitted, pieces, scenes
from loombook.drawings.model import DrawingSet, Strip
from loombook.drawings.quality import faults
from loombook.drawings.svg import written

from tests.drawings.random_sheets import fronts, one_lines, plans, sets, strips

BOATS = settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck), derandomize=True)


def good(drawings: DrawingSet) -> None:
    """No faults, well-formed, and the same again from scratch."""
    drawn = scenes(drawings)
    texts = [written(scene) for scene in drawn]
    pieces.cache_clear()
    fitted.cache_clear()

    assert [faults(scene) for scene in drawn] == [[] for _ in drawn]
    assert all(ElementTree.fromstring(text) is not None for text in texts)
    assert texts == [written(scene) for scene in scenes(drawings)]


@BOATS
@given(sets(one_lines()))
def test_no_random_sheet_has_a_fault(drawings: DrawingSet) -> None:
    good(drawings)


@BOATS
@given(sets(fronts()))
def test_no_random_panel_front_has_a_fault(drawings: DrawingSet) -> None:
    good(drawings)


@BOATS
@given(sets(plans()))
def test_no_random_plan_has_a_fault(drawings: DrawingSet) -> None:
    good(drawings)


@BOATS
@given(strips())
def test_no_random_strip_has_a_fault(way: Strip) -> None:
    scene = strip.scene(way)

    assert faults(scene) == []
    assert ElementTree.fromstring(written(scene)) is not None
