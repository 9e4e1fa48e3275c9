"""How each thing stands after the ship has been isolated: live, dead or opened."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from ..network import Edge
from ..network.model import CONVERTS
from ..study.model import Study
from .chains import Chain
from .model import State


@dataclass(frozen=True)
class States:
    """How each thing stands after the ship has been isolated."""

    study: Study

    @cached_property
    def opened(self) -> frozenset[str]:
        return frozenset(edge for handle in self.study.ship.handles for edge in handle.edges)

    @cached_property
    def stopped(self) -> frozenset[str]:
        return frozenset(source for handle in self.study.ship.handles for source in handle.sources)

    def of_node(self, node: str) -> State:
        return State.LIVE if node in self.study.ship.live else State.DEAD

    def of_edge(self, edge: Edge) -> State:
        if edge.id in self.opened:
            return State.OPEN
        return State.LIVE if self.of_node(edge.b) is State.LIVE and self._fed(edge) else State.DEAD

    def _fed(self, edge: Edge) -> bool:
        return edge.kind in CONVERTS or edge.a in self.study.ship.live

    def of_end(self, end: str) -> State:
        kind, _, id = end.partition(" ")
        if kind == "source":
            edge = next(e for e in self.study.network.of_item[id] if e.id == id)
            return State.DEAD if id in self.stopped else self.of_node(edge.b)
        if kind == "load":
            consumer = self.study.network.consumers.get(id)
            return self.of_node(consumer.plus if consumer else f"{id} +")
        return self.of_node(end)

    def of_chain(self, chain: Chain) -> State:
        cables = [p.first for p in chain.pieces if p.first.kind == "conductor"]
        return self.of_edge(cables[0]) if cables else self.of_end(chain.lower)
