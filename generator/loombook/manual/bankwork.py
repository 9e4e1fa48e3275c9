"""The part of a bank's page that says how it is worked: hours, C-rates, years, cells, clamping, mass and size."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from ..calc.energy import BALANCED_SPREAD, FULL_CELL
from ..calc.mechanics import NUT_FACTOR, nut_factor_range, rod_torque
from ..quantities import digits, in_unit
from ..study import bank_whys
from ..study.banks import PLATE_FORCE, STUD_PROVED, Bank, BankStudy
from .book import Book
from .figures import cannot
from .lasting import guesses, lasts, lost_flow, span_words
from .reasons import leading
from .text import Column, Inline, Link, Marked

CONDITIONS = [Column("Condition"), Column("Gives", "A", True), Column("C-rate", "1/h", True), Column("Lasts from full"), Column("From half")]  # fmt: skip
RODS = [Column("Rods"), Column("M6", "N·m each", True), Column("M8", "N·m each", True), Column("M10", "N·m each", True)]
SIZES = [Column("The bank"), Column("Energy", "kWh", True), Column("Its mass", "kg", True), Column("All batteries aboard", "kg", True), Column("Lasts")]  # fmt: skip
ROD_COUNTS = (2, 4, 6, 8)
ROD_SIZES = (6.0, 8.0, 10.0)
SHARES = ((-0.25, "a quarter smaller"), (0.0, "as it is"), (0.25, "a quarter larger"), (0.5, "half as large again"))


def bank_work(book: Book, found: BankStudy) -> dict:
    """Values for the template `bank_work`."""
    lithium = any(b.chemistry == "lfp" for b in found.bank.batteries)
    return {
        "facts": [
            *_rates(book, found),
            *_years(book, found),
            *_cells(book, found),
            *_clamp(found),
            *_mass(book, found),
        ],
        "conditions": (CONDITIONS, list(_conditions(book, found))),
        "rods": (RODS, [leading(RODS, row, f"{_page(found)}#why-rods") for row in _rods()]) if lithium else None,
        "sizes": _sizes(book, found),
        "whys": list(_whys(book, found)),
    }


def _rates(book: Book, found: BankStudy) -> Iterator[tuple[str, Inline]]:
    def rate(value: float | None) -> Inline:
        return "none in any operating condition" if value is None else f"{digits(value, 2)} C on average"

    yield "Discharged at most at", rate(found.discharge)
    yield "Charged at most at", rate(found.charge)
    amps = sum(book.study.design.get(b.id, 0.0) for b in found.bank.batteries) / found.bank.stages
    if amps > 0:
        words = f"{in_unit(amps, 'current', 2)}, {digits(amps / found.bank.capacity, 2)} C"
        yield "With every load at work and the heaviest motor", words


def _day(book: Book, found: BankStudy):
    return next((day for day in book.study.days if day.bank == found.bank.name), None)


def _years(book: Book, found: BankStudy) -> Iterator[tuple[str, Inline]]:
    if found.years is None:
        yield "Years that its cycles last", cannot("its field cycles would tell")
        return
    stated = any(b.cycles for b in found.bank.batteries)
    words = f"{found.cycles:.0f} cycles: about {digits(found.years, 2)} years at one full cycle a day"
    day = _day(book, found)
    if day and day.drawn >= 0.01:
        words += f"; a usual day takes {digits(day.drawn, 2)} of a cycle, {_long(found.years / day.drawn)}"
    yield (
        "Years that its cycles last",
        _with_why(found, words if stated else Marked(f"{words} (default)", "default"), "why-years"),
    )


def _with_why(found: BankStudy, words: Inline, anchor: str) -> Inline:
    return (words, " ", Link(f"{_page(found)}#{anchor}", "why"))


def _page(found: BankStudy) -> str:
    return f"page:banks/{found.bank.ids[0]}.md"


def _long(years: float) -> str:
    """Batteries grow old without being used, so that many years mean that use is not what ends them."""
    return f"about {digits(years, 2)} years" if years <= 30 else "more than 30 years: age will end it first"


def _cells(book: Book, found: BankStudy) -> Iterator[tuple[str, Inline]]:
    if not any(b.chemistry == "lfp" for b in found.bank.batteries):
        return
    spreads = {id: (volts, good) for id, volts, good in found.spread}
    for battery in found.bank.batteries:
        term = f"Cells of {battery.id} at the top of charge"
        if battery.id not in spreads:
            yield term, cannot(f"cells: spread of {battery.id}, read near full, would tell")
            continue
        volts, good = spreads[battery.id]
        verdict = (
            "well balanced"
            if good
            else f"wider than {BALANCED_SPREAD} V: let the balancer work at the top of charge, read again"
        )
        yield term, f"{digits(volts, 2)} V apart: {verdict} (common practice, no source)"
    low, high = FULL_CELL
    yield (
        "A cell is full at",
        f"{low} V to {high} V (common practice, no source); a bank of these cells at {_full(found)}",
    )


def _full(found: BankStudy) -> str:
    series = found.bank.volts / 3.2
    return f"{FULL_CELL[0] * series:.1f} V to {FULL_CELL[1] * series:.1f} V"


def _clamp(found: BankStudy) -> Iterator[tuple[str, Inline]]:
    clamped = {id: (force, torque) for id, force, torque in found.clamping}
    for battery in found.bank.batteries:
        if battery.chemistry != "lfp":
            continue
        term = f"Clamping of {battery.id}"
        if battery.id not in clamped:
            missing = [
                name
                for name, value in (("clamp rods", battery.cells.clamp_rods), ("rod size", battery.cells.rod_size))
                if not value
            ]
            yield (
                term,
                cannot(f"cells: {' and '.join(missing) or 'rod size, as M8'} would tell, where rods hold the cells"),
            )
            continue
        force, torque = clamped[battery.id]
        least, most = (torque * k / NUT_FACTOR for k in nut_factor_range("oiled"))
        words = f"{in_unit(PLATE_FORCE, 'force', 2)} (300 kgf, common practice) on the end plate by {digits(least, 2)} to {digits(most, 2)} N·m on each of {battery.cells.clamp_rods} rods {battery.cells.rod_size}"
        own: Inline = "; its own torque is not known (cells: rod torque)"
        if force is not None:
            own = f"; its own {battery.cells.rod_torque} give about {in_unit(force, 'force', 2)}, good to about 30 %"
        yield term, _with_why(found, (words, own), f"why-clamp-{battery.id}")


def _mass(book: Book, found: BankStudy) -> Iterator[tuple[str, Inline]]:
    if found.mass is None:
        silent = ", ".join(b.id for b in found.bank.batteries if not b.mass)
        yield "Mass of the bank", cannot(f"mass of {silent} would tell")
        return
    total = _total(book)
    all_of = (
        f"; all batteries aboard {digits(total, 3)} kg"
        if total is not None
        else "; that of all batteries aboard: not known"
    )
    yield "Mass of the bank", f"{digits(found.mass, 3)} kg, {digits(found.per_kilogram, 3)} Wh/kg{all_of}"


def _total(book: Book) -> float | None:
    masses = [other.mass for other in book.study.banks]
    return None if None in masses else sum(masses)


def _conditions(book: Book, found: BankStudy) -> Iterator[list[Inline]]:
    from .pages.balance import path_of  # the page of a condition is that module's

    for balance in book.study.balances.values():
        flow = balance.of(found.bank.name)
        name = Link(f"page:{path_of(book, balance.condition)}", balance.condition)
        if missing := lost_flow(book, balance):
            yield [name, missing, "–", "–", "–"]
            continue
        page = f"page:{path_of(book, balance.condition)}"
        row = [
            name,
            digits(flow.amps, 3) if abs(flow.amps) >= 0.005 else "0",
            digits(flow.amps / found.bank.capacity, 2) if abs(flow.amps) >= 0.005 else "0",
            lasts(found.bank, flow.amps, 1.0, balance.guessed),
            lasts(found.bank, flow.amps, 0.5, balance.guessed),
        ]
        row = leading(CONDITIONS, row, f"{page}#why-used", "Gives", "C-rate")
        yield leading(CONDITIONS, row, f"{page}#why-hours-{found.bank.ids[0]}", "Lasts from full", "From half")


def _rods() -> Iterator[list[Inline]]:
    """Torque of each rod for 300 kgf on the plate, by their number and size, dry or lightly oiled."""
    for count in ROD_COUNTS:
        yield [f"{count} rods", *(digits(rod_torque(PLATE_FORCE, count, size), 2) for size in ROD_SIZES)]


def _sizes(book: Book, found: BankStudy) -> tuple | None:
    """What a smaller or larger bank of the same make weighs, and how long it would last where it is worked hardest."""
    if found.mass is None:
        return None
    amps, condition = _hardest(book, found)
    total = _total(book)
    rests = guesses(found.bank)
    rows = []
    for share, words in SHARES:
        mass = found.mass * (1 + share)
        hours = span_words(_larger(found.bank, share).lasts(amps)) if amps > 0.05 else "–"
        row: list[Inline] = [
            words,
            digits(found.bank.energy * (1 + share) / 1000, 3),
            _change(mass, mass - found.mass),
            "–" if total is None else _change(total + mass - found.mass, mass - found.mass),
            Marked(f"{hours} ({rests})", "default") if rests and hours != "–" else hours,
        ]
        rows.append(leading(SIZES, row, f"{_page(found)}#why-size", *(column.head for column in SIZES[1:])))
    return SIZES, rows, condition if amps > 0.05 else ""


def _hardest(book: Book, found: BankStudy) -> tuple[float, str]:
    """The most that the bank gives on average in an operating condition [A], and which that is."""
    given = [(balance.of(found.bank.name).amps, balance.condition) for balance in book.study.balances.values()]
    return max(given, default=(0.0, ""))


def _larger(bank: Bank, share: float) -> Bank:
    return replace(bank, capacity=bank.capacity * (1 + share))


def _change(value: float, change: float) -> str:
    return digits(value, 3) if not change else f"{digits(value, 3)} ({change:+.0f})"


def _whys(book: Book, found: BankStudy) -> Iterator[tuple]:
    if found.years is not None:
        day = _day(book, found)
        yield (
            "Why so many years",
            bank_whys.of_years(found, day.drawn if day and day.drawn >= 0.01 else None),
            "why-years",
        )
    for id, force, torque in found.clamping:
        yield f"Why this torque on the rods of {id}", bank_whys.of_clamp(found, id, force, torque), f"why-clamp-{id}"
    if found.mass is not None:
        yield "Why a smaller or larger bank does so", bank_whys.of_size(found, *_hardest(book, found)), "why-size"
    if any(b.chemistry == "lfp" for b in found.bank.batteries):
        yield "Why these torques of the rods", bank_whys.of_rods(), "why-rods"


STUDS = f"Terminal studs are another matter: those of large cells are proved to {STUD_PROVED:g} N·m (common practice, no source); the cell’s own paper says what they take."
