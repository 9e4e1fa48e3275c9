"""Measured in a browser with real fonts: no two texts overlap, none lies on a line or symbol, nothing is cut."""

from __future__ import annotations

from itertools import combinations
from typing import Any

import pytest
from loombook.drawings import strip
from loombook.drawings.drawset import scenes
from loombook.drawings.geometry import Box
from loombook.drawings.model import DrawingSet
from loombook.drawings.scene import Scene
from loombook.drawings.svg import written

from tests.drawings import samples

MEASURE = """() => {
  const root = document.querySelector('svg'), to = root.getScreenCTM().inverse();
  const box = node => {
    const b = node.getBBox(), m = to.multiply(node.getScreenCTM());
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
  const letter = t => t.getAttribute('text-anchor') === 'middle' && t.closest('g[transform]');
  const texts = [...root.querySelectorAll('text')].filter(t => !letter(t));
  return {
    texts: texts.map(t => [t.textContent, ...box(t)]),
    symbols: [...root.querySelectorAll('g[transform]')].map(box),
    lines: [...root.querySelectorAll('path')].filter(p => !p.closest('g[transform]')).flatMap(legs),
    size: [root.viewBox.baseVal.width, root.viewBox.baseVal.height],
  };
}"""
TOUCH = 0.5
"""Boxes may share so little [px]."""


@pytest.fixture(scope="module")
def page(chromium: Any) -> Any:
    """A blank page of the browser, without network."""
    context = chromium.new_context(offline=True)
    yield context.new_page()
    context.close()


def measured(page: Any, svg: str) -> dict[str, list]:
    """Boxes of texts and symbols and the straight lines, as the browser lays them out."""
    page.set_content(f"<!doctype html><meta charset=utf-8><body style='margin:0'>{svg}")
    return page.evaluate(MEASURE)


def crosses(leg: list[float], box: Box) -> bool:
    """True when a level or upright line passes through the box."""
    x0, x1 = sorted((leg[0], leg[2]))
    y0, y1 = sorted((leg[1], leg[3]))
    return x0 < box.right and box.left < x1 + 0.01 and y0 < box.bottom and box.top < y1 + 0.01


def found(page: Any, scene: Scene) -> list[str]:
    """All that overlaps or is cut, in words."""
    seen = measured(page, written(scene))
    texts = [(text, Box(*sides).grown(-TOUCH)) for text, *sides in seen["texts"]]
    symbols = [Box(*sides) for sides in seen["symbols"]]
    sheet = Box(0, 0, *seen["size"])
    out = [f"“{a}” on “{b}”" for (a, one), (b, two) in combinations(texts, 2) if one.meets(two)]
    out += [
        f"“{text}” on a line"
        for text, box in texts
        for leg in seen["lines"]
        if (leg[0] == leg[2] or leg[1] == leg[3]) and crosses(leg, box)
    ]
    out += [f"“{text}” on a symbol" for text, box in texts for symbol in symbols if box.meets(symbol)]
    out += [f"“{text}” is cut" for text, box in texts if not sheet.holds(box)]
    assert len(texts) > 3
    return out


@pytest.mark.parametrize(
    "name",
    ["ship", "panel.P1", "panel.P2", "system.24", "bank.G1", "isolation", "front.P1", "plan.plain", "strip.E101"],
)
def test_nothing_overlaps_in_the_browser(name: str, page: Any, yacht: dict[str, Scene]) -> None:

    assert found(page, yacht[name]) == []


def test_nothing_overlaps_on_sheets_cut_from_a_large_one(page: Any) -> None:
    for scene in scenes(DrawingSet(samples.BLOCK, (samples.many_feeders(60),))):
        assert found(page, scene) == []


def test_our_widths_are_never_less_than_the_browsers(page: Any, yacht: dict[str, Scene]) -> None:
    ours = [(t.text, t.box.width) for item in yacht["ship"].items for t in item.texts]
    theirs = {text: right - left for text, left, _, right, _ in measured(page, written(yacht["ship"]))["texts"]}

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
