"""A page for each battery bank: cells, energy, voltage window, fault current, what protects and what manages it."""

from __future__ import annotations

from collections.abc import Iterator

from ...calc.banks import cell_voltages
from ...calc.energy import c_rate
from ...inventory.sources import Battery
from ...quantities import digits
from ..book import Book
from ..bankwork import STUDS, bank_work
from ..energy import capacity_ah, system_volts
from ..evidence import evidence, found_on
from ..faulting import course, ruled_by
from ..figures import fault_words, lowest_words
from ..paths import bank_name, banks
from ..sheet import SOURCES, Sheet
from ..text import EMPTY, Id, Inline, Marked, joined
from ..words import CHEMISTRIES, count, or_missing, quantity, yes_no
from .fault import shares


def pages(book: Book) -> Iterator[Sheet]:
    for first, members in banks(book.network).items():
        yield _page(book, first, members)


def _page(book: Book, first: str, members: list[Battery]) -> Sheet:
    name = bank_name(members)
    tags = tuple(dict.fromkeys(word for b in members for word in (b.id, b.title, *b.also_called)))
    found = next(study for study in book.study.banks if study.bank.ids[0] == first)
    bank = found.bank
    energy = f"{bank.energy * bank.usable / 1000:.1f} kWh, down to {bank.floor:.0%} of charge"
    values = {
        "answer": [
            ("What", f"{count(len(members), 'battery', 'batteries')}, {system_volts(members):.0f} V"),
            ("Chemistry", ", ".join(dict.fromkeys(CHEMISTRIES[b.chemistry] for b in members))),
            ("Capacity", f"{bank.capacity:.0f} Ah"),
            ("Energy", f"{bank.energy / 1000:.1f} kWh"),
            ("Usable", energy if bank.stated else Marked(f"{energy} (default part)", "default")),
            ("Where", book.where(members[0].at)),
        ],
        "mixed": len({b.chemistry for b in members}) > 1,
        "figures": book.figures(f"bank-{first}"),
        "batteries": [_battery(book, battery) for battery in members],
        "lithium": any(b.chemistry == "lfp" for b in members),
        "work": bank_work(book, found),
        "studs": STUDS,
        "found": found_on(book, *(b.id for b in members)),
    }
    return Sheet(f"banks/{first}.md", name, "bank", values, SOURCES, (name, *tags), name)


def _battery(book: Book, battery: Battery) -> dict:
    fault = book.fault(battery.id)
    return {
        "id": battery.id,
        "heading": (battery.title, " ", Id(battery.id)),
        "facts": [
            *_cells(battery),
            ("Highest fault current at its post", fault_words(fault)),
            ("Lowest", lowest_words(fault)),
            ("Given by", shares(book, fault) if fault else EMPTY),
            ("Highest ruled by", ruled_by(book, battery.id)),
            ("Fuses first met from it", _fuses(book, battery)),
            *_limits(battery),
            *_mechanics(battery),
            ("Where", book.where(battery.at)),
            ("Type", or_missing(battery.made)),
            ("Fitted", battery.fitted.isoformat() if battery.fitted else Marked("not written down", "missing")),
        ],
        "why": fault.why if fault else None,
        "course": course(book, battery.id),
        "evidence": evidence(book, battery.id, battery),
    }


def _cells(battery: Battery) -> list[tuple[str, Inline]]:
    cells = battery.cells
    volts = cell_voltages(battery.chemistry)
    low = cells.lowest.value if cells.lowest else volts.empty
    high = cells.highest.value if cells.highest else volts.charge
    mark = "" if cells.lowest and cells.highest else f" (by chemistry, {volts.mark.words})"
    rows: list[tuple[str, Inline]] = [
        ("Cells", f"{cells.series} in series" + (f", {cells.parallel} in parallel" if cells.parallel > 1 else "")),
        ("Capacity of one cell", quantity(cells.capacity)),
        ("Voltage window", f"{low * cells.series:.1f} V to {high * cells.series:.1f} V{mark}"),
        ("Resistance of one cell", quantity(cells.resistance)),
        ("Resistance of one link between cells", quantity(cells.link)),
    ]
    if battery.resistance:
        rows.append(("Resistance at the posts", quantity(battery.resistance)))
    return rows


def _fuses(book: Book, battery: Battery) -> Inline:
    """The devices on the conductors that leave its positive post."""
    post = f"{battery.id} +"
    found: dict[str, None] = {}
    for edge in book.network.at.get(post, ()):
        protection = book.study.protection.get(edge.id)
        if edge.kind == "conductor" and protection:
            other = book.network.at[edge.other(post)]
            found.update((e.item, None) for e in other if e.kind in ("fuse", "breaker"))
    return (
        joined([book.named(id) for id in found])
        if found
        else Marked("none at the end of the wire from its post", "missing")
    )


def _limits(battery: Battery) -> list[tuple[str, Inline]]:
    rows: list[tuple[str, Inline]] = []
    capacity = capacity_ah(battery)
    for term, value in (
        ("Largest charge current", battery.max_charge),
        ("Largest discharge current", battery.max_discharge),
    ):
        rate = f", {digits(c_rate(value.value, capacity), 2)} C" if value else ""
        rows.append((term, (quantity(value), rate)))
    if battery.cranking:
        rows.append(("Cold cranking current on its label", quantity(battery.cranking)))
    return rows


def _mechanics(battery: Battery) -> list[tuple[str, Inline]]:
    return [
        ("Mass", quantity(battery.mass)),
        ("Held down", yes_no(battery.restrained)),
        ("Posts covered", yes_no(battery.covered)),
    ]
