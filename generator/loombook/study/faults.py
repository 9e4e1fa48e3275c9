"""Prospective short-circuit current, highest and lowest, at every live node, from the network as it is."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial

import numpy as np

from ..calc.fault_dc import ARC_MARGIN
from ..network import Network
from .faultcase import FaultCase, FaultModel, Way
from .ledger import Ledger, told
from .model import Fault, Range, Resistance, Why
from .sources import Source
from .states import Cores
from .thevenin import Feed, Shorts

_SAME = 1e-3
_SMALL_SHARE = 0.005
_ROUNDING = 1e-6
"""A current below this is what the solver's rounding leaves where a source gives nothing [A]."""


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


@dataclass(frozen=True)
class Lowest:
    """The lowest faults that one set of sources gives alone in one state."""

    way: Way
    case: FaultCase
    low: np.ndarray
    """Current at each place of the case, with the arc [A]."""
    high: np.ndarray
    watched: np.ndarray
    """What the watched devices carry of it, with the arc [A]."""
    assumed: bool
    """Whether one of the sources has a default for its resistance or limit."""


@dataclass(frozen=True)
class FaultStudy:
    """Every fault current, and what the fuses and breakers carry of them."""

    at: Mapping[str, Fault]
    through: Mapping[str, float]
    """Device of the core → the largest current through it when either end of it is shorted [A]."""
    normal: tuple[FaultCase, Shorts]
    """The highest with the switches in normal position."""
    highest: Sequence[tuple[FaultCase, Shorts]]
    lowest: Sequence[Lowest]


def study_faults(
    network: Network,
    resistances: Mapping[str, Resistance],
    sources: Mapping[str, Source],
    ledger: Ledger,
    cores: Cores | None = None,
) -> FaultStudy:
    """All fault currents of a vessel."""
    model = FaultModel(network, resistances, sources, ledger, cores)
    through: dict[str, float] = {}
    cases: list[tuple[FaultCase, Shorts]] = []
    most, lowest = _highest(model, through, cases), list(_lowest(model))
    alone = _alone(lowest)
    hot = [n.id for n in network.nodes.values() if n.pole in ("+", "L")]
    at = {node: _fault(model, node, most.get(node), alone.get(node, ())) for node in hot}
    usual = model.highest("normal positions", model.normal)[0]
    return FaultStudy(at, through, (usual, usual.solve()), cases, lowest)


def faults(
    network: Network, resistances: Mapping[str, Resistance], sources: Mapping[str, Source], ledger: Ledger
) -> Mapping[str, Fault]:
    """Live node → its fault current."""
    return study_faults(network, resistances, sources, ledger).at


def _highest(
    model: FaultModel, through: dict[str, float], cases: list[tuple[FaultCase, Shorts]]
) -> Mapping[str, _Most]:
    found: dict[str, _Most] = {}
    for words, grid in model.worst.items():
        case, lean, settled = model.highest(words, grid)
        high, low, late = case.solve(), lean.currents(), settled.currents()
        blind = _blind(model, case, high)
        _note_through(model.network, case, high, through)
        cases.append((case, high))
        for i, (node, _) in enumerate(case.pairs):
            amps = float(high.current[i])
            if amps > 0 and (node not in found or amps > found[node].high * (1 + _SAME)):
                found[node] = _Most(
                    amps,
                    min(float(low[i]), amps),
                    min(float(late[i]), amps),
                    float(high.before[i]),
                    _shares(case.feeds, high.given[:, i], amps),
                    _ruling(case, i, high),
                    words,
                    blind.get(node, ()),
                )
    return found


def _note_through(network: Network, case: FaultCase, high: Shorts, through: dict[str, float]) -> None:
    """What each device of the core carries when one of its ends is shorted."""
    place = {node: i for i, (node, _) in enumerate(case.pairs)}
    for row, id in enumerate(case.watch):
        ends = [place[n] for n in (network.edges[id].a, network.edges[id].b) if n in place]
        amps = max((abs(float(high.watched[row, i])) for i in ends), default=0.0)
        through[id] = max(through.get(id, 0.0), amps)


def _lowest(model: FaultModel) -> Iterator[Lowest]:
    for way, most_ohms, least_ohms in model.lowest():
        weak, strong = most_ohms.solve(ruling=False), least_ohms.currents()
        keep = 1 - ARC_MARGIN
        yield Lowest(
            way,
            most_ohms,
            weak.current * keep,
            np.maximum(strong, weak.current) * keep,
            np.abs(weak.watched) * keep,
            any(model.sources[id].assumed for id in way),
        )


def _alone(lowest: Sequence[Lowest]) -> Mapping[str, tuple[tuple[Way, Range], ...]]:
    """Place → the lowest current of each set of sources that feeds it alone, the lowest first."""
    found: dict[str, dict[Way, Range]] = {}
    for row in lowest:
        for (node, _), low, high in zip(row.case.pairs, row.low.tolist(), row.high.tolist()):
            if low > _ROUNDING:
                known = found.setdefault(node, {})
                if row.way not in known or low < known[row.way].low:
                    known[row.way] = Range(low, high)
    return {node: tuple(sorted(ways.items(), key=lambda way: (way[1].low, way[0]))) for node, ways in found.items()}


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
        without = replace(case, ohms={**case.ohms, **dict.fromkeys(inside, np.inf)}).currents()
        moved = np.abs(without - high.current) > _SAME * np.maximum(high.current, 1e-9)
    found = {}
    for i, pair in enumerate(case.pairs):
        lacking = tuple(e.id for node in pair for e in grid.outward(node) if e.id in model.unknown)
        if moved[i]:
            mine = {grid.part[grid.attach[node]] for node in pair}
            lacking += tuple(id for id in inside if grid.part[grid.index[edges[id].a]] in mine)
        if lacking:
            found[pair[0]] = tuple(dict.fromkeys(lacking))
    return found


def _fault(model: FaultModel, node: str, most: _Most | None, alone: tuple[tuple[Way, Range], ...]) -> Fault:
    against = model.against.get(node, "")
    if most is None:
        return Fault(None, None, against=against)
    way, lowest = alone[0] if alone else ((), None)
    highest = Range(most.high, most.high) if most.missing else Range(most.low, most.high)
    return Fault(
        highest=highest,
        lowest=lowest,
        shares=most.shares,
        volts=most.before,
        against=against,
        assumed=any(model.sources[id].assumed for id, _ in most.shares if id in model.sources),
        lowest_assumed=any(model.sources[id].assumed for id in way),
        how=partial(_why, model.network, most, highest, lowest),
        sustained=most.sustained,
        weakest=way,
        ruled_by=most.ruled_by,
        state=most.state,
        missing=most.missing,
        alone=alone,
    )


def _why(network: Network, most: _Most, highest: Range, lowest: Range | None) -> Why:
    inputs = tuple(
        (f"{network.title(network.edges[id].item)} ({id})", f"{amps:.0f} A of it", "computed")
        for id, amps in most.shares[:6]
    )
    steps = [
        ("voltage before the fault", f"{most.before:.2f} V"),
        ("highest, at most" if most.missing else "highest", told(highest, "current")),
    ]
    if most.missing:
        cables = ", ".join(dict.fromkeys(network.edges[id].item for id in most.missing))
        steps.append(("counted as nothing, for want of a length or an area", cables))
    if lowest:
        steps.append(("lowest, with 10 % for the arc", told(lowest, "current")))
    return Why(
        "highest: nodal solution, cold, full, every source, every switch closed; "
        "lowest: hot, low, one source alone, × 0.9",
        "IEC 61660-1 for the batteries; Kirchhoff's laws",
        inputs,
        tuple(steps),
        "computed",
    )
