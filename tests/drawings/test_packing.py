"""Parts of a sheet that no line joins share a paper, none on another."""

from __future__ import annotations

from loombook.drawings.geometry import Box
from loombook.drawings.oneline import Laid
from loombook.drawings.packing import packed
from loombook.drawings.scene import Item, Wire, rectangle
from loombook.drawings.geometry import Point


def block(key: str, wide: float, high: float) -> Laid:
    """A part that covers a rectangle."""
    return Laid((Item(key, "device", (rectangle(Box(0, 0, wide, high)),)),), wide, high)


def boxes(whole: Laid) -> dict[str, Box]:
    return {item.key: item.box for item in whole.items}


def test_two_parts_stand_side_by_side_where_the_paper_is_wide() -> None:
    found = boxes(packed([block("a", 300, 200), block("b", 100, 100)], 500, 250))

    assert found["a"].top == found["b"].top == 0
    assert found["b"].left > found["a"].right


def test_a_part_goes_under_another_where_the_paper_is_high() -> None:
    found = boxes(packed([block("a", 300, 200), block("b", 100, 100)], 320, 400))

    assert found["b"].top > found["a"].bottom


def test_a_part_goes_into_the_free_corner_of_a_bent_line() -> None:
    corner = Wire((Point(0, 0), Point(0, 400), Point(400, 400)))
    bent = Laid((Item("w", "wire", (corner,)),), 400, 400)
    found = boxes(packed([bent, block("b", 100, 100)], 400, 400))

    assert found["w"].holds(found["b"])


def test_what_has_no_room_is_not_placed() -> None:

    assert packed([block("a", 300, 200), block("b", 100, 100)], 320, 220) is None
