"""The AC side: loop impedance, disconnection in time, residual-current devices, neutral and earth."""

from __future__ import annotations

import warnings
from math import hypot
from pathlib import Path

import pytest
from pytest import approx

from loombook.study.acshort import short_in_full
from loombook.study.faultcase import fault_cases
from loombook.study.faults import FaultStudy, study_faults
from loombook.study.ledger import Ledger
from loombook.study.mains import EarthFault, ElectrodeFault, Mains
from loombook.study.model import Study
from loombook.study.resistances import resistances
from loombook.study.sources import fault_sources
from tests.study.boats import HEAD, boat, studied
from tests.study.second_program import NEAR, compare

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
TWO_INVERTERS = (
    HEAD
    + """
batteries: {G1: {chemistry: lfp, resistance: 4 mΩ, cells: {series: 4, capacity: 280 Ah}}}
bars: {X1: {name: Positive}, X2: {name: Negative}}
inverters:
  T5: {power: 2300 VA, output: 230 V}
  T6: {power: 2300 VA, output: 230 V}
panels: {X9: {ac: yes, kind: B, poles: 2, ways: {1: 10 A}}}
runs:
  plus: [G1 +, X1]
  minus: [G1 -, X2]
  one plus: [X1, T5 +]
  one minus: [T5 -, X2]
  two plus: [X1, T6 +]
  two minus: [T6 -, X2]
  one: [T5, W1: "2.5 mm², 6 m", X9]
  two: [T6, W2: "2.5 mm², 8 m", X9]
circuits:
  C1: {name: Socket, from: X9 way 1, cable: "1.5 mm², 10 m", load: 1000 W}
"""
)
"""Two inverters of 10 A that feed one panel together."""
LOOP = 230 / 1000 + (10 * 8.21e-3 + 10 * 13.7e-3) * 2 * (1 + 0.00393 * 50)
"""Shore, and 10 m of 2.5 mm² and of 1.5 mm² out through line and back through earth, at 70 °C."""


def study_faults_of(study: Study) -> FaultStudy:
    """The faults of a vessel again, with their cases."""
    network = study.network
    return study_faults(network, study.resistances, fault_sources(network, Ledger()), Ledger())


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
    (inlet,) = studied(SHORE.replace("RESIDUAL", "C").replace("fault current: 1 kA", declared)).mains.inlets

    assert approx(most, rel=1e-3) == inlet.boat.high
    assert declared.startswith("fault") is inlet.declared


def test_a_shore_lead_lessens_the_least_fault_not_the_most() -> None:
    lead = SHORE.replace("RESIDUAL", "C").replace(
        "fault current: 1 kA", "fault current: 1 kA, lead length: 25 m, lead area: 2.5 mm²"
    )
    (inlet,) = studied(lead).mains.inlets

    assert approx(1000.0, rel=1e-3) == inlet.boat.high
    assert approx(0.9 * 230 / (0.23 + 50 * hypot(8.21e-3 * 1.1965, 0.08e-3))) == inlet.boat.low


def test_reactance_makes_a_loop_of_thick_wire_longer() -> None:
    """20 m of 70 mm²: 0.08 mΩ/m beside 0.27 mΩ/m is one part in twenty more."""
    thick = SHORE.replace("RESIDUAL", "C").replace("1.5 mm², 10 m", "70 mm², 20 m")
    found = next(f for f in studied(thick).mains.earth_faults if f.source == "X8")

    assert approx(2 * (10 + 20) * 0.08e-3) == found.wiring.imag
    assert approx(found.before + abs(found.wiring)) == found.loop


def test_a_fault_to_neutral_is_at_most_what_the_inlet_brings_and_more_than_one_to_earth_with_a_long_lead() -> None:
    study = studied(SHORE.replace("RESIDUAL", "C"))
    (line,) = [f for f in study.mains.line_faults if f.source == "X8"]

    assert line.amps.low < line.amps.high < study.mains.inlets[0].boat.high


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
    both = SHORE.replace("bond: none", "bond: fixed").replace(
        'inverter: [T5, W2: "2.5 mm², 1 m", Q1 2]', 'inverter: [T5, W2: "2.5 mm², 1 m", F51]'
    )

    assert [("X8", "T5")] == [tuple(sorted(s.bonds, reverse=True)) for s in mains_of(both).states if s.right is False][
        :1
    ]


# one figure everywhere


def test_a_fault_to_neutral_is_the_fault_that_the_place_has() -> None:
    """Modulus of resistance and reactance: a thick wire's reactance counts on the page of faults too."""
    thick = SHORE.replace("RESIDUAL", "C").replace("1.5 mm², 10 m", "70 mm², 40 m")
    study = studied(thick)
    line = next(f for f in study.mains.line_faults if f.source == "X8")
    place = study.faults["C1 L"]

    assert approx((place.highest.high, dict(place.alone)[("X8",)].low)) == (line.amps.high, line.amps.low)
    assert approx(0.9 * 230 / (0.23 + abs(line.wiring))) == line.amps.low


def test_the_highest_takes_the_shore_as_all_resistance_or_all_reactance() -> None:
    study = studied(SHORE.replace("RESIDUAL", "C").replace("1.5 mm², 10 m", "70 mm², 40 m"))
    case, _ = next((c, s) for c, s in study_faults_of(study).highest if "to 1" in c.name)
    full = short_in_full(case, "C1 L")
    shore = next(z for f, z in zip(full.feeds, full.inner) if f.edge.id == "X8")
    wires = 230 / full.amps - shore
    least = min(abs(wires + 0.23), abs(wires + 0.23j))

    assert approx(230 / least, rel=1e-6) == study.faults["C1 L"].highest.high


def test_two_inverters_side_by_side_give_the_sum_of_their_limits() -> None:
    both = TWO_INVERTERS
    fault = studied(both).faults["X9 L"]

    assert approx(2 * 20.0, rel=1e-6) == fault.highest.high
    assert approx(0.9 * 11.0, rel=1e-6) == fault.lowest.low


def test_a_stiff_source_beside_a_limited_one_is_what_another_program_finds(ngspice: str, tmp_path: Path) -> None:
    """An inverter at its limit feeds in beside the shore; nodal solution against netlist, at every place."""
    network = boat(
        TWO_INVERTERS.replace(
            "panels:", "shore inlets: {X8: {voltage: 230 V, current: 16 A, fault current: 80 A}}\npanels:"
        ).replace("  one: [", "  shore: [X8, X9]\n  one: [")
    )
    cases = {
        f"{place} {case.name}": short_in_full(case, place)
        for case in fault_cases(network, resistances(network, Ledger()), Ledger())
        for place in (case.pairs[i][0] for i in case.alternating.tolist())
    }
    rows = compare(ngspice, network, cases, tmp_path)

    assert len(cases) > 10
    assert [row for row in rows if row.part > NEAR] == []


# a generator

GENERATOR = (
    SHORE.replace("inverters: {T5: {power: 2300 VA, output: 230 V, bond: none}}", "")
    .replace(
        "shore inlets: {X8: {voltage: 230 V, current: 16 A, fault current: 1 kA}}",
        "shore inlets: {X8: {voltage: 230 V, current: 16 A, fault current: 1 kA}}\n"
        "generators: {G9: {power: 4600 VA, voltage: 230 V, DATA}}",
    )
    .replace("  inverter plus: [X1, T5 +]\n  inverter minus: [T5 -, X2]\n", "")
    .replace("[T5, W2", "[G9, W2")
)
KNOWN = "subtransient: 20 %, transient: 30 %, sustained: 60 A, bond: switched"


def generator(data: str, residual: str = "C") -> Study:
    return studied(GENERATOR.replace("DATA", data).replace("RESIDUAL", residual))


def test_a_generator_gives_its_rated_current_over_its_reactance_at_first() -> None:
    study = generator(KNOWN)
    (found,) = study.mains.generators

    assert approx(20.0) == found.rated
    assert approx(100.0) == found.first.high
    assert approx(20 / 0.3) == found.transient.high
    assert 60.0 == found.lasting.high
    assert approx(100.0, rel=1e-6) == study.faults["G9 L"].highest.high


def test_wiring_stands_at_a_right_angle_to_a_generator_s_reactance() -> None:
    """2.3 Ω of reactance behind 0.5 Ω of wire is 2.35 Ω, not 2.8 Ω."""
    study = generator(KNOWN)
    case = next(c for c, _ in study_faults_of(study).highest if "to 2" in c.name)
    wires = 230 / short_in_full(case, "C1 L").amps - 2.3j

    assert wires.real > 0.1 and wires.imag >= 0
    assert approx(230 / abs(wires + 2.3j), rel=1e-6) == max(
        f.amps.high for f in study.mains.line_faults if f.source == "G9"
    )


def test_the_lowest_fault_of_a_generator_is_what_lasts() -> None:
    study = generator(KNOWN)
    line = next(f for f in study.mains.line_faults if f.source == "G9")

    assert approx(0.9 * 60.0) == line.amps.low
    assert approx(60.0) == next(f for f in study.mains.earth_faults if f.source == "G9").amps


def test_a_breaker_opens_on_a_generator_that_holds_its_field_and_not_on_one_that_loses_it() -> None:
    holds, loses = (
        next(f for f in generator(data).mains.earth_faults if f.source == "G9") for data in (KNOWN, "sustained: 8 A")
    )

    assert (True, False) == (holds.in_time, loses.in_time)


def test_what_a_generator_does_not_say_is_a_default_in_the_ledger() -> None:
    study = generator("bond: none")
    (found,) = study.mains.generators

    assert (False, False, False) == found.declared
    assert approx((100.0, 200.0)) == (found.first.low, found.first.high)
    assert {"subtransient reactance x″d of a generator", "lasting fault current of a generator"} <= {
        a.what for a in study.assumptions if a.items == ("G9",)
    }


def test_a_generator_joins_neutral_and_earth_as_an_inverter_does() -> None:
    study = generator(KNOWN)

    assert True is next(b.joined for b in study.mains.bonds if b.source == "G9")
    assert [("G9",)] == [s.bonds for s in study.mains.states if s.supplying == ("G9",)]


# an earth that is an electrode


def electrode(residual: str, inlet: str = "") -> ElectrodeFault:
    text = SHORE.replace("RESIDUAL", residual).replace("fault current: 1 kA", f"fault current: 1 kA{inlet}")
    return next(f for f in studied(text).mains.electrode_faults if f.source == "X8")


def test_a_30_ma_device_allows_an_earth_of_50_v_over_30_ma() -> None:
    found = electrode("rcbo C")

    assert approx(50 / 0.03) == found.largest
    assert approx(50.0) == found.touch
    assert True is found.holds


def test_a_measured_earth_gives_its_own_touch_voltage_and_current() -> None:
    found = electrode("rcbo C", ", earth resistance: 200 Ω")

    assert approx(6.0) == found.touch
    assert 230 / 202 < found.amps < 230 / 200
    assert (0.04, 0.2, True) == (found.opens, found.limit, found.holds)


def test_an_earth_that_is_too_poor_does_not_hold() -> None:
    assert False is electrode("rcbo C", ", earth resistance: 2000 Ω").holds


def test_without_a_residual_device_nothing_holds_where_earth_is_an_electrode() -> None:
    assert False is electrode("C").holds


def test_a_shore_declared_to_have_an_electrode_is_judged_by_it() -> None:
    """200 Ω in the loop: an ampere, on which no breaker opens."""
    text = SHORE.replace("RESIDUAL", "C").replace("1 kA", "1 kA, earthing: TT, earth resistance: 200 Ω")
    found = next(f for f in studied(text).mains.earth_faults if f.source == "X8")

    assert ("TT", 0.2, False) == (found.system, found.limit, found.in_time)
    assert found.loop > 200


@pytest.mark.parametrize("fault", ["fault current: 1 kA", "country: nowhere"])
def test_two_stiff_shores_side_by_side_and_a_ring_without_resistance_are_solved_without_a_warning(fault: str) -> None:
    two = TWO_INVERTERS.replace(
        "panels:",
        f"shore inlets: {{X8: {{voltage: 230 V, current: 16 A, {fault}}}, X18: {{voltage: 230 V, current: 16 A, {fault}}}}}\npanels:",
    ).replace("  one: [", "  shore: [X8, X9]\n  shore two: [X18, X9]\n  ring: [X8, X18]\n  one: [")
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        found = studied(two).faults["X9 L"].highest

    assert 1000 < found.high < 15_000
