"""Charts of energy from a study: every condition once, figures that are the study's own, nothing where nothing is known."""

from __future__ import annotations

import datetime
import re
from pathlib import Path
from xml.etree import ElementTree

import pytest
from pytest import approx

from loombook.drawings import energychart
from loombook.drawings.chartmodel import Bars, Lines
from loombook.pipeline import work_out
from loombook.study.model import Study
from tests.study.boats import studied
from tests.study.test_energy import DAY

ROOT = Path(__file__).parents[2]
SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def launch() -> Study:
    return work_out(ROOT / "tests" / "vessels" / "launch", datetime.date(2026, 6, 1)).study


@pytest.fixture(scope="module")
def charts(launch: Study) -> dict[str, Bars | Lines]:
    return {chart.name: chart for chart in energychart.energy_charts(launch)}


def test_an_electric_boat_has_all_charts(launch: Study, charts: dict[str, Bars | Lines]) -> None:
    assert ["balance", "day", "drive-M1", "drive-M1-power"] == list(charts)
    assert list(charts) == list(energychart.draw(launch))


def test_each_bar_is_as_long_as_what_is_used_and_lost(launch: Study, charts: dict[str, Bars | Lines]) -> None:
    bars = charts["balance"]

    assert "electric drive" == bars.pieces[0][0]
    for n, balance in enumerate(launch.balances.values()):
        assert approx(balance.used + balance.lost) == sum(sizes[n] for _, sizes in bars.pieces)


def test_the_conditions_of_a_day_follow_one_another_without_a_gap(charts: dict[str, Bars | Lines]) -> None:
    parts = charts["day"].parts

    assert [("under way", 0.0, 4.0), ("charging at the pontoon", 4.0, 12.0)] == [
        (p.label, p.least, p.most) for p in parts
    ]


def test_a_bank_that_is_full_early_does_not_cut_a_condition_in_two() -> None:
    chart = energychart.day(studied(DAY))

    assert [("at anchor", 0.0, 10.0), ("in harbour", 10.0, 14.0)] == [(p.label, p.least, p.most) for p in chart.parts]


def test_charge_stays_between_empty_and_full_and_the_floor_is_drawn(charts: dict[str, Bars | Lines]) -> None:
    chart = charts["day"]

    assert all(0 <= charge <= 100 for curve in chart.curves for _, charge in curve.points)
    assert ("used down to here", approx(10)) == chart.floor


def test_banks_with_different_floors_say_theirs_in_the_list() -> None:
    siren = '  C3: {name: Siren, from: X3, back to: X2, cable: "10 mm², 1 m", load: 1 A, law: current, duty: 100 %}\n'
    chart = energychart.day(studied(DAY.replace("conditions:\n", siren + "conditions:\n")))

    assert chart.floor is None
    assert ["G1, used down to 20%", "G2, used down to 50%"] == [curve.label for curve in chart.curves]


def test_the_power_chart_holds_the_points_as_measured(launch: Study, charts: dict[str, Bars | Lines]) -> None:
    measured = next(curve for curve in charts["drive-M1-power"].curves if curve.measured)

    assert ((3, 0.9), (4, 1.97), (5, 3.5), (6, 6.9)) == measured.points


def test_what_lies_beyond_the_measured_speeds_is_a_line_of_its_own(
    launch: Study, charts: dict[str, Bars | Lines]
) -> None:
    inside, *guesses = charts["drive-M1"].curves

    assert [3, 6] == [inside.points[0][0], inside.points[-1][0]]
    assert ["slower: a guess", "faster: a guess"] == [curve.label for curve in guesses]


def test_a_boat_without_a_told_day_has_no_day_chart() -> None:
    names = [
        chart.name
        for chart in energychart.energy_charts(
            studied(DAY.replace("hours: 10 h", "solar: 0 %").replace("hours: 4 h, ", ""))
        )
    ]

    assert ["balance"] == names


def test_the_conditions_are_numbered_on_the_chart_and_named_in_its_list(launch: Study) -> None:
    text = energychart.draw(launch)["day"]
    words = {"".join(node.itertext()).strip() for node in ElementTree.fromstring(text).iter(f"{SVG}text")}

    assert {"1", "2", "1: under way", "2: charging at the pontoon"} <= words
    assert not re.search(r"(fill|stroke): #", text)
