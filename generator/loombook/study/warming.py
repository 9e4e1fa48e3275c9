"""Cables at the temperature that their own current gives them, for the load flow."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from ..calc.ampacity import ASSUMED_INSULATION, TABLE_AMBIENT, engine_ambient
from ..calc.conductors import temperature_factor
from ..calc.tables import OutOfTable
from ..network import Edge, Network
from .carrying import ampacity, rule_sets, surroundings
from .defaults import Ledger
from .resistances import cable_parts

HOTTEST = 200.0
"""Conductor temperature that is not gone beyond [°C]: something has given way before."""


class Warming:
    """The resistance of cables at the temperature that their own current gives them."""

    def __init__(self, network: Network, wires: Sequence[Edge], ledger: Ledger) -> None:
        rows = []
        for i, edge in enumerate(wires):
            if edge.kind == "conductor" and edge.cable.area is not None and edge.cable.length is not None:
                copper, ends = cable_parts(network, edge, ledger)
                rows.append((i, copper, ends, *_comfort(network, edge)))
        table = np.array(rows, dtype=float).reshape(-1, 6)
        self.which = table[:, 0].astype(int)
        self.copper, self.ends, self.allowed, self.ambient, self.limit = table[:, 1:].T

    def ohms(self, ohms: np.ndarray, amps: np.ndarray, closed: np.ndarray) -> np.ndarray:
        """The wires' resistances for the currents found."""
        every = np.zeros(len(closed))
        every[closed] = amps
        load = np.where(self.allowed > 0, every[self.which] / np.maximum(self.allowed, 1e-6), 1.0)
        celsius = np.minimum(self.ambient + (self.limit - self.ambient) * load**2, HOTTEST)
        found = np.zeros(len(closed))
        found[closed] = ohms
        found[self.which] = self.copper * temperature_factor(celsius) + self.ends
        return found[closed]


def _comfort(network: Network, edge: Edge) -> tuple[float, float, float]:
    """What a cable may carry here [A], the temperature around it and the highest of its insulation [°C]."""
    insulation = edge.cable.insulation or network.inventory.defaults.insulation
    limit = insulation.low if insulation else ASSUMED_INSULATION
    engine, ambient = surroundings(network, edge)
    around = max(engine_ambient("iso") if engine else TABLE_AMBIENT, ambient or 0.0)
    try:
        allowed = min(ampacity(network, edge, rules).amperes for rules in rule_sets(network))
    except OutOfTable:
        allowed = 0.0
    return allowed, min(around, limit), limit
