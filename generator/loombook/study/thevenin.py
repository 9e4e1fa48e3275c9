"""Short-circuit currents at many places of one state at once, with sources that leave regulation at their limit.

The linear network (batteries, shore, and every limited source as if it had no limit) is factored once. At each place the
limited sources then get a correction current each, found by complementarity: a source gives its straight line, or
nothing, or its limit. The fault's own resistance (the radial wiring out to the place) is in series, so one factoring
serves every place that hangs from the core.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from ..network import Edge
from .grid import Grid, factor, incidence, joined

_BLOCK = 512
_ROUNDS = 60


@dataclass(frozen=True)
class Feed:
    """A source in one case: electromotive force [V], resistance [Ω], and its limit [A] or None."""

    edge: Edge
    emf: float
    ohms: float
    limit: float | None = None
    inner: complex = 0j
    """Of an AC source: the part of its impedance whose angle is known [Ω]."""
    swing: float = 0.0
    """The rest of it, by modulus [Ω]."""


@dataclass(frozen=True)
class Asked:
    """What is wanted of a fault beside its current."""

    more: bool = True
    """Whether anything is."""
    watch: np.ndarray = field(default_factory=lambda: np.zeros(0, dtype=int))
    """Indices of the edges whose currents are wanted."""
    ruling: bool = True
    """Whether the edge in which most of the power goes is looked for."""


@dataclass(frozen=True)
class Shorts:
    """The answers for every place asked."""

    current: np.ndarray
    """Short-circuit current; 0 where no source reaches [A]."""
    before: np.ndarray
    """Voltage before the fault [V]."""
    given: np.ndarray
    """Current that each feed adds when the fault comes, shape (feeds, places) [A]; together they are the fault's."""
    ruling: np.ndarray
    """Index into `Grid.edges` of the core edge in which most of the power goes; −1 where there is none."""
    ruling_watts: np.ndarray
    """The power that goes into it [W]."""
    watched: np.ndarray
    """Current from `a` to `b` of each watched edge in each fault, shape (edges watched, places) [A]."""

    def among(self, which: np.ndarray, places: int) -> Shorts:
        """The same answers as those of some of so many places; at the others nothing flows."""
        whole = _nothing(len(self.given), places, len(self.watched))
        for name in ("current", "before", "ruling", "ruling_watts"):
            getattr(whole, name)[which] = getattr(self, name)
        whole.given[:, which], whole.watched[:, which] = self.given, self.watched
        return whole


def _nothing(feeds: int, places: int, watched: int) -> Shorts:
    return Shorts(
        np.zeros(places),
        np.zeros(places),
        np.zeros((feeds, places)),
        np.full(places, -1),
        np.zeros(places),
        np.zeros((watched, places)),
    )


def shorts(
    grid: Grid, ohms: np.ndarray, feeds: Sequence[Feed], pairs: np.ndarray, extra: np.ndarray, asked: Asked
) -> Shorts:
    """Short each pair of core nodes through an extra resistance, one pair at a time.

    Args:
        grid: the core
        ohms: of every core edge [Ω]; inf leaves it out
        feeds: the sources that feed
        pairs: core nodes, positive and negative, shape (places, 2)
        extra: resistance in series with each fault [Ω]
        asked: what is wanted beside the currents
    Returns:
        the currents
    """
    places, count = len(pairs), len(feeds)
    nothing = _nothing(count, places, len(asked.watch))
    if not places or not feeds:
        return nothing
    present = np.isfinite(ohms)
    source_ends = np.array([(grid.index[f.edge.b], grid.index[f.edge.a]) for f in feeds])
    emf = np.array([f.emf for f in feeds])
    inner = np.array([f.ohms for f in feeds])
    branches = np.concatenate([grid.ends[present], source_ends])
    parts = joined(grid.part, source_ends) if present.all() else None
    solver = factor(grid.size, branches, 1 / np.concatenate([ohms[present], inner]), parts)
    towards = incidence(grid.size, source_ends)
    response = solver.solve(towards)
    rest = response @ (emf / inner)
    reached = (solver.part[pairs[:, 0]] == solver.part[pairs[:, 1]]) & np.isfinite(extra)
    limited = _Limited(feeds, source_ends, response, rest, emf, inner)
    unique, where = np.unique(pairs @ (grid.size, 1), return_inverse=True)
    unique = np.stack([unique // grid.size, unique % grid.size], axis=1)
    answer = nothing
    for start in range(0, len(unique), _BLOCK):
        block = unique[start : start + _BLOCK]
        potentials = solver.solve(incidence(grid.size, block))
        mine = np.flatnonzero((where >= start) & (where < start + len(block)) & reached)
        for piece in np.array_split(mine, max(1, len(mine) // _BLOCK)):
            if len(piece):
                _fill(answer, grid, ohms, limited, pairs, extra, potentials[:, where[piece] - start], piece, asked)
    return answer


class _Limited:
    """The limited sources among the feeds, and the network as they see it."""

    def __init__(
        self,
        feeds: Sequence[Feed],
        ends: np.ndarray,
        response: np.ndarray,
        rest: np.ndarray,
        emf: np.ndarray,
        inner: np.ndarray,
    ) -> None:
        self.which = np.array([i for i, f in enumerate(feeds) if f.limit is not None], dtype=int)
        self.limit = np.array([f.limit for f in feeds if f.limit is not None], dtype=float)
        self.ends, self.rest, self.inner = ends, rest, inner
        self.own_response = response[:, self.which]
        self.at_source = _between(self.own_response, ends)
        """Voltage at every source for 1 A from each limited one [Ω]."""
        self.own_emf, self.own_inner = emf[self.which], inner[self.which]
        self.mutual = self.at_source[self.which]
        self.open_volts = _between(rest, ends[self.which])
        self.before = self.corrections(np.zeros((len(self.which), 1)), np.zeros(1), np.full(1, np.inf))
        """The corrections before any fault, shape (limited, 1)."""

    def corrections(self, seen: np.ndarray, open_pair: np.ndarray, total: np.ndarray) -> np.ndarray:
        """Correction current of each limited source in each fault, shape (limited, faults).

        Args:
            seen: voltage at each limited source for 1 A into the pair, shape (limited, faults) [Ω]
            open_pair: voltage of the pair with no fault and no correction [V]
            total: resistance that the fault sees, its own included [Ω]; inf for no fault
        """
        count = len(self.which)
        faults = len(open_pair)
        if not count:
            return np.zeros((0, faults))
        volts = self.open_volts[:, None] - seen * (open_pair / total)
        straight = (self.own_emf[:, None] - volts) / self.own_inner[:, None]
        coupling = self.mutual[None, :, :] - np.einsum("if,jf->fij", seen, seen) / total[:, None, None]
        matrix = np.eye(count)[None, :, :] - coupling / self.own_inner[None, :, None]
        return boxed(matrix, straight, self.limit)


def boxed(matrix: np.ndarray, straight: np.ndarray, limit: np.ndarray) -> np.ndarray:
    """Corrections d so that I = straight + matrix · d stays between 0 and the limit, and d ≠ 0 only at a bound.

    Newton's method on the set of sources at a bound, for all faults at once; projected relaxation where it circles.

    Args:
        matrix: shape (faults, sources, sources)
        straight: shape (sources, faults) [A]
        limit: shape (sources,) [A]
    """
    faults, count = matrix.shape[0], matrix.shape[1]
    corrections = np.zeros((faults, count))
    straight = straight.T
    top = np.broadcast_to(limit, straight.shape)
    scale = 1e-9 * (1 + np.abs(straight).max(axis=1, keepdims=True))
    low, high = straight < 0, straight > top
    open_ = np.flatnonzero((low | high).any(axis=1))
    if not len(open_):
        return corrections.T
    unbound = np.eye(count)
    for _ in range(_ROUNDS):
        at_bound = (low | high)[open_]
        system = np.where(at_bound[:, :, None], matrix[open_], unbound)
        target = np.where(high[open_], top[open_], 0.0) - straight[open_]
        wanted = np.where(at_bound, target, 0.0)
        d = _solve_batch(system, wanted)
        corrections[open_] = d
        current = straight[open_] + np.einsum("fij,fj->fi", matrix[open_], d)
        tolerance = scale[open_]
        new_low = (low[open_] & (d >= 0)) | (~at_bound & (current < -tolerance))
        new_high = (high[open_] & (d <= 0)) | (~at_bound & (current > top[open_] + tolerance))
        changed = ((new_low != low[open_]) | (new_high != high[open_])).any(axis=1)
        low[open_], high[open_] = new_low, new_high
        open_ = open_[changed]
        if not len(open_):
            return corrections.T
    for f in open_:
        corrections[f] = _relax(matrix[f], straight[f], limit)
    return corrections.T


def _solve_batch(system: np.ndarray, wanted: np.ndarray) -> np.ndarray:
    """Solve each small system; a source with nothing attached to it has a row of zeros and needs no correction."""
    dead = np.abs(system).max(axis=2) < 1e-12
    system = np.where(dead[:, :, None], np.eye(system.shape[1]), system)
    return np.linalg.solve(system, np.where(dead, 0.0, wanted)[:, :, None])[:, :, 0]


def _relax(matrix: np.ndarray, straight: np.ndarray, limit: np.ndarray) -> np.ndarray:
    """The same by projected relaxation, one source after another: slow and sure."""
    d = np.zeros(len(straight))
    for _ in range(2000):
        before = d.copy()
        for i in range(len(d)):
            own = matrix[i, i]
            if own < 1e-12:
                continue
            others = straight[i] + matrix[i] @ d - own * d[i]
            d[i] = (min(max(others, 0.0), limit[i]) - others) / own
        if np.abs(d - before).max() <= 1e-9 * (1 + np.abs(d).max()):
            break
    return d


def _fill(
    answer: Shorts,
    grid: Grid,
    ohms: np.ndarray,
    limited: _Limited,
    pairs: np.ndarray,
    extra: np.ndarray,
    field: np.ndarray,
    piece: np.ndarray,
    asked: Asked,
) -> None:
    """Work out one block of faults; `field` holds the potentials for 1 A into each pair.

    Voltages between two nodes are taken row from row, so that nothing is worked out where nobody looks.
    """
    ends = pairs[piece]
    columns = np.arange(len(piece))
    own = field[ends[:, 0], columns] - field[ends[:, 1], columns]
    total = np.maximum(own + extra[piece], 1e-9)
    open_pair = limited.rest[ends[:, 0]] - limited.rest[ends[:, 1]]
    at_source = _between(field, limited.ends)
    seen = at_source[limited.which]
    without = limited.before
    answer.before[piece] = open_pair + without[:, 0] @ seen
    corrections = limited.corrections(seen, open_pair, total)
    current = (open_pair + np.einsum("if,if->f", seen, corrections)) / total
    answer.current[piece] = np.maximum(current, 0.0)
    if not asked.more:
        return
    shift = corrections - without
    given = (at_source * current - limited.at_source @ shift) / limited.inner[:, None]
    given[limited.which] += shift
    answer.given[:, piece] = given
    if len(asked.watch):
        at = grid.ends[asked.watch]
        volts = _between(limited.rest[:, None], at) + _between(limited.own_response, at) @ corrections
        answer.watched[:, piece] = (volts - _between(field, at) * current) / ohms[asked.watch][:, None]
    if asked.ruling and len(grid.ends):
        change = _between(limited.own_response, grid.ends) @ shift - _between(field, grid.ends) * current
        power = change**2 / ohms[:, None]
        most = power.argmax(axis=0)
        answer.ruling[piece] = most
        answer.ruling_watts[piece] = power[most, columns]


def _between(potentials: np.ndarray, ends: np.ndarray) -> np.ndarray:
    """Voltage from the second to the first of each pair of nodes."""
    return potentials[ends[:, 0]] - potentials[ends[:, 1]]
