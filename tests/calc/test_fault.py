"""Fault current and what conductors stand of it, against hand-solved and numerically solved cases."""

from __future__ import annotations

from math import inf

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from loombook.calc import adiabatic, banks, fault_dc, fault_sources
from loombook.calc.tables import OutOfTable

ohms = st.floats(1e-4, 1)
henries = st.floats(1e-7, 1e-3)


@given(st.floats(5, 800), ohms, ohms, st.floats(0, 1))
def test_more_resistance_never_means_more_fault_current(emf: float, battery: float, path: float, more: float) -> None:
    for formula in (fault_dc.battery_peak, fault_dc.battery_sustained):
        assert formula(emf, battery, path + more) <= formula(emf, battery, path)


@given(st.floats(5, 800), ohms, ohms, henries)
def test_the_peak_is_never_below_the_sustained_current(emf: float, battery: float, path: float, henry: float) -> None:
    course = fault_dc.battery_course(emf, battery, path, henry)

    assert course.peak >= course.sustained > 0


@given(st.floats(5, 800), ohms, ohms, henries)
def test_the_course_meets_its_peak_and_settles(emf: float, battery: float, path: float, henry: float) -> None:
    course = fault_dc.battery_course(emf, battery, path, henry)

    assert 0 == course.at(0)
    assert course.peak == pytest.approx(course.at(course.time_to_peak))
    assert course.peak == pytest.approx(course.at(course.time_to_peak * (1 + 1e-9)))
    assert course.sustained == pytest.approx(course.at(course.time_to_peak + 5), rel=1e-6)


def test_a_bank_without_inductance_peaks_at_once() -> None:
    assert 0 == fault_dc.battery_rise(0.01, 0)
    assert 0 == fault_dc.time_to_peak(0)


def test_eight_cells_and_seven_links_by_hand() -> None:
    """8 × 3.40 V over 8 × 0.17 mΩ + 7 × 0.05 mΩ; 8 × 3.0 V over 8 × 0.30 mΩ + 7 × 0.05 mΩ less a tenth."""
    bank = banks.lithium_bank(8, 1, (0.17e-3, 0.30e-3), (0.05e-3, 0.05e-3))

    assert 27.2 / 1.71e-3 == pytest.approx(bank.most())
    assert 0.9 * 24.0 / 2.75e-3 == pytest.approx(bank.least())


def test_cells_side_by_side_share_the_current() -> None:
    one, two = (banks.lithium_bank(16, cells, (0.2e-3, 0.2e-3)) for cells in (1, 2))

    assert 2 * one.most() == pytest.approx(two.most())


@given(
    st.integers(1, 32),
    st.integers(1, 8),
    st.floats(1e-5, 1e-3),
    st.floats(0, 1e-3),
    st.floats(0, 1e-2),
    st.floats(0, 0.5),
)
def test_a_range_in_gives_a_range_out(
    series: int, parallel: int, cell: float, spread: float, extra: float, path: float
) -> None:
    bank = banks.lithium_bank(series, parallel, (cell, cell + spread), extra=(0, extra))

    assert bank.least(path) < bank.most(path)


def test_a_dead_short_with_nothing_in_the_way_is_infinite_and_not_an_error() -> None:
    assert inf == fault_dc.prospective(12, 0)


@pytest.mark.parametrize(("series", "parallel"), [(0, 1), (4, 0)])
def test_a_bank_without_cells_is_refused_in_words(series: int, parallel: int) -> None:
    with pytest.raises(OutOfTable, match="has no cells"):
        banks.lithium_bank(series, parallel, (1e-3, 1e-3))


def test_a_start_battery_by_hand() -> None:
    """6 × 2.1 V over 0.9 × 3 mΩ; 6 × 1.9 V over 6 mΩ + 1 mΩ less a tenth."""
    bank = banks.lead_acid_bank(6, (3e-3, 6e-3), (0, 1e-3))

    assert 12.6 / 2.7e-3 == pytest.approx(bank.most())
    assert 0.9 * 11.4 / 7e-3 == pytest.approx(bank.least())


def test_a_smaller_cell_is_assumed_to_resist_more() -> None:
    assert banks.assumed_lfp_cell(100)[0] > banks.assumed_lfp_cell(280)[0]
    assert (0.17e-3, 0.50e-3) == pytest.approx(banks.assumed_lfp_cell(280))


@pytest.mark.parametrize(
    ("resistance", "inductance", "capacitance"),
    [(0.010, 2e-6, 10e-3), (0.200, 2e-6, 10e-3), (0.0282842712, 2e-6, 10e-3), (0.004, 5e-6, 2e-3)],
    ids=["swings", "creeps", "between", "swings long"],
)
def test_a_capacitor_peaks_as_the_solved_circuit_does(resistance: float, inductance: float, capacitance: float) -> None:
    """L di/dt = u − R i, C du/dt = −i, solved step by step."""

    def circuit(_: float, state: np.ndarray) -> list[float]:
        volts, amperes = state
        return [-amperes / capacitance, (volts - resistance * amperes) / inductance]

    found = fault_sources.capacitor_peak(58.4, resistance, inductance, capacitance)
    times = np.linspace(0, 3 * found.time, 6001)
    solved = solve_ivp(circuit, (0, times[-1]), [58.4, 0.0], t_eval=times, rtol=1e-9, atol=1e-9)

    assert solved.y[1].max() == pytest.approx(found.current, rel=1e-4)
    assert times[solved.y[1].argmax()] == pytest.approx(found.time, rel=2e-3)


@given(st.floats(0.01, 5), st.floats(0, 10), st.floats(0, 1))
def test_a_rectifier_peaks_at_or_above_its_sustained_current(r: float, q: float, inductances: float) -> None:
    assert 0 < fault_sources.rectifier_lambda(r, q) <= 1
    assert 1 <= fault_sources.rectifier_kappa(r, q, inductances) < 2


def test_a_motor_feeds_back_seven_to_ten_times_its_current() -> None:
    assert (1400, 2000) == fault_sources.motor_contribution(200)


@given(st.floats(0.5, 240), st.floats(0, 100), st.floats(1, 20000), st.floats(10, 200))
def test_more_copper_never_lasts_a_shorter_time(area: float, more: float, current: float, k: float) -> None:
    thin, thick = (adiabatic.time_to_damage(size, current, k) for size in (area, area + more))

    assert thick >= thin


@given(st.floats(0.5, 240), st.floats(1, 20000), st.sampled_from([60, 75, 90, 105]))
def test_the_insulation_goes_before_the_copper(area: float, current: float, insulation: float) -> None:
    damage = adiabatic.time_to_damage(area, current, adiabatic.k_of_insulation(insulation, initial=30))

    assert damage < adiabatic.time_to_melt(area, current, initial=30)


@given(st.floats(10, 30000), st.floats(0.01, 5), st.floats(50, 200))
def test_the_area_needed_lasts_the_time_asked_for(current: float, time: float, k: float) -> None:
    area = adiabatic.area_needed(current, time, k)

    assert time == pytest.approx(adiabatic.time_to_damage(area, current, k))


def test_a_conductor_hotter_than_its_limit_is_refused_in_words() -> None:
    with pytest.raises(OutOfTable, match="is at 180 °C already"):
        adiabatic.k_factor(180, 160)


def test_the_adiabatic_equation_says_where_it_holds() -> None:
    assert "" == adiabatic.validity(1)
    assert "below 0.1 s" in adiabatic.validity(0.05)
    assert "above 5 s" in adiabatic.validity(6)


def test_without_current_nothing_burns() -> None:
    assert inf == adiabatic.time_to_damage(1.5, 0, 115)
