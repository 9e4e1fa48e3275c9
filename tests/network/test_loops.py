"""Halving a loop finds the section that has failed, on either pole, in few measurements."""

from __future__ import annotations

from math import ceil, log2

import pytest

from loombook.network.live import all_primary, state
from loombook.network.loops import Loop, best_point, half_split, loops_of, narrowed
from loombook.network.suspects import likely

from .boats import TWO_STRINGS, boat
from .random_boats import random_boat


def loops(network) -> dict[str, Loop]:
    return dict(loops_of(state(network), all_primary(network)))


def loop(consumer: str, text: str = TWO_STRINGS) -> Loop:
    return loops(boat(text))[consumer]


def found_by_halving(loop: Loop, broken: int) -> tuple[list[str], int]:
    """What is left after as many readings as it takes, with a meter that reads full up to the break and nothing behind."""
    weights = dict.fromkeys(loop.edges, 1.0)
    readings = 0
    while (point := best_point(loop, weights)) is not None:
        weights = narrowed(loop, weights, point, further=point <= broken)
        readings += 1
    return list(weights), readings


def test_a_loop_runs_from_the_posts_of_its_source_through_the_device_and_back() -> None:
    light = loop("C1")

    assert ("G1 +", "C1 +", "C1 -", "G1 -") == (
        light.points[0],
        light.points[light.turn - 1],
        light.points[light.turn],
        light.points[-1],
    )
    assert "C1 load" == light.edges[light.turn - 1]


def test_nobody_is_sent_inside_a_battery() -> None:
    text = TWO_STRINGS.replace("bank: house}\n  G2", "bank: house, bms: {current: 200 A}}\n  G2")

    assert {"G1 cell -", "G1 cell +"} & set(loop("C1", text).points) == set()
    assert "G1 -" == loop("C1", text).points[-1]


def test_the_loop_of_a_device_behind_a_converter_begins_at_the_converter() -> None:
    radio, converter = loop("C2"), loop("U5")

    assert ("U5", "U5 out +", "U5 out -") == (radio.source, radio.points[0], radio.points[-1])
    assert ("G1", "U5 in +", "U5") == (
        converter.source,
        converter.points[converter.turn - 1],
        converter.edges[converter.turn - 1],
    )


@pytest.mark.parametrize("seed", range(8))
def test_halving_finds_the_true_section_on_both_poles(seed: int) -> None:
    for circuit in loops(random_boat(seed)).values():
        for broken, edge in enumerate(circuit.edges):
            left, readings = found_by_halving(circuit, broken)

            assert [edge] == left
            assert readings <= ceil(log2(len(circuit.edges))) + sum(circuit.hidden)


def test_sixteen_sections_take_four_measurements() -> None:
    points = tuple(f"p{i}" for i in range(17))
    long = Loop("C1", "G1", points, tuple(f"e{i}" for i in range(16)), (False,) * 17, 9)

    assert {4} == {found_by_halving(long, broken)[1] for broken in range(16)}


def test_a_hidden_joint_is_measured_only_when_nothing_else_is_left_to_tell() -> None:
    line = Loop("C1", "G1", ("a", "b", "c", "d", "e"), ("ab", "bc", "cd", "de"), (False, False, True, False, False), 3)
    alike = dict.fromkeys(line.edges, 1.0)

    assert "b" == line.points[best_point(line, alike)]
    assert "c" == line.points[best_point(line, {"bc": 1.0, "cd": 1.0})]


def test_the_likelier_part_draws_the_measurement_to_itself() -> None:
    light = loop("C1")
    heavy = {id: 1.0 for id in light.edges} | {"C1 load": 100.0}

    assert light.points[best_point(light, heavy)] in ("C1 +", "C1 -")


@pytest.mark.parametrize("seed", range(4))
def test_the_tree_on_paper_ends_at_every_part_of_the_loop_once(seed: int) -> None:
    network = random_boat(seed)
    for circuit in loops(network).values():
        weights = {id: likely(network.edges[id]) for id in circuit.edges if id in network.edges}
        steps = half_split(circuit, weights)
        ends = [branch for step in steps for branch in (step.further, step.before) if isinstance(branch, tuple)]
        next_steps = [branch for step in steps for branch in (step.further, step.before) if isinstance(branch, int)]

        assert sorted(weights) == sorted(id for end in ends for id in end)
        assert list(range(2, len(steps) + 1)) == sorted(next_steps)
