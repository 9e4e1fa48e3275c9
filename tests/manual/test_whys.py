"""Every computed figure in a table of any page leads to its why, from its own cell."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fnmatch import fnmatch

import pytest

from .boats import of_vessel
from .reading import anchors

VESSELS = ("demo", "everything", "launch", "minimal")
GIVEN = {
    "*": {
        # what the owner wrote, shown as written with its mark
        "Area", "Length", "Rating", "Rating (A)", "Rated voltage", "Insulation", "Voltage", "Voltage (V)", "Label", "Value",
        "Limit", "Device before it", "Its cable", "Load", "Wire to it", "Breaks (kA)",
        # counts, ids, names and dates
        "Consumers", "Ways", "Way", "Spare ways", "How many", "Cables", "Items and devices", "Fitted", "Carried", "Wanted",
        "Short of", "Found", "Passed", "Cannot check", "Cases", "Date", "Used for", "Seconds", "Mark",
        # the bands and reasons of the devices, told by their own why beside them
        "Kind and rating", "Band from",
        # names in which figures stand
        "Item", "Where", "What", "From", "To", "Device", "Bank", "Consumer", "Bar or panel", "Converter", "Source", "Panel",
        "Main switch", "Feeds", "Measure at", "The fault is in", "Measure first at", "Wire or link", "Leads to", "Fitted as",
        "Where exactly", "Where that is", "Stands", "Sources that feed it", "System", "At", "One of them", "Side by side",
        "If this is gone", "You lose", "Given by", "End of the wire at", "Converter, inverter, charger", "Battery or bank",
        "Smallest wire", "Short just behind", "Reached without a device by",
    },
    "orientation/system.md": {"Gives"},
    "find/index.md": {"*"},
    "emergency/still-live.md": {"Live", "Wait"},
    "sources/bms.md": {"Absorption (V)", "House*", "Drive bank*"},
    "sources/charging.md": {"Gives (A)", "Absorption (V)", "Float (V)"},
    "sources/solar.md": {"Controller takes (V)"},
    "sources/mains.md": {"Last test", "Device before it"},
    "figures/balance.md": {"Lasts (h a day)", "Until hour", "Full sun (h a day)"},
    "figures/drive-*.md": {"Speed (kn)", "Speed", "Power"},
    "figures/selectivity.md": {"Trips above", "After"},
    "figures/drop.md": {"Current (A)", "Limit (%)"},
    "figures/flow-*.md": {"At most (A)", "Efficiency (%)", "Works from"},
    "figures/sharing.md": {"An even part (%)", "Carries for good (A)", "Cable", "Conductors"},
    "lookup/cables.md": {"Cable"},
    "figures/protection*.md": {"The rules say"},  # leads to the finding, which says figures, limit and source
    "figures/mains.md": {"Allowed (s)", "Trips at (mA)", "Earth here (Ω)", "Device before it", "Current (A)", "Limit (%)"},
    # pages of methods and texts
    "figures/assumptions.md": {"*"},
    "figures/how.md": {"*"},
    "figures/verification.md": {"*"},
    "findings/*.md": {"*"},
    "about/language.md": {"*"},
    "emergency/stays-on.md": {"Carries (of them)"},
}  # fmt: skip
"""Page → columns whose figures are no results: what the inventory or a standard says, counts, and names in which figures
stand. A column that is not here must lead to a why wherever it holds a figure."""
_TABLE, _ROW = re.compile(r"<table.*?</table>", re.S), re.compile(r"<tr[^>]*>(.*?)</tr>", re.S)
_CELL, _TAG = re.compile(r"<(t[hd][^>]*)>(.*?)</t[hd]>", re.S), re.compile(r"<[^>]+>")
_WHYS = re.compile(r'<details class="lb-why".*?</details>', re.S)
_WHY = re.compile(r'href="(?:item|page):[^"#]*#why-[^"]+"')
_UNIT = re.compile(
    r"\d\s?(?:A|V|W|Ah|k?Wh|kA|mΩ|Ω|µs|ms|s|h|min|m|mm²|%|kn|kg|N·m|kgf|k?N|A²s|°C|days?|years?|hours?|months?)(?![\w²])"
)


def _given(path: str, head: str) -> bool:
    return any(fnmatch(path, page) and any(fnmatch(head, given) for given in heads) for page, heads in GIVEN.items())


def _without(path: str, body: str) -> Iterator[str]:
    """Figures that neither lead to a why nor are given: column and figure. A why's own table is the end of the way."""
    for table in _TABLE.findall(_WHYS.sub("", body)):
        rows = _ROW.findall(table)
        heads = [_TAG.sub("", cell) for _, cell in _CELL.findall(rows[0])]
        for row in rows[1:]:
            for head, (tag, cell) in zip(heads, _CELL.findall(row), strict=True):
                words = _TAG.sub("", cell)
                figure = _UNIT.search(words) or ("lb-num" in tag and re.search(r"[1-9]", words))
                if figure and not _WHY.search(cell) and "cannot check" not in words:
                    if not _given(path, head):
                        yield f"{head}: {words}"


@pytest.mark.parametrize("vessel", VESSELS)
def test_every_computed_figure_leads_to_its_why(vessel: str) -> None:
    pages = of_vessel(vessel).pages

    assert {} == {p.path: rows for p in pages if (rows := list(_without(p.path, p.body)))}


@pytest.mark.parametrize("vessel", VESSELS)
def test_no_page_of_figures_is_without_whys(vessel: str) -> None:
    """The crawl above would also pass over pages that lost their tables."""
    kinds = (
        "figures/fault.md",
        "figures/drop.md",
        "figures/carrying.md",
        "figures/balance.md",
        "lookup/cables.md",
        "banks/G1.md",
    )
    pages = {p.path: p.body for p in of_vessel(vessel).pages}

    assert [] == [kind for kind in kinds if not any(_WHY.search(row) for row in _ROW.findall(pages[kind]))]


@pytest.mark.parametrize("vessel", VESSELS)
def test_a_why_says_formula_source_and_inputs(vessel: str) -> None:
    """Of every telling on every page; one without inputs is a value as given, and says where it is from."""
    told = [why for p in of_vessel(vessel).pages for why in _WHYS.findall(p.body)]

    assert [] == [
        why
        for why in told
        if "<strong>" not in why or "Source: " not in why or not re.search(r"<li>|<td>|as given", why)
    ]


@pytest.mark.parametrize("vessel", VESSELS)
def test_every_way_to_a_why_ends_at_one(vessel: str) -> None:
    manual = of_vessel(vessel)
    places = {p.path: anchors(p.body) for p in manual.pages}
    lost = []
    for page in manual.pages:
        for scheme, name, anchor in re.findall(r'href="(item|page):([^"#]*)#(why-[^"]+)"', page.body):
            path = manual.links[name.replace("%20", " ")][1].partition("#")[0] if scheme == "item" else name
            if anchor not in places[path]:
                lost.append(f"{page.path}: {path}#{anchor}")

    assert [] == sorted(set(lost))


def test_a_figure_without_a_why_is_seen() -> None:
    table = '<table><tr><th>Consumer</th><th class="lb-num">Drop (V)</th></tr><tr><th>Lamp</th><td class="lb-num">0.3</td></tr></table>'

    assert ["Drop (V): 0.3"] == list(_without("figures/drop.md", table))
    assert [] == list(_without("figures/drop.md", table.replace("0.3", '<a href="item:C1#why-drop">0.3</a>')))
