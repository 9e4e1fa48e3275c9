"""The core of the network as numbers: nodes counted, admittances in a sparse matrix, radial resistance from the core outwards."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.sparse import coo_array, csc_array
from scipy.sparse.csgraph import connected_components
from scipy.sparse.linalg import SuperLU, splu

from ..network.core import Core


@dataclass(frozen=True)
class Grid:
    """The core's nodes and conducting edges, in a fixed order."""

    core: Core
    index: Mapping[str, int]
    edges: tuple[str, ...]
    ends: np.ndarray
    """Index of each edge's `a` and `b`, shape (edges, 2)."""
    attach: Mapping[str, int]
    """Any node of the network → index of the core node from which it hangs."""

    @property
    def size(self) -> int:
        return len(self.index)

    def radial(self, ohms: Mapping[str, float]) -> Mapping[str, float]:
        """Resistance from the core to every radial node [Ω]."""
        found = dict.fromkeys(self.index, 0.0)
        for node in reversed(self.core.order):
            edge, other = self.core.parent[node]
            found[node] = found[other] + ohms[edge.id]
        return found


def grid_of(core: Core) -> Grid:
    """Number the core of one state."""
    index = {node: i for i, node in enumerate(core.graph)}
    rows = [(key, index[a], index[b]) for a, b, key in core.graph.edges(keys=True)]
    ends = np.array([(a, b) for _, a, b in rows], dtype=int).reshape(-1, 2)
    attach = {node: index[core.attach(node)] for node in core.network.nodes}
    # an edge's ends in the order in which the network has them
    edges = core.network.edges
    for row, (key, a, _) in enumerate(rows):
        if index[edges[key].a] != a:
            ends[row] = ends[row][::-1]
    return Grid(core, index, tuple(key for key, _, _ in rows), ends, attach)


@dataclass(frozen=True)
class Solver:
    """A factored admittance matrix. Each joined part has one node tied to zero, which carries no current."""

    lu: SuperLU
    part: np.ndarray
    """Node → number of the part that it is in, joined by conductors and sources."""

    def solve(self, currents: np.ndarray) -> np.ndarray:
        """Potentials [V] for currents fed into the nodes [A]."""
        return self.lu.solve(np.asarray(currents, dtype=float))


def factor(size: int, branches: np.ndarray, conductances: np.ndarray) -> Solver:
    """Factor the admittance matrix of branches between numbered nodes.

    Args:
        size: number of nodes
        branches: their ends, shape (branches, 2)
        conductances: of each branch [S], above zero
    """
    a, b = branches[:, 0], branches[:, 1]
    links = coo_array((np.ones(len(a)), (a, b)), shape=(size, size))
    count, part = connected_components(links, directed=False)
    first = np.full(count, size)
    np.minimum.at(first, part, np.arange(size))
    rows = np.concatenate([a, b, a, b, first])
    columns = np.concatenate([a, b, b, a, first])
    values = np.concatenate([conductances, conductances, -conductances, -conductances, np.ones(count)])
    matrix = csc_array(coo_array((values, (rows, columns)), shape=(size, size)))
    return Solver(splu(matrix), part)


def incidence(size: int, pairs: Sequence[tuple[int, int]] | np.ndarray) -> np.ndarray:
    """Columns with +1 at the first and −1 at the second of each pair, shape (size, pairs)."""
    pairs = np.asarray(pairs, dtype=int).reshape(-1, 2)
    columns = np.zeros((size, len(pairs)))
    columns[pairs[:, 0], np.arange(len(pairs))] += 1
    columns[pairs[:, 1], np.arange(len(pairs))] -= 1
    return columns


def numbers(ids: Iterable[str], values: Mapping[str, float]) -> np.ndarray:
    """The values of `ids` as an array."""
    return np.array([values[id] for id in ids], dtype=float)
