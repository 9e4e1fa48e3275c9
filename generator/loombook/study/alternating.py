"""Short-circuit currents of alternating current at many places of one state: resistance and reactance, by modulus.

A source whose angle is not known, as the shore's, counts with the angle that suits the question: in line with all that
is in series with it for the smallest current, all resistance or all reactance for the largest. A source at its limit
gives it in phase with the fault current as it would be without limits.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from .grid import Grid, factor, incidence
from .thevenin import Feed

LEAST = 1e-9
"""No impedance is less [Ω]."""


@dataclass(frozen=True)
class AcShorts:
    """The answers for every place asked; currents are complex, the fault's own is real and positive."""

    current: np.ndarray
    """[A]"""
    before: np.ndarray
    """Voltage before the fault, its modulus [V]."""
    given: np.ndarray
    """What each feed adds, in phase with the fault, shape (feeds, places) [A]; together they are the fault's."""
    through: np.ndarray
    """Current of each edge of the wiring, shape (edges, places) [A], complex."""
    angle: np.ndarray
    """Angle taken for sources whose own is not known, at each place [rad]."""

    def better(self, other: AcShorts, most: bool) -> AcShorts:
        """Of two answers, at each place the larger or the smaller."""
        pick = (other.current > self.current) == most
        return AcShorts(*(np.where(pick, b, a) for a, b in zip(self._all, other._all)))

    @property
    def _all(self) -> tuple[np.ndarray, ...]:
        return self.current, self.before, self.given, self.through, self.angle


@dataclass(frozen=True)
class Wiring:
    """The AC wiring of a grid in one state."""

    grid: Grid
    ends: np.ndarray
    """Of its edges, shape (edges, 2)."""
    impedance: np.ndarray
    """Of its edges, complex [Ω]."""

    def short(self, feeds: Sequence[Feed], pairs: np.ndarray, extra: np.ndarray, most: bool) -> AcShorts:
        """Short each pair of nodes through the impedance of its radial wiring, one pair at a time.

        Args:
            feeds: the AC sources that are on
            pairs: nodes of the grid, line and neutral, shape (places, 2)
            extra: impedance in series with each fault, complex [Ω]; inf for a place that is not reached
            most: the largest current that an unknown angle allows, or the smallest
        """
        swings = np.array([f.swing for f in feeds])
        if not swings.any():
            return self._with(feeds, np.zeros(len(feeds)), pairs, extra)
        if not most and len(feeds) == 1:
            return self._in_line(feeds, float(swings[0]), pairs, extra)
        plain = self._with(feeds, swings, pairs, extra)
        turned = self._with(feeds, 1j * swings, pairs, extra)
        return plain.better(turned, most)

    def _in_line(self, feeds: Sequence[Feed], swing: float, pairs: np.ndarray, extra: np.ndarray) -> AcShorts:
        """One source: its impedance adds to the modulus of all the rest."""
        bare = self._with(feeds, np.zeros(1), pairs, extra)
        rest = np.divide(feeds[0].emf, bare.current, out=np.full(len(pairs), np.inf), where=bare.current > 0)
        part = np.where(np.isfinite(rest), rest / (rest + swing), 0.0)
        angles = bare.angle
        return AcShorts(bare.current * part, bare.before, bare.given * part, bare.through * part, angles)

    def _with(self, feeds: Sequence[Feed], swings: np.ndarray, pairs: np.ndarray, extra: np.ndarray) -> AcShorts:
        inner = np.array([f.inner for f in feeds], dtype=complex) + swings
        inner = np.where(np.abs(inner) < LEAST, LEAST, inner)
        emf = np.array([f.emf for f in feeds])
        index = self.grid.index
        source_ends = np.array([(index[f.edge.b], index[f.edge.a]) for f in feeds], dtype=int).reshape(-1, 2)
        branches = np.concatenate([self.ends, source_ends])
        solver = factor(self.grid.size, branches, 1 / np.concatenate([self.impedance, inner]))
        towards = incidence(self.grid.size, source_ends)
        response = solver.solve(towards)
        rest = response @ (emf / inner)
        field = solver.solve(incidence(self.grid.size, pairs))
        high, low, columns = pairs[:, 0], pairs[:, 1], np.arange(len(pairs))
        reached = (solver.part[high] == solver.part[low]) & np.isfinite(extra)
        seen_by_fault = field[high, columns] - field[low, columns]
        total = seen_by_fault + np.where(reached, extra, 1.0)
        total = np.where(np.abs(total) < LEAST, LEAST, total)
        opened = np.where(reached, rest[high] - rest[low], 0.0)
        seen = towards.T @ field
        at_rest = (emf - towards.T @ rest) / inner
        straight = at_rest[:, None] + seen * (opened / total) / inner[:, None]
        unit = _phase(opened / total)
        added = _limited(feeds, straight, seen, towards.T @ response, inner, total, unit)
        current = (opened + (seen * added).sum(axis=0)) / total
        volts = rest[:, None] + response @ added - field * current
        amps = (emf[:, None] - towards.T @ volts) / inner[:, None] + added
        turn = np.conj(_phase(current))
        through = (volts[self.ends[:, 0]] - volts[self.ends[:, 1]]) / self.impedance[:, None]
        return AcShorts(
            np.abs(current),
            np.abs(opened),
            ((amps - at_rest[:, None]) * turn).real,
            through * turn,
            np.where(
                np.abs(opened) > 0, np.angle(total if not swings.any() else np.full(len(pairs), _angle(swings))), 0.0
            ),
        )


def _phase(amps: np.ndarray) -> np.ndarray:
    size = np.abs(amps)
    return np.where(size > 0, amps / np.where(size > 0, size, 1.0), 1.0)


def _angle(swings: np.ndarray) -> complex:
    return 1j if np.iscomplexobj(swings) else 1.0


def _limited(
    feeds: Sequence[Feed], straight: np.ndarray, seen: np.ndarray, mutual: np.ndarray, inner: np.ndarray,
    total: np.ndarray, unit: np.ndarray,
) -> np.ndarray:  # fmt: skip
    """What is added to each source's straight line to keep it at its limit, shape (feeds, places) [A].

    A source that is beyond its limit at a place is held there; then the others are looked at again, until none is.
    """
    limit = np.array([np.inf if f.limit is None else f.limit for f in feeds])
    added = np.zeros_like(straight)
    held = np.abs(straight) > limit[:, None] * (1 + 1e-12)
    for _ in feeds:
        for pattern in np.unique(held, axis=1).T if held.any() else ():
            rows = np.flatnonzero(pattern)
            places = np.flatnonzero((held == pattern[:, None]).all(axis=0))
            if len(rows):
                mine = seen[np.ix_(rows, places)]
                coupling = (
                    mutual[np.ix_(rows, rows)][None] - np.einsum("ip,jp->pij", mine, mine) / total[places, None, None]
                )
                matrix = np.eye(len(rows))[None] - coupling / inner[rows][None, :, None]
                wanted = limit[rows][:, None] * unit[places] - straight[np.ix_(rows, places)]
                added[np.ix_(rows, places)] = np.linalg.solve(matrix, wanted.T[:, :, None])[:, :, 0].T
        drawn = (seen * added).sum(axis=0) / total
        amps = straight + added - (mutual @ added - seen * drawn) / inner[:, None]
        more = held | (np.abs(amps) > limit[:, None] * (1 + 1e-9))
        if (more == held).all():
            break
        held = more
    return added
