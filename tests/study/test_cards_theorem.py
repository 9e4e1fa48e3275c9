"""The order on the emergency cards is a theorem, proved on vessels drawn by lot by a search of its own."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations
from pathlib import Path

import pytest

from loombook.inventory import read_inventory, read_text
from loombook.network import Network, build
from loombook.network.handles import Handle, handles
from loombook.study.cards import Card, Cards, cards

from .. import cards_vessels, random_vessels
from . import brute

AS_OF = datetime.date(2026, 5, 10)
VESSELS = Path(__file__).parent.parent / "vessels"
NAMED = {
    "demo": VESSELS.parent.parent / "vessel",
    "launch": VESSELS / "launch",
    "everything": VESSELS / "everything",
    "minimal": VESSELS / "minimal",
}
SWITCHED = range(60)
STUDIED = range(12)
MOST_TRIED = 12
"""Handles up to which every smaller set is tried."""


@dataclass(frozen=True)
class Case:
    name: str
    network: Network

    @cached_property
    def cards(self) -> Cards:
        return cards(self.network, AS_OF)

    @cached_property
    def unused(self) -> set[str]:
        return brute.usually_off(self.network)

    def opened(self, ids) -> set[str]:
        return {edge for id in ids for edge in brute.edges_of(self.network, id)}

    def stopped(self, ids) -> set[str]:
        return {source for id in ids for source in brute.stopped_by(self.network, id)}

    def after(self, ids, off=frozenset()) -> set[str]:
        """Live nodes after the handles, the other switches in any position at once."""
        return brute.live(self.network, self.unused | self.opened(ids), self.stopped(ids) | set(off))

    @cached_property
    def turned(self) -> list[str]:
        """Terminals that the water makes live."""
        return [f"{m.id} +" for m in self.network.inventory.motors.values() if m.regenerates]

    @cached_property
    def hands(self) -> list[Handle]:
        """Handles that may be used: not those that are left on."""
        return [h for h in handles(self.network) if not h.stays_on]

    @cached_property
    def left_on(self) -> set[str]:
        """Nodes of circuits that are meant to stay on."""
        circuits = {c.id for c in self.network.inventory.circuits.values() if c.stays_on}
        return {n for e in self.network.edges.values() if e.item in circuits for n in (e.a, e.b)}

    def spared(self, card: Card) -> set[str]:
        """Live nodes that a handle could have killed: any handle but a fuse, and of loads also a fuse."""
        off = set(card.unstoppable)
        without_fuses = self.after([h.id for h in self.hands if h.kind != "fuse"], off)
        with_fuses = self.after([h.id for h in self.hands], off)
        loads = {c.plus for c in self.network.consumers.values()}
        left = {n for n in self.after(card.handles, off) - self.left_on if self.is_hot(n)}
        return {n for n in left if n not in (with_fuses if n in loads else without_fuses)}

    def is_hot(self, node: str) -> bool:
        pole = self.network.nodes[node].pole
        return pole in ("+", "L", "N") or (pole == "-" and self.network.inventory.vessel.earth == "insulated")


@pytest.fixture(scope="module")
def named() -> list[Case]:
    return [Case(name, build(read_inventory(folder))) for name, folder in NAMED.items()]


@pytest.fixture(scope="module")
def drawn() -> list[Case]:
    found = [Case(f"switched {n}", build(read_text(cards_vessels.random_vessel(n)))) for n in SWITCHED]
    return found + [Case(f"studied {n}", build(read_text(random_vessels.random_vessel(n)))) for n in STUDIED]


@pytest.fixture(scope="module")
def every(named: list[Case], drawn: list[Case]) -> list[Case]:
    return named + drawn


def listed(card: Card) -> set[str]:
    return {node for group in card.live for node in group.nodes}


def test_after_the_fast_actions_nothing_is_joined_to_a_source_but_what_is_listed_as_still_live(
    every: list[Case],
) -> None:
    """In every position in which the switches that the card does not touch may stand."""
    wrong = []
    for case in every:
        fast = case.cards.fast
        for positions in brute.standings(case.network):
            shut = case.unused | case.opened(fast.handles) | brute.not_closed(case.network, positions)
            live = brute.live(case.network, shut, case.stopped(fast.handles))
            wrong += [(case.name, node) for node in sorted(live - listed(fast))]

    assert [] == wrong


def test_what_a_turning_propeller_makes_live_is_listed_too(every: list[Case]) -> None:
    wrong = []
    for case in every:
        fast = case.cards.fast
        live = brute.live(
            case.network, case.unused | case.opened(fast.handles), case.stopped(fast.handles), case.turned
        )
        wrong += [(case.name, node) for node in sorted(live - listed(fast))]

    assert [] == wrong


def test_what_is_listed_as_always_live_is_live(every: list[Case]) -> None:
    """The list is no longer than it must be: a list of everything would frighten nobody into care."""
    wrong = []
    for case in every:
        fast = case.cards.fast
        live = case.after(fast.handles)
        wrong += [
            (case.name, node) for group in fast.live if group.when == "always" for node in sorted(group.nodes - live)
        ]

    assert [] == wrong


def test_nothing_stays_live_that_a_handle_could_kill(every: list[Case]) -> None:
    """But for what is left on, what only a fuse kills besides loads, and what no handle parts from its source."""
    wrong = []
    for case in every:
        wrong += [(case.name, node) for node in sorted(case.spared(case.cards.fast))]

    assert [] == wrong


def test_no_smaller_set_of_handles_kills_as_much(drawn: list[Case]) -> None:
    """Every set with fewer fuses, and every smaller set with as many, leaves something live; tried one by one."""
    wrong, tried = [], 0
    for case in drawn:
        fast, stubborn = case.cards.fast, set(case.cards.fast.unstoppable)
        hands = [h.id for h in case.hands if h.kind != "fuse"]
        fuses = [h.id for h in case.hands if h.kind == "fuse"]
        if len(hands) > MOST_TRIED or len(fuses) > MOST_TRIED:
            continue
        tried += 1
        killed = {
            n for n in case.after((), stubborn) - case.after(fast.handles, stubborn) - case.left_on if case.is_hot(n)
        }
        pulled = sum(id in fuses for id in fast.handles)
        moved = len(fast.handles) - pulled
        smaller = [(*hands, *f) for f in combinations(fuses, pulled - 1)] if pulled else []
        smaller += (
            [(*h, *f) for h in combinations(hands, moved - 1) for f in combinations(fuses, pulled)] if moved else []
        )
        wrong += [(case.name, ids) for ids in smaller if not killed & case.after(ids, stubborn)]

    assert [] == wrong
    assert tried > 50


def test_every_handle_of_the_fast_card_is_needed(every: list[Case]) -> None:
    wrong = []
    for case in every:
        fast, stubborn = case.cards.fast, set(case.cards.fast.unstoppable)
        live = {n for n in case.after(fast.handles, stubborn) if case.is_hot(n)}
        for id in fast.handles:
            without = case.after([other for other in fast.handles if other != id], stubborn)
            if not {n for n in without - case.left_on if case.is_hot(n)} - live:
                wrong.append((case.name, id))

    assert [] == wrong


def test_the_orderly_order_kills_what_the_fast_one_kills(every: list[Case]) -> None:
    wrong = []
    for case in every:
        fast = case.after(case.cards.fast.handles)
        wrong += [(case.name, n) for n in sorted(case.after(case.cards.orderly.handles) - fast) if case.is_hot(n)]

    assert [] == wrong


def orders(case: Case) -> list[Card]:
    return [case.cards.orderly, *case.cards.systems, *case.cards.spaces]


def test_no_battery_is_taken_from_an_alternator_that_turns_or_a_controller_in_the_sun(every: list[Case]) -> None:
    """After each step of the orderly and partial orders, whatever charges a battery still has one, or is stopped."""
    wrong, charged = [], 0
    for case in every:
        normal = brute.not_closed(case.network, {})
        had = brute.charging(case.network, normal, set())
        charged += len(had)
        for card in orders(case):
            opened, off = set(normal), set()
            for number, step in enumerate(card.steps, start=1):
                opened |= case.opened(step.handles)
                off |= case.stopped(step.handles) | set(step.stops)
                running = had & brute.charges(case.network, opened, off)
                wrong += [
                    (case.name, card.name, number, id)
                    for id in sorted(running - brute.charging(case.network, opened, off))
                ]

    assert [] == wrong
    assert charged > 40


def test_a_propeller_is_locked_before_its_drive_loses_the_battery(every: list[Case]) -> None:
    """A drive that the water turns gives its energy back; without the battery nothing takes it."""
    wrong, turned = [], 0
    for case in every:
        for motor in case.network.inventory.motors.values():
            card = case.cards.orderly
            lock = (
                [step.do for step in card.steps].index(f"Lock the propeller of {motor.title}")
                if motor.regenerates
                else 0
            )
            opened, normal = set(), brute.not_closed(case.network, {})
            held = _has_battery(case, motor.id, normal)
            turned += bool(motor.regenerates and held)
            for number, step in enumerate(card.steps[:lock]):
                opened |= case.opened(step.handles)
                if held and not _has_battery(case, motor.id, normal | opened):
                    wrong.append((case.name, motor.id, number))

    assert [] == wrong
    assert turned >= 5


def _has_battery(case: Case, motor: str, opened: set[str]) -> bool:
    part = brute.joined(case.network, opened)
    batteries = [e for e in case.network.edges.values() if e.kind == "battery"]
    return any(part[e.b] == part[f"{motor} +"] and part[e.a] == part[f"{motor} -"] for e in batteries)


def test_every_card_lists_what_stays_live_after_its_own_actions(every: list[Case]) -> None:
    """The fire's come after those of the fast card, the thunderstorm's are those of the orderly one."""
    wrong, looked_at = [], 0
    for case in every:
        before = {"fire": case.cards.fast.handles, "lightning": case.cards.orderly.handles}
        for card in (case.cards.orderly, *case.cards.variants):
            if card.kind == "dark ship":
                continue
            looked_at += 1
            live = case.after((*before.get(card.kind, ()), *card.handles))
            wrong += [(case.name, card.name, node) for node in sorted(live - listed(card))]

    assert [] == wrong
    assert looked_at > 300


def test_every_handle_of_the_orderly_card_stands_between_a_source_and_something(every: list[Case]) -> None:
    """With it alone open, one of its ends is still joined to a source: it stands on the way from there."""
    wrong = []
    for case in every:
        for id in case.cards.orderly.handles:
            edges = case.opened([id])
            if not edges:
                wrong += [] if case.stopped([id]) else [(case.name, id)]
                continue
            shut = case.unused | edges
            ends = {end for edge in edges for end in (case.network.edges[edge].a, case.network.edges[edge].b)}
            if not ends & brute.live(case.network, shut):
                wrong.append((case.name, id))

    assert [] == wrong


def test_batteries_come_last_and_the_highest_voltage_of_them_first(named: list[Case]) -> None:
    orderly = {case.name: case.cards.orderly.handles for case in named}

    assert ("F51", "X8", "G4", "Q5", "F4", "Q7", "Q9", "Q1", "Q3") == orderly["demo"]
    assert ("F51", "X8", "Q1", "Q3") == orderly["launch"]


def test_what_still_works_has_a_battery_on_both_poles_and_what_is_lost_has_none(every: list[Case]) -> None:
    wrong = []
    for case in every:
        batteries = {e.id for e in case.network.edges.values() if e.kind == "battery"}
        normal = brute.not_closed(case.network, {})
        for card in (case.cards.fast, *orders(case)):
            fed = brute.fed(case.network, normal | case.opened(card.handles), batteries)
            said = {w.id for w in card.works if w.works}
            if fed != said or {w.id for w in card.lost} & fed:
                wrong.append((case.name, card.name, sorted(fed ^ said)))

    assert [] == wrong


def test_each_partial_card_kills_its_part(every: list[Case]) -> None:
    """Nothing in the space or system stays live that a handle could kill, and what does is listed."""
    wrong = []
    for case in every:
        for card in (*case.cards.systems, *case.cards.spaces):
            nodes = (
                {n.id for n in case.network.nodes.values() if n.system == card.name}
                if card.kind == "system"
                else _in_space(case, card.name)
            )
            left = case.after(card.handles) & nodes - case.left_on
            wrong += [(case.name, card.name, n) for n in sorted(case.spared(card) & nodes)]
            wrong += [(case.name, card.name, n, "not listed") for n in sorted(left - listed(card)) if case.is_hot(n)]

    assert [] == wrong


def _in_space(case: Case, space: str) -> set[str]:
    """Terminals of what is in a space, but for circuits, whose cables pass through others."""
    inventory = case.network.inventory
    items = {i.id for i in inventory.items() if i.at and i.at.space == space and i.family != "circuits"}
    return {n.id for n in case.network.nodes.values() if n.item in items} | {
        c.plus for c in case.network.consumers.values() if c.id in items
    }


def test_after_the_dark_ship_card_the_essentials_that_it_names_work_again(every: list[Case]) -> None:
    wrong, told = [], 0
    for case in every:
        batteries = {e.id for e in case.network.edges.values() if e.kind == "battery"}
        for card in case.cards.variants:
            for opened in card.opened:
                told += len(opened.back)
                shut = brute.not_closed(case.network, dict(opened.positions)) | {f"{id} bms" for id in opened.batteries}
                fed = brute.fed(case.network, shut, batteries)
                wrong += [(case.name, w.id) for w in opened.back if w.id not in fed]

    assert [] == wrong
    assert told >= 8
