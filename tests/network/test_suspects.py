"""What explains a fault: the true one is always among the explanations, and nearly always the first."""

from __future__ import annotations

import pytest

from loombook.network.explain import Explanation, explain
from loombook.network.live import all_primary, state
from loombook.network.suspects import Suspect, suspects_of

from .boats import RING, TWO_STRINGS, boat
from .faults import boat as boat_by_lot
from .faults import faults, felt_of, names


def suspects(text: str) -> tuple[Suspect, ...]:
    network = boat(text)
    return suspects_of(state(network), all_primary(network))


def taking(found: tuple[Suspect, ...], *lost: str) -> list[Suspect]:
    return [suspect for suspect in found if suspect.lost == lost]


def test_a_fuse_its_cable_and_the_device_behind_it_are_one_suspect() -> None:
    (found,) = taking(suspects(TWO_STRINGS), "C1")

    assert {"X4 way 2", "C1 cable +", "C1 cable -", "C1 load"} == set(found.edges)


def test_a_converter_is_suspected_with_the_fuse_before_it() -> None:
    (found,) = taking(suspects(TWO_STRINGS), "C2")

    assert {"X4 way 1", "W16", "W17", "U5", "C2 cable +"} <= set(found.edges)


def test_the_fuses_of_two_strings_are_a_pair() -> None:
    pairs = [s for s in taking(suspects(TWO_STRINGS), "C1", "C2") if s.also]

    assert [({"F1", "G1", "W1", "W2", "W5"}, {"F2", "G2", "W3", "W4", "W6"})] == [
        (set(s.edges), set(s.also)) for s in pairs
    ]


def test_the_two_sides_of_a_ring_are_a_pair_with_all_that_is_in_series_on_each() -> None:
    (pair,) = [s for s in suspects(RING) if s.also]

    assert ({"F1", "W2", "X1 = F1 1"}, {"F2", "W3", "X1 = F2 1"}) == (set(pair.edges), set(pair.also))


@pytest.mark.parametrize("seed", range(12))
def test_each_suspect_takes_what_opening_any_of_its_parts_takes(seed: int) -> None:
    aboard = boat_by_lot(seed)
    for suspect in aboard.suspects:
        for i, id in enumerate(suspect.edges):
            failed = [id] if not suspect.also else [id, suspect.also[i % len(suspect.also)]]

            assert frozenset(suspect.lost) == aboard.dead(failed), failed


def test_a_part_that_is_no_suspect_takes_nothing_by_itself() -> None:
    for seed in range(12):
        aboard = boat_by_lot(seed)
        suspected = {id for suspect in aboard.suspects if not suspect.also for id in suspect.edges}

        assert {} == {id: dead for id in aboard.breakable if id not in suspected and (dead := aboard.dead([id]))}


def test_of_a_thousand_faults_all_are_among_the_explanations_and_nine_in_ten_come_first() -> None:
    """One part or two have failed, and somebody has looked at every consumer."""
    first, missed = 0, []
    for fault in faults(1000):
        found = explain(fault.boat.suspects, fault.dead, fault.working)
        if not any(names(explanation, fault) for explanation in found):
            missed.append(fault.failed)
        first += bool(found) and names(found[0], fault)

    assert [] == missed
    assert first >= 900


def test_an_explanation_that_names_another_part_does_not_count_as_found() -> None:
    """So that the count above can fail: each fault is held against what explains another boat's or another part's failure."""
    right = wrong = 0
    for fault in faults(100):
        felt = set(felt_of(fault))
        for i, suspect in enumerate(fault.boat.suspects):
            named = names(Explanation((i,), suspect.faults, 0, 1.0), fault)
            parts = {*suspect.edges, *suspect.also}
            right += named
            wrong += named and not felt & parts

    assert right > 30
    assert 0 == wrong


def test_the_lot_draws_single_and_double_faults_of_every_sort() -> None:
    drawn = list(faults(1000))
    kinds = {fault.boat.network.edges[id].kind for fault in drawn for id in fault.failed}

    assert min(sum(len(fault.failed) == many for fault in drawn) for many in (1, 2)) > 300
    assert {"fuse", "breaker", "switch", "conductor", "battery", "converter", "load"} <= kinds
    assert sum(len(fault.boat.on) > 1 for fault in drawn) > 300


def test_with_one_dead_device_and_no_more_known_its_own_fuse_comes_before_the_panels() -> None:
    found = suspects(TWO_STRINGS)
    told = explain(found, ["C1"], [])

    assert ("C1",) == found[told[0].suspects[0]].lost
    assert [0, 1] == [e.untold for e in told][:2]


def test_a_working_neighbour_clears_what_feeds_both() -> None:
    found = suspects(TWO_STRINGS)
    told = explain(found, ["C1"], ["C2"])

    assert [("C1",)] == [found[i].lost for e in told for i in e.suspects]


def test_two_dead_branches_with_a_working_one_between_need_two_faults() -> None:
    text = TWO_STRINGS.replace('2: "5 A"}', '2: "5 A", 3: "5 A"}') + (
        '  C3: {name: Fan, from: X4 way 3, cable: "1.5 mm², 2 m", load: 1 A}\n'
    )
    (best, *_) = explain(suspects(text), ["C1", "C3"], ["C2"])

    assert (2, 2) == (best.faults, len(best.suspects))


def test_nothing_dead_needs_no_explanation() -> None:
    assert () == explain(suspects(RING), [], ["C1"])


def test_what_no_one_or_two_faults_explain_is_left_unexplained() -> None:
    assert () == explain(suspects(RING), ["C1"], ["C1"])
