"""Sheets too big for their paper: cut, folded, and referred to from one another."""

from __future__ import annotations

import re
from collections import Counter

import pytest
from loombook.drawings.drawset import draw, scenes
from loombook.drawings.geometry import Point
from loombook.drawings.model import Branch, DrawingSet, Element, OneLine, Reference
from loombook.drawings.paper import A3, A4
from loombook.drawings.scene import Scene

from tests.drawings import samples
from tests.drawings.samples import BLOCK, bar, cable, device

PAPERS = {paper.name: paper for paper in (A4, A3)}


def devices(sheet: OneLine) -> set[str]:
    """Ids of all devices, sources and loads of a sheet."""
    return {end.id for b in sheet.branches for end in (b.upper, b.lower, *b.chain) if isinstance(end, Element)}


def counted(drawn: list[Scene]) -> Counter[str]:
    """On how many sheets each device stands."""
    return Counter(item.key for scene in drawn for item in scene.items if item.role == "device")


@pytest.mark.parametrize("feeders", [3, 20, 60, 130])
def test_every_device_is_on_exactly_one_sheet(feeders: int) -> None:
    sheet = samples.many_feeders(feeders)
    drawn = scenes(DrawingSet(BLOCK, (sheet,)))

    assert counted(drawn) == Counter(devices(sheet))


@pytest.mark.parametrize("feeders", [3, 20, 60, 130])
def test_no_sheet_is_larger_than_its_paper(feeders: int) -> None:
    for scene in scenes(DrawingSet(BLOCK, (samples.many_feeders(feeders),))):
        paper = PAPERS[scene.paper]

        assert scene.width <= paper.wide
        assert scene.height <= paper.high


def test_every_reference_names_the_zone_of_its_counterpart() -> None:
    drawn = scenes(samples.book())
    tags = {}
    for number, scene in enumerate(drawn, 1):
        for item in scene.items:
            if item.role == "reference":
                tag = item.parts[0].box
                zone = PAPERS[scene.paper].zone(Point((tag.left + tag.right) / 2, (tag.top + tag.bottom) / 2))
                tags.setdefault(item.key, []).append((f"{number}/{zone}", item.texts[0].text))

    assert set(tags) >= {"P1", "P2", "P3", "P4"}
    for (own, said), (other_own, other_said) in tags.values():
        assert (said, other_said) == (other_own, own)


def test_a_reference_without_a_counterpart_is_an_error() -> None:
    sheet = OneLine("one", "One", (bar("X1"),), (Branch("b", "X1", Reference("P9")),))

    with pytest.raises(ValueError, match="P9"):
        draw(DrawingSet(BLOCK, (sheet,)))


def test_pieces_are_named_after_their_sheet() -> None:
    names = [scene.name for scene in scenes(DrawingSet(BLOCK, (samples.many_feeders(60),)))]

    assert names == ["ship.many", *(f"ship.many.{n}" for n in range(2, len(names) + 1))]


def test_a_line_longer_than_the_paper_goes_on_elsewhere() -> None:
    chain = tuple(device("fuse", f"F{n}") if n % 2 else cable(f"W{n}", "16 mm²", "2 m") for n in range(60))
    sheet = OneLine("long", "Long line", (bar("X1"),), (Branch("b", "X1", device("lamp", "E1"), chain),))
    drawn = scenes(DrawingSet(BLOCK, (sheet,)))

    assert len(drawn) > 1
    assert counted(drawn) == Counter(devices(sheet))


def test_parts_that_do_not_hang_together_are_parted_first() -> None:
    bars = (bar("X1", "fore"), bar("X2", "aft"))
    feeders = tuple(
        Branch(f"{node.id} {n}", node.id, device("lamp", f"E{node.id}.{n}"), fuses)
        for node in bars
        for n in range(10)
        for fuses in (tuple(device("fuse", f"F{node.id}.{n}.{k}") for k in range(10)),)
    )
    both = OneLine("both", "Both", bars, feeders)
    drawn = scenes(DrawingSet(BLOCK, (both,)))

    assert len(drawn) == 2
    assert not any(item.role == "reference" for scene in drawn for item in scene.items)


def test_sheets_are_numbered_through_the_set() -> None:
    said = [
        text.text
        for scene in scenes(samples.book())
        for item in scene.items
        if item.key == "~block"
        for text in item.texts
        if re.fullmatch(r"\d+ of \d+", text.text)
    ]

    assert said == [f"{n} of {len(said)}" for n in range(1, len(said) + 1)]
