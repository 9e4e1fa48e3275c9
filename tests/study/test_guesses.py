"""Where a source is a default of ours, its fault current is a range, both the highest and the lowest, and says so."""

from __future__ import annotations

import pytest

from loombook.inventory import read_text
from loombook.network import build
from loombook.study.model import Fault
from loombook.study.run import study
from tests.manual.boats import VESSELS, of_vessel, page, study_of
from tests.manual.reading import text

CONVERTER = """
vessel: {name: Little Tern}
batteries:
  G1: {name: House battery, chemistry: agm lead-acid, cells: {series: 6, capacity: 90 Ah}, resistance: 5 mΩ}
converters:
  T1: {name: Converter, output: 5.0 V, current: 10 A, isolated: yes}
fuses:
  F1: {name: Main fuse, kind: gG, rating: 32 A}
runs:
  in: [G1 +, F1, W1: "6 mm², 1 m", T1 in +]
  in negative: [T1 in -, W2: "6 mm², 1 m", G1 -]
circuits:
  C1: {name: Lamp, from: T1 out +, back to: T1 out -, cable: "2.5 mm², 1 m", load: 5 W}
"""


def fault(place: str) -> Fault:
    return study(build(read_text(CONVERTER))).faults[place]


@pytest.mark.parametrize("vessel", VESSELS)
def test_a_fault_current_from_a_default_is_never_one_figure(vessel: str) -> None:
    faults = study_of(vessel).faults
    highest = [n for n, f in faults.items() if f.highest and f.assumed and not (f.highest.is_range or f.missing)]
    lowest = [n for n, f in faults.items() if f.lowest and f.lowest_assumed and not f.lowest.is_range]

    assert (highest, lowest) == ([], [])


def test_a_converter_without_a_figure_of_its_own_gives_once_to_one_and_a_half_times_its_rating() -> None:
    """1.0 to 1.5 times the rating: IEC TR 60909-4 as used in a published example, seen secondary."""
    found = fault("T1 out +")

    assert found.assumed and found.lowest_assumed
    assert (10.0, 15.0) == pytest.approx((found.highest.low, found.highest.high), rel=1e-3)
    assert (9.0, 13.5) == pytest.approx((found.lowest.low, found.lowest.high), rel=1e-3)  # a tenth for the arc


def test_a_battery_of_known_resistance_makes_no_assumption_of_the_highest() -> None:
    found = fault("G1 +")

    assert not found.lowest_assumed
    assert {id for id, _ in found.shares} == {"G1"} and not found.assumed


@pytest.mark.parametrize("vessel", VESSELS)
def test_the_fault_page_marks_each_figure_that_rests_on_a_default(vessel: str) -> None:
    told = text(page(of_vessel(vessel), "figures/fault.md"))
    ends = study_of(vessel).network.consumers.values()
    resting = [f for c in ends if (f := study_of(vessel).faults.get(c.plus)) and f.highest and f.assumed]

    assert told.count("(assumed)") >= len(resting)
    assert ("(assumed)" in told) == any(f.assumed or f.lowest_assumed for f in study_of(vessel).faults.values())
