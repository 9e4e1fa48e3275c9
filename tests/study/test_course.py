"""A fault over time: what each source gives at the peak, what it settles to, how fast, and whether its BMS opens."""

from __future__ import annotations

from math import inf

import pytest
from pytest import approx

from loombook.study.course import Courses, Part
from tests.study.boats import HEAD, studied

LEAD = """
batteries: {G1: {chemistry: agm lead-acid, resistance: 6 mΩ, cells: {series: 6, capacity: 100 Ah}}}
bars: {X1: {name: Positive}, X2: {name: Negative}}
runs: {plus: [G1 +, W1: "50 mm², 3 m", X1], minus: [G1 -, W2: "50 mm², 2 m", X2]}
"""
LITHIUM = """
batteries:
  G1: {chemistry: lfp, resistance: 4 mΩ, cells: {series: 4, capacity: 100 Ah}, bms: {current: 100 A, resistance: 1 mΩ, %s}}
bars: {X1: {name: Positive}, X2: {name: Negative}}
motors: {M1: {name: Drive, kind: drive, load: 50 A, capacitance: 10 mF}}
runs:
  plus: [G1 +, W1: "50 mm², 3 m", X1]
  minus: [G1 -, W2: "50 mm², 2 m", X2]
  drive: [X1, W3: "16 mm², 4 m", M1 +]
  drive minus: [X2, W4: "16 mm², 4 m", M1 -]
"""
IN_SERIES = """
batteries:
  G1: {chemistry: CHEMISTRY, resistance: 6 mΩ, cells: {series: 6, capacity: 100 Ah}}
  G2: {chemistry: CHEMISTRY, resistance: 9 mΩ, cells: {series: 6, capacity: 100 Ah}}
bars: {X1: {name: Positive}, X2: {name: Negative}}
runs:
  plus: [G2 +, W1: "50 mm², 3 m", X1]
  middle: [G1 +, W3: "50 mm², 1 m", G2 -]
  minus: [G1 -, W2: "50 mm², 2 m", X2]
"""


def courses(text: str) -> Courses:
    study = studied(HEAD + text)
    return Courses(study.network, study.faults, study.resistances)


def part(text: str, source: str, kind: str, node: str = "X1") -> Part:
    return next(p for p in courses(text).at(node) if (p.source, p.kind) == (source, kind))


def test_a_lead_acid_battery_settles_to_what_iec_61660_says() -> None:
    found = part(LEAD, "G1", "lead-acid")
    total = found.peak.high
    emf = courses(LEAD).sources["G1"].full
    branch = emf / total  # 0.9 R_B + R_ext
    external = branch - 0.9 * 6e-3

    assert approx(0.95 * emf / (6e-3 + external), rel=1e-3) == found.sustained.high
    assert 0.1 == found.decay
    assert ("G1 -", 3.0) == (courses(LEAD).faults["X1"].against, found.metres)  # the nearest negative


def test_the_rise_of_lithium_is_inductance_over_resistance() -> None:
    found = part(LITHIUM % "trip: 900 A, trip delay: 0.3 ms", "G1", "lithium")
    emf = courses(LITHIUM % "trip: 900 A").sources["G1"].full
    most = 0.75e-6 * 5 + 0.3e-6 * 4

    assert approx(most * found.peak.high / emf) == found.rise.high
    assert approx(3 * found.rise.high) == found.to_peak.high
    assert found.sustained == found.peak


@pytest.mark.parametrize(
    ("bms", "opens"),
    [
        ("trip: 900 A, trip delay: 0.3 ms", "yes"),
        ("trip: 90 kA, trip delay: 0.3 ms", "no"),
        ("trip: 900 A", "unknown"),
    ],
)
def test_a_bms_opens_above_its_trip_and_only_then(bms: str, opens: str) -> None:
    assert opens == part(LITHIUM % bms, "G1", "lithium").opens


def test_a_charged_capacitor_adds_for_moments_and_no_more_than_its_wires_let_it() -> None:
    boat = LITHIUM % "trip: 900 A"
    found, known = part(boat, "M1", "capacitor"), courses(boat)
    wires = known.resistances["W3"].cold.low + known.resistances["W4"].cold.low

    assert 0 < found.peak.high < known.faults["X1"].volts / wires
    assert 0 == found.sustained.high
    assert 0 < found.to_peak.high < 1e-3


def test_at_its_own_terminals_nothing_written_limits_a_capacitor() -> None:
    assert inf == part(LITHIUM % "trip: 900 A", "M1", "capacitor", "M1 +").peak.high


def test_without_a_length_no_time_is_told() -> None:
    found = part(LEAD.replace("50 mm², 3 m", "50 mm²"), "G1", "lead-acid", "X1")

    assert (None, None) == (found.rise, found.metres)


@pytest.mark.parametrize("source", ["G1", "G2"])
def test_batteries_in_series_settle_to_one_current_and_have_one_way_out_and_back(source: str) -> None:
    """Against G1's own post, so without the 2 m of W2: 3 m and the metre between them."""
    boat = IN_SERIES.replace("CHEMISTRY", "agm lead-acid")
    found, known = part(boat, source, "lead-acid"), courses(boat)
    emf = sum(known.sources[id].full for id in ("G1", "G2"))
    external = emf / found.peak.high - 0.9 * 15e-3

    assert 4.0 == found.metres
    assert ({"G1": "G2", "G2": "G1"}[source],) == found.series
    assert approx(0.95 * emf / (15e-3 + external)) == found.sustained.high
    assert found.rise is not None


def test_lithium_in_series_rises_by_the_inductance_of_all_cells_over_the_resistance_of_all() -> None:
    boat = IN_SERIES.replace("CHEMISTRY", "lfp")
    found, known = part(boat, "G1", "lithium"), courses(boat)
    emf = sum(known.sources[id].full for id in ("G1", "G2"))

    assert approx((0.75e-6 * 4 + 0.3e-6 * 12) * found.peak.high / emf) == found.rise.high


def test_a_length_that_is_missing_between_batteries_in_series_is_still_missed() -> None:
    boat = IN_SERIES.replace("CHEMISTRY", "lfp").replace("50 mm², 1 m", "50 mm²")

    assert part(boat, "G1", "lithium").metres is None


def test_a_capacitor_s_pulse_goes_through_the_fuse_between_it_and_the_short_and_no_other() -> None:
    """10 mF behind 8 m of 16 mm²: half of C U² over the resistance of the way."""
    boat = (LITHIUM % "trip: 900 A").replace(
        "motors:", "fuses: {F1: {kind: class T, rating: 100 A}, F2: {kind: class T, rating: 200 A}}\nmotors:"
    )
    boat = boat.replace("[X1, W3:", "[X1, F1, W3:").replace("[G1 +, W1:", "[G1 +, F2, W1:")
    known = courses(boat)
    pulse = known.pulse(known.network.edges["F1"])
    ohms = sum(known.resistances[id].cold.low for id in ("W3", "W4", "F1"))

    assert ("M1",) == pulse.gives
    assert 0 < pulse.peak < known.faults["X1"].volts / ohms
    assert approx(10e-3 * known.faults["F1 1"].volts ** 2 / 2 / ohms, rel=0.05) == pulse.heat
    assert known.pulse(known.network.edges["F2"]).heat < pulse.heat


@pytest.mark.parametrize(
    ("written", "settles", "stands"),
    [("", 0.0, None), ("runs on: 2 s, ", 0.0, 2.0), ("regenerates: yes, ", None, None)],
)
def test_a_running_motor_gives_until_it_stands_and_one_that_the_water_turns_does_not(
    written: str, settles: float | None, stands: float | None
) -> None:
    found = part((LITHIUM % "trip: 900 A").replace("kind: drive, ", f"kind: drive, {written}"), "M1", "motor")

    assert settles == (found.sustained and found.sustained.high)
    assert (stands, bool(written.startswith("regen"))) == (found.stands, found.turned)


def test_an_array_gives_from_the_first_moment_what_it_gives_at_the_last() -> None:
    boat = """
batteries: {G1: {chemistry: lfp, resistance: 4 mΩ, cells: {series: 4, capacity: 100 Ah}}}
solar arrays: {G6: {power: 200 W, open circuit: 24 V, short circuit: 10 A}}
solar controllers: {T1: {current: 20 A, absorption: 14.2 V}}
runs:
  sun: [G6 +, T1 pv +]
  sun minus: [G6 -, T1 pv -]
  plus: [T1 +, G1 +]
  minus: [T1 -, G1 -]
"""
    found = part(boat, "G6", "sun", "G6 +")

    assert found.peak == found.sustained
    assert approx(12.5, rel=0.01) == found.peak.high
