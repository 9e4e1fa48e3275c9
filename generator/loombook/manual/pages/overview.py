"""The system on one page: voltages, batteries, sources, converters, panels and main switches."""

from __future__ import annotations

from collections.abc import Iterator

from ...study.bank_whys import of_energy
from ...study.loads import load_amps
from ...study.model import Why
from ..book import Book
from ..energy import capacity_ah, energy_wh, system_volts
from ..figures import figure
from ..paths import bank_name, banks, slug
from ..sheet import ORIENTATION, Sheet
from ..text import Column, Inline, Link, joined
from ..words import CHEMISTRIES, SOURCE_KINDS, count, few, quantity

PATH = "orientation/system.md"
SYSTEMS = [
    Column("System"),
    Column("Sources that feed it"),
    Column("Consumers", "", True),
    Column("All at work", "A", True),
]
BANKS = [
    Column("Battery or bank"),
    Column("Voltage", "V", True),
    Column("Chemistry"),
    Column("Capacity", "Ah", True),
    Column("Energy", "kWh", True),
    Column("Where"),
]
SOURCE = [Column("Source"), Column("Kind"), Column("Gives"), Column("Where")]
SWITCHES = [Column("Main switch"), Column("Usually"), Column("Where")]
PANELS = [Column("Panel"), Column("Voltage"), Column("Ways", "", True), Column("Spare ways", "", True), Column("Where")]

AMPS = Why(
    "I = Σ P / U, or Σ I, of every consumer of the system",
    "the inventory",
    (("load P or I of each consumer", "on its own page", "as marked there"), ("nominal voltage U", "the system's", "the network")),
    (("part of the time that they run", "left out: all at once"),),
    "computed",
)  # fmt: skip


def pages(book: Book) -> Iterator[Sheet]:
    inventory = book.inventory
    yield Sheet(
        PATH,
        "The system on one page",
        "overview",
        {
            "systems": (SYSTEMS, _systems(book)),
            "banks": (BANKS, [_bank(book, members) for members in banks(book.network).values()]),
            "total": f"{energy_wh(inventory.batteries.values()) / 1000:.1f}",
            "energy": of_energy(list(inventory.batteries.values())),
            "amps": AMPS,
            "sources": (SOURCE, [_source(book, edge) for edge in book.network.sources() if edge.kind != "battery"]),
            "switches": (
                SWITCHES,
                [
                    [book.named(s.id), s.normal.upper(), book.where(s.at)]
                    for s in inventory.switches.values()
                    if s.kind != "switch"
                ],
            ),
            "panels": (PANELS, [_panel(book, panel) for panel in inventory.panels.values()]),
            "drawings": [Link("page:drawings/ship.md", "The whole ship")]
            + [Link(f"page:drawings/{slug(system)}.md", f"The {system} system") for system in systems_of(book)],
        },
        ORIENTATION,
    )


def systems_of(book: Book) -> list[str]:
    """The voltage systems aboard, in the order in which the inventory brings them."""
    return list(dict.fromkeys(n.system for n in book.network.nodes.values() if n.pole in ("+", "L") and n.system))


def _systems(book: Book) -> list[list[Inline]]:
    rows = []
    for system in systems_of(book):
        nodes = {n.id for n in book.network.nodes.values() if n.system == system}
        sources = [edge.item for edge in book.network.sources() if edge.b in nodes]
        consumers = [c for c in book.network.consumers.values() if c.plus in nodes]
        amps = sum(load_amps(book.network, book.network.edges[c.edge]) for c in consumers)
        rows.append(
            [
                Link(f"page:drawings/{slug(system)}.md", system),
                joined(few([book.link(id) for id in dict.fromkeys(sources)], 8)),
                str(len(consumers)),
                figure(f"{amps:.0f}", f"page:{PATH}#why-amps") if amps else "0",
            ]
        )
    return rows


def _bank(book: Book, members: list) -> list[Inline]:
    name = bank_name(members)
    amount = f" ({count(len(members), 'battery', 'batteries')})" if len(members) > 1 else ""
    kinds = ", ".join(dict.fromkeys(CHEMISTRIES[battery.chemistry] for battery in members))
    capacity = sum(capacity_ah(battery) for battery in members)
    return [
        (book.link(members[0].id, name), amount),
        f"{system_volts(members):.0f}",
        kinds,
        figure(f"{capacity:.0f}", f"page:{PATH}#why-energy"),
        figure(f"{energy_wh(members) / 1000:.1f}", f"page:{PATH}#why-energy"),
        book.where(members[0].at),
    ]


def _source(book: Book, edge) -> list[Inline]:
    record = edge.record
    if edge.kind == "solar array":
        gives: Inline = f"{record.series * record.parallel * record.power.value:.0f} W in full sun"
    elif edge.kind in ("inverter", "generator"):
        gives = quantity(record.power)
    else:
        volts = (" at ", quantity(record.output)) if edge.kind == "converter" else ""
        gives = ("up to ", quantity(record.current), volts)
    return [book.named(edge.item), SOURCE_KINDS[edge.kind], gives, book.where(record.at)]


def _panel(book: Book, panel) -> list[Inline]:
    node = book.network.nodes.get(f"{panel.id} L" if panel.ac else panel.id)
    spare = sum(way.spare for way in panel.ways.values())
    return [
        book.named(panel.id),
        node.system if node and node.system else "–",
        str(len(panel.ways)),
        str(spare),
        book.where(panel.at),
    ]
