"""One fault of alternating current worked the long way, over the whole AC wiring, and written as a SPICE netlist.

Resistance and inductance stand in series for every conductor and source. What limits itself stands as a current source
where it is at its limit. The netlist is solved at 50 Hz, where the reactances were given.
"""

from __future__ import annotations

from cmath import phase, rect
from collections.abc import Sequence
from dataclasses import dataclass, field
from math import degrees, pi

import numpy as np

from ..network import Edge
from .accase import POLES, shorted
from .faultcase import FaultCase
from .grid import factor, incidence
from .thevenin import Feed

FREQUENCY = 50.0
"""[Hz]"""
SHORT = 1e-8
"""Resistance of the short circuit [Ω]."""


@dataclass(frozen=True)
class AcCase:
    """One AC place shorted in one case, with every branch and its current."""

    name: str
    ids: Sequence[str] = field(repr=False)
    wires: Sequence[Edge] = field(repr=False)
    ends: np.ndarray = field(repr=False)
    impedance: np.ndarray = field(repr=False)
    """Of each wire [Ω], complex."""
    feeds: Sequence[Feed] = field(repr=False)
    feed_ends: np.ndarray = field(repr=False)
    inner: np.ndarray = field(repr=False)
    """Of each source [Ω], complex."""
    held: Sequence[complex | None] = field(repr=False)
    """The current of each source that is at its limit [A]; None for the others."""
    fault: tuple[int, int]
    volts: np.ndarray = field(repr=False)
    """Of each node against its part's neutral, complex [V]."""
    part: np.ndarray = field(repr=False)

    @property
    def amps(self) -> complex:
        """The fault current [A]."""
        return complex(self.volts[self.fault[0]] - self.volts[self.fault[1]]) / SHORT

    @property
    def given(self) -> np.ndarray:
        """Current of each source out of its line [A]."""
        across = self.volts[self.feed_ends[:, 0]] - self.volts[self.feed_ends[:, 1]]
        free = (np.array([f.emf for f in self.feeds]) - across) / self.inner
        return np.array([own if own is not None else there for own, there in zip(self.held, free)])


def short_in_full(case: FaultCase, place: str) -> AcCase:
    """Short one AC place of a case over the whole of its AC wiring."""
    network = case.grid.core.network
    number = next(i for i, (node, _) in enumerate(case.pairs) if node == place)
    quick, _, feeds = shorted(case, np.array([number]))
    angle = float(np.real(quick.angle[0])) if quick is not None else 0.0
    rows = [case.feeds[i] for i in feeds]
    inner = np.array([f.inner + rect(f.swing, angle) or 1e-9 for f in rows], dtype=complex)
    ids = [n.id for n in network.nodes.values() if n.pole in POLES]
    at = {id: i for i, id in enumerate(ids)}
    wires = [e for e in case.edges if e.a in at and e.b in at]
    ends = np.array([(at[e.a], at[e.b]) for e in wires], dtype=int).reshape(-1, 2)
    impedance = np.array([complex(case.ohms[e.id], case.reactances.get(e.id, 0.0)) for e in wires], dtype=complex)
    feed_ends = np.array([(at[f.edge.b], at[f.edge.a]) for f in rows], dtype=int).reshape(-1, 2)
    fault = (at[place], at[case.pairs[number][1]])
    held: list[complex | None] = [None] * len(rows)
    found, unit = None, 0j
    for _ in range(len(rows) + 1):
        volts, part = _solve(len(ids), ends, impedance, rows, feed_ends, inner, held, fault)
        found = AcCase(
            f"{place}, {case.name}", ids, wires, ends, impedance, rows, feed_ends, inner, held, fault, volts, part
        )
        unit = unit or (found.amps / abs(found.amps) if abs(found.amps) > 0 else 1.0)
        over = [
            f.limit * unit if own is None and f.limit is not None and abs(amps) > f.limit * (1 + 1e-9) else own
            for f, own, amps in zip(rows, held, found.given)
        ]
        if over == held:
            break
        held = over
    return found


def _solve(
    size: int, ends: np.ndarray, impedance: np.ndarray, feeds: Sequence[Feed], feed_ends: np.ndarray,
    inner: np.ndarray, held: Sequence[complex | None], fault: tuple[int, int],
) -> tuple[np.ndarray, np.ndarray]:  # fmt: skip
    free = np.array([own is None for own in held], dtype=bool)
    branches = np.concatenate([ends, feed_ends[free], np.array([fault])])
    admittances = 1 / np.concatenate([impedance, inner[free], [SHORT]])
    solver = factor(size, branches, admittances)
    norton = np.array([f.emf / z if own is None else own for f, z, own in zip(feeds, inner, held)], dtype=complex)
    towards = incidence(size, feed_ends) @ norton if len(feeds) else np.zeros(size, dtype=complex)
    return solver.solve(towards.real) + 1j * solver.solve(towards.imag), solver.part


def ac_netlist(case: AcCase, title: str, names) -> str:
    """The case as a netlist for an AC analysis; the current of `V_fault` is the fault current."""
    lines = [
        f"* {title}",
        "* made by Loombook from the inventory; volts, amperes, ohms, henries",
        ".options reltol=1e-9 gmin=1e-15",
    ]
    for edge, pair, z in zip(case.wires, case.ends, case.impedance):
        lines += _series(f"{names.element(edge)}", names(pair[0]), names(pair[1]), complex(z))
    for feed, pair, z, own in zip(case.feeds, case.feed_ends, case.inner, case.held):
        element, high, low = names.element(feed.edge), names(pair[0]), names(pair[1])
        if own is None:
            lines.append(f"V_{element} inside_{element} {low} AC {feed.emf:.15g}")
            lines += _series(element, f"inside_{element}", high, complex(z))
        else:
            lines.append(f"I_{element} {low} {high} AC {abs(own):.15g} {degrees(phase(own)):.15g}")
    high, low = names(case.fault[0]), names(case.fault[1])
    lines += [f"R_fault {high} fault_end {SHORT:.15g}", f"V_fault fault_end {low} AC 0"]
    return "\n".join([*lines, f".ac lin 1 {FREQUENCY:g} {FREQUENCY:g}", *names.legend(), ".end"]) + "\n"


def _series(element: str, high: str, low: str, z: complex) -> list[str]:
    """Resistance and inductance in a row; what is next to nothing beside the other is left out."""
    if abs(z.imag) < 1e-12 * abs(z):
        return [f"R_{element} {high} {low} {z.real:.15g}"]
    henries = f"{z.imag / (2 * pi * FREQUENCY):.15g}"
    if abs(z.real) < 1e-12 * abs(z):
        return [f"L_{element} {high} {low} {henries}"]
    return [f"R_{element} {high} mid_{element} {z.real:.15g}", f"L_{element} mid_{element} {low} {henries}"]


__all__ = ["AcCase", "ac_netlist", "short_in_full"]
