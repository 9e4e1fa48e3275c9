"""How an item is called in a finding, where it is in words, and where it is written."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property
from typing import Any

from ..diagnostics import Place
from ..inventory.fields import Cable, Location
from ..inventory.loads import Circuit
from ..inventory.tree import narrow
from ..network import Edge, Network
from ..quantities import in_unit

KINDS = {
    "spaces": "space", "batteries": "battery", "alternators": "alternator", "solar arrays": "array",
    "solar controllers": "solar controller", "shore inlets": "inlet", "generators": "generator",
    "chargers": "charger", "inverters": "inverter",
    "converters": "converter", "bars": "bar", "panels": "panel", "fuses": "fuse", "breakers": "breaker",
    "switches": "switch", "shunts": "shunt", "junctions": "joint", "motors": "motor", "circuits": "circuit",
}  # fmt: skip
"""Family → what one of them is called in a sentence."""


class Names:
    """Words for the items of one network."""

    def __init__(self, network: Network) -> None:
        self.network = network
        self.inventory = network.inventory
        self.items = {item.id: item for item in network.inventory.items()}

    def name(self, id: str) -> str:
        """Id and name: `F14 Windlass fuse`; the id alone where it has no name of its own.

        A panel's way has its label, else what it feeds: `X4 way 7 DEPTH`.
        """
        panel, way, number = id.partition(" way ")
        if way:
            label = self.inventory.panels[panel].ways[number].label or self._fed_by.get(id, "")
            return f"{id} {label}".strip()
        consumer = self.network.consumers.get(id)
        record = consumer.record if consumer else self.items.get(id)
        title = record.name if record else None
        return f"{id} {title}" if title else id

    def the(self, id: str) -> str:
        """With the kind of thing before it: `fuse F14 Windlass fuse`, `cable W31`."""
        if " way " in id or id in self.network.consumers or id == self.inventory.vessel.name:
            return self.name(id)
        item = self.items.get(id)
        if item is None:
            return f"cable {id}"
        return self.name(id) if item.family == "circuits" else f"{KINDS[item.family]} {self.name(id)}"

    def names(self, ids: Iterable[str], most: int = 6) -> str:
        """A list for a sentence: `C1 Lights, C2 Pump and 3 more`."""
        return listed([self.name(id) for id in ids], most)

    def cable(self, edge: Edge) -> str:
        """A cable: `cable W31`, or `the cable of C21 Depth sounder`."""
        if edge.path[:1] == ("runs",):
            return f"cable {edge.item}"
        tap = edge.path[3] if len(edge.path) > 3 and edge.path[2] == "loads" else edge.item
        return f"the cable of {self.name(tap)}"

    def cable_id(self, edge: Edge) -> str:
        """The id that a cable goes by: its own, its tap's or its circuit's."""
        if len(edge.path) > 3 and edge.path[2] == "loads":
            return edge.path[3]
        return edge.item

    def where(self, id: str) -> str:
        """Where an item is, in words: `Chart table, behind the lining`; empty where that is not known."""
        id = id.split(" way ")[0]
        consumer = self.network.consumers.get(id)
        record = consumer.record if consumer else self.items.get(id)
        at: Location | None = getattr(record, "at", None)
        if at is None:
            return ""
        space = self.inventory.spaces.get(at.space or "")
        return ", ".join(part for part in (space.title if space else "", at.place or "") if part)

    def place(self, *path: Any, part: str = "") -> Place | None:
        """Where a field is written; `part` is the stretch of it that the caret should point at."""
        return narrow(self.inventory.place(*path), part, self.inventory.texts)

    def place_of(self, id: str, *field: Any, part: str = "") -> Place | None:
        """Where a field of an item is written; where its id is, without a field."""
        inventory = self.inventory
        if id == inventory.vessel.name:
            return self.place("vessel", *(field or ("name",)), part=part)
        panel, way, number = id.partition(" way ")
        if way:
            return self.place("panels", panel, "ways", number, *field, part=part)
        consumer = self.network.consumers.get(id)
        if consumer and consumer.circuit != id:
            path = ("circuits", consumer.circuit, "loads", id)
            return self.place(*path, *field, part=part)
        item = inventory.item(id)
        if item is None:
            edges = self.network.of_item.get(id, ())
            return self.place(*edges[0].path, *field, part=part) if edges else None
        found = inventory.place_of(item, *field)
        return narrow(found, part, inventory.texts)

    def place_of_cable(self, edge: Edge, *field: str, part: str = "") -> Place | None:
        return self.place(*edge.path, *field, part=part)

    @cached_property
    def _fed_by(self) -> dict[str, str]:
        """Terminal → names of the circuits that it feeds."""
        found: dict[str, list[str]] = {}
        circuits: Iterable[Circuit] = self.inventory.circuits.values()
        for circuit in circuits:
            found.setdefault(circuit.source, []).append(circuit.title)
        return {source: ", ".join(titles) for source, titles in found.items()}


def listed(names: list[str], most: int = 6) -> str:
    """A list for a sentence.

    >>> listed(["W1", "W2", "W3", "W4"], most=2)
    'W1, W2 and 2 more'
    """
    if len(names) > most:
        return f"{', '.join(names[:most])} and {len(names) - most} more"
    return " and ".join([", ".join(names[:-1]), names[-1]]) if len(names) > 1 else "".join(names)


def counted(number: int, noun: str) -> str:
    """A number with its noun.

    >>> counted(1, "cable"), counted(9, "cable")
    ('1 cable', '9 cables')
    """
    return f"{number} {noun}{'s' * (number != 1)}"


def amps(value: float) -> str:
    """A current for a sentence.

    >>> amps(17.0), amps(1810), amps(0.35)
    ('17 A', '1.81 kA', '350 mA')
    """
    return trimmed(in_unit(value, "current"))


def volts(value: float) -> str:
    """A voltage for a sentence.

    >>> volts(29.2), volts(230), volts(58.4)
    ('29.2 V', '230 V', '58.4 V')
    """
    return trimmed(in_unit(value, "voltage"))


def cell_volts(value: float) -> str:
    """The voltage of one cell for a sentence.

    >>> cell_volts(3.375), cell_volts(3.5)
    ('3.375 V', '3.50 V')
    """
    return f"{value:.3f}".removesuffix("0") + " V"


def metres(value: float) -> str:
    """A length for a sentence; a short one in millimetres.

    >>> metres(0.64), metres(1.35), metres(12.0)
    ('640 mm', '1.35 m', '12 m')
    """
    return trimmed(in_unit(value, "length"))


def square(value: float) -> str:
    """A cross-section for a sentence.

    >>> square(2.5), square(70)
    ('2.5 mm²', '70 mm²')
    """
    return trimmed(in_unit(value, "area"))


def per_cent(fraction: float) -> str:
    """A fraction as per cent, two digits.

    >>> per_cent(0.0574), per_cent(0.1)
    ('5.7 %', '10 %')
    """
    return f"{trimmed(in_unit(fraction, 'ratio', 2))}"


def seconds(value: float) -> str:
    """A time for a sentence.

    >>> seconds(0.009), seconds(2.27)
    ('9 ms', '2.3 s')
    """
    return trimmed(in_unit(value, "time", 2))


def trimmed(text: str) -> str:
    """Without the zeros that say nothing: `12.0 V` → `12 V`."""
    number, _, unit = text.partition(" ")
    number = number.rstrip("0").rstrip(".") if "." in number else number
    return f"{number} {unit}"


def describe(cable: Cable) -> str:
    """A cable in a few words: `1.5 mm², 105 °C insulation, engine, bundle of 5`."""
    parts = [f"{cable.parallel} × {cable.area}" if cable.parallel > 1 else str(cable.area or "area not known")]
    parts += [str(cable.length)] if cable.length else []
    parts += [f"{cable.insulation} insulation"] if cable.insulation else []
    parts += [f"in {', '.join(cable.spaces)}"] if cable.spaces else []
    parts += [f"bundle of {cable.bundle}"] if cable.bundle else []
    return ", ".join(parts)
