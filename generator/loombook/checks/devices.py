"""The fuses and breakers of a vessel in one form, whether they stand alone or are ways of a panel."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from ..inventory.fields import Breaking
from ..network import Edge, Network
from ..quantities import Quantity


@dataclass(frozen=True)
class Device:
    """An overcurrent device."""

    id: str
    """`F14`, or `X4 way 7`."""
    item: str
    """`F14`, or `X4`."""
    kind: str
    """`fuse` or `breaker`."""
    family: str
    """Standard family: `blade`, `class T`, `C`."""
    edges: tuple[Edge, ...] = field(repr=False)
    """One a pole, the positive or line first."""
    record: Any = field(repr=False)
    rating: Quantity | None
    voltage: Quantity | None
    breaking: Breaking | None
    ac: bool
    path: tuple = field(repr=False)
    """Where it is written."""

    @property
    def edge(self) -> Edge:
        """The edge in its positive or line."""
        return self.edges[0]


def devices(network: Network) -> tuple[Device, ...]:
    """Every fuse and breaker, in the order of the inventory; spare ways are none."""
    groups: dict[tuple, list[Edge]] = {}
    for edge in network.edges.values():
        if edge.kind in ("fuse", "breaker"):
            groups.setdefault(edge.path, []).append(edge)
    return tuple(_device(network, path, edges) for path, edges in groups.items())


def _device(network: Network, path: tuple, edges: list[Edge]) -> Device:
    def pole(edge: Edge) -> int:
        poles = {network.nodes[edge.a].pole, network.nodes[edge.b].pole}
        return 0 if poles & {"+", "L"} else 1

    edges = sorted(edges, key=pole)
    record, item = edges[0].record, network.inventory.item(edges[0].item)
    if path[0] == "panels":
        way, number = record, path[3]
        family = way.kind or item.kind
        kind = "breaker" if network.inventory.is_breaker(family) else "fuse"
        return Device(
            f"{item.id} way {number}", item.id, kind, family, tuple(edges), way, way.rating,
            way.voltage or item.voltage, way.breaking or item.breaking, item.ac, path,
        )  # fmt: skip
    ac = bool({network.nodes[n].pole for e in edges for n in (e.a, e.b)} & {"L", "N", "PE"})
    edges = [edge for edge in edges if network.nodes[edge.a].pole != "PE"] or edges
    return Device(
        item.id,
        item.id,
        edges[0].kind,
        item.kind,
        tuple(edges),
        item,
        item.rating,
        item.voltage,
        item.breaking,
        ac,
        path,
    )


def of_edge(found: tuple[Device, ...]) -> Iterator[tuple[str, Device]]:
    """(edge id, device) for every pole of every device."""
    for device in found:
        for edge in device.edges:
            yield edge.id, device
