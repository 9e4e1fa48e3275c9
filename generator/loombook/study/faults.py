"""Prospective short-circuit current, highest and lowest, at every live node, from the network as it is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from ..calc.fault_dc import ARC_MARGIN
from ..network import Network
from .defaults import Ledger, told
from .faultcase import FaultCase, FaultModel, Way
from .model import Fault, Range, Resistance, Why
from .sources import Source
from .thevenin import Feed, Shorts

_SAME = 1e-3
_SMALL_SHARE = 0.005


@dataclass(frozen=True)
class _Most:
    """The highest fault at one node over the states looked at."""

    high: float
    low: float
    sustained: float
    before: float
    shares: tuple[tuple[str, float], ...]
    ruled_by: str
    state: str
    missing: tuple[str, ...]


def faults(network: Network, resistances: Mapping[str, Resistance], sources: Mapping[str, Source], ledger: Ledger) -> Mapping[str, Fault]:
    """Live node → its fault current."""
    model = FaultModel(network, resistances, sources, ledger)
    most, least = _highest(model), _lowest(model)
    hot = [n.id for n in network.nodes.values() if n.pole in ("+", "L")]
    return {node: _fault(model, node, most.get(node), least.get(node)) for node in hot}


def _highest(model: FaultModel) -> Mapping[str, _Most]:
    found: dict[str, _Most] = {}
    for words, grid in model.worst.items():
        case, lean, settled = model.highest(words, grid)
        high, low, late = case.solve(), lean.solve(), settled.solve()
        blind = _blind(model, case, high)
        for i, (node, _) in enumerate(case.pairs):
            amps = float(high.current[i])
            if amps > 0 and (node not in found or amps > found[node].high * (1 + _SAME)):
                found[node] = _Most(
                    amps,
                    min(float(low.current[i]), amps),
                    min(float(late.current[i]), amps),
                    float(high.before[i]),
                    _shares(case.feeds, high.given[:, i], amps),
                    _ruling(case, i, high),
                    words,
                    blind.get(node, ()),
                )
    return found


def _lowest(model: FaultModel) -> Mapping[str, tuple[Range, Way]]:
    found: dict[str, tuple[Range, Way]] = {}
    for way, most_ohms, least_ohms in model.lowest():
        lows, highs = most_ohms.solve().current, least_ohms.solve().current
        for (node, _), low, high in zip(most_ohms.pairs, (lows * (1 - ARC_MARGIN)).tolist(), (highs * (1 - ARC_MARGIN)).tolist()):
            if low > 0 and (node not in found or low < found[node][0].low):
                found[node] = (Range(low, max(low, high)), way)
    return found


def _shares(feeds: Sequence[Feed], given: np.ndarray, total: float) -> tuple[tuple[str, float], ...]:
    rows = [(f.edge.id, float(amps)) for f, amps in zip(feeds, given) if amps > _SMALL_SHARE * total]
    return tuple(sorted(rows, key=lambda row: (-row[1], row[0])))


def _ruling(case: FaultCase, i: int, high: Shorts) -> str:
    """What rules the highest current: the limit of a source, or the part in which most of the power goes."""
    grid, amps = case.grid, float(high.current[i])
    given = dict(zip([f.edge.id for f in case.feeds], high.given[:, i].tolist()))
    limited = [f.edge.id for f in case.feeds if f.limit is not None and f.edge.kind != "motor"]
    largest = max(limited, key=given.__getitem__, default="")
    if largest and given[largest] > amps / 2:
        return largest
    best, watts = "", 0.0
    if high.ruling[i] >= 0:
        best, watts = grid.edges[high.ruling[i]], float(high.ruling_watts[i])
    for feed in case.feeds:
        if feed.limit is None and (power := given[feed.edge.id] ** 2 * feed.ohms) > watts:
            best, watts = feed.edge.id, power
    if case.extra[i] * amps**2 > watts:
        for edge in (way for node in case.pairs[i] for way in grid.outward(node)):
            if (power := case.ohms[edge.id] * amps**2) > watts:
                best, watts = edge.id, power
    return best


def _blind(model: FaultModel, case: FaultCase, high: Shorts) -> Mapping[str, tuple[str, ...]]:
    """Node → cables of unknown resistance on which its highest current depends."""
    if not model.unknown:
        return {}
    grid, edges = case.grid, model.network.edges
    inside = tuple(id for id in grid.edges if id in model.unknown)
    moved = np.zeros(len(case.pairs), dtype=bool)
    if inside:
        without = replace(case, ohms={**case.ohms, **dict.fromkeys(inside, np.inf)}).solve()
        moved = np.abs(without.current - high.current) > _SAME * np.maximum(high.current, 1e-9)
    found = {}
    for i, pair in enumerate(case.pairs):
        lacking = tuple(e.id for node in pair for e in grid.outward(node) if e.id in model.unknown)
        if moved[i]:
            mine = {grid.part[grid.attach[node]] for node in pair}
            lacking += tuple(id for id in inside if grid.part[grid.index[edges[id].a]] in mine)
        if lacking:
            found[pair[0]] = tuple(dict.fromkeys(lacking))
    return found


def _fault(model: FaultModel, node: str, most: _Most | None, least: tuple[Range, Way] | None) -> Fault:
    against = model.against.get(node, "")
    if most is None:
        return Fault(None, None, against=against)
    lowest, way = least or (None, ())
    return Fault(
        highest=Range(most.high, most.high) if most.missing else Range(most.low, most.high),
        lowest=lowest,
        shares=most.shares,
        volts=most.before,
        against=against,
        assumed=any(model.sources[id].assumed for id, _ in most.shares if id in model.sources),
        why=_why(model.network, most, lowest),
        sustained=most.sustained,
        weakest=way,
        ruled_by=most.ruled_by,
        state=most.state,
        missing=most.missing,
    )


def _why(network: Network, most: _Most, lowest: Range | None) -> Why:
    inputs = tuple((f"{network.title(network.edges[id].item)} ({id})", f"{amps:.0f} A of it", "computed") for id, amps in most.shares[:6])
    steps = [("voltage before the fault", f"{most.before:.2f} V"), ("highest", told(Range(most.low, most.high), "current"))]
    if lowest:
        steps.append(("lowest, with 10 % for the arc", told(lowest, "current")))
    return Why(
        "highest: nodal solution, cold, full, every source, every switch closed; lowest: hot, low, one source alone, × 0.9",
        "IEC 61660-1 for the batteries; Kirchhoff's laws",
        inputs,
        tuple(steps),
        "computed",
    )
