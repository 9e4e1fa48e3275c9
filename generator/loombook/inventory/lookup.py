"""Looking things up by the names that the inventory gives them, and saying so where there is no such thing."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from functools import cached_property

from ..diagnostics import Diagnostic, Note, did_you_mean
from .devices import Panel
from .records import Inventory
from .terminals import IN_LINE, is_terminal, ports, split
from .tree import narrow
from .vessel import Item

_CABLE_LIKE = re.compile(r"mm[²2]|AWG|^[~≈]?[\d.]")
_CABLE_HELP = 'a cable in a run is written with a colon, and inside brackets in quotation marks: `W1: "16 mm², 0.5 m"`'
_MOST_NAMES = 20


class Lookup:
    """What an inventory holds, by id; ids in `unreadable` have a message of their own already."""

    def __init__(self, inventory: Inventory, unreadable: frozenset[str] = frozenset()) -> None:
        self.inventory = inventory
        self.unreadable = unreadable
        self.items = {item.id: item for item in inventory.items()}
        self.cables = {step.id for run in inventory.runs.values() for step in run.path if step.id}
        self.loads = {id for circuit in inventory.circuits.values() for id in circuit.loads}

    def error(self, rule: str, message: str, path: tuple, *help: str, key: bool = False, part: str = "") -> Diagnostic:
        """An error at the field `path`, or under the words `part` within it."""
        found = self.inventory.error(rule, message, path, "", *(Note("help", text) for text in help if text), key=key)
        place = narrow(found.place, part, self.inventory.texts)
        return Diagnostic(found.level, rule, message, place, "", found.notes)

    def unknown(self, id: str, path: tuple, wanted: str, known: Iterable[str], key: bool = False) -> Diagnostic:
        """The error that nothing of the `wanted` sort is called `id`."""
        return self.error("unknown-id", f"there is no {wanted} `{id}`", path, self.near(id, known), key=key, part=id)

    def near(self, id: str, known: Iterable[str]) -> str:
        """A sentence with the nearest known names, or with all of them where none is near."""
        known = sorted(known)
        guess = did_you_mean(id, known)
        if not guess:
            more = " …" if len(known) > _MOST_NAMES else ""
            return f"known are {', '.join(known[:_MOST_NAMES])}{more}" if known else "the inventory has none"
        for name in known:
            if f"`{name}`" in guess and (item := self.items.get(name)) and item.name:
                guess = guess.replace(f"`{name}`", f"`{name}` ({item.name})")
        return guess

    def terminal(self, reference: str, path: tuple, bare_device: bool = False) -> Iterator[Diagnostic]:
        """Check a reference to a terminal; `bare_device` allows `F1` for a device in the line."""
        id, port = split(reference)
        item = self.items.get(id)
        if id in self.unreadable:
            return
        if item is None or item.family in ("spaces", "circuits"):
            yield self._no_terminal(reference, id, path, item)
        elif not is_terminal(item, port) or (not bare_device and item.family in IN_LINE and port in ("", "pole 2")):
            yield self._no_such_port(item, port, path)

    def _no_terminal(self, reference: str, id: str, path: tuple, item: Item | None) -> Diagnostic:
        if item is not None:
            return self.error("terminal", f"`{id}` has no terminal; it is one of the {item.family}", path, part=id)
        if _CABLE_LIKE.search(reference):
            return self.error("run", f"`{reference}` is no terminal", path, _CABLE_HELP)
        if id in self.cables:
            return self.error(
                "terminal", f"`{id}` is a cable, not a terminal", path, "name what the cable is joined to", part=id
            )
        return self.unknown(id, path, "item", self._wired)

    @cached_property
    def _wired(self) -> list[str]:
        return [item.id for item in self.items.values() if item.family not in ("spaces", "circuits")]

    def _no_such_port(self, item: Item, port: str, path: tuple) -> Diagnostic:
        id = item.id
        names = [f"{id} {name}".strip() for name in ports(item)]
        if isinstance(item, Panel) and port.startswith("way "):
            if port[4:] in item.ways:
                help = "give the way its rating and label in place of `spare`, or name another way"
                return self.error("terminal", f"way {port[4:]} of `{id}` is a spare", path, help)
            return self.error("terminal", f"`{id}` has no {port}", path, f"its ways are {', '.join(item.ways)}")
        terminals = f"its terminals are {', '.join(f'`{name}`' for name in names[:_MOST_NAMES])}"
        if not port:
            return self.error("terminal", f"`{id}` has several terminals; this names none", path, terminals)
        return self.error(
            "terminal", f"`{id}` has no terminal `{port}`", path, did_you_mean(f"{id} {port}", names) or terminals
        )
