"""Pages and rules never contradict each other about a device: the same currents, the same verdict."""

from __future__ import annotations

import pytest

from loombook.checks import Outcome
from loombook.manual.book import Book
from loombook.manual.devices import Device
from loombook.manual.judging import breaks, guard_of, opens

from .boats import VESSELS, book_of

BREAKING = ("F-01", "F-03")
CLEARING = ("F-05", "F-12", "P-01", "P-05", "P-06")
"""Rules that tell of a short that is not cut off, or of a conductor with no device that would."""


def told(book: Book, ids: set[str], rules: tuple[str, ...]) -> list[Outcome]:
    """What the rules find, or cannot check, about some things."""
    outcomes = (o for rule in rules for o in book.checked.of_rule(rule) if o.is_finding or o.outcome == "unknown")
    return [o for o in outcomes if ids & {o.item, *o.items}]


def judged(name: str) -> list[tuple[Book, Device]]:
    book = book_of(name)
    return [(book, device) for device in book.devices.values() if guard_of(book, device)]


@pytest.mark.parametrize("vessel", VESSELS)
def test_a_device_that_cannot_break_its_fault_is_a_finding_and_the_other_way_round(vessel: str) -> None:
    contradicted = []
    for book, device in judged(vessel):
        guard = guard_of(book, device)
        alternating = any(book.network.nodes[book.network.edges[e].a].pole == "L" for e in device.edges)
        page = breaks(book, guard).good
        graver = [o for o in told(book, {device.id}, BREAKING) if o.is_finding]
        if not alternating and (page is False) != bool(graver):
            contradicted.append((device.id, page, [(o.rule, o.outcome) for o in graver]))

    assert contradicted == []


@pytest.mark.parametrize("vessel", VESSELS)
def test_what_a_page_says_stays_uncut_at_a_consumer_no_rule_passes_over(vessel: str) -> None:
    passed_over, contradicted = [], []
    for book, device in judged(vessel):
        guard = guard_of(book, device)
        consumers = {c.id for c in book.network.consumers.values() if guard.far in (c.plus, c.minus)}
        consumers |= {book.network.consumers[id].circuit for id in consumers}
        page = opens(book, guard).good
        if page is False and consumers and not told(book, consumers | {device.id}, CLEARING):
            passed_over.append((device.id, guard.far))
        if page is True and any(o.is_finding for o in told(book, {device.id}, ("F-05",))):
            contradicted.append((device.id, guard.far))

    assert (passed_over, contradicted) == ([], [])


def test_a_fuse_behind_a_weak_converter_need_not_open_where_its_wires_carry_all_that_comes() -> None:
    """The launch's panel fuse: 30 A behind a converter of 25 A, on wires that carry far more."""
    book = book_of("launch")
    said = opens(book, guard_of(book, book.devices["F3"]))

    assert said.good
    assert "it need not: no more than" in str(said.words)
