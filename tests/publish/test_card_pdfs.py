"""Each card alone, on A4 and on A5: what a person reads from the sheet that hangs at the switch."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

import pikepdf
import pytest

from loombook.publish import pdf
from loombook.publish.cardsheets import PAPERS, cards
from loombook.study.cards import Cards, Step

from .printed import VESSELS, emergency, sheets, torn
from .test_pdf import LEAST, Run, runs

LABEL = 24.0
"""The smallest letters of what is written on a handle [pt]."""
FOOT = re.compile(r"revision .* as of|side \d+ of \d+")
"""The foot of a sheet, for whoever sorts prints: which edition, which side. It alone is small."""


@dataclass(frozen=True)
class Alone:
    """A card by itself, in a file."""

    boat: str
    title: str
    paper: str
    file: Path

    @cached_property
    def sides(self) -> list[list[Run]]:
        """Side → what it says, its foot too."""
        with pikepdf.open(self.file) as book:
            return [[run for run in runs(page) if run.text.strip()] for page in book.pages]

    @property
    def read(self) -> Iterator[Run]:
        """What it says above the foot of each side, the plan's letters too. The foot lies below all else."""
        for side in self.sides:
            foot = min(run.y for run in side)
            yield from (run for run in side if run.y > foot + 0.5)

    @cached_property
    def colours(self) -> set[tuple[float, ...]]:
        """Every colour that is no grey."""
        found = set()
        with pikepdf.open(self.file) as book:
            for page in book.pages:
                for instruction in pikepdf.parse_content_stream(page):
                    given = instruction.operands
                    if str(instruction.operator) in ("rg", "RG", "sc", "SC", "scn", "SCN", "k", "K") and len(given) > 1:
                        parts = tuple(round(float(part), 2) for part in given)
                        found |= {parts} if len(set(parts)) > 1 else set()
        return found


@dataclass(frozen=True)
class Boat:
    cards: Cards
    alone: tuple[Alone, ...]


@pytest.fixture(scope="module")
def boats(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Boat]:
    """The demo without her sixteen cards for spaces, and the launch."""
    found = {}
    for name, vessel in VESSELS.items():
        manual, known = emergency(vessel, parts=name != "demo")
        folder = tmp_path_factory.mktemp(name)
        pdf.write(pdf.card_pdfs(manual), folder)
        alone = (
            Alone(name, card.title, paper, folder / card.path(paper)) for card in cards(manual) for paper in PAPERS
        )
        found[name] = Boat(known, tuple(alone))
    return found


@pytest.fixture(scope="module")
def every(boats: dict[str, Boat]) -> list[Alone]:
    return [alone for boat in boats.values() for alone in boat.alone]


def test_no_letter_is_smaller_than_16_points_on_a4_and_14_on_a5(every: list[Alone]) -> None:
    small = [
        (card.boat, card.title, card.paper, run.text, run.size)
        for card in every for run in card.read if run.size < LEAST[card.paper]
    ]  # fmt: skip

    assert small == []


def test_only_the_foot_of_a_side_is_left_out_of_that(every: list[Alone]) -> None:
    for card in every:
        everything, read = [run for side in card.sides for run in side], list(card.read)
        left = sorted(run.text for run in everything if run not in read)

        assert [run.size for run in everything if run not in read] == [8.0] * len(left), card
        assert FOOT.search(" ".join(left)), (card, left)


def test_the_letters_on_the_plan_are_measured_too(every: list[Alone], boats: dict[str, Boat]) -> None:
    """They are set one by one, so a number on it is as many runs as it has digits."""
    for card in every:
        if card.title.startswith("FAST"):
            digits = Counter(run.text for run in card.read if len(run.text) == 1 and run.text.isdigit())
            numbers = Counter("".join(map(str, boats[card.boat].cards.fast.numbers)))

            assert numbers <= digits, card


def test_what_is_written_on_a_handle_is_24_points_high(every: list[Alone], boats: dict[str, Boat]) -> None:
    wrong, seen = [], 0
    for card in every:
        labels = {
            re.sub(r"\s", "", step.label) for known in boats[card.boat].cards for step in known.steps if step.label
        }
        for run in card.read:
            if re.sub(r"\s", "", run.text) in labels:
                seen += 1
                wrong += [(card.title, run)] if run.size < LABEL else []

    assert seen > 40
    assert wrong == []


def test_no_step_is_torn_over_two_sheets(every: list[Alone], boats: dict[str, Boat]) -> None:
    wrong, looked_at = [], 0
    for card in every:
        for known in boats[card.boat].cards:
            if known.title == card.title:
                steps = (*known.steps, *known.keep_off)
                looked_at += len(steps)
                wrong += [(card.boat, card.title, card.paper, do) for do in torn(sheets(card.file), steps)]

    assert looked_at > 300
    assert wrong == []


def test_a_step_that_goes_on_overleaf_would_be_seen() -> None:
    step = Step("Stop the engine", "Pull the red handle", "It falls silent")

    assert [] == torn(["1 Stop the engine Pull the red handle It falls silent"], [step])
    assert ["Stop the engine"] == torn(["1 Stop the engine Pull the red", "handle It falls silent"], [step])


def test_every_side_has_the_cards_name_once(every: list[Alone]) -> None:
    wrong = []
    for card in every:
        title = re.sub(r"\W", "", card.title)
        for number, text in enumerate(sheets(card.file), start=1):
            words = re.sub(r"\W", "", text)
            wrong += [(card.title, card.paper, number)] if not words.startswith(title) or "otherside" in words else []

    assert wrong == []


def test_the_fast_card_is_one_sheet_on_a4_and_a_folded_one_on_a5(every: list[Alone]) -> None:
    """A sheet has two sides; two A5 sheets are one A4 sheet, folded."""
    sides = {(card.boat, card.paper): len(card.sides) for card in every if card.title.startswith("FAST")}

    assert all(count <= (2 if paper == "a4" else 4) for (_, paper), count in sides.items()), sides


def test_a_card_for_one_event_is_not_longer_than_that_either(every: list[Alone]) -> None:
    filed = ("ORDERLY", "Only ")
    long = {
        (card.boat, card.title, card.paper): count
        for card in every
        if not card.title.startswith(filed) and (count := len(card.sides)) > (2 if card.paper == "a4" else 4)
    }

    assert {} == long


def test_a_card_alone_is_black_on_white(every: list[Alone]) -> None:
    """Nothing on it has a colour; a red lamp takes none of it away."""
    assert {} == {(card.title, card.paper): card.colours for card in every if card.colours}


def test_every_card_with_a_handle_on_the_plan_carries_its_own_plan(every: list[Alone], boats: dict[str, Boat]) -> None:
    bare = []
    for card in every:
        for known in boats[card.boat].cards:
            if known.title == card.title and known.numbers:
                lines = "\n".join(sheets(card.file)).split("\n")
                alone = {word for line in lines if re.fullmatch(r"[\d ]+", line) for word in line.split()}
                bare += [] if set(map(str, known.numbers)) <= alone else [(card.title, card.paper)]

    assert bare == []


def test_in_the_bound_manual_a_plan_stands_on_its_card_and_never_apart_from_its_caption(tmp_path: Path) -> None:
    manual, known = emergency(VESSELS["launch"])
    (tmp_path / "manual.pdf").write_bytes(pdf.manual_pdf(manual))
    captions, numbers = 0, {number for card in known for number in card.numbers}
    for sheet in sheets(tmp_path / "manual.pdf"):
        lines = sheet.split("\n")
        for place, line in enumerate(lines):
            if line.startswith("The handles, seen from above"):
                captions += 1
                near = {
                    word
                    for other in lines[place + 1 : place + 8]
                    if re.fullmatch(r"[\d ]+", other)
                    for word in other.split()
                }

                assert near & set(map(str, numbers)), sheet
    assert captions == len(known.plans)
