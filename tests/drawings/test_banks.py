"""Bank and charging sheets: what is bolted to a battery's post, what its management opens, and what it stops first."""

from __future__ import annotations

import pytest
from loombook.drawings.banks import bank_sets
from loombook.drawings.charging import charging_set
from loombook.drawings.drawset import scenes
from loombook.drawings.model import DrawingSet, Element, OneLine, TitleBlock
from loombook.drawings.quality import faults
from loombook.drawings.scene import Symbol
from loombook.drawings.symbols import glyph
from loombook.drawings.view import Ship
from loombook.inventory import read_text
from loombook.network import build
from loombook.study.run import study

BOAT = """
vessel: {name: Two cables on one post, invented: yes}
batteries:
  G1: {bank: House, chemistry: lfp, cells: {series: 8, capacity: 100 Ah}, bms: {
    current: 100 A, trip: 400 A, opens by: contactor, lowest cell: 2.7 V, balance: 2 A, sense leads: 0.4 m, sense fused: yes}}
  G2: {bank: House, chemistry: lfp, cells: {series: 8, capacity: 100 Ah}}
  G3: {chemistry: agm lead-acid, cells: {series: 12, capacity: 90 Ah}}
alternators:
  G4: {current: 60 A, absorption: 28 V, bms stops it: yes}
  G5: {current: 60 A, absorption: 28 V, bms stops it: no}
  G6: {current: 40 A, absorption: 28 V}
  G7: {current: 40 A, absorption: 28 V, bms stops it: no}
fuses:
  F1: {kind: class T, rating: 150 A}
  F2: {kind: class T, rating: 150 A}
  F3: {kind: class T, rating: 30 A}
bars: {X1: {}, X2: {}, X3: {}, X4: {}}
runs:
  a: [G1 +, W1: "50 mm², 0.2 m", F1, W2: "50 mm², 0.3 m", X1]
  b: [G2 +, W3: "50 mm², 0.2 m", F2, W4: "50 mm², 0.3 m", X1]
  c: [G2 +, W5: "4 mm², 0.2 m", F3, W6: "4 mm², 2 m", X2]
  d: [G1 -, W7: "50 mm², 0.3 m", X3]
  e: [G2 -, W8: "50 mm², 0.3 m", X3]
  f: [G3 +, W9: "50 mm², 0.3 m", X4]
  g: [G3 -, W10: "50 mm², 0.3 m", X3]
  h: [G4 +, W11: "16 mm², 1 m", X1]
  i: [G4 -, W12: "16 mm², 1 m", X3]
  j: [G5 +, W13: "16 mm², 1 m", X1]
  k: [G5 -, W14: "16 mm², 1 m", X3]
  l: [G6 +, W15: "16 mm², 1 m", X1]
  m: [G6 -, W16: "16 mm², 1 m", X3]
  n: [G7 +, W17: "16 mm², 1 m", X4]
  o: [G7 -, W18: "16 mm², 1 m", X3]
circuits:
  C1: {name: Bilge alarm, from: X2, cable: "1.5 mm², 2 m", back to: X3, load: 0.2 A}
"""
"""Invented."""


@pytest.fixture(scope="module")
def ship() -> Ship:
    """The boat as the sheets see it."""
    return Ship(study(build(read_text(BOAT))))


@pytest.fixture(scope="module")
def bank(ship: Ship) -> OneLine:
    """The house bank's sheet."""
    return next(sheet for sheet in bank_sets(ship) if sheet.name == "bank-G1")


@pytest.fixture(scope="module")
def charging(ship: Ship) -> OneLine:
    """The charging sheet."""
    (sheet,) = charging_set(ship)
    return sheet


def things(sheet: OneLine) -> list[str]:
    """Symbols with their ids, in the order of the branches."""
    return [f"{e.kind} {e.id}" for branch in sheet.branches for e in branch.chain if isinstance(e, Element)]


def test_the_fuse_of_every_cable_on_a_battery_post_is_on_the_bank_sheet(bank: OneLine) -> None:

    assert ["battery balanced G1", "battery up G2", "bms G1", "fuse F1", "fuse F2", "fuse F3"] == sorted(things(bank))


def test_strings_that_meet_at_a_bar_share_one_bar_on_the_bank_sheet(bank: OneLine) -> None:
    joint = next(branch.upper for branch in bank.branches if branch.id == "bank G2")
    meets = {(str(branch.upper), str(branch.lower)) for branch in bank.branches}

    assert {("X1", "X3"), ("X1", joint), ("X2", joint), (joint, "X3")} == meets


def test_a_bank_sheet_stops_at_the_next_bar(bank: OneLine) -> None:

    assert {"X1", "X2", "X3"} == {node.id for node in bank.nodes if not node.id.startswith("~")}


def test_sense_leads_and_balancer_stand_beside_the_management(bank: OneLine) -> None:
    bms = next(e for branch in bank.branches for e in branch.chain if isinstance(e, Element) and e.kind == "bms")

    assert ("BMS", "100 A", "sense leads 0.4 m, fused", "balancer 2 A") == bms.lines


def test_sense_leads_go_to_the_unit_from_the_cells_of_a_managed_battery_alone(bank: OneLine) -> None:
    """G1 has a management that balances, G2 has none."""
    (sheet,) = scenes(DrawingSet(TitleBlock("B"), (bank,)))
    kinds = {
        item.key: part.kind
        for item in sheet.items
        for part in item.parts
        if isinstance(part, Symbol) and "battery" in part.kind
    }
    thin = {kind: "thin" in dict(glyph(kind).paths) for kind in ("battery up", "battery sensed", "battery balanced")}

    assert kinds == {"G1": "battery balanced", "G2": "battery up"}
    assert thin == {"battery up": False, "battery sensed": True, "battery balanced": True}
    assert faults(sheet) == []


def test_bank_and_charging_sheets_say_the_same_of_what_a_bms_opens(bank: OneLine, charging: OneLine) -> None:
    said = "BMS of G1: opens the negative by contactor, carries 100 A, trips at 400 A, stops the discharge at 2.7 V in a cell."

    assert said in bank.notes
    assert said in charging.notes


def test_the_charging_sheet_says_which_sources_a_bms_stops_first(charging: OneLine) -> None:
    """The start battery's alternator is not told: no management lies behind it."""
    stops = [note for note in charging.notes if "before it opens" in note]

    assert [
        "A BMS tells these to stop before it opens: G4.",
        "No BMS tells these to stop before it opens: G5.",
        "Not recorded whether a BMS tells these to stop before it opens: G6.",
    ] == stops
