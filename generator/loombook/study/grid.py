"""The core of the network as numbers: nodes counted, admittances in a sparse matrix, radial resistance from the core
outwards."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from scipy.sparse.linalg import SuperLU

from ..network import Edge
from ..network.core import Core
from .sparse import parts_of, pattern_of


@dataclass(frozen=True)
class Grid:
    """The core's nodes and conducting edges, in a fixed order, with some radial ways taken into it."""

    core: Core
    index: Mapping[str, int]
    edges: tuple[str, ...]
    ends: np.ndarray
    """Index of each edge's `a` and `b`, shape (edges, 2)."""
    attach: Mapping[str, int]
    """Any node of the network → index of the node of the grid from which it hangs."""

    _radials: dict[int, tuple[Mapping[str, float], Mapping[str, float]]] = field(
        default_factory=dict, repr=False, compare=False
    )

    @property
    def size(self) -> int:
        return len(self.index)

    @cached_property
    def part(self) -> np.ndarray:
        """Node of the grid → number of the joined part that it is in, joined by conductors alone."""
        return parts_of(self.size, self.ends)[1]

    @cached_property
    def alternating(self) -> tuple[tuple[int, str], ...]:
        """Number and id of its edges that carry alternating current, line and neutral."""
        network = self.core.network
        poles = (network.nodes[network.edges[id].a].pole for id in self.edges)
        return tuple((i, id) for i, (id, pole) in enumerate(zip(self.edges, poles)) if pole in ("L", "N"))

    def radial(self, ohms: Mapping[str, float]) -> Mapping[str, float]:
        """Resistance from the grid to every node that hangs from it [Ω]; found once for each set of resistances."""
        known = self._radials.get(id(ohms))
        if known is None or known[0] is not ohms:
            found = dict.fromkeys(self.index, 0.0)
            for node in reversed(self.core.order):
                if node not in found:
                    edge, other = self.core.parent[node]
                    found[node] = found[other] + ohms[edge.id]
            self._radials[id(ohms)] = known = (ohms, found)
        return known[1]

    def outward(self, node: str) -> list[Edge]:
        """The radial edges between a node and the grid, nearest to the node first."""
        way = []
        while node not in self.index:
            edge, node = self.core.parent[node]
            way.append(edge)
        return way

    def values(self, by_edge: Mapping[str, float]) -> np.ndarray:
        """A value for every edge, in order."""
        return np.array([by_edge[id] for id in self.edges], dtype=float)


def grid_of(core: Core, keep: Iterable[str] = ()) -> Grid:
    """Number the core of one state, together with the radial ways to the nodes in `keep`."""
    index = {node: i for i, node in enumerate(core.nodes)}
    edges = list(core.ties)
    for node in keep:
        while node not in index:
            index[node] = len(index)
            edge, node = core.parent[node]
            edges.append(edge)
    ends = np.array([(index[e.a], index[e.b]) for e in edges], dtype=int).reshape(-1, 2)
    attach = dict(index)
    for node in reversed(core.order):
        if node not in attach:
            attach[node] = attach[core.parent[node][1]]
    return Grid(core, index, tuple(e.id for e in edges), ends, attach)


@dataclass(frozen=True)
class Solver:
    """A factored admittance matrix. Each joined part has one node tied to zero, which carries no current."""

    lu: SuperLU
    part: np.ndarray
    """Node → number of the part that it is in, joined by conductors and sources."""

    def solve(self, currents: np.ndarray) -> np.ndarray:
        """Potentials [V] for currents fed into the nodes [A]."""
        return self.lu.solve(np.asarray(currents, dtype=float))


def joined(part: np.ndarray, links: np.ndarray) -> tuple[int, np.ndarray]:
    """Parts that further links join together: how many are left, and the number of each node's."""
    count, of_part = parts_of(int(part.max(initial=-1)) + 1, part[links].reshape(-1, 2))
    return count, of_part[part]


def factor(
    size: int, branches: np.ndarray, conductances: np.ndarray, parts: tuple[int, np.ndarray] | None = None
) -> Solver:
    """Factor the admittance matrix of branches between numbered nodes.

    Args:
        size: number of nodes
        branches: their ends, shape (branches, 2)
        conductances: of each branch [S], above zero
        parts: how many parts the branches join the nodes to, and each node's, where that is known
    """
    a, b = branches[:, 0], branches[:, 1]
    count, part = parts or parts_of(size, branches)
    first = np.full(count, size)
    np.minimum.at(first, part, np.arange(size))
    rows = np.concatenate([a, b, a, b, first])
    columns = np.concatenate([a, b, b, a, first])
    values = np.concatenate([conductances, conductances, -conductances, -conductances, np.ones(count)])
    return Solver(pattern_of(size, rows, columns).factored(values), part)


def incidence(size: int, pairs: Sequence[tuple[int, int]] | np.ndarray) -> np.ndarray:
    """Columns with +1 at the first and −1 at the second of each pair, shape (size, pairs)."""
    pairs = np.asarray(pairs, dtype=int).reshape(-1, 2)
    columns = np.zeros((size, len(pairs)))
    columns[pairs[:, 0], np.arange(len(pairs))] += 1
    columns[pairs[:, 1], np.arange(len(pairs))] -= 1
    return columns
