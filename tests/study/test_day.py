"""A usual day, the sun, hours left and the drive: against sums by hand, and what must hold for every boat."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from pytest import approx

from loombook.inventory import read_inventory
from loombook.network import build
from loombook.study import bank_whys
from loombook.study import energy_whys as whys
from loombook.study.model import Study, Why
from loombook.study.run import study
from tests.study.boats import HEAD, studied
from tests.study.test_energy import DAY

LAUNCH = Path(__file__).parents[1] / "vessels" / "launch"

SUNNY = (
    HEAD.replace("tinned: yes}", "tinned: yes, peak sun hours: 3 h, peak sun hours in: {june: 5 h, december: ~0.5 h}}")
    + """
batteries: {G1: {chemistry: lfp, resistance: 4 mΩ, cells: {series: 4, capacity: 100 Ah}, usable: 80 %}}
solar arrays: {G6: {open circuit: 22 V, short circuit: 6 A, power: 100 W, parallel: 2}}
solar controllers: {T1: {current: 20 A, absorption: 14.2 V, efficiency: 96 %}}
bars: {X1: {name: Positive}, X2: {name: Negative}}
runs:
  plus: [G1 +, X1]
  minus: [G1 -, X2]
  array: [G6 +, T1 pv +]
  array minus: [G6 -, T1 pv -]
  charge: [T1 +, X1]
  charge minus: [T1 -, X2]
circuits: {C1: {name: Fridge, from: X1, back to: X2, cable: "10 mm², 1 m", load: 6 A, law: current, duty: 50 %}}
conditions:
  day: {hours: 8 h, sources: [G6, T1], solar: SHARE}
  night: {hours: 16 h}
"""
)


@pytest.fixture(scope="module")
def day() -> Study:
    return studied(DAY)


@pytest.fixture(scope="module")
def launch() -> Study:
    return study(build(read_inventory(LAUNCH)))


def test_hours_from_half_charge_count_down_to_the_floor(day: Study) -> None:
    """Half of 100 Ah without the 20 Ah that stay in it, at 5 A."""
    house = day.banks[0].bank

    assert approx(6.0) == house.hours(5.0, 0.5)
    assert 0.0 == replace(house, usable=0.5).hours(5.0, 0.5)


@pytest.mark.parametrize("amps", [0.5, 3.0, 12.0, 80.0])
def test_a_larger_bank_never_lasts_shorter(day: Study, amps: float) -> None:
    for found in day.banks:
        sizes = [replace(found.bank, capacity=found.bank.capacity * n).lasts(amps) for n in (1.0, 1.1, 2.0, 5.0)]

        assert sorted(sizes, key=lambda r: (r.low, r.high)) == sizes
        assert sizes[0].low < sizes[-1].low


def test_lead_acid_gives_less_above_the_current_of_its_20_h_rating(day: Study) -> None:
    """Half of 50 Ah at 5 A, twice the 20 h current: 5 h · 2^-0.1 and 5 h · 2^-0.3."""
    reserve = day.banks[1].bank

    assert (approx(4.061, rel=1e-3), approx(4.665, rel=1e-3)) == (reserve.lasts(5.0).low, reserve.lasts(5.0).high)
    assert not reserve.lasts(2.5).is_range


def test_a_bank_too_small_for_its_day_is_empty_when_its_charge_is_used() -> None:
    """30 Ah at 5 A: at its floor of 20 % after 4.8 h, empty after 6 h."""
    house = studied(DAY.replace("capacity: 100 Ah", "capacity: 30 Ah")).days[0]

    assert approx(4.8, rel=1e-3) == house.under
    assert (approx(6.0, rel=1e-3), 0.0, "at anchor") == house.points[1]
    assert 1 == house.last


def test_a_day_that_gives_back_what_it_takes_can_go_on_for_ever(day: Study) -> None:
    house = day.days[0]

    assert (None, None) == (house.under, house.last)
    assert approx(0.5, rel=1e-3) == house.drawn


def test_a_day_that_gives_back_less_ends_some_days_later() -> None:
    """50 Ah out and 15 A · 1 h back: 65 % after a day, under its floor of 20 % on the second."""
    house = studied(DAY.replace("hours: 4 h", "hours: 1 h")).days[0]

    assert house.under is None
    assert 2 == house.last


@pytest.fixture(scope="module")
def suns() -> dict[int, Study]:
    return {share: studied(SUNNY.replace("SHARE", f"{share} %")) for share in (0, 20, 50, 100)}


def test_more_sun_never_leaves_less_charge(suns: dict[int, Study]) -> None:
    ends = [suns[share].days[0].end for share in sorted(suns)]
    lowest = [suns[share].days[0].lowest for share in sorted(suns)]

    assert sorted(ends) == ends
    assert sorted(lowest) == lowest
    assert ends[0] < ends[-1]


def test_the_sun_brings_rating_times_hours_times_the_share_that_counts(suns: dict[int, Study]) -> None:
    """200 W · 5 h · 70 % in June; months without a figure of their own take the one for all."""
    months = suns[20].sun

    assert (approx(700), True) == (months[5].brought, months[5].stated)
    assert (approx(200 * 3 * 0.7), True) == (months[0].brought, months[0].stated)
    assert (approx(70), False) == (months[11].brought, months[11].stated)
    assert ("June", "December") == (months[5].name, months[11].name)


def test_without_sun_hours_a_default_is_taken_and_said() -> None:
    result = studied(
        SUNNY.replace(", peak sun hours: 3 h, peak sun hours in: {june: 5 h, december: ~0.5 h}", "").replace(
            "SHARE", "20 %"
        )
    )

    assert not any(month.stated for month in result.sun)
    assert any("peak-sun" in assumption.what for assumption in result.assumptions)


def test_a_usual_days_need_is_what_its_consumers_take(suns: dict[int, Study]) -> None:
    parts = suns[0].balances.values()

    assert approx(sum(b.used * b.hours for b in parts), rel=1e-6) == suns[0].sun[0].needed


def test_what_runs_by_default_is_told_as_a_part_of_the_use() -> None:
    """1 A of a stated half of 2 A, and 20 % by default of 4 A."""
    guessed = studied(DAY.replace("law: current, duty: 100 %", "law: current")).balances["at anchor"].guessed

    assert approx(0.8 / 1.8, rel=1e-3) == guessed
    assert 0.0 == studied(DAY).balances["at anchor"].guessed


def test_the_worked_example_of_three_hours_on_what_must_stay_on() -> None:
    """Common practice, no source: pumps 10 A for 1 h of 3, radio 0.5 A, position 0.5 A, lights 2 A, compass light
    0.1 A, alarms 0.2 A and a strobe 1 A take about 22 Ah in three hours."""
    loads = [(10, 33.3333), (0.5, 100), (0.5, 100), (2, 100), (0.1, 100), (0.2, 100), (1, 100)]
    circuits = "\n".join(
        f'  C{n}: {{name: L{n}, from: X1, back to: X2, cable: "10 mm², 1 m", load: {amps} A, law: current, duty: {duty} %, essential: yes}}'
        for n, (amps, duty) in enumerate(loads, 1)
    )
    text = DAY[: DAY.index("circuits:")].replace(
        "chemistry: lfp, resistance: 4 mΩ, cells: {series: 4,",
        "chemistry: agm lead-acid, resistance: 4 mΩ, cells: {series: 6,",
    )
    house = studied(f"{text}circuits:\n{circuits}\n").essentials[0]

    assert approx(22, rel=0.05) == 3 * house.amps


# the drive


def test_hours_of_a_drive_lie_between_what_the_points_allow(launch: Study) -> None:
    (drive,) = launch.drives

    for run in drive.runs:
        assert run.lasts.low < run.hours < run.lasts.high


def test_the_measured_endurance_lies_in_the_range_told(launch: Study) -> None:
    """Usable energy over the power measured, with the rest of the boat's: at each measured speed."""
    (drive,) = launch.drives
    for point in launch.network.inventory.motors["M1"].speed_points:
        run = next(r for r in drive.runs if r.speed == point.speed.value)

        assert run.lasts.low - 1e-9 <= drive.usable / (point.power.value + drive.hotel) <= run.lasts.high + 1e-9


def test_twice_the_charge_is_twice_the_range(launch: Study) -> None:
    text = (LAUNCH / "vessel.yaml").read_text(encoding="utf-8")
    from loombook.inventory import read_text

    larger = study(build(read_text(text.replace("capacity: 300 Ah", "capacity: 600 Ah"))))
    for one, two in zip(launch.drives[0].runs, larger.drives[0].runs, strict=True):
        assert approx(2 * one.distance, rel=0.01) == two.distance


# why


def test_every_figure_of_energy_says_why(launch: Study, day: Study, suns: dict[int, Study]) -> None:
    found: list[Why] = []
    for result in (launch, day, suns[20]):
        network, bank = result.network, result.banks[0]
        found += [whys.of_condition(network, b) for b in result.balances.values()]
        found += [
            whys.of_hours(bank.bank, 5.0, "x"),
            bank_whys.of_years(bank, 0.5),
            whys.of_day(bank.bank, result.days[0]),
        ]
        found += [whys.of_essentials(network, bank.bank, e) for e in result.essentials]
        found += [whys.of_month(network, m) for m in result.sun]
        found += [bank_whys.of_clamp(bank, *clamp) for clamp in bank.clamping]
        for drive in result.drives:
            found += [whys.of_drive(network, drive), *(whys.of_run(bank.bank, drive, run) for run in drive.runs)]

    assert [
        w for w in found if not (w.formula and w.source and w.inputs and w.steps and all(all(i) for i in w.inputs))
    ] == []
