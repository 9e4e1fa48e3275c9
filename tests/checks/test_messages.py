"""A finding as it is printed."""

from __future__ import annotations

from loombook.checks import run_checks
from loombook.checks.model import diagnostic
from loombook.diagnostics import as_text
from loombook.inventory import read_text
from loombook.network import build
from loombook.study.run import study

from .surveyed import AS_OF

BOAT = """\
vessel: {name: Tern, invented: yes, rules: us}
spaces: {galley: {name: Galley}, engine: {name: Engine space, engine: yes}}
batteries:
  G1: {name: House battery, chemistry: agm lead-acid, cells: {series: 6, capacity: 90 Ah}}
panels:
  X4:
    name: Panel
    at: galley, behind the door
    negative: G1 -
    ways:
      14: {rating: 25 A, label: FRIDGE}
runs:
  feed: [G1 +, F1, W1: "16 mm², 2 m, 105 °C", X4]
fuses:
  F1: {name: Main fuse, kind: class T, rating: 60 A}
circuits:
  C14: {name: Refrigerator, from: X4 way 14, cable: "1.5 mm², 3 m, 75 °C, in engine, bundle of 5", load: 4 A}
"""

PRINTED = """\
A  P-05  X4 way 14 FRIDGE (25 A) is above what the cable of C14 Refrigerator carries here (11.2 A): 222 %
  --> vessel.yaml:11:20
11 |       14: {rating: 25 A, label: FRIDGE}
   |                    ^^^^ 25 A against 16.9 A
   = cable   vessel.yaml:17:53  C14, 1.5 mm², 3 m, 75 °C insulation, in engine, bundle of 5
   = where   Galley, behind the door
"""


def test_a_finding_shows_the_owners_own_line_and_the_cable() -> None:
    inventory = read_text(BOAT)
    checked = run_checks(study(build(inventory)), AS_OF)
    (found,) = (o for o in checked.findings if o.rule == "P-05" and o.item == "X4 way 14")

    text = as_text([diagnostic(found)], inventory.texts)

    assert text.startswith(PRINTED)
    assert "\n   = source  33 CFR Part 183, CGD 81-092, 1983, 183.425 Table 5" in text
    assert "\n   = clears  a device of 15 A or less, or 4 mm² or more; to be planned by somebody qualified\n" in text


def test_the_findings_come_first_and_then_what_cannot_be_checked() -> None:
    checked = run_checks(study(build(read_text(BOAT))), AS_OF)
    levels = [d.level for d in checked.diagnostics()]

    assert levels == sorted(levels, key=["A", "B", "C", "unknown"].index)
