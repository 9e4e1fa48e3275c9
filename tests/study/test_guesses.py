"""Where a source is a default of ours, its fault current is a range, both the highest and the lowest, and says so."""

from __future__ import annotations

import re

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


def test_the_ledger_names_the_place_that_a_fuse_of_unknown_resistance_moves_most() -> None:
    """By hand: behind the fuse the fault sees the battery's 5 mΩ, the way to the fuse and the fuse; twice the fuse adds it once more."""
    found = study(build(read_text(CONVERTER)))
    ohms = {id: r.cold.low for id, r in found.resistances.items()}
    (fuse,) = [a for a in found.assumptions if a.what == "resistance of a fuse in its holder"]
    place = re.search(r"current at (.+?), ", fuse.effect)[1]
    total = found.faults[place].volts / found.faults[place].highest.high

    assert place == "F1 2"
    assert fuse.moves == pytest.approx(1 - total / (total + ohms["F1"]), rel=1e-3)


@pytest.mark.parametrize("vessel", VESSELS)
def test_twice_a_resistance_never_halves_a_fault_current_or_more(vessel: str) -> None:
    twice = [a for a in study_of(vessel).assumptions if a.effect.startswith("twice as much")]

    assert all(0 < a.moves <= 0.5 for a in twice)
    assert all(re.search(r"current at (.+?), ", a.effect)[1] in study_of(vessel).faults for a in twice)
    assert twice or vessel == "minimal"


@pytest.mark.parametrize("vessel", VESSELS)
def test_the_range_of_a_shore_supply_is_that_of_the_place_it_moves_most(vessel: str) -> None:
    found = study_of(vessel)
    widths = [
        1 - f.highest.low / f.highest.high for id, f in found.faults.items() if f.highest and id.startswith("X8 L")
    ]
    said = [a.moves for a in found.assumptions if a.what == "fault current of the shore supply"]

    assert all(moves >= max(widths) - 1e-9 for moves in said)
