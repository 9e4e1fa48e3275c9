"""The side view over the location plan: spaces at their height, dots where their height is known."""

from __future__ import annotations

from dataclasses import replace

from loombook.drawings.drawset import scenes
from loombook.drawings.model import Dot, DrawingSet, Plan, Space
from loombook.drawings.planside import arranged
from loombook.drawings.quality import faults
from loombook.drawings.scene import Item, Scene

from tests.drawings.samples import BLOCK

MIDDLE = ((4.0, -1.0), (6.0, -1.0), (6.0, 1.0), (4.0, 1.0))
STARBOARD = ((4.0, 1.0), (6.0, 1.0), (6.0, 1.8), (4.0, 1.8))
FORWARD = ((7.0, -1.0), (8.0, -1.0), (8.0, 1.0), (7.0, 1.0))


def boat(*spaces: Space, dots: tuple[Dot, ...] = ()) -> Plan:
    """A hull of 10 m, 2 m from keel to coaming."""
    return Plan("plan", "Plan", spaces, dots, 10.0, 3.6, depth=2.0)


def seen(plan: Plan) -> tuple[Scene, dict[str, Item]]:
    """The sheet, and its items by key."""
    (sheet,) = scenes(DrawingSet(BLOCK, (plan,)))
    return sheet, {item.key: item for item in sheet.items}


def heights(space: Space) -> tuple[float, float]:
    return min(z for _, z in space.side), max(z for _, z in space.side)


def test_a_space_stands_on_its_floor_and_reaches_the_deck() -> None:
    (saloon,) = arranged(boat(Space("saloon", "Saloon", MIDDLE, floor=0.4)))
    low, high = heights(saloon)

    assert low == 0.4
    assert 1.7 < high < 2.0


def test_a_space_ends_under_the_floor_of_the_one_over_it() -> None:
    spaces = arranged(boat(Space("sump", "Sump", MIDDLE, floor=0.1), Space("saloon", "Saloon", MIDDLE, floor=0.6)))

    assert {space.id: heights(space)[0] for space in spaces} == {"sump": 0.1, "saloon": 0.6}
    assert heights(spaces[0])[1] == 0.6


def test_a_space_near_the_stem_does_not_leave_the_hull() -> None:
    (peak,) = arranged(boat(Space("peak", "Peak", ((9.0, -0.5), (9.6, -0.5), (9.6, 0.5), (9.0, 0.5)), floor=0.3)))

    assert heights(peak)[0] > 0.7


def test_of_two_spaces_side_by_side_the_starboard_one_is_seen() -> None:
    spaces = boat(Space("galley", "Galley", MIDDLE, floor=0.4), Space("table", "Table", STARBOARD, floor=0.5))

    assert [space.id for space in arranged(spaces)] == ["table"]


def test_the_owners_own_corners_come_before_the_default() -> None:
    own = ((4.0, 0.2), (6.0, 0.2), (6.0, 0.9))
    spaces = boat(Space("galley", "Galley", MIDDLE, side=own), Space("table", "Table", STARBOARD, floor=0.5))

    assert [(space.id, space.side) for space in arranged(spaces)] == [("galley", own)]


def test_a_space_in_the_open_or_of_unknown_height_has_no_default_place() -> None:
    assert (
        arranged(boat(Space("cockpit", "Cockpit", MIDDLE, floor=0.8, outside=True), Space("locker", "", FORWARD))) == []
    )


def test_both_views_have_one_scale_and_the_side_view_stands_over_the_plan() -> None:
    sheet, items = seen(boat(Space("saloon", "Saloon", MIDDLE, floor=0.4)))
    side, above = items["~side hull"].box, items["~hull"].box

    assert (side.left, side.right) == (above.left, above.right)
    assert side.bottom < above.top
    assert round(side.height / side.width, 2) == 0.2
    assert faults(sheet) == []


def test_a_dot_stands_over_its_place_on_the_plan_and_at_its_height() -> None:
    low, high = Dot("1", "Q1", "saloon", at=(4.5, 0.4), height=0.5), Dot("2", "Q2", "saloon", at=(5.5, 0.4), height=1.2)
    _, items = seen(boat(Space("saloon", "Saloon", MIDDLE, floor=0.2), dots=(low, high)))
    middle = {key: (items[key].box.left, items[key].box.top) for key in ("dot 1", "side dot 1", "dot 2", "side dot 2")}

    assert middle["side dot 1"][0] == middle["dot 1"][0]
    assert middle["side dot 2"][0] == middle["dot 2"][0]
    assert middle["side dot 2"][1] < middle["side dot 1"][1]


def test_a_dot_of_unknown_height_stands_on_the_plan_alone() -> None:
    _, items = seen(boat(Space("saloon", "Saloon", MIDDLE, floor=0.2), dots=(Dot("1", "Q1", "saloon", at=(4.5, 0.4)),)))

    assert ("dot 1" in items, "side dot 1" in items) == (True, False)


def test_a_dot_near_the_keel_stays_inside_the_hull() -> None:
    _, items = seen(boat(Space("stern", "Stern", MIDDLE), dots=(Dot("1", "G1", "stern", at=(0.9, 0.0), height=0.0),)))

    assert items["side dot 1"].box.bottom < items["~side hull"].box.bottom


def test_without_a_depth_there_is_no_side_view() -> None:
    plan = boat(Space("saloon", "Saloon", MIDDLE, floor=0.4))

    assert not any(key.startswith("side") or key.startswith("~side") for key in seen(replace(plan, depth=0.0))[1])
