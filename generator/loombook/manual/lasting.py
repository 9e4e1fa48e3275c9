"""How long a bank lasts, for pages: hours with what they rest on, in figures for a table and in words for the crew."""

from __future__ import annotations

from collections.abc import Mapping

from ..study.balance import IDLE, Balance
from ..study.banks import Bank, BankStudy
from ..study.model import Range
from .book import Book
from .figures import cannot
from .text import Inline, Marked
from .words import hours

LONG = 30 * 24.0
"""Beyond this many hours nothing is gained by a figure [h]."""


def banks_by_name(book: Book) -> Mapping[str, BankStudy]:
    """Bank → what is worked out about it."""
    return {found.bank.name: found for found in book.study.banks}


def guesses(bank: Bank, guessed: float = 0.0) -> str:
    """What of the hours is not stated, in a few words; empty where all is."""
    parts = []
    if not all(b.cells.capacity.certain for b in bank.batteries):
        parts.append("capacity estimated")
    if not bank.stated:
        parts.append("usable part by default")
    if guessed >= 0.005:
        parts.append(f"{guessed:.0%} of the use by default times")
    return ", ".join(parts)


def hours_words(value: float) -> str:
    """Hours, no longer than makes sense."""
    return "more than a month" if value > LONG else hours(value)


def span_words(found: Range) -> str:
    """Hours as a range where its ends read differently.

    >>> span_words(Range(4.0, 5.0)), span_words(Range(4.0, 4.01))
    ('4.0 h to 5.0 h', '4.0 h')
    """
    low, high = hours_words(found.low), hours_words(found.high)
    return low if low == high else f"{low} to {high}"


def about(found: Range) -> str:
    """The same in a sentence.

    >>> about(Range(4.0, 4.0)), about(Range(4000.0, 5000.0))
    ('about 4.0 h', 'more than a month')
    """
    words = span_words(found)
    return words if words.startswith("more") else f"about {words}"


def lasts(bank: Bank, amps: float, charge: float, guessed: float = 0.0) -> Inline:
    """Hours at a current from a state of charge, marked where a guess is in them."""
    if amps <= IDLE:
        return "is charged" if amps < -IDLE else "rests"
    found = bank.lasts(amps, charge)
    if found.high <= 0:
        return "nothing to spare"
    rests = guesses(bank, guessed)
    return Marked(f"{about(found)} ({rests})", "default") if rests else span_words(found)


def lost_flow(book: Book, balance: Balance) -> Inline | None:
    """What stands in place of hours where the load flow of a condition was not found."""
    found = {flow.condition for flow in book.flows}
    return None if balance.condition in found else cannot("no load flow was found")


def sentence_for(book: Book, balance: Balance, found: BankStudy) -> Inline | None:
    """One bank in one condition, for somebody on watch; None where it rests."""
    bank, amps = found.bank, balance.of(found.bank.name).amps
    name = book.link(bank.ids[0], bank.name)
    if abs(amps) <= IDLE:
        return None
    if amps < 0:
        return (name, ": it is charged, and does not run down.")
    full, half = bank.lasts(amps), bank.lasts(amps, 0.5)
    spare = f"{about(half)} from half" if half.high > 0 else "at half charge nothing is to spare"
    rests = guesses(bank, balance.guessed)
    return (name, f": {about(full)} from full, {spare}", Marked(f" ({rests})", "default") if rests else "", ".")
