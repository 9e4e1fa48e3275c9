"""The values of the network: nodes are terminals and bars, edges are conductors, devices, sources and loads."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from ..inventory.fields import Cable
from ..inventory.records import Inventory

CONDUCTS = ("conductor", "joint", "bond", "fuse", "breaker", "switch", "shunt", "bms")
"""Kinds of edge that join their ends."""
PRIMARY = ("battery", "alternator", "solar array", "shore", "generator")
"""Kinds of source that have energy of their own."""
CONVERTS = ("controller", "charger", "converter", "inverter")
"""Kinds of source that pass on what their input brings; each has an `input` edge."""
SOURCES = (*PRIMARY, *CONVERTS)
ALTERNATING = ("shore", "generator", "inverter")
"""Kinds of source of alternating current, between line and neutral."""


@dataclass(frozen=True)
class Node:
    """A terminal, bar or joint."""

    id: str
    item: str
    """The item it belongs to: a panel for `X4 way 7`, a circuit for its joints."""
    volts: float | None = None
    """Nominal potential against the system's negative or neutral [V]; None where no source reaches."""
    system: str = ""
    """`24 V DC`, `230 V AC`, `solar array`; of a negative, `DC negative`; empty where no source reaches."""
    pole: str = ""
    """`+`, `-`, `L`, `N` or `PE`."""


@dataclass(frozen=True)
class Edge:
    """What joins two nodes.

    A source runs from its negative (or neutral) `a` to its positive (or line) `b`; a load and an input from positive
    `a` to negative `b`; a device from its terminal 1 to 2; a conductor from source side to load side as written.
    """

    id: str
    item: str
    kind: str
    """One of `CONDUCTS`, `SOURCES`, `load` or `input`."""
    a: str
    b: str
    record: Any = field(default=None, repr=False)
    """The record that it comes from: a fuse, a way of a panel, a battery."""
    cable: Cable | None = field(default=None, repr=False)
    positions: tuple[str, ...] = ()
    """Positions of its switch in which it is closed; empty: closed unless opened."""
    path: tuple = field(default=(), repr=False)
    """Where it is written in the inventory."""

    @property
    def conducts(self) -> bool:
        return self.kind in CONDUCTS

    def other(self, node: str) -> str:
        return self.b if node == self.a else self.a


@dataclass(frozen=True)
class Consumer:
    """What a person would miss: the load of a circuit, one of several loads, or a motor."""

    id: str
    circuit: str
    """The circuit or motor that it belongs to."""
    record: Any = field(repr=False)
    plus: str
    minus: str
    edge: str

    @property
    def name(self) -> str:
        return self.record.name or self.id


@dataclass(frozen=True)
class Network:
    """The vessel's whole electrical graph, both poles drawn in full."""

    inventory: Inventory = field(repr=False)
    nodes: Mapping[str, Node]
    edges: Mapping[str, Edge]
    consumers: Mapping[str, Consumer]
    normal: Mapping[str, str]
    """Switch id → position in normal use."""

    @cached_property
    def at(self) -> Mapping[str, tuple[Edge, ...]]:
        """Node → the edges that end there."""
        found: dict[str, list[Edge]] = {id: [] for id in self.nodes}
        for edge in self.edges.values():
            found[edge.a].append(edge)
            found[edge.b].append(edge)
        return {id: tuple(edges) for id, edges in found.items()}

    @cached_property
    def of_item(self) -> Mapping[str, tuple[Edge, ...]]:
        """Item id → its edges."""
        found: dict[str, list[Edge]] = {}
        for edge in self.edges.values():
            found.setdefault(edge.item, []).append(edge)
        return {id: tuple(edges) for id, edges in found.items()}

    @cached_property
    def circuits_from(self) -> Mapping[str, tuple[Any, ...]]:
        """Terminal as written → the circuits that begin there."""
        found: dict[str, list[Any]] = {}
        for circuit in self.inventory.circuits.values():
            found.setdefault(circuit.source, []).append(circuit)
        return {terminal: tuple(circuits) for terminal, circuits in found.items()}

    @cached_property
    def conditions(self) -> Mapping[str, Mapping[str, str]]:
        """Operating condition → position of every switch. A vessel that names none has one, `normal`."""
        named = self.inventory.conditions
        if not named:
            return {"normal": self.normal}
        return {name: {**self.normal, **condition.switches} for name, condition in named.items()}

    def is_closed(self, edge: Edge, positions: Mapping[str, str]) -> bool:
        """Whether an edge conducts with the switches in `positions` (switches left out are in their normal position)."""
        if not edge.positions:
            return True
        return positions.get(edge.item, self.normal.get(edge.item, "on")) in edge.positions

    def closed(self, positions: Mapping[str, str], opened: Iterable[str] = ()) -> Iterator[Edge]:
        """The edges that join their ends, but for the edges in `opened`."""
        opened = frozenset(opened)
        for edge in self.edges.values():
            if edge.conducts and edge.id not in opened and self.is_closed(edge, positions):
                yield edge

    @cached_property
    def _sources(self) -> tuple[Edge, ...]:
        return tuple(edge for edge in self.edges.values() if edge.kind in SOURCES)

    def sources(self) -> Iterator[Edge]:
        return iter(self._sources)

    def input_of(self, source: Edge) -> Edge | None:
        """The input of a source that converts; None for one with energy of its own."""
        return self.edges.get(f"{source.item} input")

    def title(self, id: str) -> str:
        """What people call an item, cable or consumer; the id where it has no name."""
        if id in self.consumers:
            return self.consumers[id].name
        item = self.inventory.item(id)
        return item.title if item else id

    def __str__(self) -> str:
        """A short text, for tests and for the eye."""
        rows = [f"{e.id}: {e.kind} {e.a} -> {e.b}" for e in self.edges.values()]
        return "\n".join(rows)
