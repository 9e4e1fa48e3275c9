"""The emergency cards as they print: large letters, black on white, no step over a page, one card one sheet."""

from __future__ import annotations

import datetime
import re
import subprocess
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from loombook.manual import build
from loombook.manual.model import Manual
from loombook.pipeline import manual_of, work_out
from loombook.study.cards.words import VERBS

from ..publish.site import build_site

AS_OF = datetime.date(2026, 5, 10)
ROOT = Path(__file__).parents[2]
VESSELS = {"demo": ROOT / "vessel", "launch": ROOT / "tests/vessels/launch"}
POINT = 96 / 72
"""CSS pixels in a typographic point."""
PAPER = {"A4": (794, 1123, 16), "A5": (559, 794, 14)}
"""Paper → width and height in CSS pixels, smallest letters in points."""


def manual(folder: Path) -> Manual:
    worked = work_out(folder, AS_OF)
    made = build(worked.study, worked.checked, worked.as_of)
    return replace(made, pages=tuple(p for p in made.pages if p.path.startswith("emergency/") or p.path == "index.md"))


@pytest.fixture(scope="module")
def sites(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    return {
        name: build_site(manual(folder), tmp_path_factory.mktemp(name), strict=False)
        for name, folder in VESSELS.items()
    }


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
      const own = walk.currentNode.parentElement, style = getComputedStyle(own);
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


SHEETS = """(height) => [...document.querySelectorAll(".lb-card li:has(> .lb-do)")]
  .map((step) => step.getBoundingClientRect().height / height)"""


def printed(page: Page, path: Path, paper: str, tmp_path: Path) -> list[str]:
    """The text of each sheet of the print."""
    page.emulate_media(media="print")
    page.goto(path.as_uri())
    target = tmp_path / f"{path.stem}-{paper}.pdf"
    page.pdf(path=str(target), format=paper, print_background=True)
    return text_of(target)


def text_of(pdf: Path) -> list[str]:
    text = subprocess.run(["pdftotext", "-layout", str(pdf), "-"], capture_output=True, text=True, check=True).stdout
    return text.removesuffix("\f").split("\f")


def test_the_fast_card_is_one_page_and_its_other_side_another(
    sites: dict[str, Path], page: Page, tmp_path: Path
) -> None:
    for name, site in sites.items():
        sides = printed(page, site / "emergency/isolate.html", "A4", tmp_path)

        assert len(sides) <= 2, name
        for words in ("Shout FIRE", "Call MAYDAY", "STILL LIVE", "STILL WORKING", "destroy older"):
            assert words in sides[0], (name, words)
        assert "Tried by" in sides[-1]


def test_the_orderly_card_is_two_sheets_at_most(sites: dict[str, Path], page: Page, tmp_path: Path) -> None:
    for name, site in sites.items():
        assert len(printed(page, site / "emergency/orderly.html", "A4", tmp_path)) <= 4, name


def test_each_handle_of_the_fast_card_has_its_number_on_the_cards_own_plan() -> None:
    for name, folder in VESSELS.items():
        made = manual_of(folder, AS_OF)
        (card,) = (page.body for page in made.pages if page.path == "emergency/isolate.md")
        numbers = set(re.findall(r"(\d+) on the plan", card))
        dots = set(re.findall(r"[\">](\d+): ", made.drawings["plan-isolate"]))

        assert numbers, name
        assert "<!--figure:plan-isolate-->" in card, name
        assert numbers == dots, name


def test_every_card_for_one_event_is_one_sheet(sites: dict[str, Path], page: Page, tmp_path: Path) -> None:
    """A sheet has two sides. The orderly card and those for parts of the boat are for the file and may take more."""
    filed = {"orderly", "partial", "spaces"}
    long = {
        (name, path.stem): len(sheets)
        for name, site in sites.items()
        for path in cards(site)
        if path.stem not in filed and len(sheets := printed(page, path, "A4", tmp_path)) > 2
    }

    assert {} == long


def test_no_step_is_broken_over_a_page(sites: dict[str, Path], page: Page, tmp_path: Path) -> None:
    """Chromium keeps a step together because it is told to; and every step is lower than a page, so that it can."""
    wrong = []
    for site in sites.values():
        for path in cards(site):
            for paper, (width, height, _) in PAPER.items():
                letters(page, path, paper)
                kept = page.eval_on_selector_all(
                    ".lb-card li:has(> .lb-do)", "all => all.map(one => getComputedStyle(one).breakInside)"
                )
                wrong += [(path.stem, paper, value) for value in kept if value != "avoid"]
                wrong += [(path.stem, paper, part) for part in page.evaluate(SHEETS, height) if part > 0.5]

    assert [] == wrong


def test_a_print_of_the_fast_card_names_the_boat_its_revision_and_the_drill(
    sites: dict[str, Path], page: Page, tmp_path: Path
) -> None:
    text = printed(page, sites["demo"] / "emergency/isolate.html", "A4", tmp_path)[0]

    assert re.search(r"Saltern · revision 14 · 2026-05-02 · destroy older", text)
    assert "Last drilled 15 days ago by Mirre Tarn, day: 52 seconds." in text
