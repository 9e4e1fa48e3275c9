"""The emergency cards: fast, orderly, one system, one space, one event each; and the list of all that stays live."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ...study.cards import Card
from ..book import Book
from ..cards import live_rows, path, values, wait_words
from ..paths import slug
from ..sheet import EMERGENCY, Sheet
from ..text import Column, Inline, Link, Marked, Strong, joined
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
    yield _page(book, cards.fast, notes=_how(book, cards.fast), figures=book.figures("isolation-ship"))
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
    notes = [*notes, *_hung(book, card)]
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


def _how(book: Book, card: Card) -> list[Inline]:
    """How the card came about; and the finding, where it takes more actions than a frightened person gets right."""
    said: list[Inline] = [
        f"{count(card.actions, 'action')} of a hand. They are the smallest set of handles that kills everything a "
        "handle can kill, but for what is meant to stay on. Stopping the engine or drive is the helm's decision. "
        "On most boats it prints as one A4 sheet with two sides, and on A5 as one A4 sheet folded: hang it at the chart "
        "table and at each main switch."
    ]
    few = next((outcome for outcome in book.found.of_rule("I-06") if outcome.is_finding), None)
    if few:
        said.append((Strong("Finding: "), Link(book.found.target(few), few.what), "."))
    return said


def _hung(book: Book, card: Card) -> list[Inline]:
    """Where the copies of a card hang, of which revision, and which of them must be replaced."""
    page = Link("page:running/prints.md", "Prints and drills")
    if not card.prints:
        return [("No copy of this card is on record. ", page)]
    replace = Marked(f" REPLACE: the boat is at revision {card.revision}", "missing")
    rows = [(p.where, f", revision {p.revision}", "" if p.current else replace) for p in card.prints]
    return [("Copies hang: ", joined(rows, "; "), ". ", page)]


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
