"""Load balance, day, essential hours, banks, drive and dips, against sums done by hand and common practice."""

from __future__ import annotations

from pathlib import Path

import pytest
from pytest import approx

from loombook.inventory import read_inventory, read_text
from loombook.network import build
from loombook.study.model import Study
from loombook.study.run import study
from tests.random_vessels import random_vessel
from tests.study.boats import CONVERTER, HEAD, TWO_STRINGS, studied

VESSELS = Path(__file__).parents[1] / "vessels"

DAY = (
    HEAD
    + """
batteries:
  G1: {chemistry: lfp, resistance: 4 mΩ, cells: {series: 4, capacity: 100 Ah}, usable: 80 %}
  G2: {chemistry: agm lead-acid, resistance: 6 mΩ, cells: {series: 6, capacity: 50 Ah}, duty: reserve}
bars: {X1: {name: Positive}, X2: {name: Negative}, X3: {name: Reserve}}
switches: {Q1: {kind: paralleling, normal: off}}
shore inlets: {X8: {voltage: 230 V, current: 16 A, fault current: 1 kA}}
chargers: {T1: {current: 20 A, absorption: 14.2 V, efficiency: 80 %}}
runs:
  plus: [G1 +, X1]
  minus: [G1 -, X2]
  reserve: [G2 +, X3]
  reserve minus: [G2 -, X2]
  link: [X1, Q1, X3]
  charge: [T1 +, X1]
  charge minus: [T1 -, X2]
  mains: [X8, T1]
circuits:
  C1:
    name: Anchor light
    from: X1
    back to: X2
    cable: "10 mm², 1 m"
    load: 2 A
    law: current
    essential: yes
    duty in: {emergency: 100 %}
    duty: 50 %
  C2: {name: Music, from: X1, back to: X2, cable: "10 mm², 1 m", load: 4 A, law: current, duty: 100 %}
conditions:
  at anchor: {hours: 10 h}
  in harbour: {hours: 4 h, sources: [X8, T1]}
  emergency: {emergency: yes, switches: {Q1: on}, duty: {C1: 100 %, C2: 0 %}}
"""
)


@pytest.fixture(scope="module")
def day() -> Study:
    return studied(DAY)


def test_a_bank_gives_what_its_loads_take_on_average(day: Study) -> None:
    """Half of 2 A and all of 4 A."""
    house = day.balances["at anchor"].banks[0]

    assert approx(5.0, rel=1e-4) == house.amps
    assert approx(80 / 5.0, rel=1e-4) == house.hours


def test_a_charger_draws_what_it_gives_over_its_efficiency(day: Study) -> None:
    (charger,) = day.balances["in harbour"].conversions

    assert approx(0.8 * charger.taken, rel=1e-3) == charger.given
    assert approx(20.0, rel=1e-3) == day.flows["in harbour"].amps["T1"]


def test_all_that_is_given_is_used_or_lost(day: Study) -> None:
    for name, balance in day.balances.items():
        flow = day.flows[name]
        stored = sum(flow.amps[id] * flow.across(f"{id} +", f"{id} -") for id in ("G1", "G2"))

        assert approx(stored + sum(watts for _, watts in balance.given), abs=0.01) == balance.used + balance.lost


def test_a_day_goes_down_and_up_again_and_never_over_full(day: Study) -> None:
    house = day.days[0]

    assert [(0.0, 1.0, ""), (10.0, approx(0.5, rel=1e-3), "at anchor"), (14.0, 1.0, "in harbour")] == [
        p for p in house.points if p[0] in (0.0, 10.0, 14.0)
    ]
    assert approx(0.5, rel=1e-3) == house.lowest


def test_essential_loads_last_on_each_bank_alone(day: Study) -> None:
    """2 A of 12.8 V from 80 Ah, or of 12 V from half of 50 Ah."""
    house, reserve = day.essentials

    assert approx(80 / (2 * 12 / 12.8)) == house.hours
    assert approx(25 / 2.0) == reserve.hours
    assert ("C1",) == reserve.carried


def test_sixteen_cells_of_300_ah_make_a_bank_of_15_kwh_that_lasts_16_years() -> None:
    """Common practice, no source: 16 cells of 300 Ah at 3.2 V; 6,000 cycles at one a day."""
    (bank,) = study(build(read_inventory(VESSELS / "launch"))).banks

    assert approx(15_360) == bank.bank.energy
    assert approx(16.4, abs=0.1) == bank.years


@pytest.mark.parametrize(("speed", "hours"), [(6, 2), (5, 4), (4, 7)])
def test_a_15_kwh_bank_drives_as_long_as_common_practice_says(speed: float, hours: float) -> None:
    """Common practice, no source: 2 h at 6 kn, 4 h at 5 kn, 7 h at 4 kn. A smooth curve cannot meet all three."""
    (drive,) = study(build(read_inventory(VESSELS / "launch"))).drives
    run = next(r for r in drive.runs if r.speed == speed)

    assert approx(hours, rel=0.15) == run.hours
    assert approx(run.speed * run.hours) == run.distance


def test_slower_is_always_farther() -> None:
    (drive,) = study(build(read_inventory(VESSELS / "launch"))).drives
    measured = [r.distance for r in drive.runs if r.measured]

    assert sorted(measured, reverse=True) == measured


def test_two_equal_strings_share_evenly() -> None:
    (strings,) = studied(TWO_STRINGS).sharings

    assert ["G1", "G2"] == [id for id, _, _ in strings.ways]
    assert [approx(0.5), approx(0.5)] == [part for _, _, part in strings.ways]


def test_unequal_conductors_side_by_side_share_by_their_resistance() -> None:
    text = TWO_STRINGS.replace(
        "  one: [G1 +, F1, X1]\n",
        '  one: [G1 +, F1, X3]\n  short: [X3, W1: "10 mm², 1 m", X1]\n  long: [X3, W2: "10 mm², 3 m", X1]\n',
    )
    text = text.replace("bars: {", "bars: {X3: {name: Post}, ").replace("  two: [G2 +, F2, X1]\n", "")
    (conductors,) = [s for s in studied(text).sharings if s.kind == "conductors"]

    assert [("W1", approx(0.75)), ("W2", approx(0.25))] == [(id, part) for id, _, part in conductors.ways]


def test_a_starting_motor_pulls_the_bar_down_by_its_current_times_the_bank() -> None:
    """60 mΩ of motor behind 4 mΩ of battery: 13.196 V · 60/64."""
    text = TWO_STRINGS.replace("  two: [G2 +, F2, X1]\n", "  motor: [X1, M1 +]\n  motor minus: [M1 -, X2]\n").replace(
        "  one: [G1 +, F1, X1]\n", "  one: [G1 +, X1]\n"
    )
    text = (
        text.replace("load: 24 A, law: current", "load: 1 mA, law: current, works from: 12.5 V")
        + "motors: {M1: {load: 50 A, start: 200 A for 1 s, duty: 0 %}}\n"
    )
    dip = studied(text).dips["M1"]

    assert approx(13.196, rel=1e-3) == dip.before["X1"]
    assert approx(13.196 * 60 / 64, rel=1e-3) == dip.during["X1"]
    assert ["C1"] == [id for id, _, _ in dip.upset]


def test_a_starting_motor_is_looked_at_from_every_bar_behind_an_isolated_converter_too() -> None:
    """The launch's 12 V system has a negative of its own; its converter holds the volts, and the bars do not move."""
    dip = study(build(read_inventory(VESSELS / "launch"))).dips["M1"]

    assert {"X1", "X4", "X6"} == {bar.split(" ")[0] for bar in dip.during}
    assert approx(dip.before["X6"], abs=0.01) == dip.during["X6"]
    assert dip.during["X1"] < dip.before["X1"] - 0.5


def test_a_converter_loses_what_its_efficiency_says() -> None:
    (converter,) = studied(CONVERTER.replace("LOAD", "10 A, law: current")).balances["normal"].conversions

    assert approx(0.1 * converter.taken, rel=1e-3) == converter.lost


@pytest.mark.parametrize("seed", range(6))
def test_energy_is_conserved_on_vessels_drawn_by_lot(seed: int) -> None:
    result = study(build(read_text(random_vessel(seed))))
    for name, balance in result.balances.items():
        flow = result.flows[name]
        batteries = [e for e in result.network.sources() if e.kind == "battery"]
        stored = sum(flow.amps[e.id] * flow.across(e.b, e.a) for e in batteries)

        assert (
            approx(stored + sum(watts for _, watts in balance.given), rel=1e-3, abs=0.5) == balance.used + balance.lost
        )


GUESSED = TWO_STRINGS.replace("defaults: {joint resistance: 0 mΩ, insulation: 105 °C, tinned: yes}\n", "")
"""The two strings with nothing said of joints, insulation and copper."""


def test_every_default_that_was_used_says_how_far_it_moves_the_results() -> None:
    for assumption in studied(GUESSED).assumptions:
        assert assumption.effect, assumption.what
        assert assumption.items


def test_the_default_that_moves_a_result_furthest_stands_first() -> None:
    moves = [assumption.moves for assumption in studied(GUESSED).assumptions]

    assert len(set(moves)) > 3
    assert moves == sorted(moves, reverse=True)
