"""An emergency card in the words of the page: steps with links and labels, what stays live, what still works."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import islice
from typing import Any

from ..study.cards import Card, Live, Opened, Pool, Step, Wait, Works
from ..study.cards.points import DEAD
from ..study.cards.words import NO_PLACE, lasting, listed, span
from .book import Book
from .paths import slug
from .text import Action, Id, Inline, Label, Marked, Strong, joined
from .words import count, few

FILES = {"fast": "isolate", "orderly": "orderly", "system": "partial", "space": "spaces"}
"""Kind of card → its page, where that is not called as the card is."""
PARTS = ("system", "space")
"""Kinds of card for a part of the boat: for the file, not for the wall."""
HELM = "HELM DECIDES"
OPENED = ("switches", "breakers", "fuses", "shore inlets")
"""Families that are opened at the thing itself: its code stands on it. An engine's stop is not at the alternator."""
MOST_WET = 6
"""Heights that a flooding card lists; what stands higher is reached late."""


def path(card: Card) -> str:
    """The page on which a card stands."""
    return f"emergency/{FILES.get(card.kind, slug(card.kind))}.md"


def values(book: Book, card: Card, most: int = 4) -> dict[str, Any]:
    """What the card's template shows.

    Args:
        book: the vessel
        card: the computed card
        most: names told in one line before the rest is counted
    """
    long = card.kind in PARTS
    return {
        "head": card.title,
        "aside": aside(book),
        "before": [
            (Strong(head), ": ", words)
            for head, words in (("When", "" if card.kind == "fast" else card.when), ("First", card.first))
            if words
        ],
        "actions": actions(book, card),
        "live": _live(book, card, most),
        "working": working(book, card, 6),
        "lost": lost(book, card, 12 if long else 6),
        "dangers": card.dangers,
        "cautions": card.cautions,
        "lists": [_headed(head, lines) for head, lines in _lists(book, card) if lines],
        "restore": [_back(book, step) for step in card.restore],
        "tried": tried(card),
        "pen": PEN,
        "plan": next((name for name, its in book.cards.plans.items() if its is card and name in book.drawings), ""),
    }


def _lists(book: Book, card: Card) -> Iterator[tuple[str, Sequence[Inline]]]:
    """What stands on the other side of the sheet."""
    yield "Afterwards", card.checks
    yield "What goes dark", [words for opened in card.opened for words in _opened(book, card, opened)]
    yield "What the water reaches first, by height above the lowest point inside", _wet(book, card)
    yield (
        "Stays charged after it is off",
        [(Strong(wait_words(w)), ": ", book.link(w.id, w.name), ", ", w.where) for w in card.waits],
    )
    points = [(Strong(p.name), " ", p.words, f", was {p.was:.0f} V. {p.where}") for p in card.points]
    yield f"Test points: between the two, and each to earth; less than {DEAD} V", points


def _headed(head: str, lines: Sequence[Inline]) -> list[Inline]:
    """A list under its head; a single line behind it."""
    return [(Strong(head), ": ", *lines)] if len(lines) == 1 else [Strong(head), *lines]


def aside(book: Book) -> str:
    """Which boat, which revision."""
    vessel = book.inventory.vessel
    date = vessel.date.isoformat() if vessel.date else "no date"
    return f"{vessel.name} · revision {vessel.revision} · {date} · destroy older"


def actions(book: Book, card: Card) -> list[Action]:
    """The steps; what must be found off is looked at after the last handle."""
    last = max((number for number, step in enumerate(card.steps, start=1) if step.handles), default=0)
    return [action(book, step) for step in (*card.steps[:last], *card.keep_off, *card.steps[last:])]


def action(book: Book, step: Step) -> Action:
    """One step. The thing's own name leads to its page; its code stands after the place."""
    id = step.handles[0] if len(step.handles) == 1 else ""
    item = book.items.get(id)  # none for a panel's way
    id = id if item is not None and item.family in OPENED else ""
    name = book.title(id) if id else ""
    do: Inline = step.do
    if name and name in step.do:
        before, _, after = step.do.partition(name)
        do = (before, book.link(id), after)
    if step.label and step.label not in step.do:
        do = (do, " ", Label(step.label))
    if step.number:
        do = (do, " ·\u00a0", Strong(f"plan\u00a0{step.number}"))
    if step.helm:
        do = (do, " ", Strong(HELM))
    where: Inline = Marked(step.where, "missing") if step.where == NO_PLACE else step.where
    if id and step.where and not step.label:
        where = (where, " ", Id(id))
    return Action(do, where, step.see)


def _back(book: Book, step: Step) -> Action:
    """A step of the way back. Where its handle is, the front has said, and the plan's number says again."""
    return action(book, replace(step, where="") if step.number else step)


def _live(book: Book, card: Card, most: int) -> list[Inline]:
    """In full for a part of the boat, in short for cards that somebody reads in a hurry."""
    if card.kind == "dark ship":
        return ["Everything that is switched ON, and the posts of the battery that has opened"]
    if card.kind in PARTS:
        return [*(live(book, group, most) for group in card.live), (Strong("All else"), " on board")]
    return [live_in_short(book, group) for group in card.live]


def live(book: Book, group: Live, most: int) -> Inline:
    """`24 V DC: House battery A … as far as House main switch (Battery locker, Saloon and 2 more)`."""
    ids = [id for id in group.items if book.title(id) in group.what]
    linked = {book.title(id): book.link(id) for id in ids}
    names = few([linked.get(name, name) for name in group.what], most)
    line: list[Inline] = [Strong(group.system), "" if group.when == "always" else f" {group.when}", ": ", joined(names)]
    if group.upto:
        line += [", as far as ", joined(few(list(group.upto), most), " and ")]
    places: list[Inline] = list(few(list(group.where), most))
    if group.placeless:
        places.append(Marked("a place is not written down", "missing"))
    return (*line, " (", joined(places), ")") if places else tuple(line)


def live_in_short(book: Book, group: Live) -> Inline:
    """`24 V DC: House battery A to House main switch (Battery locker and 5 more)`."""
    upto = f" to {listed(group.upto, 1)}" if group.upto else ""
    when = "" if group.when == "always" else f" {group.when}"
    first = next((name for name in group.why if name in group.what), group.what[0])
    if group.when.startswith("for "):
        return (Strong(f"{group.system}{when}"), f": {listed(group.why, 1)}{upto}")
    places = [*group.where, *(["a place not written down"] if group.placeless else [])]
    more = f" and {len(places) - 1} more" if len(places) > 1 else ""
    return (Strong(f"{group.system}{when}"), f": {first}{upto}", f" ({places[0]}{more})" if places else "")


def working(book: Book, card: Card, most: int) -> list[Inline]:
    """What still works, by the batteries that carry it: the essential by name, with the hours from full."""
    return [_carried(book, pool, [w for w in card.working if w.pool == pool.name], most) for pool in card.pools]


def _carried(book: Book, pool: Pool, carried: Sequence[Works], most: int) -> Inline:
    needed = [w for w in carried if w.essential]
    others = len(carried) - len(needed)
    names: list[Inline] = [book.link(w.id, w.name) for w in needed[:most]]
    if len(needed) > most or others:
        rest = len(needed) - len(names) + others
        names.append(f"{rest} more" if names else count(rest, "thing") + " not marked as needed")
    return (Strong(hours(pool)), f" from {pool.name}: ", joined(names, "; "))


def hours(pool: Pool) -> str:
    """How long a full bank carries what still works."""
    return lasting(pool.hours) if pool.hours is not None else "As long as nothing draws"


def lost(book: Book, card: Card, most: int) -> list[Inline]:
    """NO, plainly, for what is needed and dead."""
    names = few([book.link(w.id, w.name) for w in card.lost], most)
    return [(Strong("NO "), joined(names, "; "))] if names else []


def tried(card: Card) -> str:
    """Who ran through it last, for the front."""
    if not card.tried:
        return "Not tried yet: do it once by day and once in the dark."
    last = card.tried[0]
    by = f" by {last.by}" if last.by else ""
    return f"Last drilled {_ago(last.days)}{by}, {'dark' if last.dark else 'day'}: {last.seconds} seconds."


def _ago(days: int) -> str:
    return "today" if days == 0 else f"{count(days, 'day')} ago"


PEN = "Tried by ________________ on ______________ in _______ s"


def wait_words(wait: Wait) -> str:
    return (
        f"wait {span(wait.seconds)}"
        if wait.seconds is not None
        else "wait as long as its maker says (not written down)"
    )


def _wet(book: Book, card: Card) -> list[Inline]:
    """What the water reaches, lowest first; then what nobody has measured."""
    reached: dict[tuple[str, bool], list[Inline]] = {}
    for w in card.wet:
        reached.setdefault((f"{w.height:.2f} m", w.exact), []).append(book.link(w.id, w.name))
    rows: list[Inline] = [
        (
            Strong(height),
            " " if exact else " or higher (floor of its space): ",
            joined(few(names, 4 if exact else 2), "; "),
        )
        for (height, exact), names in islice(reached.items(), MOST_WET)
    ]
    if card.dry_unknown:
        rows.append((Strong("Height not known"), ": ", joined(few(list(card.dry_unknown), 2))))
    return rows


def _opened(book: Book, card: Card, opened: Opened) -> list[Inline]:
    """What the opening of a bank takes; and what comes back, where the box on the front does not say it."""
    needed = [book.link(w.id, w.name) for w in opened.lost if w.essential]
    others = len(opened.lost) - len(needed)
    back = [book.link(w.id, w.name) for w in opened.back]
    rows: list[Inline] = [
        (
            Strong(f"When {opened.name} opens"),
            ", these go dark: ",
            joined([*few(needed, 10), *([count(others, "other")] if others else [])], "; "),
        )
    ]
    if not back:
        rows.append(Strong("No switch aboard brings any of it back."))
    elif opened.works != card.works:
        rows.append(("These come back by the switches of this card: ", joined(few(back, 10), "; ")))
    return rows


def live_rows(book: Book, card: Card) -> list[list[Inline]]:
    """Every thing that stays live, one row each."""
    rows = []
    for group in card.live:
        source = joined([book.link(id) for id in group.sources])
        for id in (*group.items, *group.cables, *group.consumers):
            rows.append(
                [book.named(id), book.where_is(id) if id not in group.cables else "–", group.system, group.when, source]
            )
    return rows
