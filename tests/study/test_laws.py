"""What holds on every network: Kirchhoff's laws, and what more copper, more sources and open fuses do."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx

from loombook.inventory import read_inventory, read_text
from loombook.network import Network, build
from loombook.network.live import alive, all_primary, state
from loombook.study.faultcase import FaultModel
from loombook.study.layout import Case, Layout
from loombook.study.ledger import Ledger
from loombook.study.resistances import resistances
from loombook.study.run import study
from loombook.study.sources import fault_sources
from tests.random_vessels import random_vessel
from tests.study.boats import RING, TWO_STRINGS, faults_of, studied

ROOT = Path(__file__).parents[2]
SEEDS = st.integers(0, 10_000)


@cache
def drawn(seed: int) -> Network:
    return build(read_text(random_vessel(seed)))


def case_of(network: Network, condition: str) -> Case:
    layout = Layout(network, resistances(network, Ledger()), Ledger())
    return layout.case(condition, alive(state(network), all_primary(network)).sources)


@settings(max_examples=15, deadline=None)
@given(SEEDS)
def test_currents_at_every_node_add_up_to_nothing(seed: int) -> None:
    network = drawn(seed)
    flow = study(network).flows["under way"]
    left = dict.fromkeys(network.nodes, 0.0)
    for id, amps in flow.amps.items():
        edge = network.edges[id]
        left[edge.a] -= amps
        left[edge.b] += amps

    assert 0.0 == approx(max(abs(amps) for amps in left.values()), abs=1e-6)


@settings(max_examples=25, deadline=None)
@given(SEEDS)
def test_voltages_around_every_loop_add_up_to_nothing(seed: int) -> None:
    """What each conductor drops is the difference of its ends' potentials, so every loop closes."""
    network = drawn(seed)
    case = case_of(network, "all closed")
    drops = case.solution.wires * case.circuit.ohms

    assert 0.0 == approx(np.abs(drops - case.across(case.circuit.wires)).max(), abs=1e-9)


@settings(max_examples=25, deadline=None)
@given(SEEDS)
def test_every_source_stays_within_its_limit(seed: int) -> None:
    case = case_of(drawn(seed), "all closed")

    assert case.solution.converged
    assert bool((case.solution.limited >= -1e-4).all() and (case.solution.limited <= case.circuit.limit + 1e-4).all())


@settings(max_examples=15, deadline=None)
@given(SEEDS)
def test_the_shares_of_the_sources_make_up_the_fault(seed: int) -> None:
    network, ledger = drawn(seed), Ledger()
    model = FaultModel(network, resistances(network, ledger), fault_sources(network, ledger), ledger)
    for words, grid in model.worst.items():
        case = model.highest(words, grid)[0]
        shorts = case.solve()
        for i, amps in enumerate(shorts.current.tolist()):
            assert approx(amps, rel=1e-6, abs=1e-6) == float(shorts.given[:, i].sum())


@settings(max_examples=15, deadline=None)
@given(SEEDS)
def test_the_lowest_fault_is_never_above_the_highest(seed: int) -> None:
    for node, fault in study(drawn(seed)).faults.items():
        if fault.highest and fault.lowest:
            assert fault.lowest.low <= fault.highest.high * (1 + 1e-9), node
            assert fault.sustained <= fault.highest.high


def test_what_gives_nothing_has_no_lowest_fault() -> None:
    """Between the panels and their controller nothing is sure to give at night, at either end of the cable."""
    faults = study(build(read_inventory(ROOT / "vessel"))).faults

    assert None is faults["G6 +"].lowest is faults["T1 pv +"].lowest
    assert all(fault.lowest.low > 1e-3 for fault in faults.values() if fault.lowest)


@settings(max_examples=15, deadline=None)
@given(SEEDS)
def test_opening_every_feeding_device_kills_the_consumer(seed: int) -> None:
    """Each fuse and breaker on all ways of a source to a consumer cuts that source off from it."""
    network = drawn(seed)
    result = study(network)
    on = all_primary(network)
    for consumer, paths in list(result.supply.items())[:12]:
        needed = [frozenset(e.id for e in path.needed() if e.kind in ("fuse", "breaker")) for path in paths]
        common = frozenset.intersection(*needed) if needed else frozenset()
        for device in sorted(common):
            assert consumer in result.lost[device]
            assert consumer not in alive(state(network, {}, [device]), on).consumers


@settings(max_examples=20, deadline=None)
@given(st.integers(1, 200), st.integers(1, 200))
def test_a_longer_cable_never_raises_the_fault_current_nor_lowers_the_drop(first: int, second: int) -> None:
    short, long = sorted((first, second))
    texts = [TWO_STRINGS.replace('"10 mm², 5 m"', f'"10 mm², {length / 10} m"') for length in (short, long)]
    near, far = (studied(text) for text in texts)

    assert near.faults["C1 +"].highest.high >= far.faults["C1 +"].highest.high
    assert near.faults["C1 +"].lowest.low >= far.faults["C1 +"].lowest.low
    assert near.drops["C1"].volts.high <= far.drops["C1"].volts.high


@settings(max_examples=20, deadline=None)
@given(
    st.sampled_from([1.5, 2.5, 4, 6, 10, 16, 25, 35, 50, 70]), st.sampled_from([1.5, 2.5, 4, 6, 10, 16, 25, 35, 50, 70])
)
def test_a_thicker_cable_never_lowers_the_fault_current_nor_raises_the_drop(first: float, second: float) -> None:
    thin, thick = sorted((first, second))
    near, far = (studied(RING.replace('"10 mm², 5 m"', f'"{area} mm², 5 m"')) for area in (thin, thick))

    assert near.faults["C1 +"].highest.high <= far.faults["C1 +"].highest.high
    assert near.drops["C1"].volts.high >= far.drops["C1"].volts.high


@settings(max_examples=20, deadline=None)
@given(st.integers(1, 40), st.integers(1, 40))
def test_a_larger_inner_resistance_never_raises_a_fault_current(first: int, second: int) -> None:
    less, more = sorted((first, second))
    stiff, soft = (faults_of(RING.replace("resistance: 4 mΩ", f"resistance: {ohms} mΩ"))["X1"] for ohms in (less, more))

    assert stiff.highest.high >= soft.highest.high
    assert stiff.lowest.low >= soft.lowest.low


@settings(max_examples=20, deadline=None)
@given(st.integers(1, 40))
def test_two_strings_never_give_less_than_one(ohms: int) -> None:
    both = TWO_STRINGS.replace(
        "G2: {chemistry: lfp, bank: house, resistance: 4 mΩ",
        f"G2: {{chemistry: lfp, bank: house, resistance: {ohms} mΩ",
    )
    one = both.replace("  two: [G2 +, F2, X1]\n", "")

    assert faults_of(both)["X1"].highest.high >= faults_of(one)["X1"].highest.high
