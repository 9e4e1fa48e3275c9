"""Charts: the same bytes each time, text as text, colours of the page, no difference told by colour alone."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest
from loombook.drawings import charts
from loombook.drawings.chartmodel import Bars, Curve, Lines

from tests.drawings.random_sheets import HARD
from tests.drawings.sample_charts import ALL, BALANCE, CHARGE, TIME_CURRENT

SVG = "{http://www.w3.org/2000/svg}"
NAMES = [chart.name for chart in ALL]


@pytest.fixture(scope="module")
def texts() -> dict[str, str]:
    """All sample charts as SVG."""
    return {chart.name: charts.draw(chart) for chart in ALL}


def words(text: str) -> set[str]:
    """All texts in the chart."""
    return {"".join(node.itertext()).strip() for node in ElementTree.fromstring(text).iter(f"{SVG}text")}


@pytest.mark.parametrize("name", NAMES)
def test_a_chart_is_the_same_each_time(name: str, texts: dict[str, str]) -> None:
    chart = next(chart for chart in ALL if chart.name == name)

    assert charts.draw(chart) == texts[name]


@pytest.mark.parametrize("name", NAMES)
def test_a_chart_carries_no_date_and_no_maker(name: str, texts: dict[str, str]) -> None:

    assert not re.search(r"metadata|matplotlib|Matplotlib|dc:|20\d\d-\d\d-\d\d", texts[name])


@pytest.mark.parametrize("name", NAMES)
def test_ids_begin_with_the_charts_name(name: str, texts: dict[str, str]) -> None:
    ids = re.findall(r'\bid="([^"]+)"', texts[name])

    assert ids
    assert all(id.startswith(f"{name}-") for id in ids)
    assert set(re.findall(r"url\(#([^)]+)\)", texts[name])) <= set(ids)


@pytest.mark.parametrize("name", NAMES)
def test_every_colour_of_a_chart_can_be_set_by_the_page(name: str, texts: dict[str, str]) -> None:
    bare = re.sub(r"var\(--lb-[a-z0-9]+,#[0-9a-f]+\)", "", texts[name])

    assert not re.search(r'#[0-9a-f]{3,6}\b(?!")|rgb\(', re.sub(r'(href="#|url\(#)[^")]+', "", bare))


@pytest.mark.parametrize("name", NAMES)
def test_the_list_says_what_the_lines_are(name: str, texts: dict[str, str]) -> None:
    chart = next(chart for chart in ALL if chart.name == name)
    labels = {
        "TimeCurrent": lambda c: [x.label for g in (c.bands, c.limits, c.faults, c.starts) for x in g],
        "Lines": lambda c: [x.label for x in (*c.curves, *c.spans)],
        "Bars": lambda c: [label for label, _ in c.pieces],
    }[type(chart).__name__](chart)

    assert set(labels) <= words(texts[name])


def test_time_and_current_run_over_decades(texts: dict[str, str]) -> None:

    assert {"100", "1000", "10000", "0.01", "0.1", "1", "10"} <= words(texts[TIME_CURRENT.name])


def test_bands_differ_by_hatch_and_dash(texts: dict[str, str]) -> None:
    fills = re.findall(r"fill: (url\(#[^)]+\))", texts[TIME_CURRENT.name])

    assert len(set(fills)) >= 3


def test_a_day_has_24_hours(texts: dict[str, str]) -> None:

    assert {"0", "6", "12", "18", "24"} <= words(texts[CHARGE.name])


def test_every_operating_condition_has_a_bar(texts: dict[str, str]) -> None:
    said = " ".join(words(texts[BALANCE.name]))

    assert all(word in said for row in BALANCE.rows for word in row.split())


@pytest.mark.parametrize("name", HARD)
def test_nothing_of_the_inventory_is_taken_as_markup_or_formula(name: str) -> None:
    chart = Lines("hard", name, "x", "y", (Curve(f"_{name} $x^2$", ((0, 1), (1, 2))),), about=name)
    root = ElementTree.fromstring(charts.draw(chart))

    assert not list(root.iter(f"{SVG}script"))
    assert root.get("aria-label") is not None


def test_a_balance_without_anything_in_it_is_drawn() -> None:
    text = charts.draw(Bars("none", "Nothing", "Ah", ("At sea",), (("navigation", (0.0,)),)))

    assert "At sea" in words(text)
