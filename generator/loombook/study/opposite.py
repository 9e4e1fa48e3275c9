"""For every live node the node of the other pole that a short circuit there would reach: its own minus, or its
return."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from ..network import Network
from ..network.core import Core
from .grid import Grid, factor

HOT = ("+", "L")
_SIBLING = {"+": "-", "L": "N"}


def opposites(
    network: Network, grid: Grid, conductances: np.ndarray, sources: np.ndarray, source_conductances: np.ndarray
) -> Mapping[str, str]:
    """Live node → its opposite.

    A terminal that has a twin (`C21 +`, `C21 -`) takes it. A panel, way or joint takes the point where the returns of
    all
    that it feeds come together. A bar or device of the core takes the nearest return by resistance.
    """
    hot = [n.id for n in network.nodes.values() if n.pole in HOT]
    found = {node: twin for node in hot if (twin := _twin(network, node))}
    returns = _returns(network, grid.core)
    nearest = _Nearest(network, grid, conductances, sources, source_conductances)
    for node in hot:
        if node not in found:
            meeting = returns.get(node) or nearest.of(node)
            if meeting:
                found[node] = meeting
    return found


def _twin(network: Network, node: str) -> str:
    stem, _, pole = node.rpartition(" ")
    twin = f"{stem} {_SIBLING.get(pole, '')}"
    if stem and twin in network.nodes and network.nodes[twin].pole != network.nodes[node].pole:
        return twin
    if stem and twin in network.nodes and (network.nodes[twin].volts or 0) < (network.nodes[node].volts or 0):
        return twin  # posts of batteries in series
    return ""


def _returns(network: Network, core: Core) -> Mapping[str, str]:
    """Radial live node → the point where the returns of what it feeds meet; empty where that is nowhere in
    particular."""
    met: dict[str, str] = {}
    own = {*network.inventory.circuits, *network.inventory.motors}
    for consumer in network.consumers.values():
        node = consumer.minus
        while node in core.parent and network.nodes[node].item in own:
            node = core.parent[node][1]
        met[consumer.plus] = node
    depth = _depths(core)
    for node in core.order:
        if node in met:
            above = core.parent[node][1]
            met[above] = _meet(core, depth, met[above], met[node]) if above in met else met[node]
    return met


def _depths(core: Core) -> Mapping[str, int]:
    depth = dict.fromkeys(core.nodes, 0)
    for node in reversed(core.order):
        depth[node] = depth[core.parent[node][1]] + 1
    return depth


def _meet(core: Core, depth: Mapping[str, int], a: str, b: str) -> str:
    """Where the radial ways of two nodes towards the core meet; empty where they reach the core apart."""
    if not a or not b:
        return ""
    while a != b:
        if depth[a] == 0 and depth[b] == 0:
            return ""
        if depth[a] >= depth[b]:
            a = core.parent[a][1]
        else:
            b = core.parent[b][1]
    return a


class _Nearest:
    """The return bar or post with the least resistance to a live core node, through the sources."""

    def __init__(
        self,
        network: Network,
        grid: Grid,
        conductances: np.ndarray,
        sources: np.ndarray,
        source_conductances: np.ndarray,
    ) -> None:
        self.network, self.grid = network, grid
        shared = {*network.inventory.bars, *network.inventory.junctions}
        posts = {
            f"{e.item} -" if f"{e.item} -" in network.nodes else e.a for e in network.sources()
        }  # of a battery not the cells behind its BMS
        self.candidates = [n for n in grid.index if network.nodes[n].pole in ("-", "N") and (n in shared or n in posts)]
        self.is_bar = [n in shared for n in self.candidates]
        self.shared = shared | set(network.inventory.panels)
        self.solver = factor(
            grid.size, np.concatenate([grid.ends, sources]), np.concatenate([conductances, source_conductances])
        )
        self.known: dict[tuple[int, bool], str] = {}
        indices = [grid.index[n] for n in self.candidates]
        self.indices = np.array(indices, dtype=int)
        unit = np.zeros((grid.size, len(indices)))
        unit[self.indices, np.arange(len(indices))] = 1.0
        self.field = self.solver.solve(unit) if indices else unit
        self.own = self.field[self.indices, np.arange(len(indices))]

    def of(self, node: str) -> str:
        key = (self.grid.attach[node], self.network.nodes[node].item in self.shared)
        if key not in self.known:
            self.known[key] = self._find(node, key[0])
        return self.known[key]

    def _find(self, node: str, at: int) -> str:
        pole = "N" if self.network.nodes[node].pole == "L" else "-"
        fits = [
            i
            for i, n in enumerate(self.candidates)
            if self.network.nodes[n].pole == pole and self.solver.part[self.indices[i]] == self.solver.part[at]
        ]
        if self.network.nodes[node].item in self.shared:  # a bar is shorted to a bar, where there is one
            fits = [i for i in fits if self.is_bar[i]] or fits
        if not fits:
            return ""
        apart = self.own[fits] - 2 * self.field[at, fits]
        return self.candidates[fits[int(np.argmin(apart))]]
