"""What fuses and breakers can do where they stand: break, open in time, spare the conductor, hold a start, go first."""

from __future__ import annotations

from math import inf

import pytest
from pytest import approx

from loombook.study.guardmodel import Guard, Selective
from tests.study.boats import HEAD, studied

BRANCHES = (
    HEAD
    + """
batteries:
  G1:
    chemistry: lfp
    bank: house
    resistance: 4 mΩ
    cells: {series: 4, capacity: 280 Ah}
    bms: {current: 200 A, resistance: 1 mΩ, trip: 900 A, trip delay: 0.3 ms}
  G2:
    chemistry: lfp
    bank: house
    resistance: 4 mΩ
    cells: {series: 4, capacity: 280 Ah}
    bms: {current: 200 A, resistance: 1 mΩ, trip: 900 A, trip delay: 0.3 ms}
fuses:
  F1: {kind: class T, rating: 200 A, resistance: 0.2 mΩ, voltage: 125 V, breaking: 20 kA at 125 V}
  F2: {kind: class T, rating: 200 A, resistance: 0.2 mΩ, voltage: 125 V, breaking: 20 kA at 125 V}
  F3: {kind: bolted strip SF51, rating: 150 A, resistance: 0.5 mΩ, voltage: 32 V, breaking: 2 kA at 32 V}
bars: {X1: {name: Positive}, X2: {name: Negative}}
panels: {X4: {name: Panel, negative: X2, ways: {1: 5 A, 2: 30 A, 3: 20 A}}}
runs:
  one: [G1 +, F1, X1]
  two: [G2 +, F2, X1]
  minus: [G1 -, X2]
  minus two: [G2 -, X2]
  feeder: [X1, F3, W1: "35 mm², 2 m", X4]
circuits:
  C1: {name: Lamp, from: X4 way 1, cable: "1.5 mm², 4 m", load: 2 A}
  C2: {name: Masthead, from: X4 way 2, cable: "1.5 mm², 18 m", load: 2 A}
  C3: {name: Fridge, from: X4 way 3, cable: "4 mm², 3 m", load: 5 A, start: 25 A for 1 s}
"""
)


@pytest.fixture(scope="module")
def guards() -> dict[str, Guard]:
    return dict(studied(BRANCHES).guards)


def against(guard: Guard, upstream: str) -> Selective:
    return next(s for s in guard.selectivity if s.upstream == upstream)


def test_every_fuse_and_breaker_is_looked_at(guards: dict[str, Guard]) -> None:
    assert {"F1", "F2", "F3", "X4 way 1", "X4 way 2", "X4 way 3"} == set(guards)


def test_a_string_fuse_carries_the_other_string_into_a_fault_in_its_own(guards: dict[str, Guard]) -> None:
    """A short on either side of F1 sends one string's current through it: 13.6 V over 5.2 mΩ beyond it, 5.4 mΩ before
    it."""
    assert approx(13.6 / 0.0052, rel=2e-3) == guards["F1"].through.high
    assert guards["F1"].highest.high > 1.8 * guards["F1"].through.high


def test_breaking_capacity_is_that_of_the_record_at_its_voltage(guards: dict[str, Guard]) -> None:
    assert (20_000.0, 2_000.0, 1_000.0) == tuple(guards[id].breaks for id in ("F1", "F3", "X4 way 1"))


def test_the_far_end_of_what_a_fuse_protects_is_its_longest_thinnest_circuit(guards: dict[str, Guard]) -> None:
    masthead = guards["X4 way 2"]

    assert "C2 +" == masthead.far
    assert masthead.lowest < 20
    assert (inf, inf) == masthead.opens


def test_a_small_fuse_opens_at_once_at_the_far_end(guards: dict[str, Guard]) -> None:
    assert guards["X4 way 1"].opens[1] < 0.1


def test_the_smallest_conductor_to_the_next_device_is_found(guards: dict[str, Guard]) -> None:
    """k²S² of 1.5 mm² of the 105 °C class, from full load: (87.6 · 1.5)²."""
    assert guards["X4 way 1"].smallest == "C1 cable +"
    assert approx((87.6 * 1.5) ** 2, rel=2e-3) == guards["X4 way 1"].bears
    assert ("W1",) == guards["F3"].conductors


def test_a_fridge_starts_through_its_fuse(guards: dict[str, Guard]) -> None:
    (start,) = guards["X4 way 3"].starts

    assert ("C3", 25.0, 1.0, True) == (start.consumer, start.amps, start.seconds, start.holds)


def test_a_branch_fuse_goes_before_the_feeder_and_the_main_fuse(guards: dict[str, Guard]) -> None:
    assert "full" == against(guards["X4 way 1"], "F3").verdict
    assert "full" == against(guards["X4 way 1"], "F1").verdict


def test_of_two_strings_each_main_fuse_sees_half_the_fault(guards: dict[str, Guard]) -> None:
    assert approx(0.5, abs=1e-3) == against(guards["X4 way 1"], "F1").share
    assert approx(1.0, abs=1e-3) == against(guards["X4 way 1"], "F3").share


def test_a_feeder_fuse_slower_than_the_bms_blacks_the_ship_out(guards: dict[str, Guard]) -> None:
    """A short behind F3 is above both BMS's thresholds, and they open in 0.3 ms."""
    assert {"G1", "G2"} == set(guards["F3"].blackout)
    assert against(guards["F3"], "G1").verdict in ("up to", "none")


def test_a_small_branch_fuse_saves_the_ship_from_the_bms() -> None:
    """At the end of a long feeder less flows than makes a BMS trip."""
    quiet = studied(BRANCHES.replace('"35 mm², 2 m"', '"4 mm², 6 m"'))

    assert () == quiet.guards["X4 way 1"].blackout
    assert "full" == against(quiet.guards["X4 way 1"], "G1").verdict


def test_a_bms_without_a_stated_trip_is_unknown_not_passed() -> None:
    silent = studied(BRANCHES.replace(", trip: 900 A, trip delay: 0.3 ms", ""))

    assert "the trip of the BMS of G1 is not given" == against(silent.guards["F3"], "G1").unknown
    assert () == silent.guards["F3"].blackout


def test_an_own_curve_is_used() -> None:
    text = (
        BRANCHES.replace("F3: {kind: bolted strip SF51", "F3: {kind: own strip")
        + 'curves: {own strip: {source: its paper, points: {"2.0": 1 s to 10 s, "10": 0.05 s to 0.1 s}}}\n'
    )
    guard = studied(text).guards["F3"]

    assert approx((1.0, 10.0)) == guard.band.opening_time(300)


OWN = (
    HEAD
    + """
batteries: {G1: {chemistry: lfp, resistance: 4 mΩ, cells: {series: 4, capacity: 100 Ah}}}
fuses: {F1: {kind: strip of mine, rating: 100 A, voltage: 32 V}}
bars: {X2: {name: Negative}}
panels: {X4: {name: Panel, negative: X2, voltage: 32 V, ways: {1: {rating: 10 A, kind: lever of mine}, 2: {rating: 10 A, kind: blade}}}}
curves:
  strip of mine: {source: its leaflet, breaking: 2 kA at 32 V, points: {"1.1": never, "2.0": 1 s to 100 s, "10": 0.01 s to 0.1 s}}
  lever of mine: {source: its leaflet, device: breaker, points: {"1.1": never, "2.0": 1 s to 100 s, "10": 0.01 s to 0.1 s}}
runs: {plus: [G1 +, F1, W1: "16 mm², 2 m", X4], minus: [G1 -, X2]}
circuits: {C1: {name: Lamp, from: X4 way 1, cable: "1.5 mm², 4 m", load: 2 A}}
"""
)


def test_an_own_curve_says_how_fast_what_it_breaks_and_whether_it_is_a_breaker() -> None:
    study = studied(OWN)
    strip = study.guards["F1"]

    assert (2000.0, "2 kA at 32 V, as recorded") == (strip.breaks, strip.breaks_source)
    assert approx((1.0, 100.0)) == strip.band.opening_time(200)
    assert approx((0.01, 0.1)) == strip.band.opening_time(1000)
    assert ("breaker", "fuse") == tuple(study.network.edges[f"X4 way {n}"].kind for n in (1, 2))
