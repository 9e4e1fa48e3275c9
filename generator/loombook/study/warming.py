"""Cables at the temperature that their own current gives them, for the load flow."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from ..calc.ampacity import ASSUMED_INSULATION, TABLE_AMBIENT, engine_ambient
from ..calc.conductors import temperature_factor
from ..calc.tables import OutOfTable
from ..network import Edge, Network
from .carrying import ampacity, rule_sets, surroundings
from .ledger import Ledger
from .model import Flow
from .resistances import cable_parts

HOTTEST = 200.0
"""Conductor temperature that is not gone beyond [°C]: something has given way before."""


class Warming:
    """The resistance of cables at the temperature that their own current gives them."""

    def __init__(self, network: Network, wires: Sequence[Edge], ledger: Ledger) -> None:
        self.wires, rows = wires, []
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
        celsius = warmed(self.ambient, self.limit, load)
        found = np.zeros(len(closed))
        found[closed] = ohms
        found[self.which] = self.copper * temperature_factor(celsius) + self.ends
        return found[closed]


def warmed(ambient, limit, load):
    """Temperature of a conductor that its own current warms: what it may carry brings it to its insulation's limit.

    T = T_a + (T_i − T_a) · (I / I_z)²

    Args:
        ambient: around it T_a [°C]
        limit: highest temperature of its insulation T_i [°C]
        load: its current over what it may carry here, I / I_z [1]
    Returns:
        temperature, never more than `HOTTEST` [°C]
    Source: heat in proportion to the square of the current (physics); I_z as the rule set's table has it.

    >>> float(warmed(30.0, 105.0, 0.5))
    48.75
    """
    return np.minimum(ambient + (limit - ambient) * load**2, HOTTEST)


@dataclass(frozen=True)
class Warm:
    """How warm one conductor gets by its own current, in the load flow that warms it most."""

    condition: str
    """The operating condition."""
    amps: float
    """Its current then [A]."""
    allowed: float
    """What it may carry where it lies [A]; 0 where the table does not reach it: then it is taken at its limit."""
    ambient: float
    """[°C]"""
    limit: float
    """Of its insulation [°C]."""

    @property
    def celsius(self) -> float:
        return self.at(self.amps)

    def at(self, amps: float) -> float:
        """Its temperature at another current [°C]."""
        return float(warmed(self.ambient, self.limit, amps / self.allowed if self.allowed > 0 else 1.0))


class Warmth(Mapping[str, Warm]):
    """Conductor edge id → how warm it gets; of those with area and length. Worked out when asked."""

    def __init__(self, warming: Warming, flows: Mapping[str, Flow]) -> None:
        self.warming, self.flows = warming, flows
        self._place = {warming.wires[i].id: n for n, i in enumerate(warming.which.tolist())}

    def __getitem__(self, edge: str) -> Warm:
        n = self._place[edge]
        amps, condition = max(
            ((abs(flow.amps.get(edge, 0.0)), name) for name, flow in self.flows.items()), key=lambda found: found[0]
        )
        return Warm(
            condition,
            round(amps, 6),
            *(float(of[n]) for of in (self.warming.allowed, self.warming.ambient, self.warming.limit)),
        )

    def __iter__(self) -> Iterator[str]:
        return iter(self._place)

    def __len__(self) -> int:
        return len(self._place)


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
