"""Conductors, allowable current and drop: what must hold for every boat."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loombook.calc import ampacity, conductors, drop, gauges, overcurrent
from loombook.calc.tables import Mark, OutOfTable

areas = st.floats(0.2, 400)
lengths = st.floats(0, 200)
currents = st.floats(0.01, 2000)
temperatures = st.floats(-30, 200)


@given(areas, lengths, st.floats(0, 100))
def test_a_longer_cable_never_resists_less(area: float, length: float, more: float) -> None:
    assert conductors.resistance(area, length + more) >= conductors.resistance(area, length)


@given(areas, st.floats(0, 200), st.booleans(), st.sampled_from([2, 5]))
def test_a_thicker_cable_never_resists_more(area: float, more: float, tinned: bool, strand_class: int) -> None:
    thin = conductors.resistance_per_metre(area, 20, tinned, strand_class)
    thick = conductors.resistance_per_metre(area + more, 20, tinned, strand_class)

    assert thick <= thin * (1 + 1e-12)


@given(areas, temperatures, st.floats(0, 100))
def test_a_hotter_cable_never_resists_less(area: float, temperature: float, more: float) -> None:
    cold = conductors.resistance_per_metre(area, temperature)

    assert conductors.resistance_per_metre(area, temperature + more) >= cold


@given(st.floats(0.5, 240), lengths)
def test_the_least_resistance_is_never_above_the_greatest(area: float, length: float) -> None:
    assert conductors.least_resistance(area, length) <= conductors.resistance(area, length, tinned=False)


def test_two_equal_conductors_halve_the_resistance() -> None:
    assert conductors.resistance(50, 4, parallel=2) == pytest.approx(conductors.resistance(50, 4) / 2)


def test_a_standard_area_gives_the_printed_value_to_the_last_digit() -> None:
    assert 0.000210 == pytest.approx(conductors.resistance_per_metre(95), rel=1e-12)


@pytest.mark.parametrize("area", [0, -1.5, float("nan")])
def test_a_cable_without_area_is_refused_in_words(area: float) -> None:
    with pytest.raises(OutOfTable, match="no resistance to look up"):
        conductors.resistance(area, 1)


@given(st.sampled_from(gauges.GAUGES))
def test_a_gauge_comes_back_from_its_area_and_its_name(gauge: int) -> None:
    assert gauge == gauges.awg_number(gauges.awg_name(gauge))
    assert gauge == pytest.approx(gauges.awg_gauge(gauges.awg_area(gauge)))
    assert gauge == gauges.awg_at_most(float(f"{gauges.awg_area(gauge):.3g}"))


@pytest.mark.parametrize("name", ["", "2/1", "x", "1/", "-2", "12.5"])
def test_what_is_no_gauge_is_refused_in_words(name: str) -> None:
    with pytest.raises(OutOfTable, match="is not an American wire gauge"):
        gauges.awg_number(name)


@given(currents, lengths, st.floats(0, 50), areas, st.sampled_from(["iso", "us"]))
def test_a_longer_cable_never_drops_less(
    current: float, length: float, more: float, area: float, rule_set: str
) -> None:
    formula = drop.FORMULAS[rule_set]

    assert formula(current, length + more, area) >= formula(current, length, area)


@given(currents, lengths, areas, st.floats(0, 100), st.sampled_from(["iso", "us"]))
def test_a_thicker_cable_never_drops_more(
    current: float, length: float, area: float, more: float, rule_set: str
) -> None:
    formula = drop.FORMULAS[rule_set]

    assert formula(current, length, area + more) <= formula(current, length, area)


@given(currents, st.floats(0.1, 200), st.floats(0.05, 20))
def test_the_area_asked_for_gives_the_drop_asked_for(current: float, length: float, volts: float) -> None:
    assert drop.drop_iso(current, length, drop.area_iso(current, length, volts)) == pytest.approx(volts)
    assert drop.drop_trade(current, length, drop.area_trade(current, length, volts)) == pytest.approx(volts)


def test_the_three_resistivities_stay_apart() -> None:
    """Three right answers: 0.0164, 0.0172 and 0.0179 Ω·mm²/m."""
    answers = [round(formula(1, 1, 1), 4) for formula in (drop.drop_iso, drop.drop_copper, drop.drop_trade)]

    assert [0.0164, 0.0172, 0.0179] == answers


@given(st.floats(0.83, 150), st.floats(0, 50), st.sampled_from([60, 75, 90, 105, 125, 200]), st.booleans())
def test_a_thicker_cable_never_carries_less(area: float, more: float, insulation: float, engine: bool) -> None:
    for rule_set in ampacity.RULE_SETS:
        thin = ampacity.allowable_current(area, insulation, rule_set, engine)
        thick = ampacity.allowable_current(area + more, insulation, rule_set, engine)

        assert thick.amperes >= thin.amperes


@given(st.floats(0.83, 150), st.sampled_from(ampacity.RULE_SETS), st.integers(1, 40), st.floats(0, 90))
def test_no_circumstance_lets_a_cable_carry_more(area: float, rule_set: str, bundled: int, ambient: float) -> None:
    free = ampacity.allowable_current(area, 105, rule_set)  # type: ignore[arg-type]
    worse = ampacity.allowable_current(
        area,
        105,
        rule_set,
        engine_space=True,
        bundled=bundled,
        voltage=120,
        ambient=ambient,  # type: ignore[arg-type]
    )

    assert worse.amperes <= free.amperes
    assert all(0 <= factor.value <= 1 for factor in worse.factors)


@given(st.floats(0.83, 150), st.sampled_from(ampacity.RULE_SETS))
def test_better_insulation_never_carries_less(area: float, rule_set: str) -> None:
    classes = range(60, 201, 5)
    steps = [ampacity.allowable_current(area, one, rule_set).amperes for one in classes]  # type: ignore[arg-type]

    assert sorted(steps) == steps


def test_unknown_insulation_counts_as_the_lowest_class_and_says_so() -> None:
    found = ampacity.allowable_current(2.5, None, "iso")

    assert 17 == found.amperes
    assert ("insulation class not known, 60 °C assumed",) == found.notes


def test_a_metric_area_is_looked_up_in_the_next_thinner_gauge() -> None:
    """16 mm² lies between 6 AWG (13.3 mm²) and 4 AWG (21.2 mm²)."""
    found = ampacity.allowable_current(16, 105, "us")

    assert ("6 AWG", 120) == (found.row, found.amperes)
    assert ("16 mm² looked up as 6 AWG (13.3 mm²)",) == found.notes


def test_the_lowest_class_may_not_run_through_an_engine_space_by_iso() -> None:
    found = ampacity.allowable_current(10, 60, "iso", engine_space=True)

    assert 0 == found.amperes
    assert "insulation of 60 °C is not allowed in this space" in found.notes


def test_a_bundle_counts_from_50_volts_up() -> None:
    low = ampacity.allowable_current(5.26, 105, "us", bundled=5, voltage=24)
    high = ampacity.allowable_current(5.26, 105, "us", bundled=5, voltage=120)

    assert (60, 36) == (low.amperes, pytest.approx(high.amperes))
    assert ("bundle of 5: no factor below 50 V DC in this rule set",) == low.notes


def test_a_hot_space_that_is_no_engine_space_counts_too() -> None:
    """√((105 − 50)/(105 − 30)) = 0.856, the 0.85 of the printed note."""
    found = ampacity.allowable_current(5.26, 105, "us", ambient=50)

    assert 60 * 0.8563 == pytest.approx(found.amperes, rel=1e-3)


def test_the_result_is_as_good_as_its_weakest_value() -> None:
    assert Mark.SECONDARY == ampacity.allowable_current(5.26, 105, "us", engine_space=True).mark
    assert Mark.MEMORY == ampacity.allowable_current(5.26, 75, "us").mark
    assert Mark.MEMORY == ampacity.allowable_current(6, 105, "iso").mark


@pytest.mark.parametrize(("rule_set", "words"), [("us", "thinner than 18 AWG"), ("iso", "thinner than 0.75 mm²")])
def test_a_hair_of_a_wire_is_not_in_the_table(rule_set: str, words: str) -> None:
    with pytest.raises(OutOfTable, match=words):
        ampacity.allowable_current(0.3, 105, rule_set)  # type: ignore[arg-type]


def test_a_cable_at_its_limit_is_as_hot_as_its_insulation_stands() -> None:
    assert 105 == conductors.conductor_temperature(60, 60, 30, 105)
    assert 30 == conductors.conductor_temperature(0, 60, 30, 105)
    assert 105 == conductors.conductor_temperature(10, 0, 60, 105)


@given(st.floats(0.5, 500), st.sampled_from([12.0, 24.0, 48.0, 120.0, 230.0]), st.sampled_from(["us", "iso"]))
def test_no_device_may_be_above_one_and_a_half_times_the_cable(current: float, voltage: float, rule_set: str) -> None:
    limit = overcurrent.device_limit(current, voltage, rule_set).amperes

    assert current * (1 - 1e-9) <= limit <= 1.5 * current * (1 + 1e-9)


def test_a_sheath_lets_the_device_stand_farther_away() -> None:
    bare, sheathed, battery = (
        overcurrent.distance_limit("us", sheathed=sheath, battery=start).metres
        for sheath, start in ((False, False), (True, False), (True, True))
    )

    assert bare < sheathed < battery  # type: ignore[operator]
    assert overcurrent.distance_limit("iso", sheathed=True).metres is None
