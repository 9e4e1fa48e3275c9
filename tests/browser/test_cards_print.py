"""The emergency cards as they print: large letters, black on white, no step over a page, one card one sheet."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from loombook.manual.cards import path as card_path
from loombook.study.cards import Cards
from loombook.study.cards.words import VERBS

from ..publish.printed import VESSELS, emergency, sheets, torn
from ..publish.site import build_site

POINT = 96 / 72
"""CSS pixels in a typographic point."""
Prints = dict[tuple[str, str, str], list[str]]
"""Boat, page and paper → the words of each sheet."""
PAPER = {"A4": (794, 1123, 16), "A5": (559, 794, 14)}
"""Paper → width and height in CSS pixels, smallest letters in points."""


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> dict[str, tuple[Path, Cards]]:
    """Boat → her site, and the cards on it."""
    found = {}
    for name, folder in VESSELS.items():
        manual, known = emergency(folder)
        found[name] = build_site(replace(manual, paper=()), tmp_path_factory.mktemp(name), strict=False), known
    return found


@pytest.fixture(scope="module")
def sites(made: dict[str, tuple[Path, Cards]]) -> dict[str, Path]:
    return {name: site for name, (site, _) in made.items()}


def cards(site: Path) -> list[Path]:
    return [
        path for path in sorted((site / "emergency").glob("*.html")) if 'class="lb-card"' in path.read_text("utf-8")
    ]


@pytest.fixture
def page(chromium: Browser) -> Iterator[Page]:
    found = chromium.new_page()
    yield found
    found.close()


LETTERS = """() => {
  const found = [];
  for (const card of document.querySelectorAll(".lb-card")) {
    const walk = document.createTreeWalker(card, NodeFilter.SHOW_TEXT);
    while (walk.nextNode()) {
      const text = walk.currentNode.textContent.trim();
      if (!text) continue;
      const own = walk.currentNode.parentElement;
      if (own.localName === "title") continue; // what a pointer shows
      const style = getComputedStyle(own);
      const scale = own.getScreenCTM?.().a ?? 1; // a drawing is shown larger than it was drawn
      found.push([text.slice(0, 60), parseFloat(style.fontSize) * scale, style.color, own.getAttribute("class") ?? ""]);
    }
  }
  return found;
}"""
"""Every text on a card, with its size [px], colour and class."""


def letters(page: Page, path: Path, paper: str) -> list[tuple[str, float, str, str]]:
    width, height, _ = PAPER[paper]
    page.set_viewport_size({"width": width, "height": height})
    page.emulate_media(media="print")
    page.goto(path.as_uri())
    return [tuple(row) for row in page.evaluate(LETTERS)]


@pytest.mark.parametrize("paper", PAPER)
def test_no_letter_on_a_card_is_too_small(sites: dict[str, Path], page: Page, paper: str) -> None:
    least = PAPER[paper][2] * POINT
    texts = [(path.stem, *row) for site in sites.values() for path in cards(site) for row in letters(page, path, paper)]

    assert len(texts) > 500
    assert [] == [(name, text, size) for name, text, size, _, _ in texts if size < least - 0.01]


def test_labels_are_24_points_at_least(sites: dict[str, Path], page: Page) -> None:
    labels = [
        row
        for site in sites.values()
        for path in cards(site)
        for row in letters(page, path, "A4")
        if "lb-label" in row[3]
    ]

    assert labels
    assert [] == [row for row in labels if row[1] < 24 * POINT - 0.01]


def test_all_letters_are_black(sites: dict[str, Path], page: Page) -> None:
    colours = {row[2] for site in sites.values() for path in cards(site) for row in letters(page, path, "A4")}

    assert {"rgb(0, 0, 0)"} == colours


def test_every_step_on_paper_begins_with_a_verb(sites: dict[str, Path], page: Page) -> None:
    wrong = []
    for site in sites.values():
        for path in cards(site):
            page.goto(path.as_uri())
            said = page.eval_on_selector_all(".lb-card .lb-do", "all => all.map(one => one.textContent.trim())")
            wrong += [
                (path.stem, do)
                for do in said
                if not do.removeprefix("Show: ").startswith(tuple(f"{verb} " for verb in VERBS))
            ]

    assert [] == wrong


@pytest.fixture(scope="module")
def prints(sites: dict[str, Path], chromium: Browser, tmp_path_factory: pytest.TempPathFactory) -> Prints:
    """Every page of cards, printed by the browser on both papers and read back sheet by sheet."""
    target, page = tmp_path_factory.mktemp("prints") / "it.pdf", chromium.new_page()
    page.emulate_media(media="print")
    found = {}
    for name, site in sites.items():
        for path in cards(site):
            page.goto(path.as_uri())
            for paper in PAPER:
                page.pdf(path=str(target), format=paper, print_background=True)
                found[name, path.stem, paper] = sheets(target)
    page.close()
    return found


def test_the_fast_card_is_one_sheet_with_two_sides(prints: Prints) -> None:
    for name in VESSELS:
        sides = prints[name, "isolate", "A4"]

        assert len(sides) <= 2, name
        for words in ("Shout FIRE", "Call MAYDAY", "STILL LIVE", "destroy older"):
            assert words in sides[0], (name, words)
        for words in ("STILL WORKING", "Tried by"):
            assert words in "".join(sides), (name, words)


def test_the_orderly_card_is_two_sheets_at_most(prints: Prints) -> None:
    assert [] == [name for name in VESSELS if len(prints[name, "orderly", "A4"]) > 4]


def test_each_handle_has_its_number_on_its_cards_own_plan(sites: dict[str, Path]) -> None:
    told = 0
    for name, site in sites.items():
        for path in cards(site):
            for front, back in _pairs(path.read_text("utf-8")):
                numbers = set(re.findall(r"plan\s(\d+)", front))
                dots = set(re.findall(r'aria-label="(\d+): ', back)) or set(re.findall(r"<title>(\d+): ", back))
                told += len(numbers)

                assert numbers == dots, (name, path.stem)
    assert told > 50


def _pairs(page: str) -> list[tuple[str, str]]:
    """The two sides of each card; the sheets for other people are of another make."""
    sides = re.split(r'<section class="lb-card"', page)[1:]
    return [(a, b) for a, b in zip(sides[::2], sides[1::2], strict=False) if "lb-boxes" in a]


def test_every_card_for_one_event_is_one_sheet(prints: Prints) -> None:
    """A sheet has two sides. The orderly card and those for parts of the boat are for the file and may take more."""
    filed = {"orderly", "partial", "spaces"}
    long = {key: len(told) for key, told in prints.items() if key[1] not in filed and key[2] == "A4" and len(told) > 2}

    assert {} == long


def test_every_card_has_a_box_for_what_stays_live_and_one_for_what_works(made: dict[str, tuple[Path, Cards]]) -> None:
    count = 0
    for name, (site, _) in made.items():
        for path in cards(site):
            for front, _ in _pairs(path.read_text("utf-8")):
                count += 1

                assert "STILL LIVE" in front and "STILL WORKING" in front, (name, path.stem)
    assert count == sum(len(list(known)) for _, known in made.values())


def test_no_step_is_broken_over_a_page(made: dict[str, tuple[Path, Cards]], prints: Prints) -> None:
    """Read back from the browser's prints: some sheet has all of each step."""
    wrong, looked_at = [], 0
    for name, (_, known) in made.items():
        for card in known:
            steps = (*card.steps, *card.keep_off, *(replace(back, where="") for back in card.restore))
            looked_at += len(steps)
            for paper in PAPER:
                text = prints[name, Path(card_path(card)).stem, paper]
                wrong += [(name, card.name, paper, do) for do in torn(text, steps)]

    assert [] == wrong
    assert looked_at > 300


def test_every_step_is_told_to_stay_together(sites: dict[str, Path], page: Page) -> None:
    page.emulate_media(media="print")
    wrong = []
    for site in sites.values():
        for path in cards(site):
            page.goto(path.as_uri())
            kept = page.eval_on_selector_all(
                ".lb-card li:has(> .lb-do)", "all => all.map(one => getComputedStyle(one).breakInside)"
            )
            wrong += [(path.stem, value) for value in kept if value != "avoid"]

    assert [] == wrong


def test_a_print_of_the_fast_card_names_the_boat_its_revision_and_the_drill(prints: Prints) -> None:
    text = "".join(prints["demo", "isolate", "A4"])

    assert re.search(r"Saltern · revision 14 · 2026-05-02 · destroy older", text)
    assert "Last drilled 15 days ago by Mirre Tarn, day: 52 seconds." in text
