"""The measure itself: it sees what a draughtsman would see, and the yacht's drawings have nothing to see."""

from __future__ import annotations

import pytest
from loombook.drawings.geometry import Box, Point
from loombook.drawings.model import Service, State
from loombook.drawings.quality import faults, pleasantness
from loombook.drawings.scene import Item, Part, Scene, Symbol, Text, Wire, rectangle


def scene(*parts: Part, key: str = "F1", more: tuple[Item, ...] = ()) -> Scene:
    """A sheet with one item of these parts, and others."""
    return Scene("s", "S", "", 400, 300, (Item(key, "device", parts), *more))


@pytest.mark.parametrize(
    ("parts", "fault"),
    [
        ((Text(20, 50, "one"), Text(30, 55, "two")), "lies on"),
        ((Text(20, 50, "one"), Wire((Point(0, 45), Point(100, 45)))), "lies on a line"),
        ((Text(20, 50, "one"), Wire((Point(30, 0), Point(30, 100)))), "lies on a line"),
        ((Text(100, 60, "one"), Symbol("motor", Point(110, 40))), "lies on the symbol"),
        ((Text(20, 50, "one"), rectangle(Box(10, 45, 60, 90))), "lies on a line"),
        ((Symbol("motor", Point(100, 40)), Symbol("lamp", Point(110, 50))), "overlap"),
        ((Text(380, 50, "too far right"),), "leaves the frame"),
        ((Symbol("motor", Point(5, 40)),), "leaves the frame"),
        ((Symbol("motor", Point(100, 40)), Wire((Point(0, 60), Point(300, 60)), ends=("F1", "F1"))), "runs through"),
        ((Wire((Point(0, 0), Point(50, 60)), ends=("F1", "F1")),), "neither upright nor level"),
    ],
)
def test_a_bad_drawing_is_found_out(parts: tuple[Part, ...], fault: str) -> None:

    assert any(fault in found for found in faults(scene(*parts)))


def test_a_line_that_stops_short_of_its_fuse_is_found_out() -> None:
    wire = Item("~w", "wire", (Wire((Point(50, 10), Point(50, 40)), ends=("F1", "F1")),))

    assert any("beside F1" in found for found in faults(scene(Symbol("fuse", Point(50, 50)), more=(wire,))))


def test_a_good_drawing_has_no_faults() -> None:
    fuse = Item("F1", "device", (Symbol("fuse", Point(50, 50)), Text(70, 70, "F1")))
    lamp = Item("E1", "device", (Symbol("lamp", Point(50, 120)), Text(70, 140, "E1")))
    wire = Item("W1", "cable", (Wire((Point(50, 86), Point(50, 120)), ends=("F1", "E1")),))

    assert faults(Scene("s", "S", "", 400, 300, (fuse, lamp, wire))) == []


def test_crossings_and_bends_are_counted() -> None:
    cross = (
        Wire((Point(0, 50), Point(100, 50)), ends=("a", "b")),
        Wire((Point(50, 0), Point(50, 100), Point(80, 100)), ends=("c", "d")),
    )

    assert (pleasantness(scene(*cross)).crossings, pleasantness(scene(*cross)).bends) == (1, 1)


def test_lines_that_meet_do_not_cross() -> None:
    meet = (
        Wire((Point(0, 50), Point(100, 50)), ends=("a", "b")),
        Wire((Point(50, 50), Point(50, 100)), ends=("a", "c")),
    )

    assert pleasantness(scene(*meet)).crossings == 0


def test_no_drawing_of_the_yacht_has_a_fault(yacht: dict[str, Scene]) -> None:
    found = {name: faults(drawing) for name, drawing in yacht.items()}

    assert found == {name: [] for name in yacht}


def test_the_bar_of_a_node_may_be_met_anywhere() -> None:
    bar = Item("X1", "node", (Wire((Point(10, 50), Point(200, 50)), Service.BAR, State.NORMAL),))
    wire = Item("~w", "wire", (Wire((Point(77, 50), Point(77, 90)), ends=("X1", "F1")),))
    fuse = Item("F1", "device", (Symbol("fuse", Point(77, 90)),))

    assert faults(Scene("s", "S", "", 400, 300, (bar, wire, fuse))) == []
