"""The emergency pages as they are built: what the fire's card owes whoever takes it, on all vessels."""

from __future__ import annotations

import re

import pytest

from loombook.network.isolate import MOST_HANDLES

from .boats import VESSELS, book_of, of_vessel, page
from .reading import table, text

EVENTS = {
    "isolate": "FAST: fire, smoke, sparks", "orderly": "ORDERLY: all off, in order", "fire": "STILL BURNING",
    "shock": "SHOCK: held by the current", "battery": "BATTERY smokes or hisses", "flooding": "WATER in the boat",
    "abandoning": "LEAVING the boat", "dark-ship": "DARK: the battery has opened", "swimmer": "PROPELLER: somebody is near",
    "lightning": "THUNDERSTORM",
}  # fmt: skip


@pytest.fixture(params=VESSELS, scope="module")
def vessel(request) -> str:
    return request.param


def test_more_than_four_actions_are_a_finding_and_the_card_says_so(vessel: str) -> None:
    card, body = book_of(vessel).cards.fast, text(page(of_vessel(vessel), "emergency/isolate.md"))
    rule = book_of(vessel).found.of_rule("I-06")

    assert card.actions <= MOST_HANDLES or any(outcome.is_finding for outcome in rule)
    assert any(outcome.is_finding for outcome in rule) == ("Finding:" in body)
    assert f"{card.actions} action" in body


def test_one_vessel_has_too_many_and_one_has_not() -> None:
    assert [True, False] == [book_of(name).cards.fast.actions <= MOST_HANDLES for name in ("demo", "everything")]


def test_every_event_that_can_happen_aboard_has_its_page() -> None:
    pages = {p.path: p.title for p in of_vessel("demo").pages}

    assert {f"emergency/{name}.md": title for name, title in EVENTS.items()}.items() <= pages.items()


def test_every_card_names_the_boat_and_says_destroy_older_and_who_tried_it(vessel: str) -> None:
    record, bare = book_of(vessel).inventory.vessel, []
    for card_page in of_vessel(vessel).pages:
        for side in re.findall(r'<section class="lb-card".*?</section>', card_page.body, re.S):
            said = text(side)
            if not ("destroy older" in said and f"revision {record.revision}" in said):
                bare.append((card_page.path, "head"))
            if not re.search(r"Tried by ____|Last drilled|Not tried yet", said):
                bare.append((card_page.path, "foot"))

    assert bare == []


def test_a_card_page_says_which_revision_hangs_where_and_what_to_replace() -> None:
    body = text(page(of_vessel("demo"), "emergency/isolate.md"))

    assert "Chart table: inside the lid of the table, revision 14;" in body
    assert "Cockpit: inside the locker lid, revision 13 REPLACE: the boat is at revision 14" in body
    assert "No copy of this card is on record." in text(page(of_vessel("demo"), "emergency/flooding.md"))


def test_what_must_be_printed_again_is_a_list_on_one_page() -> None:
    rows = table(page(of_vessel("demo"), "running/prints.md"), "Where a copy").rows
    replace = [row for row in rows if "REPLACE" in str(row)]

    assert len(rows) > len(replace) == 1


def test_the_cautions_stand_on_the_cards_that_need_them() -> None:
    """Section by section: the shut battery space, water on lithium, the sun, the helm, RCD, local rules, the revision."""
    wanted = {
        "isolate": (
            "stays shut",
            "do not breathe",
            "Water cools",
            "solar panels are live",
            "The helm decides",
            "Local rules",
        ),
        "battery": ("stays shut", "do not breathe", "Water cools", "leads outside", "Local rules"),
        "shock": ("nobody goes in", "RCD", "Local rules"),
        "orderly": ("RCD", "qualified person", "solar panels are live", "Local rules"),
        "flooding": ("Nobody stands in water", "Local rules"),
        "swimmer": ("The helm decides", "Local rules"),
    }
    bodies = {name: text(page(of_vessel("demo"), f"emergency/{name}.md")) for name in wanted}

    assert [] == [(name, words) for name, all in wanted.items() for words in all if words not in bodies[name]]
    assert "makes its drive live" in text(page(of_vessel("launch"), "emergency/isolate.md"))


def test_every_card_says_how_far_what_is_worked_out_may_be_trusted(vessel: str) -> None:
    cards = [card for card in book_of(vessel).cards if card.kind != "dark ship" or card.cautions]

    assert [] == [
        card.name for card in cards if not any("as far as somebody wrote her down" in words for words in card.cautions)
    ]


def test_no_card_says_a_word_that_a_guest_does_not_know(vessel: str) -> None:
    """Of the cards for somebody frightened; the orderly one is for somebody with a meter."""
    jargon = re.compile(r"\b(residual|ampacity|prospective|conductor|busbar|feeder|SoC|DC-DC|terminal)\b", re.I)
    filed = ("orderly", "system", "space")
    steps = [
        (card.name, f"{s.do} {s.where} {s.see}")
        for card in book_of(vessel).cards
        if card.kind not in filed
        for s in card.steps
    ]
    own = {item.title.casefold() for item in book_of(vessel).inventory.items()}

    assert [] == [
        (name, said)
        for name, said in steps
        if (m := jargon.search(said)) and not any(m[0].casefold() in title for title in own)
    ]
