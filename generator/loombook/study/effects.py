"""How far each default moves the results: its part of the voltage, or of the current, of the fault at the main bar."""

from __future__ import annotations

from collections.abc import Mapping

from ..network import Network
from ..quantities import digits
from . import defaults as d
from .defaults import Default, Effect, Ledger
from .faults import FaultStudy
from .model import Fault

GIVING = (d.LIMITED, d.MOTOR, d.INVERTER, d.SOLAR)
"""Defaults that set what a source gives, not what resists it."""
_LEAST = 5e-4


def effects(network: Network, faults: FaultStudy, ledger: Ledger) -> Mapping[Default, Effect]:
    """Default → its effect in words with a figure, as far as it shows at the place with the largest fault current."""
    place = main_place(network, faults.at)
    if place is None:
        return {}
    current, of_voltage, of_current = _parts(network, faults, place)
    found, kilo = {}, digits(current / 1000, 3)
    for default, parts in ledger.parts.items():
        if default in GIVING:
            share = sum(of_current.get(id, 0.0) for id in parts)
            moves = share * (1 - default.low / default.high)
            gives = f"gives {digits(100 * share, 2)} % of the highest fault current at {place}, {kilo} kA"
            words = f"{gives}; the least of its range would lower it by {digits(100 * moves, 2)} %"
        else:
            share = sum(of_voltage.get(id, 0.0) * part for id, part in parts.items())
            moves = share / (1 + share)
            takes = f"takes {digits(100 * share, 2)} % of the voltage of the highest fault at {place}"
            words = f"{takes}; twice as much would lower its {kilo} kA by {digits(100 * moves, 2)} %"
        if share <= _LEAST:
            words = f"less than 0.1 % of the highest fault current at {place}; it matters nearer to the items named"
        found[default] = Effect(words, moves)
    return found


def main_place(network: Network, faults: Mapping[str, Fault]) -> str | None:
    """The live DC bar or panel with the largest fault current; without one, any live DC place."""
    shared = {*network.inventory.bars, *network.inventory.panels}
    live = [
        (f.highest.high, id)
        for id, f in faults.items()
        if f.highest and network.nodes[id].pole == "+" and not f.missing
    ]
    bars = [(amps, id) for amps, id in live if network.nodes[id].item in shared and " way " not in id]
    return max(bars or live, key=lambda row: (row[0], row[1]), default=(0.0, None))[1]


def _parts(network: Network, faults: FaultStudy, place: str) -> tuple[float, Mapping[str, float], Mapping[str, float]]:
    """The fault current at a place, each edge's part of the power that it turns to heat, each source's part of the
    current."""
    case = next(case for case, _ in faults.highest if any(node == place for node, _ in case.pairs))
    shorted = case.shorted(place)
    solution, circuit = shorted.solution, shorted.circuit
    current = -float(solution.stiff[-1])
    watts = dict(zip([e.id for e in shorted.wires], (solution.wires**2 * circuit.ohms).tolist()))
    watts |= dict(
        zip([e.id for e in shorted.stiff[:-1]], (solution.stiff[:-1] ** 2 * circuit.stiff_ohms[:-1]).tolist())
    )
    total = sum(watts.values()) or 1.0
    given = dict(zip([e.id for e in shorted.limited], solution.limited.tolist()))
    return current, {id: w / total for id, w in watts.items()}, {id: amps / current for id, amps in given.items()}
