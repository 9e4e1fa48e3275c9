"""The emergency cards: fast, orderly, one system, one space, one event each; and the list of all that stays live."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ...study.cards import Card
from ..book import Book
from ..cards import live_rows, path, values, wait_words
from ..paths import slug
from ..sheet import EMERGENCY, Sheet
from ..text import Column, Inline, Link
from ..words import count

LIVE = [Column("What"), Column("Where"), Column("Voltage"), Column("Live"), Column("From")]
WAIT = [Column("Device"), Column("Wait"), Column("Where")]
TAGS = {
    "fast": ("fire", "smoke", "burning", "sparks", "isolate", "emergency", "switch off"),
    "orderly": ("hot wire", "smell", "work on the wiring", "lock", "tag", "prove dead"),
    "fire": ("fire", "still smoke", "extinguisher"),
    "shock": ("electric shock", "electrocuted"),
    "battery": ("thermal runaway", "venting", "battery fire", "lithium"),
    "flooding": ("water", "leak", "sinking", "bilge"),
    "abandoning": ("life raft", "abandon ship"),
    "dark ship": ("blackout", "BMS", "everything is dead"),
    "swimmer": ("man overboard", "propeller", "swimmer"),
    "lightning": ("lightning", "thunderstorm"),
}
"""Card → words that somebody would type."""


def pages(book: Book) -> Iterator[Sheet]:
    cards = book.cards
    yield _page(book, cards.fast, notes=[_how(cards.fast)], figures=book.figures("isolation-ship"))
    yield _page(book, cards.orderly)
    for card in cards.variants:
        yield _page(book, card)
    if len(cards.systems) > 1:
        figures = [name for card in cards.systems if (name := f"isolation-{slug(card.name)}") in book.drawings]
        yield _many(book, "emergency/partial.md", "One system off", cards.systems, figures)
    if cards.spaces:
        yield _many(book, "emergency/spaces.md", "One space off", cards.spaces)
    yield _still_live(book)


def _page(book: Book, card: Card, notes: Sequence[Inline] = (), figures: Sequence[str] = ()) -> Sheet:
    shown = {"cards": [values(book, card)], "others": _others(book, card), "notes": notes, "figures": figures}
    return Sheet(path(card), card.title, "emergency", shown, EMERGENCY, (card.name, *TAGS.get(card.kind, ())))


def _many(book: Book, place: str, title: str, cards: Sequence[Card], figures: Sequence[str] = ()) -> Sheet:
    shown = {"cards": [values(book, card) for card in cards], "others": _others(book), "notes": (), "figures": figures}
    return Sheet(place, title, "emergency", shown, EMERGENCY, tuple(card.name for card in cards))


def _others(book: Book, card: Card | None = None) -> list[Inline]:
    """The cards that somebody with the wrong one in hand looks for."""
    cards = book.cards
    found = [Link(f"page:{path(c)}", c.title) for c in (cards.fast, cards.orderly, *cards.variants) if c is not card]
    return [
        *found,
        Link("page:emergency/still-live.md", "Everything that stays live"),
        Link("page:emergency/stays-on.md", "What must stay on"),
    ]


def _how(card: Card) -> Inline:
    return (
        f"{count(card.actions, 'action')} of a hand. They are the smallest set of handles that kills everything a "
        "handle can kill, but for what is meant to stay on. Stopping the engine or drive is the helm's decision. "
        "Printed, the card is one sheet with two sides: hang it at the chart table and at each main switch."
    )


def _still_live(book: Book) -> Sheet:
    card = book.cards.fast
    return Sheet(
        "emergency/still-live.md",
        "What stays live",
        "still_live",
        {
            "live": (LIVE, live_rows(book, card)),
            "stubborn": [book.named(book.network.edges[id].item) for id in card.unstoppable],
            "waits": (WAIT, [[book.named(w.id), wait_words(w), w.where] for w in book.cards.orderly.waits]),
        },
        EMERGENCY,
        ("live after isolation", "residual"),
    )
