"""A small manual made by hand, to try the publisher on pages whose every word is known."""

from __future__ import annotations

import html
from dataclasses import replace

from loombook.manual.model import Manual, Page

NASTY = 'Pump </title><script>alert("bilge")</script> | `x` {{ y }} # *z* & <b>'
"""A name that would do harm wherever it is not written as text."""

META = '<p class="lb-meta">Invented vessel Tern · revision 7 · as of 2025-06-30</p>'

SHIP = """<?xml version="1.0" encoding="utf-8"?>
<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"
  width="900" height="220" viewBox="0 0 900 220">
<title>Single-line diagram of the ship</title>
<defs><clipPath id="frame"><rect width="900" height="220"/></clipPath></defs>
<g clip-path="url(#frame)" style="stroke: var(--lb-line, #111); fill: none" stroke-width="2">
<path d="M40 60H860M140 60V140M460 60V140"/>
<rect x="125" y="90" width="30" height="16" style="fill: var(--lb-paper, #fff)"/>
<path d="M700 60V140" style="stroke: var(--lb-live, #b00020)" stroke-width="4"/></g>
<g style="fill: var(--lb-text, #111)" font-size="15" font-family="sans-serif">
<a href="item:F12" data-item="F12"><text x="165" y="103">F12 · 3 A</text></a>
<a xlink:href="page:circuits/C21.md#path"><text x="100" y="165">C21 Depth sounder</text></a>
<text x="660" y="165">STILL LIVE</text></g>
</svg>"""

STRIP = """<svg xmlns="http://www.w3.org/2000/svg" width="320" height="60" viewBox="0 0 320 60">
<title>Supply path</title>
<defs><clipPath id="frame"><rect width="320" height="60"/></clipPath></defs>
<path d="M10 30H310" clip-path="url(#frame)" style="stroke: var(--lb-line, #111)"/>
<a href="item:F12"><text x="120" y="20" style="fill: var(--lb-text, #111)" font-size="14">F12</text></a></svg>"""

HOME = f"""# Tern

{META}
<p class="lb-demo">This vessel is invented.</p>

<ul class="lb-buttons">
<li><a href="page:emergency/isolate.md">Smoke: isolate now</a></li>
<li><a href="page:lookup/index.md">Something is dead</a></li>
</ul>

The [depth sounder](item:C21) and [how its path runs](circuits/C21.md#path).
"""

SOUNDER = f"""# Depth sounder

{META}
<div class="lb-answer"><dl class="lb-facts">
<dt>Fuse</dt><dd><a href="item:F12"><span class="lb-id">F12</span></a> 3 A blade</dd>
<dt>Place</dt><dd>behind the chart-table door, row 3, fourth from left</dd>
<dt>Spare</dt><dd>box A, 3 left</dd>
</dl></div>

<!--figure:strip-C21-->

## Path {{#path}}

<ol class="lb-path"><li>G1 House bank</li><li>F12</li><li>C21 Depth sounder</li></ol>

<div class="lb-table" role="region" tabindex="0" aria-label="Expected volts">
<table class="lb-stick"><caption>Expected volts</caption>
<thead><tr><th scope="col">Point</th><th scope="col">Place</th><th scope="col" class="lb-num">Volts</th>
<th scope="col">All right if</th><th scope="col">Instrument and lead to use</th></tr></thead>
<tbody><tr><th scope="row">F12 load side</th><td>Panel P2</td><td class="lb-num">13.1</td><td>above 12.8</td>
<td>meter from the negative bar behind the panel</td></tr></tbody></table></div>

<details class="lb-why"><summary>Why 13.1 V</summary><p>Drop by the rule's formula.</p></details>

A list in Markdown for the drop:

| length | drop |
|---|---|
| 6.2 m | 1.1 % |
"""

CARD = f"""# Isolate now

{META}
<section class="lb-card">
<div class="lb-card-head"><h2>Isolate: smoke or fire</h2>
<span>Tern · revision 7 · 2025-06-30 · destroy older</span></div>
<div class="lb-caution lb-danger" role="note"><p class="lb-caution-word">Danger</p>
<p>People first. Leave if there is smoke from the battery space.
This card does not replace training or a qualified person.</p></div>
<ol class="lb-steps">
<li><p class="lb-do">STOP the engine</p>
<p class="lb-where">At the helm.</p><p class="lb-see">The charge lamp goes out.</p></li>
<li><p class="lb-do">Q1 HOUSE BANK off</p>
<p class="lb-where">Foot of the aft bunk, left.</p><p class="lb-see">Panel dark.</p></li>
<li><p class="lb-do">Q2 START BATTERY off</p>
<p class="lb-where">Beside Q1.</p><p class="lb-see">Nothing.</p></li>
<li><p class="lb-do">SHORE LEAD out</p>
<p class="lb-where">At the pontoon first.</p><p class="lb-see">Charger fan stops.</p></li>
</ol>
<div class="lb-boxes">
<div class="lb-live"><h3>STILL LIVE</h3>
<ul><li>Solar leads to Q5, 40 V in daylight</li><li>Bilge pump, 24 V</li></ul></div>
<div class="lb-works"><h3>STILL WORKING</h3>
<ul><li>Bilge pump</li><li>Hand-held VHF</li></ul></div></div>
<div class="lb-card-foot">Tested by ______ on ______ in ______ seconds</div>
</section>
"""


def nasty_page() -> Page:
    """A consumer whose owner gave it a harmful name."""
    name = html.escape(NASTY)
    heading = "".join(f"&#{ord(c)};" for c in NASTY)
    return Page("circuits/C99.md", NASTY, f"# {heading}\n\n<p>{name}</p>\n", None, (NASTY, "C99"))


SHEET = f"""# The ship on one sheet

{META}

<!--figure:ship-->

<!--figure:strip-C21-->

<!--figure:ship-->

![the locker](page:photos/locker.png)
"""

INDEX = """# Everything by name

- [Depth sounder](item:C21)
- [odd one](page:circuits/C99.md)
"""

PAGES = (
    Page("index.md", "Tern", HOME, "Front"),
    Page("emergency/isolate.md", "Isolate now", CARD, "Emergency", ("fire", "smoke")),
    Page("drawings/ship.md", "The ship on one sheet", SHEET, "Drawings"),
    Page("lookup/index.md", "Everything by name", INDEX, "Look-up"),
    Page("circuits/C21.md", "Depth sounder", SOUNDER, None, ("C21", "depth sounder", "echo sounder", "fish finder")),
    Page("panels/X4.md", "Panel P2", '# Panel P2\n\n<h2 id="F12">F12</h2>\n', "Look-up", ("X4",)),
    nasty_page(),
)
LINKS = {
    "C21": ("Depth sounder", "circuits/C21.md"),
    "F12": ("Depth sounder fuse", "panels/X4.md#F12"),
    "C99": (NASTY, "circuits/C99.md"),
}
PIXEL = bytes.fromhex(
    "89504e470d0a1a0a0000000d49484452000000010000000108060000001f15c4890000000d49444154789c6360f8cff01f0005000"
    "1ff56c7b5a20000000049454e44ae426082"
)
"""A photo of one dot, as PNG."""

MANUAL = Manual(
    title="Tern: electrical manual",
    pages=PAGES,
    drawings={"ship": SHIP, "strip-C21": STRIP},
    files={"photos/locker.png": PIXEL},
    links=LINKS,
)


def manual(**changes) -> Manual:
    """The manual; `changes` replace its fields."""
    return replace(MANUAL, **changes)
