"""The dip at every bus when a motor starts: in the condition that it starts in, on both sides of an inverter."""

from __future__ import annotations

import pytest
from pytest import approx

from loombook.study.dips import Dip
from tests.study.boats import HEAD, studied

TWO_CONDITIONS = (
    HEAD
    + """
batteries:
  G1: {chemistry: lfp, bank: house, resistance: 4 mΩ, cells: {series: 4, capacity: 280 Ah}}
alternators: {G4: {voltage: 12 V, current: 60 A, absorption: 14 V}}
bars: {X1: {name: Positive}, X2: {name: Negative}}
motors: {M1: {load: 50 A, start: 200 A for 1 s, duty: 0 %, duty in: {motoring: 5 %}}}
circuits:
  C1: {name: Heater, from: X1, back to: X2, cable: "10 mm², 5 m", load: 20 A, law: current, duty: 100 %}
  C2: {name: Pump, from: X1, back to: X2, cable: "10 mm², 5 m", load: 5 A, start: 30 A for 0.5 s, duty: 10 %}
runs:
  one: [G1 +, X1]
  minus: [G1 -, X2]
  engine: [G4 +, X1]
  engine minus: [G4 -, X2]
  motor: [X1, M1 +]
  motor minus: [M1 -, X2]
conditions:
  sailing: {}
  motoring: {sources: [G4]}
"""
)
"""The motor runs while the engine does; the pump at any time."""

BEHIND_AN_INVERTER = (
    HEAD
    + """
batteries: {G1: {chemistry: lfp, resistance: 4 mΩ, cells: {series: 8, capacity: 280 Ah}}}
inverters: {T1: {power: 2300 VA, PEAKoutput: 230 V, efficiency: 90 %, idle: 0 W}}
bars: {X1: {name: Positive}, X2: {name: Negative}}
panels: {X7: {name: Mains panel, ac: yes, kind: C, poles: 2, ways: {1: "16 A, COMPRESSOR"}}}
runs:
  plus: [G1 +, X1]
  minus: [G1 -, X2]
  in: [X1, T1 +]
  back: [T1 -, X2]
  mains: [T1 L, X7 L]
  neutral: [T1 N, X7 N]
circuits:
  C1: {name: Compressor, from: X7 way 1, cable: "2.5 mm², 5 m", load: 5 A, start: START, law: current, duty: 30 %}
"""
)


def inverter_boat(start: str, peak: str = "") -> Dip:
    return studied(BEHIND_AN_INVERTER.replace("START", f"{start} for 0.5 s").replace("PEAK", peak)).dips["C1"]


def test_a_motor_starts_in_the_condition_in_which_it_runs() -> None:
    dip = studied(TWO_CONDITIONS).dips["M1"]

    assert ("motoring", (), True) == (dip.condition, dip.others, dip.runs)


def test_a_load_with_a_start_current_starts_like_a_motor_and_worst_without_the_engine() -> None:
    dip = studied(TWO_CONDITIONS).dips["C2"]

    assert ("sailing", ("motoring",)) == (dip.condition, dip.others)
    assert 0.05 < dip.before["X1"] - dip.during["X1"] < 0.2  # 30 A less 0.5 A through 4 mΩ


def test_a_load_that_says_no_start_and_is_no_motor_starts_unseen() -> None:
    assert {"M1", "C2"} == set(studied(TWO_CONDITIONS).dips)


def test_a_motor_that_runs_in_no_condition_is_looked_at_in_all_that_feed_it() -> None:
    dip = studied(TWO_CONDITIONS.replace(", duty in: {motoring: 5 %}", "")).dips["M1"]

    assert ("sailing", ("motoring",), False) == (dip.condition, dip.others, dip.runs)


def test_an_inverter_within_its_limit_carries_the_start_to_the_batterys_bars() -> None:
    """9 A at 230 V: the panel barely moves, and the bars move by what the inverter takes through 4 mΩ."""
    dip = inverter_boat("9 A")
    more = (dip.before["X1"] - dip.during["X1"]) / 4e-3

    assert () == dip.problems
    assert 0 < dip.before["X7 L"] - dip.during["X7 L"] < 2.5
    assert approx((9 - 0.3 * 5) * 230 / 0.9 / 26.3, rel=0.05) == more


def test_an_inverter_over_its_limit_lets_the_panel_fall_and_is_named() -> None:
    """60 A at 230 V is 3.83 Ω; 10 A through it leave 38 V."""
    dip = inverter_boat("60 A")

    assert ["T1"] == [item for item, _ in dip.problems]
    assert approx(38.3, rel=0.03) == dip.during["X7 L"]
    assert "at its limit of 10" in dip.problems[0][1]


def test_an_inverters_peak_is_what_a_start_may_ask_of_it() -> None:
    assert () == inverter_boat("15 A", "peak: 4600 VA, ").problems
    assert ["T1"] == [item for item, _ in inverter_boat("15 A").problems]


@pytest.mark.parametrize(
    ("written", "item", "said"),
    [
        ("bms: {current: 150 A, resistance: 0 mΩ}, ", "G1", "its BMS is for 150 A"),
        ("", "T2", "stops: 11."),
    ],
)
def test_what_a_start_takes_over_a_limit_is_named(written: str, item: str, said: str) -> None:
    text = TWO_CONDITIONS.replace(", duty in: {motoring: 5 %}", "").replace("bank: house, ", f"bank: house, {written}")
    text = text.replace(
        "alternators:", "converters: {T2: {output: 5 V, current: 10 A, input from: 12.6 V, isolated: no}}\nalternators:"
    )
    text = text.replace(
        "runs:", "runs:\n  in: [X1, T2 in +]\n  in minus: [X2, T2 in -]\n  out: [T2 out +, X5]\n"
    ).replace("bars: {", "bars: {X5: {name: 5 V}, ")
    text = text.replace("start: 200 A", "start: 300 A" if item == "T2" else "start: 200 A")
    found = dict(studied(text).dips["M1"].problems)

    assert said in found[item]
