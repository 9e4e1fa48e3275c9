"""Wiring that breaks a careless solver: each is a located message or a named result; never a warning or a NaN."""

from __future__ import annotations

import math
import warnings

import pytest

from loombook.diagnostics import InventoryError
from loombook.study.model import Study
from tests.study.boats import CONVERTER, HEAD, RING, studied

ZERO_OHM_LOOP = (
    RING.replace("resistance: 6 mΩ", "resistance: 0 mΩ")
    .replace("resistance: 3 mΩ", "resistance: 0 mΩ")
    .replace("resistance: 4 mΩ", "resistance: 0 mΩ")
)

TWO_STIFF_SOURCES = (
    HEAD
    + """
batteries: {G1: {chemistry: lfp, resistance: 4 mΩ, cells: {series: 8, capacity: 280 Ah}}}
bars: {X1: {name: Positive}, X2: {name: Negative}, X3: {name: 12 V bar}}
converters:
  T1: {output: 13.5 V, current: 20 A}
  T2: {output: 13.9 V, current: 20 A}
runs:
  feed: [G1 +, X1]
  minus: [G1 -, X2]
  in: [X1, T1 in +]
  in two: [X1, T2 in +]
  back: [T1 in -, X2]
  back two: [T2 in -, X2]
  out: [T1 out +, X3]
  out two: [T2 out +, X3]
  out minus: [T1 out -, T2 out -]
circuits:
  C1: {name: Radio, from: X3, back to: T1 out -, cable: "10 mm², 5 m", load: 5 A, duty: 100 %}
"""
)

FLOATING_ISLAND = (
    RING
    + """
panels: {X9: {name: Forgotten panel, negative: X8, ways: {1: 5 A}}}
"""
)
FLOATING_ISLAND = FLOATING_ISLAND.replace(
    "X3: {name: Far bar}}", "X3: {name: Far bar}, X8: {name: Forgotten negative}}"
).replace("circuits:\n", 'circuits:\n  C9: {name: Forgotten lamp, from: X9 way 1, cable: "1.5 mm², 2 m", load: 5 W}\n')

NO_CHARGE = RING.replace("load: 9 A, law: current", "load: 40 kW")
TEN_CONVERTERS = (
    HEAD
    + """
batteries: {G1: {chemistry: lfp, resistance: 4 mΩ, cells: {series: 8, capacity: 280 Ah}}}
bars: {X1: {name: Positive}, X2: {name: Negative}, X3: {name: 12 V bar}, X4: {name: 12 V negative}}
converters:
"""
    + "".join(f"  T{n}: {{output: {12.5 + n / 10} V, current: {5 + n} A, isolated: no}}\n" for n in range(1, 11))
    + """
runs:
  feed: [G1 +, X1]
  minus: [G1 -, X2]
"""
    + "".join(
        f"  in {n}: [X1, T{n} in +]\n  back {n}: [T{n} in -, X2]\n  out {n}: [T{n} out +, X3]\n"
        f"  low {n}: [T{n} out -, X4]\n"
        for n in range(1, 11)
    )
    + """
circuits:
  C1: {name: Heater, from: X3, back to: X4, cable: "10 mm², 5 m", load: 900 W, duty: 100 %}
"""
)

NO_SOURCE = RING.replace(
    "batteries: {G1: {chemistry: lfp, resistance: 4 mΩ, cells: {series: 4, capacity: 280 Ah}}}", ""
)
NO_SOURCE = NO_SOURCE.replace("  feed: [G1 +, X1]\n", "").replace("  minus: [G1 -, X2]\n", "")
SELF_FED = CONVERTER.replace("LOAD", "5 A").replace(
    "  feed: [G1 +, X1]", "  feed: [G1 +, X1]\n  self: [T1 out +, T1 in +]"
)


def strict(text: str) -> Study:
    """The study with every warning an error, and every figure a number."""
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        result = studied(text)
    for flow in result.flows.values():
        assert all(map(math.isfinite, [*flow.volts.values(), *flow.amps.values()]))
    for fault in result.faults.values():
        for range_ in (fault.highest, fault.lowest):
            assert range_ is None or (math.isfinite(range_.low) and math.isfinite(range_.high))
    return result


def test_a_loop_without_resistance_is_solved_with_the_least_that_a_joint_has() -> None:
    result = strict(ZERO_OHM_LOOP)

    assert () == result.flows["normal"].problems
    assert result.faults["X3"].highest.high > 1e6


def test_two_stiff_sources_in_parallel_share_within_their_limits() -> None:
    """The higher set-point takes the load; the other gives nothing, and neither feeds the other."""
    flow = strict(TWO_STIFF_SOURCES).flows["normal"]

    assert pytest.approx(5.0, abs=1e-3) == flow.amps["T2"]
    assert pytest.approx(0.0, abs=1e-3) == flow.amps["T1"]


def test_ten_converters_on_one_bar_are_solved() -> None:
    flow = strict(TEN_CONVERTERS).flows["normal"]

    assert pytest.approx(flow.amps["C1 load"], rel=1e-3) == sum(flow.amps[f"T{n}"] for n in range(1, 11))


def test_a_floating_island_has_no_voltage_and_no_fault() -> None:
    result = strict(FLOATING_ISLAND)

    assert "C9 +" not in result.flows["normal"].volts
    assert "X9" not in [node for node, fault in result.faults.items() if fault.highest]
    assert () == result.supply["C9"]
    assert result.drops["C9"].volts is None


def test_a_load_that_no_battery_could_supply_is_named() -> None:
    flow = strict(NO_CHARGE).flows["normal"]

    assert "C1" in [item for item, _ in flow.problems]


def test_a_converter_that_drags_its_own_supply_down_stops_and_is_named() -> None:
    """At the end of 240 m of thin wire there are not 290 W to be had: the input falls below what it runs from."""
    weak = CONVERTER.replace("LOAD", "260 W").replace(
        "  in: [X1, T1 in +]", '  in: [X1, W1: "1.5 mm², 120 m", T1 in +]'
    )
    flow = strict(weak).flows["normal"]

    assert ["T1"] == [item for item, what in flow.problems if what.startswith("stops")]


@pytest.mark.parametrize(
    ("text", "rule"),
    [
        (NO_SOURCE, "no-source"),
        (SELF_FED, "voltage"),
        (RING.replace("  minus: [G1 -, X2]", "  minus: [G1 -, X2]\n  short: [G1 +, X2]"), "short"),
    ],
    ids=["no source at all", "a converter feeding itself", "a battery shorted"],
)  # fmt: skip
def test_what_cannot_be_is_a_located_message(text: str, rule: str) -> None:
    with pytest.raises(InventoryError) as caught:
        strict(text)

    assert rule in [d.rule for d in caught.value.diagnostics]
    assert all(d.place for d in caught.value.diagnostics)
