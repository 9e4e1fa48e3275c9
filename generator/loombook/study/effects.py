"""How far each default moves the results: the highest fault current worked out again with another value of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from ..network import Network
from ..network.model import ALTERNATING
from ..quantities import in_unit
from . import defaults as d
from .defaults import Default, Effect
from .faults import FaultStudy
from .ledger import Ledger, told

GIVING = {d.LIMITED: d.LIMITED.low, d.MOTOR: d.MOTOR.low, d.INVERTER: d.INVERTER.low, d.SOLAR: 1.0}
"""Defaults that set what a source gives, not what resists it, and the least that it may be. An array's least is night,
which is no doubt about its most: there it is its short-circuit current."""
_LEAST = 1e-3


def effects(network: Network, faults: FaultStudy, ledger: Ledger) -> Mapping[Default, Effect]:
    """Default → its effect in words with a figure, at the place where it moves the highest fault current furthest."""
    found = {}
    for default, parts in ledger.parts.items():
        if any(network.edges[id].kind in ALTERNATING for id in parts):
            found[default] = _width(network, faults, parts)
        elif default in GIVING:
            found[default] = _gift(network, faults, default, parts)
        else:
            found[default] = _doubled(network, faults, parts)
    return found


def _width(network: Network, faults: FaultStudy, parts: Mapping[str, float]) -> Effect:
    """Of what AC sources give: the place that they feed with the widest range."""
    fed = {id: f for id, f in faults.at.items() if f.highest and any(source in parts for source, _ in f.shares)}
    widths = ((1 - f.highest.low / f.highest.high, id) for id, f in fed.items() if network.nodes[id].pole == "L")
    part, place = max(widths, default=(0.0, ""))
    if part <= _LEAST:
        return Effect("less than 0.1 % of any fault current", 0.0)
    span = told(faults.at[place].highest, "current")
    return Effect(f"over its range the highest fault current at {place} is {span}: {_percent(part)}", part)


def _gift(network: Network, faults: FaultStudy, default: Default, parts: Mapping[str, float]) -> Effect:
    """Of what DC sources give: the place where they give the largest part."""
    shares = (
        (sum(amps for source, amps in f.shares if source in parts) / f.highest.high, id)
        for id, f in faults.at.items()
        if f.highest and f.highest.high > 0 and network.nodes[id].pole == "+"
    )
    share, place = max(shares, default=(0.0, ""))
    part = share * (1 - GIVING[default] / default.high)
    if part <= _LEAST:  # smaller shares than half a per cent are not kept
        return Effect("less than 0.5 % of any fault current of direct current", 0.0)
    amps = in_unit(faults.at[place].highest.high, "current", 3)
    gives = f"gives {_percent(share)} of the highest fault current at {place}, {amps}"
    return Effect(f"{gives}; the least of its range would lower it by {_percent(part)}", part)


def _doubled(network: Network, faults: FaultStudy, parts: Mapping[str, float]) -> Effect:
    """Of what resists: every place shorted again with twice as much of it."""
    case, shorts = faults.highest[0]
    twice = replace(
        case,
        ohms={id: ohms * (1 + parts.get(id, 0.0)) for id, ohms in case.ohms.items()},
        feeds=[replace(f, ohms=f.ohms * (1 + parts.get(f.edge.id, 0.0))) for f in case.feeds],
    )
    direct = [i for i, (id, _) in enumerate(case.pairs) if network.nodes[id].pole == "+" and not faults.at[id].missing]
    before, after = shorts.current[direct], twice.currents()[direct]
    lowered = np.divide(before - after, before, out=np.zeros_like(before), where=before > 0)
    at = int(lowered.argmax()) if len(lowered) else -1
    if at < 0 or lowered[at] <= _LEAST:
        return Effect("less than 0.1 % of any fault current of direct current", 0.0)
    amps, part = in_unit(float(before[at]), "current", 3), float(lowered[at])
    place = case.pairs[direct[at]][0]
    return Effect(f"twice as much would lower the highest fault current at {place}, {amps}, by {_percent(part)}", part)


def _percent(part: float) -> str:
    return in_unit(part, "ratio", 2)
