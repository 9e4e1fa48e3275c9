"""The load balance: what each operating condition takes and gets, how long the banks last, a usual day, and the sun."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ...quantities import digits
from ...study import energy_whys as whys
from ...study.balance import Balance
from ...study.loads import load_amps
from ..book import Book
from ..figures import cannot, figure
from ..lasting import banks_by_name, lasts, lost_flow
from ..paths import slug
from ..reasons import leading, work_why
from ..sheet import FIGURES, Sheet
from ..text import EMPTY, Column, Inline, Link, Marked, joined
from . import drive

TAKEN = [Column("Condition"), Column("Lasts", "h a day", True), Column("Used", "W", True), Column("Converters", "W", True),
         Column("Wiring", "W", True), Column("Energy", "kWh", True), Column("Defaults", "%", True)]  # fmt: skip
SOURCES = [Column("Condition"), Column("Alternators", "W", True), Column("Sun", "W", True), Column("Shore, generator", "W", True), Column("Batteries", "W", True)]  # fmt: skip
BANKS = [Column("Condition"), Column("Bank"), Column("Gives", "A", True), Column("Charge", "Ah", True), Column("Energy", "kWh", True),
         Column("From full"), Column("From half")]  # fmt: skip
DAY = [Column("Until hour", "", True), Column("Condition")]
SUN = [Column("Month"), Column("Full sun", "h a day", True), Column("Brings", "kWh a day", True), Column("Of a usual day", "%", True),
       Column("The others bring", "kWh a day", True)]  # fmt: skip
USE = [Column("Consumer"), Column("Charge", "Ah", True), Column("Energy", "kWh", True), Column("Of all", "%", True)]
ONE = [Column("Consumer"), Column("At work", "A", True), Column("Runs", "%", True), Column("Average", "A", True),
       Column("Average", "W", True), Column("Charge", "Ah", True), Column("Energy", "kWh", True)]  # fmt: skip
LOSSES = [
    Column("Converter, inverter, charger"),
    Column("Takes", "W", True),
    Column("Gives", "W", True),
    Column("Loses", "W", True),
    Column("Loses", "kWh", True),
]
GIVEN = [Column("Source"), Column("Average", "W", True), Column("Energy", "kWh", True)]
SOURCE_KINDS = (("alternator",), ("solar array",), ("shore", "generator"))
MOST = 100
"""Rows of a table of consumers; what is smaller is summed in a last row."""


def path_of(book: Book, condition: str) -> str:
    """The page of an operating condition; names may be in any script, so the number tells them apart."""
    number = list(book.study.balances).index(condition) + 1
    return f"figures/balance/{number}-{slug(condition)}.md".replace("-.md", ".md")


def pages(book: Book) -> Iterator[Sheet]:
    balances = list(book.study.balances.values())
    values = {
        "figure": book.figures("balance"),
        "taken": (TAKEN, [_taken(book, balance) for balance in balances]),
        "sources": (SOURCES, [_sources(book, balance) for balance in balances]),
        "banks": (BANKS, [row for balance in balances for row in _banks(book, balance)]),
        "day": _day(book),
        "under": list(_under(book)),
        "use": _use(book, [balance for balance in balances if balance.hours]),
        "sun": (SUN, [_month(book, month) for month in book.study.sun]),
        "problems": [
            (f"{name}: ", book.named(item) if item else "", ": " if item else "", what)
            for name, flow in book.study.flows.items()
            for item, what in flow.problems
        ],
        "defaults": [
            (f"{a.what}: {a.value} ({a.source}); ", joined([book.link(id) for id in a.items[:8]]), f" and {len(a.items) - 8} more" if len(a.items) > 8 else "")
            for a in book.study.assumptions if a.what.startswith(("part of the time", "usable part", "peak-sun", "share of an array", "efficiency"))
        ],
        "whys": _whys(book),
    }  # fmt: skip
    yield Sheet("figures/balance.md", "Load balance", "balance", values, FIGURES, ("load balance", "energy", "Ah"))
    for balance in balances:
        yield _one(book, balance)
    yield from drive.pages(book)


def _taken(book: Book, balance: Balance) -> list[Inline]:
    page = path_of(book, balance.condition)
    name, hours = Link(f"page:{page}", balance.condition), balance.hours
    if missing := lost_flow(book, balance):
        return [name, f"{hours:g}" if hours else "–", missing, *["–"] * 4]
    row = [
        name,
        f"{hours:g}" if hours else "–",
        _figure(balance.used),
        _figure(sum(c.lost for c in balance.conversions)),
        _figure(balance.wiring),
        _figure((balance.used + balance.lost) * hours, 1e-3) if hours else "–",
        Marked(f"{100 * balance.guessed:.0f} (default)", "default") if balance.guessed >= 0.005 else "0",
    ]
    return leading(TAKEN, row, f"page:{page}#why-used", "Used", "Converters", "Wiring", "Energy", "Defaults")


def _sources(book: Book, balance: Balance) -> list[Inline]:
    """What gives it; the batteries give what the others do not, below zero they are charged."""
    name = Link(f"page:{path_of(book, balance.condition)}", balance.condition)
    if missing := lost_flow(book, balance):
        return [name, missing, "–", "–", "–"]
    given = [sum(w for id, w in balance.given if book.network.edges[id].kind in kinds) for kinds in SOURCE_KINDS]
    row = [name, *(_figure(watts) for watts in given), _figure(balance.used + balance.lost - balance.sources)]
    return leading(SOURCES, row, f"page:{path_of(book, balance.condition)}#why-used")


def _figure(value: float, factor: float = 1.0) -> str:
    return digits(value * factor, 3) if abs(value * factor) >= 0.0005 else "–"


def _banks(book: Book, balance: Balance) -> Iterator[list[Inline]]:
    """Each bank in one condition; where the condition has no hours there is no sum."""
    page = path_of(book, balance.condition)
    for name, found in banks_by_name(book).items():
        bank, amps = found.bank, balance.of(name).amps
        head = [Link(f"page:{page}", balance.condition), book.link(bank.ids[0], name)]
        if missing := lost_flow(book, balance):
            yield [*head, missing, *["–"] * 4]
            continue
        hours = balance.hours
        row = [
            *head,
            digits(amps, 3) if abs(amps) >= 0.005 else "0",
            _figure(amps * hours) if hours else "–",
            _figure(amps * hours * bank.volts, 1e-3) if hours else "–",
            lasts(bank, amps, 1.0, balance.guessed),
            lasts(bank, amps, 0.5, balance.guessed),
        ]
        row = leading(BANKS, row, f"page:{page}#why-used", "Gives", "Charge", "Energy")
        yield leading(BANKS, row, f"page:{page}#why-hours-{bank.ids[0]}", "From full", "From half")


def _day(book: Book) -> dict | None:
    """The usual day as a figure and a table; None where no condition says how long it lasts."""
    days = book.study.days
    if not days:
        return None
    ends: dict[tuple[float, str], list[Inline]] = {}
    for place, day in enumerate(days):
        for hour, charge, condition in day.points:
            why = f"page:figures/balance.md#why-day-{banks_by_name(book)[day.bank].bank.ids[0]}"
            ends.setdefault((hour, condition), [EMPTY] * len(days))[place] = figure(f"{charge:.0%}", why)
    rows = [[digits(hour, 3), name or "beginning, full", *cells] for (hour, name), cells in sorted(ends.items())]
    columns = [*DAY, *(Column(day.bank, "charge", True) for day in days)]
    return {"figure": book.figures("day"), "table": (columns, rows), "length": f"{days[0].length:g}"}


def _under(book: Book) -> Iterator[Inline]:
    """Banks that a usual day, or some of them, take under their floor."""
    for day in book.study.days:
        found = banks_by_name(book)[day.bank].bank
        name = book.link(found.ids[0], day.bank)
        if day.under is not None:
            yield (
                name,
                f" goes under {day.floor:.0%}, down to which it is used, after {digits(day.under, 2)} h of such a day.",
            )
        elif day.last is not None:
            yield (
                name,
                f" does not get back in a day what it gives: it goes under {day.floor:.0%} on day {day.last} of such days.",
            )


def _use(book: Book, parts: Sequence[Balance]) -> tuple | None:
    """The consumers over a usual day, the largest first."""
    energy: dict[str, list[float]] = {}
    for part in parts:
        for use in part.uses:
            sums = energy.setdefault(use.consumer, [0.0, 0.0])
            sums[0] += use.amps * part.hours
            sums[1] += use.watts * part.hours / 1000
    total = sum(kwh for _, kwh in energy.values())
    if not total:
        return None
    ranked = sorted(energy.items(), key=lambda item: (-item[1][1], item[0]))
    rows: list[list[Inline]] = [
        [book.named(id), _figure(ah), _figure(kwh), _figure(100 * kwh / total)] for id, (ah, kwh) in ranked[:MOST]
    ]
    if rest := ranked[MOST:]:
        kwh = sum(sums[1] for _, sums in rest)
        rows.append([f"{len(rest)} smaller ones together", "–", _figure(kwh), _figure(100 * kwh / total)])
    rows.append(["Together", "–", _figure(total), "100"])
    return USE, [leading(USE, row, "page:figures/balance.md#why-consumers") for row in rows]


def _month(book: Book, month) -> list[Inline]:
    known = month.stated
    hours = digits(month.hours, 2)
    rest = None if month.needed is None else max(month.needed - month.brought, 0.0)
    row = [
        month.name,
        hours if known else Marked(f"{hours} (default)", "default"),
        Marked(f"about {digits(month.brought / 1000, 2)}", "default"),
        f"{100 * month.brought / month.needed:.0f}" if month.needed else "–",
        cannot("hours of the conditions") if rest is None else _figure(rest, 1e-3) if rest else "0",
    ]
    return leading(SUN, row, "page:figures/balance.md#why-sun", "Brings", "Of a usual day", "The others bring")


def _whys(book: Book) -> list[tuple]:
    banks = banks_by_name(book)
    rows = [
        (
            f"Why this charge of {day.bank}",
            whys.of_day(banks[day.bank].bank, day),
            f"why-day-{banks[day.bank].bank.ids[0]}",
        )
        for day in book.study.days
    ]
    parts = [balance for balance in book.study.balances.values() if balance.hours]
    if parts:
        rows.append(("Why so much for each consumer", whys.of_use(parts), "why-consumers"))
    if book.study.sun:
        rows.append(
            (
                "Why so much from the sun (June as the example)",
                whys.of_month(book.network, book.study.sun[5]),
                "why-sun",
            )
        )
    return rows


def _one(book: Book, balance: Balance) -> Sheet:
    """One operating condition, consumer by consumer."""
    name, hours = balance.condition, balance.hours or 24.0
    record = book.inventory.conditions.get(name)
    ranked = sorted(balance.uses, key=lambda use: (-use.watts, use.consumer))
    rows = [_use_row(book, use, hours) for use in ranked[:MOST]]
    if rest := ranked[MOST:]:
        watts = sum(use.watts for use in rest)
        rows.append(
            [f"{len(rest)} smaller ones together", "–", "–", "–", _figure(watts), "–", _figure(watts * hours, 1e-3)]
        )
    rows.append(["Together", "–", "–", "–", _figure(balance.used), "–", _figure(balance.used * hours, 1e-3)])
    used, lost = f"page:{path_of(book, name)}#why-used", f"page:{path_of(book, name)}#why-losses"
    given = [[book.named(book.network.edges[id].item), _figure(w), _figure(w * hours, 1e-3)] for id, w in balance.given]
    losses = [
        [book.named(c.item), _figure(c.taken), _figure(c.given), _figure(c.lost), _figure(c.lost * hours, 1e-3)]
        for c in balance.conversions
    ]
    banks = banks_by_name(book)
    running = [(banks[flow.bank].bank, flow.amps) for flow in balance.banks if flow.hours is not None]
    values = {
        "note": record.note if record and record.note else "",
        "lost": lost_flow(book, balance),
        "span": f"over {hours:g} h" + ("" if balance.hours else ", for it has no hours of its own"),
        "banks": (BANKS, list(_banks(book, balance))),
        "rows": (ONE, [leading(ONE, row, used) for row in rows]),
        "losses": (LOSSES, [leading(LOSSES, row, lost) for row in losses]),
        "given": (GIVEN, [leading(GIVEN, row, used) for row in given]),
        "problems": [(book.named(item) if item else "", ": " if item else "", what) for item, what in book.study.flows[name].problems],
        "whys": [
            ("Why so much is used and lost", whys.of_condition(book.network, balance), "why-used"),
            *([("Why so much is lost in converters", whys.of_conversions(book.network, balance, hours), "why-losses")] if losses else []),
            *((f"Why {bank.name} lasts so long", whys.of_hours(bank, amps, name), f"why-hours-{bank.ids[0]}") for bank, amps in running),
        ],
    }  # fmt: skip
    return Sheet(path_of(book, name), f"Load balance: {name}", "balance_condition", values, None, (name,))


def _use_row(book: Book, use, hours: float) -> list[Inline]:
    rated = load_amps(book.network, book.network.edges[book.network.consumers[use.consumer].edge])
    part = digits(100 * use.duty, 2)
    row = [
        book.named(use.consumer),
        digits(rated, 2),
        part if use.said else Marked(f"{part} (default)", "default"),
        _figure(use.amps),
        _figure(use.watts),
        _figure(use.amps * hours),
        _figure(use.watts * hours, 1e-3),
    ]
    return leading(ONE, row, work_why(book, use.consumer), "At work", "Average")
