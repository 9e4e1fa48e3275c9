"""The AC side: loop impedance, disconnection in time, residual-current devices, neutral and earth."""

from __future__ import annotations

from math import hypot

import pytest
from pytest import approx

from loombook.study.mains import EarthFault, Mains
from tests.study.boats import HEAD, studied

SHORE = (
    HEAD
    + """
batteries: {G1: {chemistry: lfp, resistance: 4 mΩ, cells: {series: 4, capacity: 280 Ah}}}
bars: {X1: {name: Positive}, X2: {name: Negative}}
shore inlets: {X8: {voltage: 230 V, current: 16 A, fault current: 1 kA}}
inverters: {T5: {power: 2300 VA, output: 230 V, bond: none}}
breakers: {F51: {rating: 16 A, kind: RESIDUAL, poles: 2, resistance: 0 mΩ}}
switches: {Q1: {kind: change-over, poles: 2, normal: "1", resistance: 0 mΩ}}
panels: {X7: {ac: yes, kind: B, poles: 2, ways: {1: 10 A}}}
runs:
  plus: [G1 +, X1]
  minus: [G1 -, X2]
  inverter plus: [X1, T5 +]
  inverter minus: [T5 -, X2]
  shore: [X8, W1: "2.5 mm², 10 m", Q1 1]
  inverter: [T5, W2: "2.5 mm², 1 m", Q1 2]
  common: [Q1 com, F51, X7]
circuits:
  C1: {name: Socket, from: X7 way 1, cable: "1.5 mm², 10 m", load: 1000 W}
"""
)
LOOP = 230 / 1000 + (10 * 8.21e-3 + 10 * 13.7e-3) * 2 * (1 + 0.00393 * 50)
"""Shore, and 10 m of 2.5 mm² and of 1.5 mm² out through line and back through earth, at 70 °C."""


def mains(residual: str) -> Mains:
    return mains_of(SHORE.replace("RESIDUAL", residual))


def mains_of(text: str) -> Mains:
    return studied(text.replace("RESIDUAL", "C")).mains


def fault(residual: str, source: str) -> EarthFault:
    return next(f for f in mains(residual).earth_faults if f.source == source)


def test_the_loop_of_an_earth_fault_is_out_through_line_and_back_through_earth() -> None:
    """The breakers of the way and of the panel have some resistance too."""
    found = fault("C", "X8")

    assert approx(LOOP, abs=0.03) == found.loop
    assert found.loop > LOOP
    assert approx(230 / found.loop) == found.amps


def test_a_short_loop_trips_the_breaker_in_time() -> None:
    found = fault("C", "X8")

    assert "X7 way 1 L" == found.device
    assert (True, 0.4) == (found.in_time, found.limit)


def test_an_inverter_limits_its_fault_below_what_a_breaker_needs() -> None:
    """10 A rated gives 11 A: the B breaker of 10 A need not open, and nothing else does."""
    found = fault("C", "T5")

    assert approx(11.0) == found.amps
    assert False is found.in_time


def test_a_residual_device_cuts_off_behind_an_inverter_too() -> None:
    found = fault("rcbo C", "T5")

    assert ("F51 L", 0.04, True) == (found.residual, found.residual_opens, found.in_time)


def test_neutral_and_earth_are_told_for_each_source() -> None:
    assert {"X8": False, "T5": False} == {b.source: b.joined for b in mains("C").bonds}


@pytest.mark.parametrize(("declared", "most"), [("fault current: 1 kA", 1000.0), ("country: nowhere", 6000.0)])
def test_the_fault_at_the_inlet_is_declared_or_the_default_for_its_voltage(declared: str, most: float) -> None:
    (inlet,) = studied(
        SHORE.replace("RESIDUAL", "C").replace("fault current: 1 kA", declared)
    ).mains.inlets

    assert approx(most) == inlet.most
    assert declared.startswith("fault") is inlet.declared


def test_a_shore_lead_lessens_the_least_fault_not_the_most() -> None:
    lead = SHORE.replace("RESIDUAL", "C").replace(
        "fault current: 1 kA", "fault current: 1 kA, lead length: 25 m, lead area: 2.5 mm²"
    )
    (inlet,) = studied(lead).mains.inlets

    assert approx(1000.0) == inlet.most
    assert approx(230 / (0.23 + 50 * hypot(8.21e-3 * 1.1965, 0.08e-3))) == inlet.least


def test_reactance_makes_a_loop_of_thick_wire_longer() -> None:
    """20 m of 70 mm²: 0.08 mΩ/m beside 0.27 mΩ/m is one part in twenty more."""
    thick = SHORE.replace("RESIDUAL", "C").replace("1.5 mm², 10 m", "70 mm², 20 m")
    found = next(f for f in studied(thick).mains.earth_faults if f.source == "X8")
    resistance, reactance = found.wiring

    assert approx(2 * (10 + 20) * 0.08e-3) == reactance
    assert approx(found.before + hypot(resistance, reactance)) == found.loop


def test_a_fault_to_neutral_is_at_most_what_the_inlet_brings_and_more_than_one_to_earth_with_a_long_lead() -> None:
    study = studied(SHORE.replace("RESIDUAL", "C"))
    (line,) = [f for f in study.mains.line_faults if f.source == "X8"]

    assert line.amps.low < line.amps.high < study.mains.inlets[0].most


def test_a_loop_as_long_as_allowed_still_opens_the_breaker_in_time() -> None:
    """B 10 A opens at once from 50 A: 230 V over 50 A."""
    assert approx(230 / 50, rel=0.01) == fault("C", "X8").allowed


def test_one_bond_in_each_throw_of_the_change_over_switch() -> None:
    states = {s.positions: s for s in mains_of(SHORE.replace("bond: none", "bond: switched")).states}

    assert ("X8",) == states[(("Q1", "1"),)].bonds
    assert ("T5",) == states[(("Q1", "2"),)].bonds
    assert all(s.right for s in states.values() if s.supplying)


def test_an_inverter_without_a_bond_leaves_its_throw_without_one() -> None:
    states = {s.positions: s for s in mains_of(SHORE).states}

    assert states[(("Q1", "1"),)].right is True
    assert states[(("Q1", "2"),)].right is False


def test_an_inverter_joined_for_good_on_the_shores_neutral_makes_two_bonds() -> None:
    both = SHORE.replace("bond: none", "bond: fixed").replace("inverter: [T5, W2: \"2.5 mm², 1 m\", Q1 2]", "inverter: [T5, W2: \"2.5 mm², 1 m\", F51]")

    assert [("X8", "T5")] == [tuple(sorted(s.bonds, reverse=True)) for s in mains_of(both).states if s.right is False][:1]
