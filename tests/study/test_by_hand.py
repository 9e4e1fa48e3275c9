"""Networks small enough to be solved with pencil and paper."""

from __future__ import annotations

import pytest
from pytest import approx

from tests.study.boats import CONVERTER, HEAD, RING, TWO_STRINGS, TWO_VOLTAGES, faults_of, flow_of, studied

LFP_FULL, LFP_LOW = 4 * 3.40, 4 * 3.00
CABLE_COLD = 2 * 0.017241 * 5 / 10
"""Out and back, solid copper at 20 °C."""
CABLE_HOT = 2 * 1.95e-3 * 5 * (1 + 0.00393 * 50)
"""Out and back, 10 mm² tinned by IEC 60228 at 70 °C."""
JOINT = 1e-6
"""The least that a joint counts with."""


def near(value: float) -> object:
    return approx(value, rel=2e-3)


def test_two_equal_strings_give_twice_the_fault_of_one() -> None:
    fault = faults_of(TWO_STRINGS)["X1"]

    assert near(LFP_FULL / (0.005 / 2)) == fault.highest.high
    assert {"G1": near(LFP_FULL / 0.005), "G2": near(LFP_FULL / 0.005)} == dict(fault.shares)


def test_the_lowest_fault_is_one_string_alone_low_and_with_an_arc() -> None:
    fault = faults_of(TWO_STRINGS)["C1 +"]

    assert near(0.9 * LFP_LOW / (0.005 + CABLE_HOT)) == fault.lowest.low
    assert fault.weakest in (("G1",), ("G2",))


def test_the_far_end_of_a_circuit_has_its_cable_before_it() -> None:
    fault = faults_of(TWO_STRINGS)["C1 +"]

    assert near(LFP_FULL / (0.0025 + CABLE_COLD)) == fault.highest.high
    assert "C1 cable +" == fault.ruled_by


def test_two_equal_strings_share_a_load_equally() -> None:
    flow = flow_of(studied(TWO_STRINGS))

    assert {"F1": approx(12.0), "F2": approx(12.0)} == {id: flow.amps[id] for id in ("F1", "F2")}


def test_a_ring_shares_by_resistance() -> None:
    result = studied(RING)

    assert {"F1": near(3.0), "F2": near(6.0)} == {id: flow_of(result).amps[id] for id in ("F1", "F2")}
    assert {"F1": near(3.0), "F2": near(6.0)} == {id: result.design[id] for id in ("F1", "F2")}


def test_a_fault_beyond_a_ring_sees_both_ways_in_parallel() -> None:
    assert near(LFP_FULL / (0.004 + 0.002)) == faults_of(RING)["X3"].highest.high


def test_two_batteries_of_different_voltage_balance_each_other() -> None:
    """13.196 V behind 4 mΩ and 12.3 V behind 10 mΩ, 6 A drawn: U = (E1 G1 + E2 G2 − I)/(G1 + G2)."""
    flow = flow_of(studied(TWO_VOLTAGES))
    bar = (13.196 / 0.004 + 12.30 / 0.010 - 6) / (1 / 0.004 + 1 / 0.010)

    assert approx(bar, rel=1e-4) == flow.volts["X1"]
    assert approx(6.0) == flow.amps["G1"] + flow.amps["G2"]
    assert flow.amps["G2"] < 0 < flow.amps["G1"]


def test_lead_acid_peaks_at_nine_tenths_of_its_resistance_and_settles_lower() -> None:
    """IEC 61660-1: peak 1.05·2 V·6 over 0.9 R, sustained 0.95 of it over R."""
    only_lead = TWO_VOLTAGES.replace("  one: [G1 +, X1]\n", "").replace("  minus: [G1 -, X2]\n", "")
    fault = faults_of(only_lead)["X1"]

    assert near(12.6 / (0.009)) == fault.highest.high
    assert near(0.95 * 12.6 / 0.010) == fault.sustained


def test_a_converter_within_its_limit_holds_its_voltage_and_draws_its_power() -> None:
    flow = flow_of(studied(CONVERTER.replace("LOAD", "10 A, law: current")))
    out = flow.across("T1 out +", "T1 out -")

    assert approx(13.5, rel=0.006) == out
    assert approx(out * 10.0 / 0.9 / flow.across("T1 in +", "T1 in -")) == flow.amps["T1 input"]
    assert () == flow.problems


def test_a_converter_at_its_limit_is_a_result_with_a_name() -> None:
    """A heater of 0.3 Ω wants 45 A of a converter that gives 20 A: 20 A through heater and cable, and no more."""
    flow = flow_of(studied(CONVERTER.replace("LOAD", "480 W, law: resistance")))
    heater = 12**2 / 480

    assert approx(20.0) == flow.amps["T1"]
    assert approx(20 * heater, rel=1e-3) == flow.across("C1 +", "C1 -")
    assert "T1" in [item for item, _ in flow.problems]


def test_a_converter_limits_the_fault_beyond_it() -> None:
    fault = faults_of(CONVERTER.replace("LOAD", "5 A"))["X3"]

    assert approx(30.0) == fault.highest.high  # one and a half times its rating
    assert approx(18.0) == fault.lowest.low  # its rating, with the arc
    assert "T1" == fault.ruled_by


@pytest.mark.parametrize("count", [1, 2, 3])
def test_equal_conductors_side_by_side_share_equally(count: int) -> None:
    """Each on a run of its own between the same bars."""
    runs = "".join(f'  way {n}: [X1, W{n}: "10 mm², 2 m", X3]\n' for n in range(1, count + 1))
    text = RING.replace("  port: [X1, F1, X3]\n  starboard: [X1, F2, X3]\n", runs)
    flow = flow_of(studied(text))

    assert [approx(9.0 / count)] * count == [flow.amps[f"W{n}"] for n in range(1, count + 1)]


def test_parallel_conductors_of_one_cable_are_that_many_in_parallel() -> None:
    text = TWO_STRINGS.replace('"10 mm², 5 m"', '"2 × 10 mm², 5 m"')

    assert near(LFP_FULL / (0.0025 + CABLE_COLD / 2)) == faults_of(text)["C1 +"].highest.high


def test_batteries_in_series_feed_a_fault_together() -> None:
    text = (
        HEAD
        + """
batteries:
  G1: {chemistry: agm lead-acid, resistance: 5 mΩ, cells: {series: 6, capacity: 100 Ah}}
  G2: {chemistry: agm lead-acid, resistance: 5 mΩ, cells: {series: 6, capacity: 100 Ah}}
bars: {X1: {name: Positive}, X2: {name: Negative}}
runs:
  minus: [G1 -, X2]
  middle: [G1 +, G2 -]
  plus: [G2 +, X1]
circuits:
  C1: {name: Lamp, from: X1, back to: X2, cable: "10 mm², 5 m", load: 6 A}
"""
    )
    fault = faults_of(text)["X1"]

    assert near(2 * 12.6 / (2 * 0.0045)) == fault.highest.high
    assert near(0.9 * 2 * 6 * 1.9 / 0.010) == fault.lowest.low
    assert ("G1", "G2") == fault.weakest


def test_a_resistance_as_a_range_gives_a_fault_as_a_range() -> None:
    text = TWO_STRINGS.replace(
        "G1: {chemistry: lfp, bank: house, resistance: 4 mΩ", "G1: {chemistry: lfp, bank: house, resistance: 4 to 9 mΩ"
    )
    highest = faults_of(text)["X1"].highest

    assert (near(LFP_FULL * (1 / 0.010 + 1 / 0.005)), near(LFP_FULL * (2 / 0.005))) == (highest.low, highest.high)


def test_drop_by_the_rules_formula_is_summed_out_and_back() -> None:
    """ISO 10133: 0.0164 · 24 A · 10 m / 10 mm²; the runs have no cable."""
    drop = studied(TWO_STRINGS).drops["C1"]

    assert approx(0.0164 * 24 * 10 / 10) == drop.volts.high
    assert approx(0.0164 * 24 * 10 / 10 / 12) == drop.fraction.high


def test_a_cable_without_length_gives_no_drop_and_says_which() -> None:
    drop = studied(TWO_STRINGS.replace('"10 mm², 5 m"', '"10 mm², ? m"')).drops["C1"]

    assert drop.volts is None
    assert ("C1 cable +", "C1 cable -") == drop.missing


def test_a_cable_without_length_gives_an_upper_bound_of_the_fault_and_no_lowest() -> None:
    fault = faults_of(TWO_STRINGS.replace('"10 mm², 5 m"', '"10 mm², ? m"'))["C1 +"]

    assert near(LFP_FULL / 0.0025) == fault.highest.high
    assert fault.lowest is None
    assert ("C1 cable +", "C1 cable -") == fault.missing


def test_an_estimated_length_gives_a_range() -> None:
    drop = studied(TWO_STRINGS.replace('"10 mm², 5 m"', '"10 mm², ~5 m"')).drops["C1"]

    assert (approx(0.0164 * 24 * 8 / 10), approx(0.0164 * 24 * 12 / 10)) == (drop.volts.low, drop.volts.high)


def test_a_switched_off_motor_has_dead_terminals() -> None:
    text = RING + "motors: {M1: {load: 50 A, duty: 0 %}}\nswitches: {Q1: {normal: off}}\n"
    text = text.replace("  minus:", "  motor: [X1, Q1, M1 +]\n  motor minus: [M1 -, X2]\n  minus:")
    flow = flow_of(studied(text))

    assert approx(0.0, abs=1e-6) == flow.volts["M1 +"]


def test_the_fault_of_a_bar_is_against_the_bar_of_the_other_pole() -> None:
    assert "X2" == faults_of(TWO_STRINGS)["X1"].against
