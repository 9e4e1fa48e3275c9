"""Energy, drive, solar, AC, mechanics: what must hold, and what is solved by hand."""

from __future__ import annotations

from cmath import rect
from math import inf, pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loombook.calc import ac, ac_fault, drive, energy, generators, mechanics, solar, tables, ventilation
from loombook.calc.tables import Mark, OutOfTable


@given(st.sampled_from(["lfp", "lfp chart", "lead-acid"]), st.floats(0, 1), st.floats(0, 1))
def test_a_fuller_battery_never_rests_lower(curve: str, soc: float, more: float) -> None:
    assert energy.rest_voltage(min(1, soc + more), curve) >= energy.rest_voltage(soc, curve)


@given(st.sampled_from(["lfp", "lfp chart", "lead-acid"]), st.floats(0, 1))
def test_the_state_of_charge_comes_back_from_the_voltage(curve: str, soc: float) -> None:
    assert soc == pytest.approx(energy.state_of_charge(energy.rest_voltage(soc, curve), curve), abs=1e-9)


@given(st.floats(10, 1000), st.floats(1, 200), st.floats(0, 100), st.floats(1, 1.4))
def test_more_current_never_lasts_longer(capacity: float, current: float, more: float, exponent: float) -> None:
    longer = energy.peukert_rated_time(capacity, 20, current, exponent)

    assert energy.peukert_rated_time(capacity, 20, current + more, exponent) <= longer


@given(st.floats(10, 1000), st.floats(1, 1.4))
def test_the_rated_form_gives_the_rated_time_at_the_rated_current(capacity: float, exponent: float) -> None:
    assert 20 == pytest.approx(energy.peukert_rated_time(capacity, 20, capacity / 20, exponent))


@given(st.floats(1, 50), st.floats(60, 500), st.floats(1.01, 1.5))
def test_the_exponent_comes_back_from_two_discharges(low: float, high: float, exponent: float) -> None:
    points = [(current, energy.peukert_time(500, current, exponent)) for current in (low, high)]

    assert exponent == pytest.approx(energy.peukert_exponent(*points))


def test_without_load_a_battery_lasts_for_ever() -> None:
    assert inf == energy.hours_left(1000, 0)
    assert inf == energy.peukert_time(100, 0, 1.2)


def test_cells_two_hundredths_of_a_volt_apart_are_well_balanced() -> None:
    found = energy.cell_spread([3.55, 3.56, 3.57])

    assert ("well balanced", Mark.PRACTICE) == (found.verdict, found.mark)
    assert "not well balanced" == energy.cell_spread([3.55, 3.60]).verdict


@given(st.floats(10, 5000), st.floats(1.5, 4.5))
def test_a_fit_finds_the_law_its_points_follow(coefficient: float, exponent: float) -> None:
    fit = drive.fit_speed_power([(speed, coefficient * speed**exponent) for speed in (3, 4, 5, 6.5)])

    assert (coefficient, exponent) == pytest.approx((fit.coefficient, fit.exponent))
    assert 0 == pytest.approx(fit.deviation, abs=1e-9)
    assert 5.0 == pytest.approx(fit.speed(fit.power(5.0)))


def test_slower_goes_farther_until_the_hotel_load_eats_it() -> None:
    fit = drive.fit_speed_power([(4, 1929), (5, 3375), (6, 6750)])

    assert fit.range(4, 13500) > fit.range(6, 13500)
    assert fit.range(0.2, 13500, hotel=200) < fit.range(4, 13500, hotel=200)
    assert inf == fit.endurance(0, 13500)
    assert 0 == fit.range(0, 13500)
    assert fit.measured(5.5) and not fit.measured(7)


@pytest.mark.parametrize(
    ("points", "words"),
    [
        ([(4, 2000)], "two speeds or more"),
        ([(4, 2000), (4, 2100)], "two speeds or more"),
        ([(4, 2000), (6, 1500)], "falls as the speed rises"),
        ([(0, 0), (6, 1500)], "above zero"),
    ],
)
def test_points_that_make_no_curve_are_refused_in_words(points: list, words: str) -> None:
    with pytest.raises(OutOfTable, match=words):
        drive.fit_speed_power(points)


@given(st.floats(-90, 90), st.integers(1, 12))
def test_the_sun_never_brings_less_than_nothing_nor_more_than_the_tropics_get(latitude: float, month: int) -> None:
    assert 0 <= solar.sun_hours(latitude, month) < 7


def test_summer_is_on_the_other_side_south_of_the_line() -> None:
    assert solar.sun_hours(50, 6) > solar.sun_hours(50, 12)
    assert solar.sun_hours(-50, 12) > solar.sun_hours(-50, 6)
    assert 0 == solar.sun_hours(80, 12)


def test_the_declared_sun_hours_are_near_the_computed_ones() -> None:
    for month in range(1, 13):
        assert solar.default_sun_hours(month) == pytest.approx(solar.sun_hours(50, month), abs=0.6)


@given(st.floats(0.1, 100), st.floats(0, 200), st.floats(0, 50), st.floats(0.75, 240), st.floats(0, 1))
def test_a_longer_ac_cable_never_drops_less(
    current: float, length: float, more: float, area: float, power_factor: float
) -> None:
    short = ac.drop_ac(current, length, area, power_factor)

    assert ac.drop_ac(current, length + more, area, power_factor) >= short


def test_single_phase_drops_twice_what_three_phase_does() -> None:
    assert 2 * ac.drop_ac(16, 20, 2.5, three_phase=True) == pytest.approx(ac.drop_ac(16, 20, 2.5))


@given(st.floats(51, 1000), st.sampled_from(["TN", "TT"]))
def test_a_higher_voltage_is_never_given_more_time(voltage: float, system: str) -> None:
    time, higher = ac.disconnection_time(voltage, system), ac.disconnection_time(min(1000, voltage + 50), system)

    assert higher <= time  # type: ignore[operator]


def test_below_the_touch_voltage_no_time_is_asked_for() -> None:
    assert ac.disconnection_time(24) is None
    assert ac.disconnection_time(100, supply="dc") is None


def test_an_unknown_system_is_refused_in_words() -> None:
    with pytest.raises(OutOfTable, match="no disconnection time for 230 V AC in a IT system"):
        ac.disconnection_time(230, "IT")


def test_a_residual_current_device_keeps_still_below_half_its_rating() -> None:
    assert (inf, inf) == ac.residual_time(0.4)[:2]
    assert (0, inf) == ac.residual_time(0.7)[:2]
    assert 0.3 == ac.residual_time(1.5).most
    assert 0.04 == ac.residual_time(20).most


@given(st.floats(100, 10000), st.floats(0, 2), st.floats(0, 1), st.floats(0, pi / 2))
def test_the_loop_impedance_lies_between_its_bounds_at_any_angle_of_the_source(
    fault: float, resistance: float, reactance: float, angle: float
) -> None:
    least = ac_fault.loop_impedance(230, fault, resistance, reactance, largest_current=True)
    most = ac_fault.loop_impedance(230, fault, resistance, reactance)
    true = abs(complex(resistance, reactance) + rect(230 / fault, angle))

    assert least * (1 - 1e-9) <= true <= most * (1 + 1e-9)


@given(st.floats(0.1, 300), st.sampled_from([5, 6, 8, 10, 12]), st.floats(0.1, 0.3))
def test_torque_comes_back_from_the_clamp_force(torque: float, diameter: float, nut_factor: float) -> None:
    force = mechanics.clamp_force(torque, diameter, nut_factor)

    assert torque == pytest.approx(mechanics.clamp_torque(force, diameter, nut_factor))


def test_four_rods_each_take_a_quarter() -> None:
    one, four = (mechanics.rod_torque(mechanics.CLAMP_FORCE_PRACTICE, rods, 8) for rods in (1, 4))

    assert one == pytest.approx(4 * four)


def test_a_stud_that_no_table_has_is_refused_in_words() -> None:
    with pytest.raises(OutOfTable, match="no size M7; the table has M3.5"):
        mechanics.stud_torque("M7")


def test_a_crimp_between_two_gauges_is_tested_as_the_thinner() -> None:
    assert (311, 222) == (mechanics.crimp_pull(26.67), mechanics.crimp_pull(16))


def test_flooded_batteries_need_more_air_than_sealed_ones() -> None:
    flooded, sealed = (
        ventilation.air_flow(6, 400, ventilation.gas_current(f"{kind} lead-acid")) for kind in ("flooded", "agm")
    )

    assert flooded > sealed


def test_an_unknown_row_names_the_rows_there_are() -> None:
    with pytest.raises(OutOfTable, match="no month 13; the table has 1, 2, 3"):
        solar.default_sun_hours(13)


def test_an_inverter_may_not_trip_the_breaker_that_a_generator_does() -> None:
    assert ac_fault.inverter_fault(13)[1] < generators.first_current(13, generators.SUBTRANSIENT[1])


def test_a_generator_s_fault_current_falls_from_its_first_moment_to_what_lasts() -> None:
    parts = generators.Reactances(0.2, 0.3, 1.0)
    course = [generators.current_at(20, parts, time) for time in (0, 0.02, 0.1, 0.5, 2, 20)]

    assert sorted(course, reverse=True) == course
    assert generators.first_current(20, 0.2) == pytest.approx(course[0])
    assert pytest.approx(20, rel=1e-3) == course[-1]


def test_a_thinner_lead_leaves_less_of_the_shore_s_fault_current() -> None:
    shore = ac_fault.shore_fault(230)
    thick, thin = (230 / ac_fault.loop_impedance(230, shore.amperes, ohms) for ohms in (0.2, 0.4))

    assert thin < thick < shore.amperes


def test_a_result_is_only_as_good_as_the_weakest_value_in_it() -> None:
    assert Mark.MEMORY == tables.weakest([Mark.SEEN, Mark.MEMORY, Mark.PRACTICE])
    assert Mark.SECONDARY == tables.weakest([Mark.SEEN, Mark.SECONDARY])
