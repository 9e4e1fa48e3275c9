"""When a motor starts: the dip at every bar and panel, the volts left at the motor, and who is upset by it."""

from __future__ import annotations

from collections.abc import Iterator

from ...quantities import digits, in_unit
from ...study.dips import Dip
from ...study.model import Why
from ..book import Book
from ..figures import figure
from ..sheet import FIGURES, Sheet
from ..text import Badge, Column, Inline, Lines, Link, Marked, joined
from ..words import condition_words, count

PATH = "figures/starting.md"
MOTORS = [
    Column("Motor"),
    Column("Worst in"),
    Column("Draws", "A", True),
    Column("At the motor", "V", True),
    Column("Below nominal", "%", True),
    Column("Deepest dip", "V", True),
    Column("At"),
    Column("Upsets"),
    Column("Over a limit"),
]
BARS = [Column("Bar or panel"), Column("Before", "V", True), Column("During", "V", True), Column("Dip", "V", True)]
LEAST = 0.01
"""A smaller dip is none [V]."""


def pages(book: Book) -> Iterator[Sheet]:
    dips = book.study.dips
    if not dips:
        return
    values = {
        "motors": (MOTORS, [_row(book, dip) for dip in dips.values()]),
        "each": [(book.named(id), _caption(book, dip), (BARS, _bars(book, dip)), _still(dip), _why(book, dip), f"why-start-{id}")
                 for id, dip in dips.items()],
    }  # fmt: skip
    yield Sheet(PATH, "When a motor starts", "starting", values, FIGURES, ("starting current", "voltage dip", "inrush"))


def _row(book: Book, dip: Dip) -> list[Inline]:
    why, nominal = f"page:{PATH}#why-start-{dip.motor}", _nominal(book, dip.motor)
    deepest = max(dip.during, key=lambda bar: dip.before[bar] - dip.during[bar], default="")
    depth = dip.before[deepest] - dip.during[deepest] if deepest else 0.0
    amps = figure(digits(dip.amps, 3), why)
    draws: Inline = amps if dip.stated else (amps, " ", Marked("rated, start current not known", "missing"))
    consumer = book.network.consumers[dip.motor]
    at_most = "at most " if book.study.flows[dip.condition].behind.get(consumer.plus) else ""
    upset: list[Inline] = [
        (book.link(id), f" ({digits(volts)} V, works from {digits(least)} V)") for id, volts, least in dip.upset
    ]
    below = 100 * (1 - dip.own / nominal)
    return [
        book.named(dip.motor),
        Link(f"page:{book.flow_pages[dip.condition]}", condition_words(dip.condition)),
        draws,
        figure(f"{at_most}{dip.own:.2f}", why),
        figure(f"{below:.1f}", why) if below >= 0.05 else "none",
        figure(f"{depth:.2f}", why) if depth >= LEAST else "none",
        book.named(book.network.nodes[deepest].item) if deepest and depth >= LEAST else "–",
        (Badge("B", "yes"), " ", joined(upset)) if upset else "none known",
        _over(book, dip, why),
    ]


def _over(book: Book, dip: Dip, why: str) -> Inline:
    """The sources and converters that the start takes over a limit, each with what happens to it."""
    rows = [
        (Badge("B", "over"), " ", book.link(item) if item else "the whole network", ": ", figure(what, why))
        for item, what in dip.problems
    ]
    return Lines(tuple(rows)) if rows else "none"


def _nominal(book: Book, motor: str) -> float:
    return book.study.working[motor].nominal or 1.0


def _caption(book: Book, dip: Dip) -> Inline:
    return ("Bars and panels while ", book.title(dip.motor), " starts: ", condition_words(dip.condition))


def _moved(dip: Dip) -> list[str]:
    """Bars and panels that dip, the deepest first."""
    moved = [bar for bar in dip.during if dip.before[bar] - dip.during[bar] >= LEAST]
    return sorted(moved, key=lambda bar: (dip.during[bar] - dip.before[bar], bar))


def _bars(book: Book, dip: Dip) -> list[list[Inline]]:
    why = f"page:{PATH}#why-start-{dip.motor}"
    rows = []
    for bar in _moved(dip):
        before, during = dip.before[bar], dip.during[bar]
        name = book.named(book.network.nodes[bar].item)
        rows.append([name, *(figure(f"{volts:.2f}", why) for volts in (before, during, before - during))])
    return rows


def _still(dip: Dip) -> str:
    """How many bars and panels do not move."""
    still = len(dip.during) - len(_moved(dip))
    return (
        f"{count(still, 'other bar or panel', 'other bars and panels')} {'moves' if still == 1 else 'move'} less than 0.01 V"
        if still
        else ""
    )


def _why(book: Book, dip: Dip) -> Why:
    record = book.network.consumers[dip.motor].record
    start = record.start
    given = in_unit(start.current.high, "current") if start else "its rated current, so that the true dip is deeper"
    nominal = _nominal(book, dip.motor)
    chosen = (
        "of those that it runs in" if dip.runs else "it runs in none by what is written down: of those that feed it"
    )
    others = (
        f", the one that leaves it least; the others are {', '.join(map(condition_words, dip.others))}"
        if dip.others
        else ", the only one"
    )
    inputs = (
        ("operating condition", condition_words(dip.condition), chosen + others),
        ("start current at nominal voltage", given, start.current.how if start else "missing: `start`"),
        ("nominal voltage", f"{digits(nominal)} V", "the network"),
    )
    steps = (
        ("resistance of the motor at rest", in_unit(nominal / dip.asked, "resistance")),
        ("it draws, once the voltage has dipped", in_unit(dip.amps, "current")),
        ("volts left at it", f"{dip.own:.2f} V"),
    )
    return Why(
        "R_start = U_nominal / I_start, in place of the motor in the load flow",
        "Kirchhoff's laws on the whole network; every other load at its average and by its own law",
        inputs,
        steps,
        "computed",
    )
