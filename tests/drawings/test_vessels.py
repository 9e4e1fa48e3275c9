"""The drawings of whole vessels: everything is somewhere, once, and leads somewhere."""

from __future__ import annotations

import datetime
import re
from pathlib import Path

import pytest

from loombook.drawings import strip
from loombook.drawings.model import Cable, State
from loombook.drawings.quality import faults
from loombook.drawings.sheets import draw
from loombook.drawings.states import States
from loombook.drawings.strips import strips
from loombook.drawings.view import Ship
from loombook.pipeline import Worked, work_out

from tests.drawings.homes import astray, drawn, unsound
from tests.drawings.wholewords import cut_words

ROOT = Path(__file__).parents[2]
VESSELS = ("vessel", "tests/vessels/minimal", "tests/vessels/launch", "tests/vessels/everything")
HREF = re.compile(r'href="item:([^"#]+)"')


@pytest.fixture(scope="module", params=VESSELS)
def boat(request: pytest.FixtureRequest) -> tuple[Worked, dict[str, str]]:
    """A vessel worked out, and its drawings."""
    worked = work_out(ROOT / request.param, datetime.date(2026, 6, 1))
    return worked, draw(worked.study, worked.checked)


def linked(drawings: dict[str, str], *prefixes: str) -> set[str]:
    """Ids that the sheets of these names link to."""
    return {
        id.replace("%20", " ")
        for name, svg in drawings.items()
        if name.startswith(prefixes)
        for id in HREF.findall(svg)
    }


def test_every_device_on_a_live_pole_stands_on_the_ship_or_on_a_feeder_sheet(boat) -> None:
    worked, drawings = boat
    nodes = worked.network.nodes
    owners = {
        f"{e.item} way {e.path[3]}" if e.path[2:3] == ("ways",) else e.item
        for e in worked.network.edges.values()
        if e.kind
        in (
            "fuse",
            "breaker",
            "switch",
            "battery",
            "alternator",
            "solar array",
            "shore",
            "converter",
            "charger",
            "inverter",
        )
        and nodes[e.b].pole in ("+", "L")
    }

    assert owners - linked(drawings, "ship", "panel-X", "panel-", "bar-") == set()


def test_every_run_cable_on_a_live_pole_is_drawn(boat) -> None:
    worked, drawings = boat
    drawn = "".join(svg for name, svg in drawings.items() if name.startswith(("ship", "panel-", "bar-")))
    cables = {
        e.item
        for e in worked.network.edges.values()
        if e.kind == "conductor" and e.path[:1] == ("runs",) and worked.network.nodes[e.a].pole in ("+", "L")
    }

    assert {id for id in cables if not re.search(rf"\b{id}\b", drawn)} == set()


def test_the_sheets_are_sound_and_show_each_thing_once(boat) -> None:
    worked, _ = boat
    vessel = drawn(worked.study)

    assert unsound(vessel) == []
    assert astray(vessel) == []


def test_no_word_of_a_label_is_cut(boat) -> None:
    worked, _ = boat
    vessel = drawn(worked.study)
    along = tuple(strips(worked.study))

    assert cut_words(vessel.asked, vessel.sheets) == []
    assert cut_words(along, [strip.scene(sheet) for sheet in along]) == []


def test_no_strip_has_a_fault(boat) -> None:
    worked, _ = boat

    assert [fault for sheet in strips(worked.study) for fault in faults(strip.scene(sheet))] == []


def test_the_ship_stands_on_one_sheet(boat) -> None:
    _, drawings = boat

    assert [name for name in drawings if name.startswith(("ship.", "isolation-ship."))] == []


def test_no_final_circuit_stands_on_the_ship_sheet(boat) -> None:
    worked, drawings = boat

    assert linked(drawings, "ship") & set(worked.network.inventory.circuits) == set()


def test_a_lead_of_the_isolation_picture_is_as_live_as_its_bar(boat) -> None:
    worked, _ = boat
    ship = Ship(worked.study)
    states = States(worked.study)
    live = {State.LIVE: True, State.DEAD: False}
    ends = [
        (chain.id, live[branch.chain[at].state], end in worked.study.ship.live)
        for chain in ship.hot.chains
        for branch in (ship.branch(chain, states),)
        for at, end in ((0, chain.upper), (-1, chain.lower))
        if end in worked.network.inventory.bars and branch.chain and isinstance(branch.chain[at], Cable)
    ]

    assert [(id, drawn) for id, drawn, _ in ends] == [(id, is_live) for id, _, is_live in ends]
    assert ends or not worked.network.inventory.bars


def test_every_supplied_consumer_has_a_strip(boat) -> None:
    worked, drawings = boat
    supplied = {id for id, paths in worked.study.supply.items() if paths}

    assert {id for id in supplied if f"strip-{id}" not in drawings} == set()


def test_the_isolation_picture_says_live_where_something_stays_live(boat) -> None:
    worked, drawings = boat
    picture = "".join(svg for name, svg in drawings.items() if name.startswith("isolation-ship"))

    assert ("LIVE" in picture) == bool(worked.study.ship.live)


def test_the_same_vessel_gives_the_same_bytes(boat) -> None:
    worked, drawings = boat

    assert draw(worked.study, worked.checked) == drawings
