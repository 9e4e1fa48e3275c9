"""Keeping the boat running: how long the batteries last, spares carried against spares needed, prints and drills."""

from __future__ import annotations

from collections.abc import Iterator

from ...inventory.vessel import Drill
from ...study.balance import Balance, Essential
from ...study.cards import Print
from ..book import Book
from ..cards import PARTS, path
from ..lasting import about, banks_by_name, guesses, lost_flow, sentence_for
from ..sheet import RUNNING, Sheet
from ..text import Column, Inline, Lines, Link, Marked, joined
from ..words import condition_words, count, few, kind_words

SPARES = [Column("Kind"), Column("Rating", "A", True), Column("Fitted", "", True), Column("Carried", "", True), Column("Wanted", "", True),
          Column("Short of", "", True), Column("Where"), Column("Fitted as")]  # fmt: skip
EXTRA = [Column("Spare"), Column("Rating"), Column("Carried", "", True), Column("Where"), Column("Note")]
PRINTS = [Column("Card"), Column("Hangs"), Column("Revision"), Column("Date"), Column("State")]
DRILLS = [Column("Date"), Column("Card"), Column("Seconds", "", True), Column("Dark"), Column("By"), Column("Note")]
SMALL, WANTED_SMALL, WANTED_LARGE = 30.0, 2, 1
"""Two spares of each kind up to 30 A, one above: common practice, no source."""


def pages(book: Book) -> Iterator[Sheet]:
    yield Sheet("running/hours.md", "How long the batteries last", "hours", {
        "conditions": [_condition(book, balance) for balance in book.study.balances.values()],
        "stays": [_essential(book, found) for found in book.study.essentials if found.hours is not None],
        "needed": list(dict.fromkeys(book.link(id) for found in book.study.essentials for id in (*found.carried, *found.unreached))),
        "drives": [Link(f"page:figures/drive-{drive.motor}.md", ("How long and how far under ", book.title(drive.motor))) for drive in book.study.drives],
    }, RUNNING, ("hours left", "how long", "battery lasts"))  # fmt: skip
    fitted = _fitted(book)
    yield Sheet("running/spares.md", "Spare fuses", "spares", {
        "spares": (SPARES, [_row(book, kind, amps, ids) for (kind, amps), ids in sorted(fitted.items())]),
        "extra": (EXTRA, [_extra(book, spare) for spare in book.inventory.spares if (spare.kind, spare.amps) not in fitted]),
        "unrated": [book.named(d.id) for d in book.devices.values() if not d.is_breaker and d.rating is None],
    }, RUNNING, ("spares", "spare fuse"))  # fmt: skip
    yield Sheet("running/prints.md", "Prints and drills", "prints", {
        "prints": (PRINTS, [_print(book, copy) for copy in book.cards.prints]),
        "stale": [(_card(book, p.card), ": ", p.where) for p in book.cards.stale],
        "nowhere": [Link(f"page:{path(card)}", card.title) for card in book.cards if card.kind not in PARTS and not card.prints],
        "drills": (DRILLS, [_drill(book, drill) for drill in sorted(book.inventory.drills, key=lambda d: d.date, reverse=True)]),
    }, RUNNING, ("prints", "drill"))  # fmt: skip


def _condition(book: Book, balance: Balance) -> dict:
    """One operating condition in words for whoever is on watch."""
    lost = lost_flow(book, balance)
    told = [sentence_for(book, balance, found) for found in book.study.banks]
    record = book.inventory.conditions.get(balance.condition)
    return {
        "name": _capital(condition_words(balance.condition)),
        "note": record.note if record and record.note else "",
        "lost": lost,
        "banks": [] if lost else [words for words in told if words],
        "short": [(book.link(item), ": ", what) for item, what in book.study.flows[balance.condition].problems if item],
    }


def _capital(name: str) -> str:
    return name[:1].upper() + name[1:]


def _essential(book: Book, found: Essential) -> Inline:
    bank = banks_by_name(book)[found.bank].bank
    rests = ", ".join(part for part in (guesses(bank), "" if found.said else "times by default") if part)
    missing = f"; it does not reach {count(len(found.unreached), 'of them', 'of them')}" if found.unreached else ""
    words = (
        f": {about(bank.lasts(found.amps))} from full",
        Marked(f" ({rests})", "default") if rests else "",
        missing,
        ".",
    )
    return (book.link(bank.ids[0], bank.name), *words)


def _fitted(book: Book) -> dict[tuple[str, float], list[str]]:
    """(kind, rating) → the devices of that kind aboard; breakers are reset, not replaced."""
    found: dict[tuple[str, float], list[str]] = {}
    for device in book.devices.values():
        if not device.is_breaker and device.rating is not None:
            found.setdefault((device.kind, device.rating.value), []).append(device.id)
    return found


def wanted(amps: float) -> int:
    return WANTED_SMALL if amps <= SMALL else WANTED_LARGE


def _row(book: Book, kind: str, amps: float, ids: list[str]) -> list[Inline]:
    carried = book.spares_of(book.devices[ids[0]])
    count = sum(spare.count for spare in carried)
    short = max(wanted(amps) - count, 0)
    where: Inline = Lines(tuple((f"{spare.count}: ", book.where(spare.at)) for spare in carried)) if carried else "–"
    missing = Marked(str(short), "missing") if short else "0"
    return [
        kind_words(kind),
        f"{amps:g}",
        str(len(ids)),
        str(count),
        str(wanted(amps)),
        missing,
        where,
        joined(few([book.named(id) for id in ids], 4)),
    ]


def _extra(book: Book, spare) -> list[Inline]:
    return [kind_words(spare.kind), spare.rating or "–", str(spare.count), book.where(spare.at), spare.note or "–"]


def _card(book: Book, name: str) -> Inline:
    """A card by its title, as a link; the name alone where there is no such card."""
    card = book.cards.by_name.get(name)
    return Link(f"page:{path(card)}", card.title) if card else (name, " ", Marked("no such card", "missing"))


def _print(book: Book, copy: Print) -> list[Inline]:
    state = (
        "as this revision"
        if copy.current
        else Marked(f"REPLACE: this is revision {book.inventory.vessel.revision}", "missing")
    )
    return [_card(book, copy.card), copy.where, copy.revision, copy.date.isoformat() if copy.date else "–", state]


def _drill(book: Book, drill: Drill) -> list[Inline]:
    days = (book.as_of - drill.date).days
    ago = f" ({count(days, 'day')} ago)" if days >= 0 else " (in the future: the date is wrong)"
    return [f"{drill.date.isoformat()}{ago}", _card(book, drill.card), str(drill.seconds), "yes" if drill.dark else "no",
            drill.by or "–", drill.note or "–"]  # fmt: skip
