"""Whether everything that the inventory names exists: spaces, kinds, conditions, items, files."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain, islice
from pathlib import Path

from ..diagnostics import Diagnostic, near
from .devices import BREAKER_KINDS, FUSE_KINDS, Panel
from .fields import Cable
from .lookup import Lookup
from .records import Inventory, attribute
from .terminals import split
from .vessel import Item
from .wiring import check_wiring

MOST_ERRORS = 200
"""Errors after which no more is looked at: whoever has so many has made one mistake many times."""
_MOST_FILE_BYTES = 25_000_000


def check_references(inventory: Inventory, unreadable: frozenset[str] = frozenset()) -> list[Diagnostic]:
    """Every reference that leads nowhere, as located messages.

    Args:
        inventory: what could be read
        unreadable: ids that are written but have a message of their own already
    """
    lookup = Lookup(inventory, unreadable)
    found = chain.from_iterable(check(lookup) for check in _CHECKS)
    return list(dict.fromkeys(islice(found, MOST_ERRORS)))


def positions(item: Item) -> tuple[str, ...]:
    """The positions that a switch or breaker has."""
    kind = getattr(item, "kind", "")
    return {"change-over": ("1", "2", "off"), "selector": ("1", "2", "both", "off")}.get(kind, ("on", "off"))


def _located(inventory: Inventory) -> Iterator[tuple[Item, tuple]]:
    """Every item and every load of a circuit, with its path."""
    for item in inventory.items():
        yield item, (item.family, item.id)
    for id, circuit in inventory.circuits.items():
        for tap, load in circuit.loads.items():
            yield load, ("circuits", id, "loads", tap)


def _cables(inventory: Inventory) -> Iterator[tuple[Cable, tuple]]:
    """Every cable, with its path."""
    for name, run in inventory.runs.items():
        for i, step in enumerate(run.path):
            if step.cable:
                yield step.cable, ("runs", name, "path", i, step.id)
    for id, circuit in inventory.circuits.items():
        for key in ("cable", "back"):
            for i, step in enumerate(getattr(circuit, key) or ()):
                if step.cable:
                    yield step.cable, ("circuits", id, key, i)
        for tap, load in circuit.loads.items():
            if load.cable:
                yield load.cable, ("circuits", id, "loads", tap, "cable")


def _spaces(lookup: Lookup) -> Iterator[Diagnostic]:
    inventory, known = lookup.inventory, lookup.inventory.spaces
    located = list(_located(inventory))
    for family in ("spares", "prints"):
        located += [(row, (family, i)) for i, row in enumerate(getattr(inventory, family))]
    for item, path in located:
        if item.at and item.at.space and not _known(item.at.space, known, lookup):
            yield _unknown_space(lookup, item.at.space, (*path, "at", "space"))
    for cable, path in _cables(inventory):
        for i, space in enumerate(cable.spaces):
            if not _known(space, known, lookup):
                yield lookup.unknown(space, (*path, "spaces", i), "space", known)


def _unknown_space(lookup: Lookup, id: str, path: tuple) -> Diagnostic:
    if " " not in id or near(id, lookup.inventory.spaces):
        return lookup.unknown(id, path, "space", lookup.inventory.spaces)
    help = (
        "`at` begins with the id of a space: `engine, port side`; where there is none, write `at: {place: port side}`"
    )
    return lookup.error("unknown-id", f"there is no space `{id}`", path, help, part=id)


def _known(id: str, known: object, lookup: Lookup) -> bool:
    return id in known or id in lookup.unreadable


def _panels(lookup: Lookup) -> Iterator[Diagnostic]:
    for id, panel in lookup.inventory.panels.items():
        if panel.negative:
            yield from lookup.terminal(panel.negative, ("panels", id, "negative"))


def _kinds(lookup: Lookup) -> Iterator[Diagnostic]:
    inventory = lookup.inventory
    known = {*FUSE_KINDS, *BREAKER_KINDS, *inventory.curves}
    protective = {id for id, item in lookup.items.items() if item.family in ("fuses", "breakers")}
    for family in ("fuses", "breakers", "panels"):
        for item in getattr(inventory, family).values():
            rows = [((family, item.id, "kind"), item.kind)]
            if isinstance(item, Panel):
                rows += [((family, item.id, "ways", n, "kind"), way.kind) for n, way in item.ways.items() if way.kind]
            for path, kind in rows:
                if kind not in known and kind not in lookup.unreadable:
                    message = f"`{kind}` is no kind of fuse or breaker"
                    yield lookup.error("kind", message, path, lookup.near(kind, known), _OWN_KIND)
            cascade = getattr(item, "cascade", None)
            if cascade and not _known(cascade, protective, lookup):
                yield lookup.unknown(cascade, (family, item.id, "cascade"), "fuse or breaker", protective)


_OWN_KIND = "another kind needs its points under `curves`"

_SOURCES = (
    "alternators", "solar arrays", "shore inlets", "generators", "chargers", "inverters", "converters", "solar controllers",
    "batteries", "motors",
)  # fmt: skip


def _conditions(lookup: Lookup) -> Iterator[Diagnostic]:
    inventory = lookup.inventory
    runs_on = {*inventory.circuits, *inventory.motors, *lookup.loads}
    sources = {id for family in _SOURCES for id in getattr(inventory, attribute(family))}
    switches = {*inventory.switches, *inventory.breakers}
    for name, condition in inventory.conditions.items():
        path = ("conditions", name)
        for switch, position in condition.switches.items():
            if switch in switches:
                yield from _position(lookup, switch, position, (*path, "switches", switch))
            elif switch not in lookup.unreadable:
                yield lookup.unknown(switch, (*path, "switches", switch), "switch or breaker", switches, key=True)
        for i, source in enumerate(condition.sources or ()):
            if not _known(source, sources, lookup):
                yield lookup.unknown(source, (*path, "sources", i), "source", sources)
        for id in condition.duty:
            if not _known(id, runs_on, lookup):
                yield lookup.unknown(id, (*path, "duty", id), "circuit or motor", runs_on, key=True)
    for switch in inventory.switches.values():
        yield from _position(lookup, switch.id, switch.normal, ("switches", switch.id, "normal"))


def _position(lookup: Lookup, switch: str, position: str, path: tuple) -> Iterator[Diagnostic]:
    known = positions(lookup.items[switch])
    if position not in known:
        yield lookup.error(
            "word", f"`{position}` is no position of `{switch}`", path, f"its positions are {', '.join(known)}"
        )


def _duties(lookup: Lookup) -> Iterator[Diagnostic]:
    known = lookup.inventory.conditions
    for family in ("circuits", "motors"):
        for item in getattr(lookup.inventory, family).values():
            for name in item.duty_in:
                if name not in known:
                    yield lookup.unknown(
                        name, (family, item.id, "duty in", name), "operating condition", known, key=True
                    )


def _notes(lookup: Lookup) -> Iterator[Diagnostic]:
    known = {*lookup.items, *lookup.loads, *lookup.cables, lookup.inventory.vessel.name}
    for family in ("waivers", "tests"):
        for i, row in enumerate(getattr(lookup.inventory, family)):
            id = split(row.item)[0]
            if row.item not in known and not _known(id, known, lookup):
                yield lookup.unknown(row.item, (family, i, "item"), "item", known)


def _files(lookup: Lookup) -> Iterator[Diagnostic]:
    folder = lookup.inventory.folder
    if folder is None:
        return
    named = [
        (name, (*path, key, i))
        for item, path in _located(lookup.inventory)
        for key in ("photo", "papers")
        for i, name in enumerate(getattr(item, key))
    ]
    named += [
        (name, (*path, "photo", i)) for cable, path in _cables(lookup.inventory) for i, name in enumerate(cable.photo)
    ]
    for name, path in named:
        if problem := _file_problem(folder, name):
            help = "files stand beside the inventory, named from its folder: `photos/q1.jpg`"
            yield lookup.error("file", f"`{name}` {problem}", path, help)


_CHECKS = (_spaces, check_wiring, _panels, _kinds, _conditions, _duties, _notes, _files)


def _file_problem(folder: Path, name: str) -> str:
    if "://" in name:
        return "is an address, not a file"
    if "\\" in name:
        return "has a `\\`; folders are parted by `/`"
    root = folder.resolve()
    try:
        path = (root / name).resolve()
        if not path.is_relative_to(root):
            return "leads out of the inventory's folder"
        if path.is_dir():
            return "is a folder, not a file"
        if not path.is_file():
            return "is not there"
        return "has more than 25 MB" if path.stat().st_size > _MOST_FILE_BYTES else ""
    except (OSError, ValueError, RuntimeError):
        return "is not a file name"
