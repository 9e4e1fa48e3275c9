"""Which source charges which battery, and whether the battery's management stands between them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from ..network import Edge
from ..network.core import Core
from ..network.live import state


@dataclass(frozen=True, eq=False)
class Charges:
    """The charge paths of one vessel, with the switches as they usually stand."""

    core: Core = field(repr=False)
    """The network in that state."""
    opened: dict[str, Core] = field(default_factory=dict, repr=False)
    """Battery → the network with its management opened, filled as it is asked for."""

    def into(self, battery: str) -> list[Edge]:
        """The charge sources that are joined to a battery on both poles."""
        return self._into.get(battery, [])

    @cached_property
    def _into(self) -> Mapping[str, list[Edge]]:
        network = self.core.network
        sources = [edge for edge in network.sources() if is_charger(edge)]
        batteries = [edge for edge in network.sources() if edge.kind == "battery"]
        return {battery.item: [s for s in sources if self._ends(s) == self._ends(battery)] for battery in batteries}

    def _ends(self, edge: Edge) -> tuple[int, int]:
        return self.core.part[self.core.attach(edge.a)], self.core.part[self.core.attach(edge.b)]

    def through_management(self, source: Edge, battery: Edge) -> bool:
        """Whether opening the battery's management parts it from a source."""
        if battery.item not in self.opened:
            network = self.core.network
            edges = [edge.id for edge in network.of_item[battery.item] if edge.kind == "bms"]
            self.opened[battery.item] = state(network, opened=edges)
        core = self.opened[battery.item]
        return not (core.joined(source.a, battery.a) and core.joined(source.b, battery.b))

    def controllers(self, array: Edge) -> list[Edge]:
        """The solar controllers on an array's own wiring."""
        network, core = self.core.network, self.core
        here = core.part[core.attach(array.b)]
        found = [edge for edge in network.sources() if edge.kind == "controller"]
        return [edge for edge in found if core.part[core.attach(network.input_of(edge).a)] == here]


def is_charger(edge: Edge) -> bool:
    """Whether a source is there to charge batteries."""
    return edge.kind in ("alternator", "controller", "charger") or (edge.kind == "converter" and edge.record.charges)
