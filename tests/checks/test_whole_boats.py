"""Every boat in the tests goes through every rule, and each outcome is whole."""

from __future__ import annotations

from functools import cache

import pytest
from loombook.checks import RULES, Checked, run_checks
from loombook.checks.limits import LIMITS, limit
from loombook.inventory import read_inventory
from loombook.network import build
from loombook.study.run import study

from .surveyed import AS_OF, ROOT, check

BOATS = ("tests/vessels/minimal", "tests/vessels/launch", "tests/vessels/everything", "vessel")

each_boat = pytest.mark.parametrize("folder", BOATS)


@cache
def surveyed(folder: str) -> Checked:
    return run_checks(study(build(read_inventory(ROOT / folder))), AS_OF)


@each_boat
def test_every_rule_says_something(folder: str) -> None:
    spoken = {o.rule for o in surveyed(folder).outcomes}

    assert [rule.id for rule in RULES if rule.id not in spoken and rule.id != "M-08"] == []


@each_boat
def test_nothing_is_said_twice(folder: str) -> None:
    said = [(o.rule, o.item, o.what) for o in surveyed(folder).outcomes if o.outcome not in ("pass", "n/a")]

    assert sorted(said) == sorted(set(said))


@each_boat
def test_every_finding_is_whole(folder: str) -> None:
    lacking = [(o.rule, o.what) for o in surveyed(folder).findings if not (o.here and o.why and o.source and o.clears)]

    assert lacking == []


@each_boat
def test_everything_concerned_is_aboard(folder: str) -> None:
    checked = surveyed(folder)
    network = build(read_inventory(ROOT / folder))
    aboard = {i.id for i in network.inventory.items()} | set(network.of_item) | set(network.consumers)
    aboard.add(network.inventory.vessel.name)

    assert {id for o in checked.outcomes for id in o.items if id.split(" way ")[0] not in aboard} == set()


@each_boat
def test_the_same_boat_on_the_same_day_gives_the_same_outcomes(folder: str) -> None:
    again = run_checks(study(build(read_inventory(ROOT / folder))), AS_OF)

    assert surveyed(folder).outcomes == again.outcomes


def test_an_estimated_length_that_decides_is_not_judged() -> None:
    radio = 'circuits:\n  C2: {name: VHF, from: X4 way 2, cable: "2.5 mm², LENGTH", load: 5 A, use: radio, at: cabin}\n'

    stated = {o.outcome for o in check(radio.replace("LENGTH", "4.2 m")).of_rule("D-01") if o.item == "C2"}
    estimated = {o.outcome for o in check(radio.replace("LENGTH", "~4.2 m")).of_rule("D-01") if o.item == "C2"}
    far = {o.outcome for o in check(radio.replace("LENGTH", "~8 m")).of_rule("D-01") if o.item == "C2"}

    assert (stated, estimated, far) == ({"pass"}, {"unknown"}, {"B"})


def test_a_remedy_for_drop_says_which_size_would_do() -> None:
    radio = (
        'circuits:\n  C2: {name: VHF radio, from: X4 way 2, cable: "2.5 mm², 8 m", load: 5 A, use: radio, at: cabin}\n'
    )
    (found,) = (o for o in check(radio).findings if o.rule == "D-01")

    assert found.clears.startswith("6 mm² for the cable of C2 VHF radio would bring it to ")


def test_a_limit_is_the_stricter_of_two_rule_sets() -> None:
    assert limit("least_single", ("iso",)).value == 1.0
    assert limit("least_single", ("iso", "us")).value == 1.309


def test_every_limit_has_its_source() -> None:
    assert [row.name for row in LIMITS if not row.source or not row.unit] == []
