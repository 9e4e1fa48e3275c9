"""Coordination charts: what stands in them is what the study says, and every one can be drawn."""

from __future__ import annotations

import re
from math import isfinite

import pytest

from loombook.drawings import charts
from loombook.drawings.coordination import TOP, coordination_charts, draw
from loombook.study.coordination import MOST, chart_of, paths
from tests.manual.boats import study_of
from tests.random_vessels import random_vessel
from tests.study.boats import studied

VESSELS = ("demo", "minimal", "launch", "everything")


@pytest.mark.parametrize("vessel", VESSELS)
def test_a_chart_shows_the_device_what_stands_upstream_and_the_fault_range(vessel: str) -> None:
    study = study_of(vessel)
    chosen = paths(study.network, study.guards)

    assert 0 < len(chosen) <= MOST
    for path, chart in zip(chosen, coordination_charts(study), strict=True):
        assert chart.bands[0].label.startswith(path.guard.device)
        assert len(chart.bands) > 1
        assert (path.guard.lowest, path.guard.highest.high) == (chart.faults[0].least, chart.faults[0].most)
        assert chart.name == chart_of(path.guard.device)


@pytest.mark.parametrize("vessel", VESSELS)
def test_every_edge_is_a_figure_that_can_be_drawn(vessel: str) -> None:
    for chart in coordination_charts(study_of(vessel)):
        for band in chart.bands:
            points = (*band.least, *band.most)

            assert all(isfinite(amps) and 0 < time <= TOP for amps, time in points)
            assert band.least[0][1] == TOP or band.least[0][0] <= chart.across_range[1]


def test_what_the_wire_bears_falls_with_the_square_of_the_current() -> None:
    for chart in coordination_charts(study_of("demo")):
        for curve in chart.limits:
            (low, long), (high, short) = curve.points

            assert low**2 * long == pytest.approx(high**2 * short)


def test_a_chart_is_drawn_the_same_each_time() -> None:
    study = study_of("minimal")
    once = draw(study)
    charts.draw.cache_clear()

    assert once == draw(study)
    assert once


@pytest.mark.parametrize("seed", range(4))
def test_a_vessel_drawn_by_lot_gets_charts_without_a_figure_that_is_none(seed: int) -> None:
    for name, svg in draw(studied(random_vessel(seed))).items():
        assert name.startswith("coordination-")
        assert not re.search(r"\b(nan|inf|None)\b", svg)
