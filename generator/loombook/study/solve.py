"""The nodal solution of a network with limited sources, converters and loads that keep their power.

Every branch is one of five: a resistance; an electromotive force behind a resistance, which gives and takes; a limited
source, I = clamp((E − U)/R, 0, limit), less a trace; a load with its law; the input of a source that converts, which
draws what the
output delivers, over the efficiency, and its idle power. A load below its floor voltage goes over to a resistance, so
that a solution always exists. Solved by Newton's method, each limited source in one of three states (in regulation, at
its
limit, off) that is looked at again after every step; where that does not settle, loads are replaced by the resistances
that they are at the last voltage, and one source at a time changes its state (Murty's rule).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from .sparse import Pattern, parts_of, pattern_of

POWER, CURRENT, RESISTANCE = 0, 1, 2
REGULATES, AT_LIMIT, OFF = 0, 1, 2
LAWS = {"power": POWER, "current": CURRENT, "resistance": RESISTANCE}
FLOOR = 0.7
"""Part of the nominal voltage below which a load of constant power or current becomes a resistance."""
_STEPS = 40
_TOLERANCE = 1e-9
IDLE = 1e-7
"""Conductance of a load that is off, and across each limited source: what hangs from it alone has a potential then
[S]."""


def _ends(pairs: Sequence[tuple[int, int]]) -> np.ndarray:
    return np.asarray(pairs, dtype=int).reshape(-1, 2)


@dataclass(frozen=True)
class Circuit:
    """A network ready to be solved. Ends are node numbers; of sources (positive, negative), of loads (positive,
    negative)."""

    size: int
    wires: np.ndarray
    ohms: np.ndarray
    stiff: np.ndarray
    stiff_emf: np.ndarray
    stiff_ohms: np.ndarray
    limited: np.ndarray
    limited_emf: np.ndarray
    limited_ohms: np.ndarray
    limit: np.ndarray
    loads: np.ndarray
    law: np.ndarray
    size_of_load: np.ndarray
    """Power [W], current [A] or conductance [S], by the load's law."""
    floor: np.ndarray
    """Voltage below which a load is a resistance [V]."""
    inputs: np.ndarray
    feeds: np.ndarray
    """Index of the limited source that each input feeds."""
    efficiency: np.ndarray
    idle: np.ndarray
    input_floor: np.ndarray
    start: np.ndarray = field(repr=False)
    """Potentials to begin with [V]."""


def bare_circuit(
    size: int,
    wires: np.ndarray,
    ohms: np.ndarray,
    stiff: np.ndarray,
    stiff_values: np.ndarray,
    limited: np.ndarray,
    limited_values: np.ndarray,
) -> Circuit:
    """A circuit of wires and sources alone. `stiff_values` are (electromotive force, resistance), `limited_values` (…,
    …, limit)."""
    stiff_values, limited_values = stiff_values.reshape(-1, 2), limited_values.reshape(-1, 3)
    none, no_ends = np.zeros(0), np.zeros((0, 2), dtype=int)
    return Circuit(
        size, wires.reshape(-1, 2).astype(int), ohms, stiff.reshape(-1, 2).astype(int), *stiff_values.T,
        limited.reshape(-1, 2).astype(int), *limited_values.T, no_ends, none.astype(int),
        none, none, no_ends, none.astype(int), none, none, none, np.zeros(size),
    )  # fmt: skip


@dataclass(frozen=True)
class Solution:
    """The answer: potentials and the current of every branch."""

    volts: np.ndarray
    wires: np.ndarray
    stiff: np.ndarray
    limited: np.ndarray
    loads: np.ndarray
    inputs: np.ndarray
    part: np.ndarray
    """Node → number of the joined part that it is in."""
    converged: bool
    unbalance: float
    """Largest current that does not add up at a node [A]."""


def solve(c: Circuit) -> Solution:
    """Solve for the potentials at which the currents of every node add up to nothing."""
    part, first = _parts(c)
    pattern = _pattern(c, first)
    volts = c.start - c.start[first][part]
    state = np.full(len(c.limited), REGULATES)
    longest = 2 * max(float(x.max(initial=1.0)) for x in (c.stiff_emf, c.limited_emf, np.abs(volts)))
    best = (np.inf, volts, state)
    for careful, steps in ((False, _STEPS), (True, 4 * _STEPS), (False, _STEPS)):
        for _ in range(steps):
            rest, scale, values = _system(c, volts, state, first, careful)
            worst = float(np.abs(rest).max(initial=0.0))
            settled = bool((_states(c, volts, state, False) == state).all())
            if worst <= _TOLERANCE * scale and settled:
                return _solution(c, volts, state, part, True, worst)
            if settled and worst < best[0]:
                best = (worst, volts, state)
            volts = volts - np.clip(pattern.factored(values).solve(rest), -longest, longest)
            state = _states(c, volts, state, careful)
    worst, volts, state = best
    return _solution(c, volts, state, part, worst <= 1e-6 * scale, worst)


def _states(c: Circuit, volts: np.ndarray, state: np.ndarray, one_at_a_time: bool) -> np.ndarray:
    """The state that each limited source should be in at these potentials."""
    straight = (c.limited_emf - _across(volts, c.limited)) / c.limited_ohms
    slack = 1e-9 * (1 + c.limit)
    wanted = np.where(straight > c.limit + slack, AT_LIMIT, np.where(straight < -slack, OFF, REGULATES))
    differs = np.flatnonzero(wanted != state)
    if one_at_a_time and len(
        differs
    ):  # the first that differs, never past regulation: Murty's rule, which cannot circle
        changed = state.copy()
        changed[differs[0]] = wanted[differs[0]] if state[differs[0]] == REGULATES else REGULATES
        return changed
    return wanted


def _parts(c: Circuit) -> tuple[np.ndarray, np.ndarray]:
    """The joined part of each node, and one node of each part to tie to zero."""
    count, part = parts_of(c.size, _branches(c))
    first = np.full(count, c.size)
    np.minimum.at(first, part, np.arange(c.size))
    return part, first


def _branches(c: Circuit) -> np.ndarray:
    """The ends of every branch."""
    return np.concatenate([c.wires, c.stiff, c.limited, c.loads, c.inputs])


def _pattern(c: Circuit, first: np.ndarray) -> Pattern:
    """Where the slopes stand that `_system` finds: those of the branches, of the inputs against what they feed, and the ties."""
    a, b = _branches(c).T
    out = c.limited[c.feeds].reshape(-1, 2)
    own, other = c.inputs.T, out.T
    rows = np.concatenate([a, b, a, b, own[0], own[1], own[0], own[1], first])
    columns = np.concatenate([a, b, b, a, other[0], other[1], other[1], other[0], first])
    return pattern_of(c.size, rows, columns)


def _across(volts: np.ndarray, ends: np.ndarray) -> np.ndarray:
    return volts[ends[:, 0]] - volts[ends[:, 1]]


def _limited(c: Circuit, volts: np.ndarray, state: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Current of each limited source and its slope against the voltage across it."""
    across = _across(volts, c.limited)
    straight = (c.limited_emf - across) / c.limited_ohms
    amps = np.where(state == REGULATES, straight, np.where(state == AT_LIMIT, c.limit, 0.0))
    return amps - IDLE * across, np.where(state == REGULATES, -1 / c.limited_ohms, 0.0) - IDLE


def _loads(c: Circuit, volts: np.ndarray, secant: bool) -> tuple[np.ndarray, np.ndarray]:
    """Current of each load and its slope; the secant slope, current over voltage, never falls."""
    across = _across(volts, c.loads)
    floor = np.maximum(c.floor, 1e-6)
    above = across >= floor
    safe = np.where(above, across, floor)
    power, steady = c.law == POWER, c.law == CURRENT
    amps = np.where(power, c.size_of_load / safe, c.size_of_load)
    below = amps / safe * across
    amps = np.where(above & ~(c.law == RESISTANCE), amps, np.where(c.law == RESISTANCE, c.size_of_load * across, below))
    slope = np.where(power & above, -c.size_of_load / safe**2, 0.0)
    slope = np.where(~above & (power | steady), np.where(power, c.size_of_load / safe, c.size_of_load) / safe, slope)
    slope = np.where(c.law == RESISTANCE, c.size_of_load, slope)
    if secant:
        slope = np.where(above & (power | steady), np.abs(amps) / safe, slope)
    return amps, slope


def _inputs(
    c: Circuit, volts: np.ndarray, state: np.ndarray, secant: bool
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Current of each input, its slope against its own voltage, and against the voltage of its output."""
    if not len(c.inputs):
        return np.zeros(0), np.zeros(0), np.zeros(0)
    out_volts = np.maximum(_across(volts, c.limited), 0.0)
    out_amps, out_slope = _limited(c, volts, state)
    watts = (out_volts * np.maximum(out_amps, 0.0))[c.feeds] / c.efficiency + c.idle
    steeper = np.where(out_volts > 0, out_amps + out_volts * out_slope, 0.0)[c.feeds] / c.efficiency
    across = _across(volts, c.inputs)
    floor = np.maximum(c.input_floor, 1e-6)
    above = across >= floor
    safe = np.where(above, across, floor)
    amps = np.where(above, watts / safe, watts * across / floor**2)
    slope = np.where(above, (1 if secant else -1) * watts / safe**2, watts / floor**2)
    cross = steeper * np.where(above, 1 / safe, across / floor**2)
    return amps, slope, np.zeros_like(cross) if secant else cross


def _system(
    c: Circuit, volts: np.ndarray, state: np.ndarray, first: np.ndarray, secant: bool
) -> tuple[np.ndarray, float, np.ndarray]:
    """What does not add up at each node [A], the scale of the currents, and the slopes in the order of `_pattern`."""
    wire_amps = _across(volts, c.wires) / c.ohms
    stiff_amps = (c.stiff_emf - _across(volts, c.stiff)) / c.stiff_ohms
    limited_amps, limited_slope = _limited(c, volts, state)
    load_amps, load_slope = _loads(c, volts, secant)
    input_amps, input_slope, input_cross = _inputs(c, volts, state, secant)
    rest = np.zeros(c.size)
    for ends, amps in (
        (c.wires, wire_amps),
        (c.stiff, -stiff_amps),
        (c.limited, -limited_amps),
        (c.loads, load_amps),
        (c.inputs, input_amps),
    ):
        rest += np.bincount(ends[:, 0], amps, c.size) - np.bincount(ends[:, 1], amps, c.size)
    rest[first] = 0.0  # what these nodes lack is what the others of their part have too much
    slopes = np.concatenate([1 / c.ohms, 1 / c.stiff_ohms, -limited_slope, _leaky(load_slope), _leaky(input_slope)])
    free = np.ones(c.size)
    free[first] = 0.0  # their rows say nothing but that they are tied
    a, b = _branches(c).T
    at_a, at_b, own, other = slopes * free[a], slopes * free[b], *(input_cross * free[c.inputs.T])
    values = np.concatenate([at_a, at_b, -at_a, -at_b, own, other, -own, -other, np.ones(len(first))])
    scale = 1.0 + max((float(np.abs(x).max(initial=0.0)) for x in (wire_amps, stiff_amps, load_amps)), default=0.0)
    return rest, scale, values


def _leaky(slope: np.ndarray) -> np.ndarray:
    return np.where(np.abs(slope) < IDLE, IDLE, slope)


def _solution(
    c: Circuit, volts: np.ndarray, state: np.ndarray, part: np.ndarray, converged: bool, unbalance: float
) -> Solution:
    return Solution(
        volts,
        _across(volts, c.wires) / c.ohms,
        (c.stiff_emf - _across(volts, c.stiff)) / c.stiff_ohms,
        _limited(c, volts, state)[0],
        _loads(c, volts, False)[0],
        _inputs(c, volts, state, False)[0],
        part,
        converged,
        unbalance,
    )
