"""Quantities are read as owners and data sheets write them, and refused where they can be read in two ways."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loombook.quantities import BASE, EXAMPLES, UNITS, Quantity, QuantityError, assumed, awg_area, digits, parse, show

VALUES = [
    ("6.2 m", "length", 6.2),
    ("6,2 m", "length", 6.2),
    ("6.2m", "length", 6.2),
    (".5 m", "length", 0.5),
    ("20 ft", "length", 6.096),
    ("70 mm²", "area", 70),
    ("70 mm2", "area", 70),
    ("300 kgf", "force", 2941.995),
    ("7.2 kWh", "energy", 7200),
    ("0.17 mΩ", "resistance", 0.00017),
    ("0.17 m\N{OHM SIGN}", "resistance", 0.00017),
    ("0.17 mohm", "resistance", 0.00017),
    ("68 °F", "temperature", 20),
    ("-5 °C", "temperature", -5),
    ("\N{MINUS SIGN}5 °C", "temperature", -5),
    ("-0.30 %/K", "per kelvin", -0.003),
    ("3 %", "ratio", 0.03),
    ("1e3 A", "current", 1000),
    ("2 h", "time", 7200),
    ("2000 A", "current", 2000),
    ("0,250 m", "length", 0.25),
]


@pytest.mark.parametrize(("text", "kind", "value"), VALUES)
def test_a_quantity_is_read_in_the_unit_that_calculations_take(text: str, kind: str, value: float) -> None:
    assert math.isclose(value, parse(text, kind).value)


RANGES = [
    ("0.17 to 0.30 mΩ", "resistance", 0.00017, 0.0003),
    ("0.17–0.30 mΩ", "resistance", 0.00017, 0.0003),
    ("0.17-0.30 mΩ", "resistance", 0.00017, 0.0003),
    ("0.30 to 0.17 mΩ", "resistance", 0.00017, 0.0003),
    ("0.17 mΩ to 0.30 mΩ", "resistance", 0.00017, 0.0003),
    ("30 s to 2 min", "time", 30, 120),
    ("-10 to -5 °C", "temperature", -10, -5),
]


@pytest.mark.parametrize(("text", "kind", "low", "high"), RANGES)
def test_a_range_keeps_both_ends(text: str, kind: str, low: float, high: float) -> None:
    quantity = parse(text, kind)

    assert quantity.is_range
    assert math.isclose(low, quantity.low)
    assert math.isclose(high, quantity.high)


# ASTM B258: the nominal area of 12 AWG is 6 530 circular mils, 3.309 mm²; of 4/0, 211 600 circular mils, 107.2 mm².
@pytest.mark.parametrize(
    ("text", "area"), [("12 AWG", 3.309), ("1 AWG", 42.41), ("1/0 AWG", 53.49), ("4/0 AWG", 107.2)]
)
def test_a_gauge_is_an_area(text: str, area: float) -> None:
    assert math.isclose(area, parse(text, "area").value, rel_tol=5e-4)


def test_a_larger_gauge_is_a_thinner_wire() -> None:
    areas = [awg_area(gauge) for gauge in range(-3, 41)]

    assert sorted(areas, reverse=True) == areas


@pytest.mark.parametrize("text", ["~6 m", "≈6 m", "~ 6 m"])
def test_an_estimate_is_marked(text: str) -> None:
    assert ("estimated", False) == ((quantity := parse(text, "length")).how, quantity.certain)


def test_a_default_of_ours_is_not_certain() -> None:
    assert not assumed(30, "temperature", "usual").certain


REFUSED = [
    ("", "current", "is not a current"),
    ("10", "current", "has no unit"),
    ("10 V", "current", "`10 V` is a voltage; wanted here is a current"),
    ("10 a", "current", "unit `a` is written `A`"),
    ("10 amps", "current", "unit `amps` is written `A`"),
    ("10 bar", "current", "unit `bar` is not known here"),
    ("10 A slow", "current", "`slow` after the unit is not known here"),
    ("-10 A", "current", "is below zero"),
    ("0 mm²", "area", "is nothing"),
    ("nan A", "current", "is not a current"),
    ("inf A", "current", "is not a current"),
    ("1e999 A", "current", "is too large"),
    ("20,000 A", "current", "`20,000` can be read in two ways"),
    ("1,500,000 W", "power", "`1,500,000` can be read in two ways"),
    ("5/0 AWG", "area", "is not a gauge"),
    ("2.5 AWG", "area", "is not a gauge"),
    ("1/0 m", "length", "is not a length"),
    ("6 m to 2 kg", "length", "is a mass; wanted here is a length"),
    ("6 kg to 2 m", "length", "is a mass; wanted here is a length"),
    ("6 to m", "length", "is not a length"),
    ("6 ± 1 m", "length", "unit `± 1 m` is not known here"),
    ("10 5 A", "current", "is not a current"),
]


@pytest.mark.parametrize(("text", "kind", "said"), REFUSED)
def test_what_is_no_quantity_or_two_is_refused(text: str, kind: str, said: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse(text, kind)

    assert said in caught.value.message


@pytest.mark.parametrize("kind", UNITS)
def test_the_example_of_every_kind_is_one(kind: str) -> None:
    assert kind == parse(EXAMPLES[kind], kind).kind
    assert kind in BASE


@pytest.mark.parametrize("kind", [kind for kind in UNITS if kind not in ("area", "per kelvin")])
@given(value=st.floats(1e-3, 9e5))
def test_what_is_shown_can_be_read_again(kind: str, value: float) -> None:
    shown = show(Quantity(value, value, kind))

    assert math.isclose(value, parse(shown, kind).value, rel_tol=6e-3, abs_tol=6e-4)


@given(value=st.floats(1e-6, 1e9), significant=st.integers(1, 6))
def test_digits_keep_so_many_and_no_exponent(value: float, significant: int) -> None:
    text = digits(value, significant)

    assert "e" not in text
    assert math.isclose(value, float(text), rel_tol=0.51 * 10 ** (1 - significant))
