"""A page for each battery bank: cells, energy, voltage window, fault current, what protects and what manages it."""

from __future__ import annotations

from collections.abc import Iterator

from ...calc.banks import cell_voltages
from ...calc.energy import c_rate, cycle_years
from ...calc.mechanics import plate_force
from ...inventory.sources import Battery
from ...quantities import digits, in_unit
from ..book import Book
from ..energy import capacity_ah, energy_wh, system_volts, usable_wh
from ..evidence import evidence, found_on
from ..figures import cannot, fault_words
from ..paths import bank_name, banks
from ..sheet import SOURCES, Sheet
from ..text import Id, Inline, Marked, joined
from ..words import CHEMISTRIES, count, or_missing, quantity, span_unit, yes_no


def pages(book: Book) -> Iterator[Sheet]:
    for first, members in banks(book.network).items():
        yield _page(book, first, members)


def _page(book: Book, first: str, members: list[Battery]) -> Sheet:
    name = bank_name(members)
    tags = tuple(dict.fromkeys(word for b in members for word in (b.id, b.title, *b.also_called)))
    usable, stated = usable_wh(members)
    energy = f"{usable / 1000:.1f} kWh"
    values = {
        "answer": [
            ("What", f"{count(len(members), 'battery', 'batteries')}, {system_volts(members):.0f} V"),
            ("Chemistry", ", ".join(dict.fromkeys(CHEMISTRIES[b.chemistry] for b in members))),
            ("Capacity", f"{sum(capacity_ah(b) for b in members):.0f} Ah"),
            ("Energy", f"{energy_wh(members) / 1000:.1f} kWh"),
            ("Usable", energy if stated else Marked(f"{energy} (default part)", "default")),
            ("Where", book.where(members[0].at)),
        ],
        "mixed": len({b.chemistry for b in members}) > 1,
        "figures": book.figures(f"bank-{first}"),
        "batteries": [_battery(book, battery) for battery in members],
        "lithium": any(b.chemistry == "lfp" for b in members),
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
            ("Lowest", span_unit(fault.lowest, "current", 2) if fault and fault.lowest else cannot()),
            ("Fuses first met from it", _fuses(book, battery)),
            *_limits(battery),
            *_mechanics(battery),
            ("Where", book.where(battery.at)),
            ("Type", or_missing(battery.made)),
            ("Fitted", battery.fitted.isoformat() if battery.fitted else Marked("not written down", "missing")),
        ],
        "why": fault.why if fault else None,
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
    if cells.spread:
        verdict = "well balanced" if cells.spread.value <= 0.02 else "wider than 0.02 V: watch it"
        rows.append(
            (
                "Spread between cells at the top of charge",
                (quantity(cells.spread), f": {verdict} (common practice, no source)"),
            )
        )
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
    if battery.cycles:
        rows.append(("Cycles", f"{battery.cycles}: at one a day {digits(cycle_years(battery.cycles), 3)} years"))
    return rows


def _mechanics(battery: Battery) -> list[tuple[str, Inline]]:
    cells = battery.cells
    rows: list[tuple[str, Inline]] = [
        ("Mass", quantity(battery.mass)),
        ("Held down", yes_no(battery.restrained)),
        ("Posts covered", yes_no(battery.covered)),
    ]
    size = (cells.rod_size or "").removeprefix("M")
    if cells.clamp_rods and cells.rod_torque and size.replace(".", "").isdigit():
        force = plate_force(cells.rod_torque.value, cells.clamp_rods, float(size))
        rods = f"{cells.clamp_rods} rods {cells.rod_size} at {cells.rod_torque}"
        words = f"{rods}: about {in_unit(force, 'force', 2)} on the plate, good to about 30 %"
        rows.append(("Clamped by", words))
    return rows
