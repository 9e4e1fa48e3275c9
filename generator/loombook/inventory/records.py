"""The inventory as one frozen value, and the table of its families."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from types import MappingProxyType
from typing import Any

from pydantic import BaseModel

from ..diagnostics import Diagnostic, Note, Place
from . import devices, loads, sources, vessel
from .tree import Map, find

ITEM_FAMILIES: Mapping[str, type[vessel.Item]] = MappingProxyType(
    {
        "spaces": vessel.Space,
        "batteries": sources.Battery,
        "alternators": sources.Alternator,
        "solar arrays": sources.SolarArray,
        "solar controllers": sources.SolarController,
        "shore inlets": sources.ShoreInlet,
        "generators": sources.Generator,
        "chargers": sources.Charger,
        "inverters": sources.Inverter,
        "converters": sources.Converter,
        "bars": devices.Bar,
        "panels": devices.Panel,
        "fuses": devices.Fuse,
        "breakers": devices.Breaker,
        "switches": devices.Switch,
        "shunts": devices.Shunt,
        "junctions": devices.Junction,
        "motors": loads.Motor,
        "circuits": loads.Circuit,
    }
)
"""Families whose members have an id. A new device kind is one line here and its terminals in `network/devices.py`."""

NAMED_FAMILIES: Mapping[str, Any] = MappingProxyType(
    {"runs": loads.RunText, "conditions": vessel.Condition, "curves": vessel.Curve}
)
ITEM_ID = re.compile(r"[A-Z]{1,4}[0-9]{1,5}[a-z]?")
"""The form of an id: the letter codes of IEC 81346-2 and a number."""
SPACE_ID = re.compile(r"[a-z][a-z0-9]*(-[a-z0-9]+)*")
LIST_FAMILIES: Mapping[str, type[BaseModel]] = MappingProxyType(
    {
        "waivers": vessel.Waiver,
        "spares": vessel.Spare,
        "prints": vessel.PrintCopy,
        "drills": vessel.Drill,
        "tests": vessel.TestRecord,
    }
)
SINGLE: Mapping[str, type[BaseModel]] = MappingProxyType({"vessel": vessel.Vessel, "defaults": vessel.Defaults})


@dataclass(frozen=True)
class Inventory:
    """Everything the owner wrote, checked record by record. Nothing has been worked out yet."""

    vessel: vessel.Vessel
    defaults: vessel.Defaults = field(default_factory=vessel.Defaults)
    spaces: Mapping[str, vessel.Space] = field(default_factory=dict)
    batteries: Mapping[str, sources.Battery] = field(default_factory=dict)
    alternators: Mapping[str, sources.Alternator] = field(default_factory=dict)
    solar_arrays: Mapping[str, sources.SolarArray] = field(default_factory=dict)
    solar_controllers: Mapping[str, sources.SolarController] = field(default_factory=dict)
    shore_inlets: Mapping[str, sources.ShoreInlet] = field(default_factory=dict)
    generators: Mapping[str, sources.Generator] = field(default_factory=dict)
    chargers: Mapping[str, sources.Charger] = field(default_factory=dict)
    inverters: Mapping[str, sources.Inverter] = field(default_factory=dict)
    converters: Mapping[str, sources.Converter] = field(default_factory=dict)
    bars: Mapping[str, devices.Bar] = field(default_factory=dict)
    panels: Mapping[str, devices.Panel] = field(default_factory=dict)
    fuses: Mapping[str, devices.Fuse] = field(default_factory=dict)
    breakers: Mapping[str, devices.Breaker] = field(default_factory=dict)
    switches: Mapping[str, devices.Switch] = field(default_factory=dict)
    shunts: Mapping[str, devices.Shunt] = field(default_factory=dict)
    junctions: Mapping[str, devices.Junction] = field(default_factory=dict)
    motors: Mapping[str, loads.Motor] = field(default_factory=dict)
    circuits: Mapping[str, loads.Circuit] = field(default_factory=dict)
    runs: Mapping[str, loads.Run] = field(default_factory=dict)
    conditions: Mapping[str, vessel.Condition] = field(default_factory=dict)
    curves: Mapping[str, vessel.Curve] = field(default_factory=dict)
    waivers: tuple[vessel.Waiver, ...] = ()
    spares: tuple[vessel.Spare, ...] = ()
    prints: tuple[vessel.PrintCopy, ...] = ()
    drills: tuple[vessel.Drill, ...] = ()
    tests: tuple[vessel.TestRecord, ...] = ()
    root: Map | None = field(default=None, repr=False, compare=False)
    texts: Mapping[str, str] = field(default_factory=dict, repr=False)
    """File as named in messages → its text."""
    folder: Path | None = field(default=None, repr=False, compare=False)

    def items(self) -> Iterator[vessel.Item]:
        """Every item with an id, family by family, in the order written."""
        for key in ITEM_FAMILIES:
            yield from getattr(self, attribute(key)).values()

    def is_breaker(self, kind: str) -> bool:
        """Whether a kind of device, of a standard family or an own curve, is switched by hand."""
        curve = self.curves.get(kind)
        return kind in devices.BREAKER_KINDS if curve is None else curve.device == "breaker"

    def item(self, id: str) -> vessel.Item | None:
        """The item with this id, or None."""
        for key in ITEM_FAMILIES:
            if id in (family := getattr(self, attribute(key))):
                return family[id]
        return None

    def place(self, *path: str | int) -> Place | None:
        """Where a field stands: `place("fuses", "F1", "rating")`; the nearest thing written where it does not stand."""
        return find(self.root, path)

    def place_of(self, item: vessel.Item, *path: str | int) -> Place | None:
        """Where a field of an item stands; without `path`, where its id is written."""
        return find(self.root, (item.family, item.id, *path), key=not path)

    def error(
        self, rule: str, message: str, path: tuple, here: str = "", *notes: Note, key: bool = False
    ) -> Diagnostic:
        """An input error at a field."""
        return Diagnostic("error", rule, message, find(self.root, path, key), here, notes)


def attribute(family: str) -> str:
    """The attribute of `Inventory` for a family's key: `solar arrays` → `solar_arrays`."""
    return family.replace(" ", "_")
