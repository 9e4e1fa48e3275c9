"""What must stand where: each thing of a live pole once on the ship's set, each of the negative once on its own."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from loombook.drawings.chains import COLD, HOT
from loombook.drawings.drawset import scenes
from loombook.drawings.facts import href
from loombook.drawings.model import DrawingSet, Sheet
from loombook.drawings.quality import faults
from loombook.drawings.scene import Item, Scene, Symbol
from loombook.drawings.sheets import SETS
from loombook.drawings.view import Ship
from loombook.inventory import read_text
from loombook.network import Edge, Network, build
from loombook.network.isolate import Isolator
from loombook.network.model import CONVERTS, PRIMARY
from loombook.study.availability import lost
from loombook.study.faults import study_faults
from loombook.study.ledger import Ledger
from loombook.study.model import Study
from loombook.study.resistances import resistances
from loombook.study.sources import fault_sources
from loombook.study.states import Cores
from tests.random_vessels import random_vessel

IN_LINE = ("fuse", "breaker", "switch", "shunt", "bms", "diode", *CONVERTS)
STAND_INS = ("terminal", "apparatus")
"""Symbols for where a line ends at a thing that has its own symbol elsewhere."""
THROWS = ("change-over", "selector")


@dataclass(frozen=True)
class Drawn:
    """A vessel and its single-line sheets."""

    network: Network
    sets: Mapping[str, tuple[Scene, ...]]
    """Name of a set's first sheet → all its sheets."""
    asked: tuple[Sheet, ...] = ()
    """What was to be drawn."""

    @property
    def sheets(self) -> list[Scene]:
        return [sheet for sheets in self.sets.values() for sheet in sheets]

    def having(self, name: str, sheet: Scene) -> Drawn:
        """The same with one sheet of a set in place of the sheet that has its name."""
        sheets = tuple(sheet if one.name == sheet.name else one for one in self.sets[name])
        return replace(self, sets={**self.sets, name: sheets})


def drawn(study: Study) -> Drawn:
    """A vessel's sheets as they are laid out."""
    ship = Ship(study)
    asked = [sheets for make in SETS if (sheets := tuple(make(ship)))]
    laid = [tuple(scenes(DrawingSet(ship.block, sheets))) for sheets in asked]
    whole = tuple(sheet for sheets in asked for sheet in sheets)
    return Drawn(ship.network, {sheets[0].name: sheets for sheets in laid}, whole)


def by_lot(seed: int) -> Network:
    """The vessel that belongs to a number."""
    return build(read_text(random_vessel(seed)))


def study_for_sheets(network: Network) -> Study:
    """Of the study only what sheets show, fault currents and isolation: half of its time is what they never ask for."""
    ledger, cores = Ledger(), Cores(network)
    ohms = resistances(network, ledger)
    faults = study_faults(network, ohms, fault_sources(network, ledger), ledger, cores).at
    ship = Isolator(network, lost=lost(network, cores)).ship()
    return Study(network, ohms, {}, {}, faults, {}, {}, {}, {}, {}, ship, {}, {})


def unsound(vessel: Drawn) -> list[str]:
    """Overlaps, what leaves the frame, loose ends, references without counterpart, and a ship that takes two sheets."""
    out = [f"{sheet.name}: {fault}" for sheet in vessel.sheets for fault in faults(sheet)]
    for sheets in vessel.sets.values():
        tags = Counter(item.key for sheet in sheets for item in sheet.items if item.role == "reference")
        out += [f"{key}: {count} ends" for key, count in tags.items() if count != 2]
    return out + [f"{sheet.name}: a second sheet" for sheet in vessel.sheets if sheet.name == "ship.2"]


def astray(vessel: Drawn) -> list[str]:
    """Things that the home sets leave out, or show more than once, in words."""
    out = []
    for name, poles in (("ship", HOT), ("negative", COLD)):
        want, have = wanted(vessel.network, poles), shown(vessel.sets.get(name, ()))
        out += [f"{name}: {key} missing" for key in want - have] + [f"{name}: {key} too often" for key in have - want]
    return out


def wanted(network: Network, poles: tuple[str, ...]) -> Counter[str]:
    """Links and cable ids that the home set of these poles must show, from the network alone, with how often."""
    inventory = network.inventory
    found: Counter[str] = Counter()
    thrown = {switch.id for switch in inventory.switches.values() if switch.kind in THROWS}
    for edge in network.edges.values():
        if _lies_in(network, edge, poles):
            if edge.kind == "conductor" and edge.path[:1] == ("runs",):
                found[edge.item] = 1
            elif edge.kind in IN_LINE and edge.item not in thrown:
                found[_link(edge)] += 1
    for edge in network.sources():
        end = edge.b if poles == HOT else edge.a
        if edge.kind in PRIMARY and network.nodes[end].pole in poles:
            found[href(edge.item)] += 1
        elif edge.kind in CONVERTS and poles == HOT:
            found[href(edge.item)] += 1
    for consumer in network.consumers.values():
        end = consumer.plus if poles == HOT else consumer.minus
        own = poles == HOT or consumer.id not in inventory.circuits
        if network.nodes[end].pole in poles and own and consumer.id == consumer.circuit:
            found[href(consumer.id)] += 1
    if poles == HOT:
        found.update(href(circuit.id) for circuit in inventory.circuits.values() if circuit.loads)
        found.update(
            f"{href(p.id)} way {n}" for p in inventory.panels.values() for n, way in p.ways.items() if way.spare
        )
    places = [*inventory.bars, *inventory.panels, *thrown]
    for id in places:
        if any(node.pole in poles and node.item == id for node in network.nodes.values()):
            found[href(id)] += 1
    return found


def _lies_in(network: Network, edge: Edge, poles: tuple[str, ...]) -> bool:
    ends = {network.nodes[node].pole for node in (edge.a, edge.b)}
    return edge.kind not in CONVERTS and edge.conducts and ends <= set(poles)


def _link(edge: Edge) -> str:
    way = edge.path[2:3] == ("ways",)
    return href(f"{edge.item} way {edge.path[3]}" if way else edge.item)


def shown(sheets: Iterable[Scene]) -> Counter[str]:
    """Links and cable ids that the sheets show, with how often."""
    return Counter(word for sheet in sheets for item in sheet.items for word in _words(sheet, item))


def _words(sheet: Scene, item: Item) -> Iterator[str]:
    if item.role == "cable" and not item.key.startswith("~"):
        yield from item.key.split(" + ")
    elif item.role == "node" and not item.key.startswith("~") and not is_continued(sheet, item):
        yield item.href
    elif item.role == "device" and _kinds(item) & {"spare"}:
        yield f"{item.href} {item.key}"
    elif item.role == "device" and not is_stand_in(item):
        yield item.href


def is_continued(sheet: Scene, node: Item) -> bool:
    """Whether a bar is drawn only for what could not stand at its home: a sheet of its circuits, or its further rows."""
    return sheet.name.partition(".")[0] == f"bar-{node.key}" or any("continued" in text.text for text in node.texts)


def is_stand_in(item: Item) -> bool:
    """Whether an item only says what lies beyond the end of a line."""
    return bool(_kinds(item) & {*STAND_INS})


def _kinds(item: Item) -> set[str]:
    return {part.kind for part in item.parts if isinstance(part, Symbol)}
