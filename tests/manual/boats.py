"""Boats for the manual's tests, and their manuals. All invented."""

from __future__ import annotations

import datetime
from functools import cache
from pathlib import Path

from loombook.checks import Checked, run_checks
from loombook.inventory import read_inventory, read_text
from loombook.inventory.records import Inventory
from loombook.manual import Manual, build
from loombook.manual.book import Book
from loombook.network import build as lay
from loombook.study.model import Study
from loombook.study.run import study

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "vessel"
VESSELS = {"demo": DEMO, **{name: ROOT / "tests" / "vessels" / name for name in ("minimal", "launch", "everything")}}
AS_OF = datetime.date(2026, 6, 1)

DINGHY = """
vessel: {name: Dab, invented: yes, kind: sailing dinghy with a cuddy, revision: "3", date: 2026-05-01}
spaces:
  cuddy: {name: Cuddy, temperature: 25 °C}
  stern: {name: Stern locker}
batteries:
  G1: {name: Battery, also called: [accumulator], chemistry: agm lead-acid, cells: {series: 6, capacity: 60 Ah}, resistance: 8 to 12 mΩ,
       usable: 50 %, at: "stern, port side, strapped down"}
switches:
  Q1: {name: Main switch, rating: 100 A, voltage: 24 V, at: "cuddy, left of the hatch, red key", see: the lamp at the panel goes out}
fuses:
  F1: {name: Main fuse, kind: class T, rating: 60 A, voltage: 58 V, breaking: 20 kA at 58 V, at: "stern, on the battery's post"}
  F9: {name: Sounder tail fuse, kind: glass, rating: 1 A, hidden: yes, at: "cuddy, behind the lining, cut the tie"}
bars:
  X2: {name: Negative bar, at: "cuddy, behind the panel"}
panels:
  X4: {name: Panel, at: "cuddy, on the bulkhead, behind the flap", kind: blade, voltage: 32 V, breaking: 1 kA at 32 V, negative: X2, columns: 2,
       ways: {1: "3 A, SOUNDER", 2: "5 A, LIGHTS", 3: "10 A, PUMP", 4: spare}}
runs:
  positive: [G1 +, W1: "16 mm², 0.2 m, red", F1, W2: "16 mm², 1.5 m, red", Q1, W3: "16 mm², 0.5 m, red", X4]
  negative: [G1 -, W4: "16 mm², 2 m, black", X2]
circuits:
  C21:
    name: Depth sounder
    also called: [echo sounder, fish finder]
    from: X4 way 1
    cable: ["1.5 mm², 2 m", F9, "1 mm², 3.2 m"]
    load: 0.35 A
    law: power
    use: navigation
    duty: 100 %
    at: cuddy, beside the hatch
  C22:
    name: Cabin light
    from: X4 way 2
    cable: 1.5 mm², 2 m
    load: 5 W
    duty: 20 %
    at: cuddy, deckhead
  C23: {name: Anchor light, from: X4 way 2, cable: 1.5 mm², load: 3 W, use: navigation lights, essential: yes, duty: 50 %}
  C24: {name: Bilge pump, from: X4 way 3, cable: "2.5 mm², 2.5 m", load: 4 A, use: bilge pump, duty: 1 %, at: "stern, lowest point"}
spares:
  - {kind: blade, rating: 3 A, count: 4, at: "cuddy, box under the thwart"}
waivers:
  - {rule: L-05, item: F9, reason: the lining comes down next winter, by: A. Nobody, until: 2026-12-31}
drills:
  - {card: fast, date: 2026-04-01, seconds: 20}
prints:
  - {card: fast, at: "cuddy, inside the flap", revision: "2"}
"""
"""The smallest boat with something of everything that a consumer's page shows."""

HARM = '<script>alert(1)</script> | `tick` {{ 7*7 }} {% raw %} # * _ $ @ ~ \\ "q" [a](item:F1) <!--figure:ship--> &amp; href="item:F1"'
RIGHT_TO_LEFT = "\u05d0\u05d5\u05e8 \u05e2\u05d5\u05d2\u05df \u0645\u0631\u0633\u0627\u0629"
LONG = "Lamp " * 39 + "over"
"""Two hundred letters."""


def hostile() -> str:
    """The dinghy with names that a careless page would trip over."""
    quoted = HARM.replace("\\", "\\\\").replace('"', '\\"')
    text = DINGHY.replace("name: Depth sounder", f'name: "{quoted}"').replace(
        "[echo sounder, fish finder]", f'["{quoted}", "- 3 A", "1. one"]'
    )
    text = text.replace("name: Cabin light", f'name: "{RIGHT_TO_LEFT}"').replace("name: Bilge pump", f'name: "{LONG}"')
    text = (
        text.replace('"3 A, SOUNDER"', f'"3 A, {quoted}"')
        .replace("name: Cuddy,", f'name: "{quoted}",')
        .replace("name: Dab,", f'name: "{quoted}",')
    )
    return text.replace("cuddy, beside the hatch", f'{{space: cuddy, place: "{quoted}"}}').replace(
        "reason: the lining comes down next winter", f'reason: "{quoted}"'
    )


def worked(inventory: Inventory) -> tuple[Study, Checked]:
    """The study of a boat, and what the rules say."""
    result = study(lay(inventory))
    return result, run_checks(result, AS_OF)


@cache
def of_text(text: str, writer: str = "site") -> Manual:
    """The manual of an inventory text."""
    return build(*worked(read_text(text)), AS_OF, writer=writer)


@cache
def worked_vessel(name: str) -> tuple[Study, Checked]:
    """The study of one of the vessels in the repository, and what the rules say."""
    return worked(read_inventory(VESSELS[name]))


def study_of(name: str) -> Study:
    """The study of one of the vessels in the repository."""
    return worked_vessel(name)[0]


def book_of(name: str) -> Book:
    """One of the vessels as the pages see her."""
    return Book(*worked_vessel(name), AS_OF)


@cache
def of_vessel(name: str, writer: str = "site") -> Manual:
    """The manual of one of the vessels in the repository."""
    return build(*worked_vessel(name), AS_OF, writer=writer)


def page(manual: Manual, path: str) -> str:
    """The body of a page."""
    return next(page.body for page in manual.pages if page.path == path)
