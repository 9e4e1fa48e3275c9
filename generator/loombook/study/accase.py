"""The alternating-current places of a fault case: their wiring with its reactance, and the answers put with the rest."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from math import isfinite
from typing import TYPE_CHECKING

import numpy as np

from ..calc.ac import REACTANCE
from ..network import Edge, Network
from .alternating import AcShorts, Wiring
from .defaults import REACTANCE_TAKEN
from .ledger import Ledger
from .thevenin import Shorts

if TYPE_CHECKING:
    from .faultcase import FaultCase

POLES = ("L", "N")


def reactances(network: Network, ledger: Ledger) -> tuple[Mapping[str, float], Mapping[str, float]]:
    """Edge id → reactance of an AC cable with its length at the least, and at the most [Ω]."""
    found = {
        e.id: e.cable.length
        for e in network.edges.values()
        if e.cable and e.cable.length and network.nodes[e.a].pole in POLES
    }
    for id in found:
        ledger.use(REACTANCE_TAKEN, network.edges[id].item)
    return (
        {id: REACTANCE * length.low for id, length in found.items()},
        {id: REACTANCE * length.high for id, length in found.items()},
    )


def feeding(case: FaultCase) -> list[int]:
    """Which of a case's sources are of alternating current."""
    nodes = case.grid.core.network.nodes
    return [i for i, f in enumerate(case.feeds) if nodes[f.edge.b].pole == "L" and f.edge.kind != "motor"]


def shorted(case: FaultCase, places: np.ndarray) -> tuple[AcShorts | None, np.ndarray, list[int]]:
    """Some AC places of a case shorted, one at a time; the numbers in the grid of the edges, and of the feeds."""
    grid = case.grid
    inside = np.array([i for i, id in grid.alternating if isfinite(case.ohms[id])], dtype=int)
    feeds = feeding(case)
    if not feeds:
        return None, inside, feeds
    impedance = np.array(
        [complex(case.ohms[id], case.reactances.get(id, 0.0)) for id in (grid.edges[i] for i in inside)]
    )
    wiring = Wiring(grid, grid.ends[inside].reshape(-1, 2), impedance.astype(complex))
    pairs = [case.pairs[i] for i in places]
    ends = np.array([(grid.attach[a], grid.attach[b]) for a, b in pairs], dtype=int).reshape(-1, 2)
    extra = np.array([_outward(case, a) + _outward(case, b) for a, b in pairs], dtype=complex)
    return wiring.short([case.feeds[i] for i in feeds], ends, extra, case.most), inside, feeds


def _outward(case: FaultCase, node: str) -> complex:
    """Impedance of the radial wiring out to a node [Ω]."""
    way: Sequence[Edge] = case.grid.outward(node)
    return complex(sum(case.ohms[e.id] for e in way), sum(case.reactances.get(e.id, 0.0) for e in way))


def put(case: FaultCase, found: Shorts) -> Shorts:
    """The answers of the resistive solution, with those of the AC places in their stead."""
    places = case.alternating
    answer, inside, feeds = shorted(case, places)
    current, before, given = found.current.copy(), found.before.copy(), found.given.copy()
    ruling, watts, watched = found.ruling.copy(), found.ruling_watts.copy(), found.watched.copy()
    current[places] = before[places] = watts[places] = 0.0
    given[:, places], ruling[places] = 0.0, -1
    if answer is not None:
        current[places], before[places] = answer.current, answer.before
        given[np.ix_(feeds, places)] = answer.given
        _rule(case, answer, inside, places, ruling, watts)
        if len(watched):
            _watch(case, answer, inside, places, watched)
    return replace(
        found, current=current, before=before, given=given, ruling=ruling, ruling_watts=watts, watched=watched
    )


def _rule(
    case: FaultCase, answer: AcShorts, inside: np.ndarray, places: np.ndarray, ruling: np.ndarray, watts: np.ndarray
) -> None:
    """The edge in which the most voltage of each fault is used up, resistance and reactance alike."""
    if len(inside):
        ohms = np.array(
            [abs(complex(case.ohms[id], case.reactances.get(id, 0.0))) for id in (case.grid.edges[i] for i in inside)]
        )
        power = np.abs(answer.through) ** 2 * ohms[:, None]
        best = power.argmax(axis=0)
        ruling[places] = inside[best]
        watts[places] = power[best, np.arange(len(places))]


def _watch(case: FaultCase, answer: AcShorts, inside: np.ndarray, places: np.ndarray, watched: np.ndarray) -> None:
    """What the watched devices carry of each fault, by modulus."""
    row = {case.grid.edges[i]: n for n, i in enumerate(inside.tolist())}
    for n, id in enumerate(case.watch):
        if id in row:
            watched[n, places] = np.abs(answer.through[row[id]])
