"""What was added, removed or changed is told without any colour: by the line, and by a word at every thing."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from loombook.drawings.drawset import scenes
from loombook.drawings.labels import WORDS
from loombook.drawings.model import Branch, Cable, DrawingSet, Element, Front, Node, OneLine, State, Way
from loombook.drawings.quality import faults
from loombook.drawings.scene import Scene
from loombook.drawings.svg import written

from tests.drawings.samples import BLOCK

MARKED = (State.ADDED, State.REMOVED, State.CHANGED)
COLOUR = re.compile(r"(?:stroke|fill):var\([^)]*\);?")


def feeder(state: State) -> Scene:
    """A bar with one feeder, all of it in one state."""
    fuse, cable, motor = Element("fuse", "F1", ("10 A",)), Cable("W1", ("2.5 mm²",)), Element("motor", "M1", ("pump",))
    chain = (replace(fuse, state=state), replace(cable, state=state))
    branch = Branch("b", "X1", replace(motor, state=state), chain, state=state)
    (scene,) = scenes(DrawingSet(BLOCK, (OneLine("s", "S", (Node("X1", ("bar",), state=state),), (branch,)),)))
    return scene


def line_of(scene: Scene, key: str, role: str) -> str:
    """How an item's lines are drawn, its colours and words taken away."""
    svg = written(replace(scene, items=tuple(i for i in scene.items if i.key == key and i.role == role)))
    return COLOUR.sub("", "".join(re.findall(r"<(?:path|rect|g transform)[^>]*>", svg)))


@pytest.mark.parametrize("state", MARKED)
def test_each_thing_of_a_marked_feeder_says_its_state_in_words(state: State) -> None:
    scene = feeder(state)
    said = {
        item.key: " ".join(text.text for text in item.texts) for item in scene.items if item.role in ("device", "node")
    }

    assert {key: WORDS[state] in words for key, words in said.items()} == {"F1": True, "M1": True, "X1": True}
    assert faults(scene) == []


@pytest.mark.parametrize(("key", "role"), [("F1", "device"), ("M1", "device"), ("W1", "cable")])
def test_added_and_removed_lines_differ_from_those_that_stayed_with_all_colour_taken_away(key: str, role: str) -> None:
    stayed, added, removed = (line_of(feeder(state), key, role) for state in (State.NORMAL, State.ADDED, State.REMOVED))

    assert len({stayed, added, removed}) == 3
    assert "stroke-dasharray" in removed and "stroke-dasharray" not in added


@pytest.mark.parametrize("state", MARKED)
def test_a_marked_cable_says_its_state_to_a_screen_reader_and_on_paper(state: State) -> None:
    scene = feeder(state)
    (cable,) = [item for item in scene.items if item.key == "W1" and item.role == "cable"]

    assert WORDS[state].lower() in cable.name
    assert WORDS[state] in " ".join(text.text for text in cable.texts)


@pytest.mark.parametrize("state", MARKED)
def test_a_marked_way_of_a_panel_says_its_state(state: State) -> None:
    (scene,) = scenes(DrawingSet(BLOCK, (Front("f", "Front", ((Way("1", "PUMP", kind="fuse", state=state),),)),)))
    said = [text.text for item in scene.items if item.role == "device" for text in item.texts]

    assert WORDS[state] in said
