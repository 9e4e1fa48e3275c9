"""What each family of items puts into the graph: its terminals and the edges inside it. A new device kind is a line in `INSIDE`."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from types import MappingProxyType

from ..inventory import devices, loads, sources
from ..inventory.vessel import Item
from .model import Edge

HANDLE_POSITIONS = ("on",)


def _battery(item: sources.Battery) -> Iterator[Edge]:
    low, high = f"{item.id} -", f"{item.id} +"
    if item.bms and item.bms.side == "negative":
        low = f"{item.id} cell -"
        yield _edge(item, "bms", "bms", low, f"{item.id} -")
        yield _edge(item, "cell +", "joint", f"{item.id} cell +", high)
    elif item.bms:
        high = f"{item.id} cell +"
        yield _edge(item, "bms", "bms", high, f"{item.id} +")
        yield _edge(item, "cell -", "joint", f"{item.id} cell -", low)
    yield _edge(item, "", "battery", low, high)


def _alternator(item: sources.Alternator) -> Iterator[Edge]:
    yield _edge(item, "", "alternator", f"{item.id} -", f"{item.id} +")


def _array(item: sources.SolarArray) -> Iterator[Edge]:
    yield _edge(item, "", "solar array", f"{item.id} -", f"{item.id} +")


def _controller(item: sources.SolarController) -> Iterator[Edge]:
    yield _edge(item, "input", "input", f"{item.id} pv +", f"{item.id} pv -")
    if not item.isolated:
        yield _edge(item, "bond", "bond", f"{item.id} pv -", f"{item.id} -")
    yield _edge(item, "", "controller", f"{item.id} -", f"{item.id} +")


def _charger(item: sources.Charger) -> Iterator[Edge]:
    yield _edge(item, "input", "input", f"{item.id} L", f"{item.id} N")
    yield _edge(item, "", "charger", f"{item.id} -", f"{item.id} +")


def _converter(item: sources.Converter) -> Iterator[Edge]:
    yield _edge(item, "input", "input", f"{item.id} in +", f"{item.id} in -")
    if not item.isolated:
        yield _edge(item, "bond", "bond", f"{item.id} in -", f"{item.id} out -")
    yield _edge(item, "", "converter", f"{item.id} out -", f"{item.id} out +")


def _inverter(item: sources.Inverter) -> Iterator[Edge]:
    yield _edge(item, "input", "input", f"{item.id} +", f"{item.id} -")
    yield _edge(item, "", "inverter", f"{item.id} N", f"{item.id} L")


def _shore(item: sources.ShoreInlet) -> Iterator[Edge]:
    yield _edge(item, "", "shore", f"{item.id} N", f"{item.id} L")


def _generator(item: sources.Generator) -> Iterator[Edge]:
    yield _edge(item, "", "generator", f"{item.id} N", f"{item.id} L")


def _motor(item: loads.Motor) -> Iterator[Edge]:
    yield _edge(item, "", "load", f"{item.id} +", f"{item.id} -")


def _edge(item: Item, part: str, kind: str, a: str, b: str, **more: object) -> Edge:
    return Edge(f"{item.id} {part}".strip(), item.id, kind, a, b, record=item, path=(item.family, item.id), **more)


INSIDE: Mapping[str, Callable[[Item], Iterator[Edge]]] = MappingProxyType(
    {
        "batteries": _battery,
        "alternators": _alternator,
        "solar arrays": _array,
        "solar controllers": _controller,
        "chargers": _charger,
        "converters": _converter,
        "inverters": _inverter,
        "shore inlets": _shore,
        "generators": _generator,
        "motors": _motor,
    }
)
"""Family → the edges inside one item, for items that are not in the line of a run."""

_KIND = {"fuses": "fuse", "breakers": "breaker", "switches": "switch", "shunts": "shunt"}


def in_line(item: Item, suffixes: tuple[str, ...]) -> Iterator[Edge]:
    """The edges of a device in the line: one a pole. `suffixes` is `("",)` for DC, the AC conductors it opens for AC."""
    kind = _KIND[item.family]
    on: tuple[str, ...] = () if kind in ("fuse", "shunt") else ("on",)
    poles = [""] if suffixes != ("",) or getattr(item, "poles", 1) == 1 else ["", "pole 2 "]
    for suffix in suffixes:
        for pole in poles:
            base = f"{item.id} {pole}"
            tail = f" {suffix}" if suffix else ""
            name = f"{base.strip()}{tail}"
            if isinstance(item, devices.Switch) and item.kind in ("change-over", "selector"):
                for throw in ("1", "2"):
                    where = (throw, "both") if item.kind == "selector" else (throw,)
                    yield Edge(
                        f"{name} {throw}",
                        item.id,
                        kind,
                        f"{base}{throw}{tail}",
                        f"{base}com{tail}",
                        item,
                        None,
                        where,
                        (item.family, item.id),
                    )
            else:
                yield Edge(
                    name, item.id, kind, f"{base}1{tail}", f"{base}2{tail}", item, None, on, (item.family, item.id)
                )
