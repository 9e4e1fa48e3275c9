"""Measured in a browser with real fonts: no two texts overlap, none lies on a line or symbol, nothing is cut."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

import pytest
from loombook.drawings import strip
from loombook.drawings.drawset import scenes
from loombook.drawings.geometry import Box, Point, box_of, passes_through
from loombook.drawings.model import DrawingSet
from loombook.drawings.scene import Scene
from loombook.drawings.sheets import draw
from loombook.drawings.shelves import Shelves
from loombook.drawings.strips import strips
from loombook.drawings.svg import written
from loombook.pipeline import work_out
from loombook.study.run import study

from tests.drawings import samples
from tests.drawings.homes import by_lot, drawn

ROOT = Path(__file__).parents[2]
VESSELS = ("vessel", "tests/vessels/minimal", "tests/vessels/launch", "tests/vessels/everything")
MEASURE = """() => [...document.querySelectorAll('svg[data-drawing]')].map(root => {
  const to = root.getScreenCTM().inverse(), chart = root.classList.contains('lb-chart');
  const box = node => {
    const b = node.getBBox();
    if (!chart && !node.hasAttribute('transform')) return [b.x, b.y, b.x + b.width, b.y + b.height];
    const m = to.multiply(node.getScreenCTM());
    const p = (x, y) => new DOMPoint(x, y).matrixTransform(m);
    const a = p(b.x, b.y), c = p(b.x + b.width, b.y + b.height);
    return [Math.min(a.x, c.x), Math.min(a.y, c.y), Math.max(a.x, c.x), Math.max(a.y, c.y)];
  };
  const legs = path => {
    const d = path.getAttribute('d').match(/[MHVLZ][^MHVLZ]*/g), out = [];
    let at = null, first = null;
    for (const step of d) {
      const n = (step.slice(1).match(/-?[\\d.]+/g) || []).map(Number);
      const to = step[0] === 'H' ? [n[0], at[1]] : step[0] === 'V' ? [at[0], n[0]] : step[0] === 'Z' ? first : n;
      if (step[0] === 'M') { first = to; } else { out.push([...at, ...to]); }
      at = to;
    }
    return out;
  };
  const letter = t => t.getAttribute('text-anchor') === 'middle' && t.closest('g[transform]') && !chart;
  const all = what => [...root.querySelectorAll(what)], place = new Map(all('*').map((node, n) => [node, n]));
  const plate = text => {
    const found = text.closest('.lb-item')?.querySelector('[style*="fill:var(--lb-paper"]');
    return found ? place.get(found) : -1;
  };
  const lines = all('path').filter(p => !p.closest('g[transform]'));
  return {
    name: root.dataset.drawing,
    texts: all('text').filter(t => !letter(t) && t.textContent.trim()).map(t => [t.textContent, plate(t), ...box(t)]),
    symbols: chart ? [] : all('g[transform]').map(box),
    lines: chart ? [] : lines.flatMap(path => legs(path).map(leg => [place.get(path), ...leg])),
    size: [root.viewBox.baseVal.width, root.viewBox.baseVal.height],
  };
})"""
"""Of each drawing on the page its texts and symbols as boxes, and its lines, in the drawing's own measure. Before a line
stands its place in the drawing, before a text's box that of the plate of paper that it is printed on, which hides all
lines before it. Of charts the texts alone: there a curve may pass anywhere."""
TOUCH = 0.5
"""Boxes may share so little [px]."""


@pytest.fixture(scope="module")
def page(chromium: Any) -> Any:
    """A blank page of the browser, without network."""
    context = chromium.new_context(offline=True)
    yield context.new_page()
    context.close()


def measured(page: Any, svgs: Iterable[str]) -> list[dict[str, Any]]:
    """What the browser lays out, drawing by drawing, in one page."""
    page.set_content(f"<!doctype html><meta charset=utf-8><body style='margin:0'>{''.join(svgs)}")
    return page.evaluate(MEASURE)


def found(page: Any, svgs: Iterable[str]) -> list[str]:
    """All that overlaps or is cut in the drawings, in words."""
    seen = measured(page, svgs)
    assert seen and all(drawing["texts"] for drawing in seen)
    return [f"{drawing['name']}: {fault}" for drawing in seen for fault in overlaps(drawing)]


def overlaps(drawing: dict[str, Any]) -> Iterator[str]:
    """All that overlaps or is cut in one drawing."""
    texts = [(text, plate, Box(*sides).grown(-TOUCH)) for text, plate, *sides in drawing["texts"]]
    legs = [(place, (Point(*leg[:2]), Point(*leg[2:]))) for place, *leg in drawing["lines"]]
    words = Shelves((box, (n, text)) for n, (text, _, box) in enumerate(texts))
    lines = Shelves((box_of(leg), (place, leg)) for place, leg in legs)
    symbols = Shelves((Box(*sides), Box(*sides)) for sides in drawing["symbols"])
    sheet = Box(0, 0, *drawing["size"])
    for n, (text, plate, box) in enumerate(texts):
        yield from (f"“{text}” on “{other}”" for later, other in words.near(box) if later > n)
        drawn_over = [leg for place, leg in lines.near(box) if place > plate]
        yield from (f"“{text}” on a line" for leg in drawn_over if passes_through(leg, box))
        yield from (f"“{text}” on a symbol" for symbol in symbols.near(box) if symbol.meets(box))
        if not sheet.holds(box):
            yield f"“{text}” is cut"


@pytest.mark.parametrize("vessel", VESSELS)
def test_nothing_overlaps_on_any_drawing_of_a_vessel(vessel: str, page: Any) -> None:
    """Every sheet, front, plan, strip and chart, all in one page."""
    worked = work_out(ROOT / vessel, datetime.date(2026, 6, 1))

    assert found(page, draw(worked.study, worked.checked).values()) == []


@pytest.mark.parametrize("seed", range(2, 300, 20))
def test_nothing_overlaps_on_the_drawings_of_a_random_vessel(seed: int, page: Any) -> None:
    whole = study(by_lot(seed))
    sheets = [written(sheet) for sheet in drawn(whole).sheets]

    assert found(page, [*sheets, *(strip.draw(sheet) for sheet in strips(whole))]) == []


def test_nothing_overlaps_on_the_sample_drawings(page: Any, yacht: dict[str, Scene]) -> None:

    assert found(page, map(written, yacht.values())) == []


def test_nothing_overlaps_on_sheets_cut_from_a_large_one(page: Any) -> None:
    sheets = scenes(DrawingSet(samples.BLOCK, (samples.many_feeders(60),)))

    assert found(page, map(written, sheets)) == []


@pytest.mark.parametrize(
    ("drawing", "fault"),
    [
        ('<text x="10" y="50">one</text><text x="20" y="55">two</text>', "“one” on “two”"),
        ('<text x="10" y="50">one</text><path d="M0 46H100"/>', "“one” on a line"),
        ('<text x="10" y="50">one</text><path d="M0 0L60 90"/>', "“one” on a line"),
        ('<text x="10" y="50">one</text><g transform="translate(8 40)"><path d="M0 0H30V30Z"/></g>', "on a symbol"),
        ('<text x="380" y="50">one and more</text>', "“one and more” is cut"),
    ],
)
def test_the_measure_sees_what_overlaps(page: Any, drawing: str, fault: str) -> None:
    svg = f'<svg data-drawing="s" viewBox="0 0 400 300" width="800" height="600">{drawing}</svg>'
    (seen,) = measured(page, [svg])

    assert any(fault in said for said in overlaps(seen))


def test_our_widths_are_never_less_than_the_browsers(page: Any, yacht: dict[str, Scene]) -> None:
    ours = [(t.text, t.box.width) for item in yacht["ship"].items for t in item.texts]
    (seen,) = measured(page, [written(yacht["ship"])])
    theirs = {text: right - left for text, _, left, _, right, _ in seen["texts"]}

    assert {text for text, width in ours if text in theirs and theirs[text] > width + 0.5} == set()


def test_a_strip_is_read_on_a_phone_without_scrolling_sideways(page: Any) -> None:
    page.set_viewport_size({"width": 360, "height": 640})
    page.set_content(
        f"<!doctype html><meta name=viewport content='width=device-width'>"
        f"<body style='margin:8px'>{strip.draw(samples.strip())}"
    )

    assert page.evaluate("document.documentElement.scrollWidth") <= 360


def test_links_in_a_drawing_are_reached_by_the_keyboard(page: Any, yacht: dict[str, Scene]) -> None:
    page.set_content(f"<!doctype html><body>{written(yacht['panel.P2'])}")
    page.keyboard.press("Tab")
    first = page.evaluate("document.activeElement.getAttribute('href')")

    assert first.startswith("item:")
