"""Every published value beside ours: the same table that the manual's verification page shows."""

from __future__ import annotations

import pytest

from loombook.calc.published import GROUPS, Case, cases, unlisted
from loombook.calc.published_ways import WAYS
from loombook.calc.tables import Mark, table, table_names


@pytest.mark.parametrize("case", cases(), ids=lambda case: f"{case.group}: {case.title}")
def test_ours_agrees_with_the_published_value(case: Case) -> None:
    assert case.agrees, str(case)


@pytest.mark.parametrize("case", cases(), ids=lambda case: f"{case.group}: {case.title}")
def test_every_case_says_where_it_comes_from(case: Case) -> None:
    assert case.source and case.title and case.unit
    assert case.mark in Mark


def test_a_loose_tolerance_is_explained() -> None:
    """More slack than the print's own rounding, and more than 2 %, needs a note beside the value."""
    loose = [
        case.title
        for case in cases()
        if case.tolerance > max(0.02 * abs(case.expected), _half_digit(case.printed)) and not case.note
    ]

    assert [] == loose


def _half_digit(printed: str) -> float:
    return 0.5 * 10 ** -len(printed.partition(".")[2])


def test_no_table_and_no_way_is_forgotten() -> None:
    assert () == unlisted()
    assert set(WAYS) == {case.way for case in cases()}
    assert set(GROUPS) == {case.group for case in cases()}


def test_a_wrong_value_would_be_caught() -> None:
    """The comparison has teeth: one last digit more and the case fails."""
    from dataclasses import replace

    case = next(case for case in cases() if case.title.startswith("95 mm²"))

    assert case.agrees
    assert not replace(case, expected=case.expected + 0.001).agrees


@pytest.mark.parametrize("name", table_names())
def test_every_table_of_data_says_how_well_it_is_known(name: str) -> None:
    data = table(name)

    assert data.title and data.source
    assert data.mark.words
    assert data.rows
    for row in data.rows:
        assert len(data.columns) == len(row)
        assert None not in row
        assert data.mark_of(data.columns[0], row) in Mark


@pytest.mark.parametrize(
    "title",
    [
        "1.6 A over 22 m of 1.5 mm², ISO formula",
        "10 A, 21 ft there and back, 3 % of 12 V",
        "10 A, 21 ft there and back, 10 % of 12 V",
        "10 AWG, 105 °C, outside the engine space",
        "4/0 AWG, 105 °C, in the engine space",
        "20 A over 107 ft of 0.00044 Ω/ft",
        "20 A over 100 ft of 3.31 mm² there and back",
        "400 ft of 0.032 in wire, ρ = 10.37 Ω·circular mil/ft",
        "95 mm² class 5 tinned, resistance at 20 °C",
        "12 AWG diameter",
        "Battery peak behind a 5 mΩ cable",
        "Battery, sustained, behind a 5 mΩ cable",
        "Rectifier λ",
        "Charger of 200 A, sustained",
        "Area for 25 kA for 0.2 s, k = 143",
        "Peukert, 100 Ah at 20 h, k 1.2, 10 A",
        "Power at 19 over 15 knots",
        "M10 at 50 N·m, K 0.2, force",
        "Float of a flooded 12 V battery at 30 °C",
        "500 kVA, 480 V, 5.75 %",
        "100 A three-phase, 150 m of 0.671 + j0.085 Ω/km, cos φ 0.85",
        "Lithium iron phosphate at 29.72 %",
        "Regular blade 40 A at 80 A, longest",
        "Residual-current device at five times, longest",
        "Interrupting capacity, 1000 A cold-cranking, main",
        "16 cells of 300 Ah at 3.2 V",
        "6,000 cycles at one a day",
        "Share of one of two equal conductors",
        "About 15 kWh, down to 10 %: time at 4 knots",
    ],
)
def test_the_best_worked_examples_stay_in_the_tables(title: str) -> None:
    assert title in {case.title for case in cases()}
