"""What things and places aboard are called on a page, and where their names lead."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from ..checks import RULES
from ..inventory.fields import Location
from ..inventory.records import Inventory
from ..inventory.vessel import Item
from ..network import Network
from ..study.model import Study
from . import paths
from .devices import Device, devices
from .terminals import POLES, terminal_words
from .text import Id, Inline, Link, Marked


@dataclass(frozen=True, eq=False)
class Names:
    """The names of the vessel's things."""

    study: Study = field(repr=False)

    @property
    def network(self) -> Network:
        return self.study.network

    @property
    def inventory(self) -> Inventory:
        return self.study.network.inventory

    @cached_property
    def links(self) -> dict[str, tuple[str, str]]:
        return paths.links(self.network, RULES)

    @cached_property
    def items(self) -> Mapping[str, Item]:
        """Id → item."""
        return {item.id: item for item in self.inventory.items()}

    def title(self, id: str) -> str:
        """What a thing is called; the id where it has no name."""
        return self.links[id][0] if id in self.links else id

    def link(self, id: str, words: Inline = "") -> Inline:
        """Words that lead to a thing; plain words where it has no page."""
        words = words or self.title(id)
        return Link(f"item:{id}", words) if id in self.links else words

    def named(self, id: str) -> Inline:
        """The name first, then the id as on the label."""
        if id not in self.links:
            return id
        title = self.title(id)
        if id in title.split() or " way " in id or id in self.inventory.spaces:
            return self.link(id, title)
        return (self.link(id, title), " ", Id(id))

    def device(self, device: Device) -> Inline:
        """A device for a table: its name or its way's label, then the id."""
        return (
            (self.link(device.id, device.name), " ", Id(device.id)) if device.name != device.id else self.id(device.id)
        )

    def id(self, id: str) -> Inline:
        """The id alone, as a link."""
        return self.link(id, Id(id))

    def node(self, node: str) -> Inline:
        """A terminal in words: `House fuse F1, load side`."""
        if node not in self._nodes:
            self._nodes[node] = self._node(node)
        return self._nodes[node]

    @cached_property
    def _nodes(self) -> dict[str, Inline]:
        return {}

    def _node(self, node: str) -> Inline:
        owner, _, port = node.partition(" ")
        if port.startswith("way "):
            number, _, pole = port[4:].partition(" ")
            id = f"{owner} way {number}"
            return (self.named(id), f", {POLES[pole]}" if pole in POLES else "")
        words = self.port(owner, port)
        return (self.named(owner), f", {words}") if words else self.named(owner)

    def port(self, owner: str, port: str) -> str:
        """One terminal of an item in words."""
        return terminal_words(port, self.inventory.switches.get(owner))

    @cached_property
    def devices(self) -> Mapping[str, Device]:
        return devices(self.network)

    # places

    def where(self, at: Location | None, missing: str = "place not written down") -> Inline:
        """A place as a guest finds it: the space, then words."""
        if at is None or not (at.space or at.place):
            return Marked(missing, "missing")
        space = self.named(at.space) if at.space else ""
        return (space, ": ", at.place) if space and at.place else space or at.place or ""

    def where_is(self, id: str) -> Inline:
        """The place of an item, way or consumer."""
        if id in self.devices:
            return self.where_device(self.devices[id])
        if id in self.network.consumers:
            return self.where(self.network.consumers[id].record.at)
        item = self.items.get(id.split(" ")[0])
        return self.where(item.at if item else None)

    def where_device(self, device: Device) -> Inline:
        """A device's place; a way's is that of its panel, then the way."""
        if device.panel:
            return (self.where(device.at), "; ", device.spot)
        return self.where(device.at)
