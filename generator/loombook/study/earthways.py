"""The protective conductors between AC consumers and their sources, searched once from each source."""

from __future__ import annotations

from collections import deque
from collections.abc import Mapping, Sequence

from ..network import Network

_Steps = Mapping[str, tuple[str, str]]
"""Protective node → the edge towards the source, and the node at its other end."""


class EarthWays:
    """The ways of one network; all consumers of a source share its search."""

    def __init__(self, network: Network) -> None:
        self.network = network
        self._towards: dict[str, _Steps] = {}

    def between(self, source: str, consumer: str) -> Sequence[str] | None:
        """Edges from the protective terminal of a source to that of a consumer, the fewest that join them.

        None where they do not join.
        """
        if source not in self._towards:
            self._towards[source] = self._search(source)
        steps = self._towards[source]
        if consumer not in steps:
            return None
        way, node = [], consumer
        while node != source:
            edge, node = steps[node]
            way.append(edge)
        return way[::-1]

    def _search(self, source: str) -> _Steps:
        network = self.network
        found = {source: ("", "")}
        waiting = deque([source])
        while waiting:
            node = waiting.popleft()
            for edge in network.at.get(node, ()):
                other = edge.other(node)
                if edge.conducts and other not in found and network.nodes[other].pole == "PE":
                    found[other] = (edge.id, node)
                    waiting.append(other)
        return found
