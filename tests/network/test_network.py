"""What the network answers, said as statements about boats."""

from __future__ import annotations

import pytest

from loombook.diagnostics import InventoryError
from loombook.network.isolate import Isolator
from loombook.network.live import all_primary, alive, lost_with, state
from loombook.network.model import Network
from loombook.network.supply import Supply

from .boats import RING, TWO_STRINGS, boat


@pytest.fixture(scope="module")
def two_strings() -> Network:
    return boat(TWO_STRINGS)


@pytest.fixture(scope="module")
def ring() -> Network:
    return boat(RING)


def supply(network: Network, **positions: str) -> Supply:
    return Supply(state(network, positions), all_primary(network))


def test_a_run_is_laid_from_terminal_to_terminal(ring: Network) -> None:
    assert str(ring).splitlines()[:3] == ["G1: battery G1 - -> G1 +", "F1: fuse F1 1 -> F1 2", "F2: fuse F2 1 -> F2 2"]
    assert (ring.edges["W2"].a, ring.edges["W2"].b) == ("F1 2", "X2")


def test_each_node_knows_its_system(two_strings: Network) -> None:
    systems = {id: two_strings.nodes[id].system for id in ("X1", "X2", "U5 out +", "C2 +", "X3")}

    assert systems == {"X1": "24 V DC", "X2": "DC negative", "U5 out +": "12 V DC", "C2 +": "12 V DC", "X3": "24 V DC"}


def test_a_consumer_behind_two_strings_has_a_path_from_each(two_strings: Network) -> None:
    paths = supply(two_strings).paths("C1")

    assert [path.source for path in paths] == ["G1", "G2"]
    assert [hop.edge.id for hop in paths[0].out] == ["W1", "F1", "W2", "W7", "Q1", "W8", "X4 way 2", "C1 cable +"]
    assert [hop.edge.id for hop in paths[0].back] == ["C1 cable -", "W5"]


def test_with_two_strings_the_first_fuse_upstream_is_not_the_one_that_matters(two_strings: Network) -> None:
    """Each string's fuse is needed by that string alone, so opening one kills nothing."""
    core, on = state(two_strings), all_primary(two_strings)

    assert lost_with(core, on)["F1"] == ()
    assert lost_with(core, on)["Q1"] == ("C1", "C2")


def test_a_path_through_a_converter_names_it(two_strings: Network) -> None:
    path = supply(two_strings).paths("C2")[0]

    assert path.through == ("U5",)
    assert [hop.edge.id for hop in path.out][-4:] == ["W16", "U5 input", "U5", "C2 cable +"]


def test_the_emergency_switch_gives_a_third_source(two_strings: Network) -> None:
    paths = supply(two_strings, Q5="on").paths("C1")

    assert [path.source for path in paths] == ["G1", "G2", "G3"]


def test_in_a_ring_neither_side_is_needed(ring: Network) -> None:
    path = supply(ring).paths("C1")[0]

    assert [hop.edge.id for hop in path.out if hop.needed] == ["W1", "C1 cable +"]
    assert lost_with(state(ring), all_primary(ring))["F1"] == ()


def test_opening_both_sides_of_a_ring_kills_what_is_behind(ring: Network) -> None:
    assert alive(state(ring, {}, ["F1", "F2"]), all_primary(ring)).consumers == frozenset()


def test_the_ship_is_dead_after_its_two_main_switches(two_strings: Network) -> None:
    ship = Isolator(two_strings).ship()

    assert [handle.id for handle in ship.handles] == ["Q1", "Q3"]
    assert ship.working == ()


def test_the_paralleling_switch_is_to_be_found_off(two_strings: Network) -> None:
    assert [handle.id for handle in Isolator(two_strings).ship().keep_off] == ["Q5"]


def test_what_stays_live_after_the_main_switches_lies_before_them(two_strings: Network) -> None:
    ship = Isolator(two_strings).ship()

    assert {"G1 +", "X1", "Q1 1", "Q5 1", "G3 +", "Q3 1"} <= set(ship.live)
    assert {"X4", "X3", "U5 in +", "U5 out +"} & set(ship.live) == set()


def test_one_space_is_killed_by_the_nearest_single_handle(two_strings: Network) -> None:
    assert [handle.id for handle in Isolator(two_strings).space("forepeak").handles] == ["Q1"]


def test_a_fuse_counts_as_a_handle_only_where_nothing_else_does(ring: Network) -> None:
    ship = Isolator(ring).ship()

    assert [(handle.id, handle.kind) for handle in ship.handles] == [("F1", "fuse"), ("F2", "fuse")]


SHORTED = TWO_STRINGS.replace(
    'emergency: [X1, W14: "50 mm², 1 m", Q5, W15: "50 mm², 1 m", X3]', 'emergency: [X1, W14: "50 mm², 1 m", X2]'
)
MIXED = TWO_STRINGS.replace("cells: {series: 12, capacity: 70 Ah}", "cells: {series: 6, capacity: 70 Ah}")
SELF_FED = TWO_STRINGS.replace("converter in: [X4 way 1,", "converter in: [U5 out +,").replace(
    "output: 12.5 V", "output: 24.5 V"
)
NO_SOURCE = "vessel: {name: Hull, invented: yes}\nbars: {X1: {name: Bar}}\n"


@pytest.mark.parametrize(
    ("text", "rule", "words"),
    [
        (SHORTED, "short", "`G1` is short-circuited: G1 + → W1 → F1 → W2 → W14 → W5 → G1 -"),
        (MIXED, "voltage", "joins two voltages"),
        (SELF_FED, "loop", "`U5`"),
        (NO_SOURCE, "no-source", "the inventory has no source of energy"),
    ],
)
def test_wiring_that_cannot_be_is_refused(text: str, rule: str, words: str) -> None:
    with pytest.raises(InventoryError) as caught:
        boat(text)

    messages = [d.message for d in caught.value.diagnostics if d.rule == rule]
    assert any(words in message for message in messages)


@pytest.mark.parametrize("text", [TWO_STRINGS, RING])
def test_lost_with_agrees_with_opening_each_edge_by_hand(text: str) -> None:
    """The quick answer from the core and its radial wiring is the slow one, edge by edge."""
    network = boat(text)
    on = all_primary(network)
    before = alive(state(network), on).consumers
    slow = {}
    for edge in network.edges.values():
        if edge.conducts and network.is_closed(edge, network.normal):
            after = alive(state(network, {}, [edge.id]), on).consumers
            slow[edge.id] = tuple(c for c in network.consumers if c in before and c not in after)
    quick = lost_with(state(network), on)

    assert {id: quick.get(id, ()) for id in slow} == slow
