"""Sparse matrices whose pattern is known before their values, and the parts into which links join nodes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.sparse import csc_array
from scipy.sparse.linalg import SuperLU, splu


@dataclass(frozen=True)
class Pattern:
    """Where the values of a square matrix go. Values for the same place are added up."""

    size: int
    place: np.ndarray
    """Index of each given value among the stored ones."""
    indices: np.ndarray
    indptr: np.ndarray

    def factored(self, values: np.ndarray) -> SuperLU:
        """The factors of the matrix with these values, in the order in which the places were given.

        A matrix of admittances is symmetric in its pattern and heavy on its diagonal, so pivots are sought there first.
        """
        stored = self._added(values.real)
        if np.iscomplexobj(values):
            stored = stored + 1j * self._added(values.imag)
        matrix = csc_array((stored, self.indices, self.indptr), shape=(self.size, self.size))
        return splu(matrix, permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=1e-3, options={"SymmetricMode": True})

    def _added(self, values: np.ndarray) -> np.ndarray:
        return np.bincount(self.place, values, minlength=len(self.indices))


def pattern_of(size: int, rows: np.ndarray, columns: np.ndarray) -> Pattern:
    """The pattern of values at (row, column), which may repeat."""
    order, place = np.unique(columns * size + rows, return_inverse=True)
    indptr = np.searchsorted(order, np.arange(size + 1) * size)
    return Pattern(size, place.reshape(-1), (order % size).astype(np.int32), indptr.astype(np.int32))


def parts_of(size: int, links: np.ndarray) -> tuple[int, np.ndarray]:
    """How many parts so many nodes fall into, and the number of each node's; parts are numbered by their first node.

    >>> parts_of(4, np.array([(3, 1), (2, 2)]))
    (3, array([0, 1, 2, 1]))
    """
    first = list(range(size))

    def of(node: int) -> int:
        while first[node] != node:
            first[node] = node = first[first[node]]
        return node

    for a, b in links.tolist():
        a, b = of(a), of(b)
        first[max(a, b)] = min(a, b)
    number: dict[int, int] = {}
    part = [number.setdefault(of(node), len(number)) for node in range(size)]
    return len(number), np.array(part, dtype=int)
