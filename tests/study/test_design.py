"""What each conductor is expected to carry: from whichever source its circuits are fed, and while the batteries charge."""

from __future__ import annotations

import pytest
from pytest import approx

from tests.study.boats import HEAD, studied

MAINS = (
    HEAD
    + """
batteries: {G1: {chemistry: lfp, resistance: 4 mΩ, cells: {series: 8, capacity: 280 Ah}}}
bars: {X1: {name: Positive}, X2: {name: Negative}}
shore inlets: {X8: {voltage: 230 V, current: 16 A, fault current: 1 kA}}
inverters: {T1: {power: 1150 VA, output: 230 V, efficiency: 80 %, idle: 0 W}}
switches: {Q1: {kind: change-over, normal: off, poles: 2}}
panels: {X7: {name: Mains panel, ac: yes, kind: C, poles: 2, ways: {1: "16 A, HEATER", 2: "16 A, KETTLE"}}}
runs:
  plus: [G1 +, W1: "70 mm², 1 m", X1]
  minus: [G1 -, W2: "70 mm², 1 m", X2]
  in: [X1, T1 +]
  in minus: [X2, T1 -]
  lead: [X8, W3: "2.5 mm², 1 m", Q1 1]
  inverter: [T1, W4: "2.5 mm², 1 m", Q1 2]
  feed: [Q1 com, W5: "2.5 mm², 1 m", X7]
circuits:
  C1: {name: Heater, from: X7 way 1, cable: "2.5 mm², 5 m", load: 4 A, law: current, duty: 100 %}
  C2: {name: Kettle, from: X7 way 2, cable: "2.5 mm², 5 m", load: KETTLE, law: current, duty: 100 %}
"""
)

DC = (
    HEAD
    + """
batteries: {G1: {chemistry: lfp, resistance: 4 mΩ, cells: {series: 8, capacity: 280 Ah}}}
bars: {X1: {name: Positive}, X2: {name: Negative}}
shore inlets: {X8: {voltage: 230 V, current: 16 A, fault current: 1 kA}}
chargers: {T2: {current: 30 A, absorption: 28 V, efficiency: 80 %}}
solar arrays: {G6: {power: 200 W, open circuit: 40 V, short circuit: 7 A}}
solar controllers: {T3: {current: 20 A, absorption: 28 V}}
runs:
  plus: [G1 +, W1: "70 mm², 1 m", X1]
  minus: [G1 -, W2: "70 mm², 1 m", X2]
  mains: [X8, W3: "2.5 mm², 1 m", T2]
  charge: [T2 +, W4: "10 mm², 1 m", X1]
  charge minus: [T2 -, W5: "10 mm², 1 m", X2]
  sun: [G6 +, W6: "4 mm², 1 m", T3 pv +]
  sun minus: [G6 -, W7: "4 mm², 1 m", T3 pv -]
  sun in: [T3 +, W8: "10 mm², 1 m", X1]
  sun in minus: [T3 -, W9: "10 mm², 1 m", X2]
circuits: {C1: {name: Lamp, from: X1, back to: X2, cable: "10 mm², 5 m", load: 6 A, law: current, duty: 100 %}}
"""
)


def expected(text: str) -> dict[str, float]:
    """Cable → what it is expected to carry."""
    return {id: round(found.design, 2) for id, found in studied(text).carrying.items() if found.design is not None}


@pytest.mark.parametrize(
    ("cable", "amps"),
    [
        ("W1", 50.0),  # charging counts for more than the lamp
        ("W4", 30.0),
        ("W5", 30.0),
        ("W6", 7.0),
        ("W8", 20.0),
        ("W3 L", 30 * 24 / 0.8 / 230),
    ],
)
def test_a_cable_of_what_charges_is_expected_to_carry_its_rating(cable: str, amps: float) -> None:
    found = expected(DC)

    assert approx(amps, rel=0.08) == found[cable]


def test_a_cable_from_the_bar_to_a_lamp_carries_the_lamp_whatever_charges() -> None:
    assert 6.0 == expected(DC)["C1 cable +"]


def test_a_change_over_that_stands_off_hides_no_current_from_either_side() -> None:
    """4 A and 9 A from the shore; from the inverter its 5 A at most in the feed, but the larger load in its own wire."""
    found = expected(MAINS.replace("KETTLE,", "9 A,"))

    assert [approx(13), approx(9), approx(13)] == [found[cable] for cable in ("W3 L", "W4 L", "W5 L")]


def test_the_batterys_cable_carries_what_the_inverter_takes_at_its_rating() -> None:
    """5 A at 230 V over 80 % are 1437 W: 59.9 A at 24 V."""
    found = expected(MAINS.replace("KETTLE,", "9 A,"))

    assert approx(59.9, rel=0.01) == found["W1"]


def test_the_lead_carries_no_more_for_good_than_the_shore_gives() -> None:
    found = expected(MAINS.replace("KETTLE,", "14 A,"))

    assert [approx(16), approx(14)] == [found[cable] for cable in ("W3 L", "C2 cable L")]
