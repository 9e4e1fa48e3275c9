"""Time–current bands: no band crosses itself, none rises, and selectivity agrees with looking at every current."""

from __future__ import annotations

from math import inf

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loombook.calc import breaking, curves, families, overcurrent
from loombook.calc.selectivity import selective_at, selectivity
from loombook.calc.tables import Mark, OutOfTable

RATINGS = sorted({*overcurrent.standard_ratings(), *overcurrent.standard_ratings("iec")})


def known_bands() -> list[tuple[str, float, bool]]:
    """Every family at every standard rating that it reaches, on DC and on AC."""
    found = []
    for kind in families.families():
        for rating in RATINGS:
            try:
                families.band(kind.id, rating)
            except OutOfTable:
                continue
            found += [(kind.id, rating, True), (kind.id, rating, False)]
    return found


BANDS = known_bands()
some_band = st.sampled_from(BANDS)


def test_every_family_has_bands() -> None:
    assert {kind.id for kind in families.families()} == {name for name, _, _ in BANDS}


@pytest.mark.parametrize("family", [kind.id for kind in families.families()])
def test_no_band_of_a_family_crosses_itself_and_none_rises(family: str) -> None:
    for band in (families.band(*which) for which in BANDS if which[0] == family):
        times = [band.opening_time(current) for current in np.geomspace(0.5 * band.rating, 300 * band.rating, 400)]

        assert all(least <= most for least, most in times), band.name
        assert sorted((least for least, _ in times), reverse=True) == [least for least, _ in times], band.name
        assert sorted((most for _, most in times), reverse=True) == [most for _, most in times], band.name


@given(some_band, st.floats(0.05, 1.0))
def test_a_device_carries_its_rated_current(which: tuple[str, float, bool], share: float) -> None:
    name, rating, dc = which

    assert families.band(name, rating, dc).carries(share * rating, 3600)


@given(some_band)
def test_a_device_is_sure_to_open_at_thirty_times_its_rating(which: tuple[str, float, bool]) -> None:
    name, rating, dc = which

    assert families.band(name, rating, dc).opens_within(30 * rating, 5)


@given(some_band)
def test_every_band_says_where_it_comes_from(which: tuple[str, float, bool]) -> None:
    name, rating, dc = which
    band = families.band(name, rating, dc)

    assert band.source and f"{rating:g} A" in band.name
    assert band.mark in (Mark.MEMORY, Mark.ASSUMED, Mark.SECONDARY)


def test_a_far_end_short_of_the_masthead_may_take_ten_minutes() -> None:
    """27 A through a 20 A blade is 1.35 times its rating: up to 600 s; a 5 A blade is sure within 0.1 s."""
    assert 600 == pytest.approx(families.band("blade", 20).opening_time(27).most)
    assert families.band("blade", 5).opens_within(27, 0.5)


@pytest.mark.parametrize(("rating", "energy"), [(5, 26), (15, 340), (30, 1500)])
def test_usual_blade_energies_lie_in_the_band(rating: float, energy: float) -> None:
    """From memory: 26, 340 and 1500 A²s for 5, 15 and 30 A."""
    least, most = families.band("blade", rating).let_through(20 * rating)

    assert least < energy < most


def test_a_class_t_fuse_keeps_its_clearing_energy_when_it_limits_the_current() -> None:
    assert 150e3 == pytest.approx(families.band("class T", 200).let_through(20e3).most)


def test_a_breaker_takes_more_current_to_trip_at_once_on_dc() -> None:
    on_ac, on_dc = (families.band("C", 16, dc) for dc in (False, True))

    assert on_ac.opens_within(160, 0.1)
    assert not on_dc.opens_within(160, 0.1)
    assert on_dc.opens_within(1.4 * 160, 0.1)
    assert any("1.4 times" in note for note in on_dc.notes)


def test_only_the_longest_times_of_a_tube_fuse_are_known() -> None:
    assert (0, 120) == families.band("glass", 10).opening_time(20)


@pytest.mark.parametrize(
    ("name", "rating", "words"),
    [
        ("blade", 60, "known up to 40 A, not for 60 A"),
        ("gG", 10, "no rating 10"),
        ("rcd", 16, "does not open on overcurrent"),
        ("wishful", 5, "no family 'wishful'"),
    ],
)
def test_a_rating_outside_the_standard_is_refused_in_words(name: str, rating: float, words: str) -> None:
    with pytest.raises(OutOfTable, match=words):
        families.band(name, rating)


def test_an_owner_can_state_a_device_s_own_curve() -> None:
    band = curves.own_curve("thruster fuse", 300, [(600, 5), (3000, 0.02)], [(600, 40), (3000, 0.2)])

    assert (inf, inf) == band.opening_time(400)
    assert (5, 40) == pytest.approx(band.opening_time(600))
    assert 0.02 / 4 == pytest.approx(band.opening_time(6000).least)


@pytest.mark.parametrize(
    ("fastest", "slowest", "words"),
    [
        ([], [(1, 1)], "needs at least one point"),
        ([(10, 1), (20, 2)], [(10, 5)], "20 A takes 2 s, longer than 10 A"),
        ([(10, 5)], [(10, 1)], "the fast edge, 5 s, is above the slow one, 1 s"),
        ([(0, 5)], [(10, 1)], "above zero"),
    ],
)
def test_a_curve_that_cannot_be_is_refused_in_words(fastest: list, slowest: list, words: str) -> None:
    with pytest.raises(OutOfTable, match=words):
        curves.own_curve("odd", 10, fastest, slowest)


def test_an_outline_reaches_from_end_to_end_and_keeps_the_steps() -> None:
    fastest, slowest = families.band("B", 10, dc=False).outline(15, 500)

    assert (15, 500) == (fastest[0][0], fastest[-1][0])
    assert [(50, pytest.approx(15.6)), (50, 0.1)] == [point for point in slowest if point[0] == 50]


def test_a_small_blade_behind_a_large_one_opens_alone() -> None:
    assert "full" == selectivity(families.band("blade", 5), families.band("blade", 30), 10, 1000).verdict


def test_two_equal_devices_are_never_selective() -> None:
    band = families.band("maxi blade", 60)

    assert "none" == selectivity(band, band, 200, 1000).verdict


def gg_steps() -> list[tuple[float, float]]:
    ratings = [rating for name, rating, dc in BANDS if name == "gG" and dc]
    return list(zip(ratings, ratings[2:], strict=False))


@pytest.mark.parametrize(("near", "far"), gg_steps())
def test_gg_fuses_two_steps_apart_are_selective(near: float, far: float) -> None:
    """The rule of 1 : 1.6 that the gates are laid out for."""
    found = selectivity(families.band("gG", near), families.band("gG", far), near, 20000)

    assert ("full", True) == (found.verdict, "1 : 1.6" in found.why)


def test_gg_fuses_one_step_apart_are_not_selective_over_the_whole_range() -> None:
    assert "up to" == selectivity(families.band("gG", 50), families.band("gG", 63), 50, 20000).verdict


def test_a_source_without_resistance_gives_no_undefined_figure() -> None:
    band = families.band("blade", 10)

    assert band.opening_time(inf).most < 1e-6
    assert band.let_through(inf).most == pytest.approx(band.let_through(5000).most)
    assert "full" == selectivity(families.band("blade", 5), families.band("blade", 30), 10, inf).verdict


def test_a_curve_may_be_stated_in_multiples_of_the_rating() -> None:
    band = curves.own_curve("odd fuse", 40, [(2, 0.5)], [(2, 10)], multiples=True)

    assert (0.5, 10) == band.opening_time(80)
    assert Mark.STATED == band.mark


def test_a_branch_fuse_beats_the_bms_only_below_its_threshold() -> None:
    """A BMS that trips at 600 A in 0.3 ms against a 30 A blade that needs longer: dark above 600 A."""
    bms = curves.trip("BMS", 600, 0.3e-3)
    found = selectivity(families.band("blade", 30), bms, 100, 1200)

    assert ("up to", "up to 600 A") == (found.verdict, str(found))
    assert 600 == pytest.approx(found.limit, rel=1e-6)


@settings(max_examples=150, deadline=None)
@given(some_band, some_band, st.floats(10, 500), st.floats(1.5, 50))
def test_selectivity_agrees_with_looking_at_every_current(
    first: tuple[str, float, bool], second: tuple[str, float, bool], low: float, reach: float
) -> None:
    near, far = families.band(*first), families.band(*second)
    high = low * reach
    found = selectivity(near, far, low, high)
    looked = [current for current in np.geomspace(low, high, 300) if not selective_at(near, far, current)]

    if "1 : 1.6" in found.why:
        assert ("gG", "gG") == (near.family, far.family)
    elif found.verdict == "full":
        assert [] == looked
    elif found.verdict == "none":
        assert looked[0] == pytest.approx(low)
    else:
        assert low <= found.limit <= high  # type: ignore[operator]
        assert all(current >= found.limit * (1 - 1e-6) for current in looked)  # type: ignore[operator]


@pytest.mark.parametrize(("volts", "amperes"), [(12, 10000), (14.6, 5000), (29.2, 5000), (58, 2000)])
def test_a_device_breaks_less_at_a_higher_voltage(volts: float, amperes: float) -> None:
    assert amperes == breaking.breaking_capacity("terminal", volts).amperes


def test_a_32_volt_fuse_on_a_58_volt_system_breaks_nothing_to_rely_on() -> None:
    with pytest.raises(OutOfTable, match=r"58.4 V is above its rated 32 V"):
        breaking.breaking_capacity("blade", 58.4)


def test_a_blade_rated_for_58_volts_may_be_told_so() -> None:
    assert 1000 == breaking.breaking_capacity("blade", 57, rated=58).amperes


def test_a_family_without_a_known_capacity_asks_for_the_device_s_own() -> None:
    with pytest.raises(OutOfTable, match="give the device's own"):
        breaking.breaking_capacity("thermal", 12)


@given(st.floats(501, 5000), st.floats(100, 60000))
def test_the_main_device_of_a_large_bank_breaks_at_least_its_fault(capacity: float, fault: float) -> None:
    assert breaking.large_bank_least(capacity, fault).amperes >= fault  # type: ignore[union-attr]
