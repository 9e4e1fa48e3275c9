"""What counts as one action of a hand, and that the smallest set counts actions, not conductors."""

from __future__ import annotations

from loombook.network.handles import buttons, handles
from loombook.network.isolate import Isolator

from .boats import RING, TWO_STRINGS, boat

ALTERNATORS = """
alternators:
  G8:
    {name: Big alternator, current: 80 A, voltage: 24 V, engine: main,
     stop: {action: pull the handle, at: "saloon, by the steps"}}
  G9: {name: Small alternator, current: 30 A, voltage: 24 V, engine: main}
"""
CHARGED = (
    TWO_STRINGS.replace("fuses:", ALTERNATORS + "fuses:", 1)
    .replace("runs:", 'runs:\n  big: [G8 +, W20: "25 mm², 1 m", X4]\n  big minus: [G8 -, W21: "25 mm², 1 m", X2]', 1)
    .replace(
        "runs:", 'runs:\n  small: [G9 +, W22: "25 mm², 1 m", X3]\n  small minus: [G9 -, W23: "25 mm², 1 m", X2]', 1
    )
)
CHANGE_OVER = RING.replace(
    "fuses:", 'switches: {Q1: {name: Either side, kind: change-over, normal: "1"}}\nfuses:'
).replace(
    'port side: [X1, F1, W2: "10 mm², 5 m", X2]\n  starboard side: [X1, F2, W3: "10 mm², 7 m", X2]',
    'port side: [X1, F1, W2: "10 mm², 5 m", Q1 1]\n  starboard side: [X1, F2, W3: "10 mm², 7 m", Q1 2]\n'
    '  out: [Q1 com, W9: "10 mm², 1 m", X2]',
)

MAINS = """
vessel: {name: Mains only, invented: yes}
shore inlets: {X8: {name: Inlet, voltage: 230 V, current: 16 A}}
breakers: {F8: {name: One pole, rating: 10 A, kind: C}, F9: {name: Two poles, rating: 10 A, kind: C, poles: 2}}
panels: {X9: {name: Mains panel, ac: yes, kind: B, ways: {1: "10 A"}}}
runs: {inlet: [X8, W1: "2.5 mm², 1 m", F8, W2: "2.5 mm², 1 m", F9, W3: "2.5 mm², 1 m", X9]}
circuits: {C1: {name: Heater, from: X9 way 1, cable: "1.5 mm², 3 m", load: 500 W}}
"""


def kinds(text: str) -> dict[str, str]:
    return {h.id: h.kind for h in handles(boat(text))}


def test_one_engine_has_one_stop_whatever_it_turns() -> None:
    stops = [h for h in handles(boat(CHARGED)) if h.kind == "stop"]

    assert [("G8", ("G8", "G9"))] == [(h.id, h.sources) for h in stops]


def test_stopping_the_engine_counts_once() -> None:
    assert ["Q1", "Q3", "G8"] == [h.id for h in Isolator(boat(CHARGED)).ship().handles]


def test_a_change_over_put_to_off_counts_once_though_it_parts_two_cables() -> None:
    assert ["Q1"] == [h.id for h in Isolator(boat(CHANGE_OVER)).ship().handles]


def test_a_remote_switch_is_opened_at_its_control() -> None:
    text = TWO_STRINGS.replace(
        'Q1: {name: House main switch, at: "saloon, under the step"}',
        "Q1: {name: House main switch, kind: remote, control: button at the helm, access: tool}",
    )
    found = next(h for h in handles(boat(text)) if h.id == "Q1")

    assert "button at the helm" == found.at.place


def test_a_switch_behind_a_cover_that_needs_a_tool_is_no_handle() -> None:
    assert "Q1" not in kinds(
        TWO_STRINGS.replace("Q1: {name: House main switch, ", "Q1: {name: House main switch, access: tool, ")
    )


def test_a_bolted_fuse_is_no_handle() -> None:
    assert "F1" not in kinds(TWO_STRINGS)
    assert "fuse" == kinds(RING)["F1"]


def test_a_breaker_in_the_mains_leaves_the_protective_conductor_alone() -> None:
    opened = {h.id: h.edges for h in handles(boat(MAINS))}

    assert ("F8 L",) == opened["F8"]
    assert ("F9 L", "F9 N") == opened["F9"]


def test_one_button_opens_every_battery_that_names_it() -> None:
    bms = "bms: {series: 8, remote: red button by the steps}, bank: house"
    found = buttons(boat(TWO_STRINGS.replace("bank: house", bms)))

    assert [("red button by the steps", ("G1 bms", "G2 bms"))] == [(h.at.place, h.edges) for h in found]


def test_a_space_is_killed_without_the_rest_of_the_boat_where_few_more_actions_do_it() -> None:
    """One main switch would do, but the breaker of the cabin light leaves the radio on."""
    text = TWO_STRINGS.replace("X4: {name: Main panel, ", "X4: {name: Main panel, kind: thermal, ")

    assert ["X4 way 2"] == [h.id for h in Isolator(boat(text)).space("forepeak").handles]


def test_a_switch_that_is_normally_off_is_named_only_where_closing_it_would_bring_something_back() -> None:
    harmless = TWO_STRINGS.replace('emergency: [X1, W14: "50 mm², 1 m", Q5,', 'emergency: [X4, W14: "50 mm², 1 m", Q5,')

    assert [] == [h.id for h in Isolator(boat(harmless)).ship().keep_off]
