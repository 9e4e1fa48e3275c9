"""The dip at every bus when a motor starts: the load flow again, with the motor at its start current."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ..network import Consumer, Network
from ..network.live import alive, sources_on
from .layout import Case, Layout
from .solve import RESISTANCE
from .states import Cores


@dataclass(frozen=True)
class Dip:
    """The start of one motor."""

    motor: str
    condition: str
    """The operating condition that it starts in."""
    amps: float
    """Current that it draws once the voltage has dipped [A]."""
    stated: bool
    """Whether its start current is given; if not, its rated current is taken and the dip is deeper."""
    before: Mapping[str, float]
    """Bar or panel → its voltage before [V]."""
    during: Mapping[str, float]
    own: float
    """Voltage at the motor itself [V]."""
    upset: tuple[tuple[str, float, float], ...]
    """(consumer, its voltage in the dip, the least that it works from) [V]."""


def dips(layout: Layout, cores: Cores, cases: Mapping[str, Case]) -> Mapping[str, Dip]:
    """Motor id → its start, in the first operating condition in which a battery feeds it."""
    network = layout.network
    found = {}
    for i, consumer in enumerate(layout.consumers):
        if consumer.circuit not in network.inventory.motors:
            continue
        condition = _first_condition(network, cores, consumer)
        if condition is not None and condition in cases:
            found[consumer.id] = _dip(layout, cases[condition], i)
    return found


def _first_condition(network: Network, cores: Cores, consumer: Consumer) -> str | None:
    """The first condition, none of emergency if it can be, in which the motor is fed by a battery."""
    records = network.inventory.conditions
    names = sorted(network.conditions, key=lambda name: bool(name in records and records[name].emergency))
    for name in names:
        state = alive(cores.of(network.conditions[name]), sources_on(network, name))
        if any(network.edges[id].kind == "battery" for id in state.supplied_by.get(consumer.id, ())):
            return name
    return None


def _dip(layout: Layout, case: Case, motor: int) -> Dip:
    network, consumer = layout.network, layout.consumers[motor]
    record, volts = consumer.record, layout.nominal[motor]
    amps = (
        record.start.current.high
        if record.start
        else record.load.high
        if record.load.kind == "current"
        else record.load.high / volts
    )
    started = layout.again(case, motor, RESISTANCE, amps / volts)
    buses = _buses(network)
    before, during = _at(layout, case, buses), _at(layout, started, buses)
    ends = started.circuit.loads[motor]
    upset = [
        (c.id, float(v), c.record.works_from.value)
        for c, v, fed in zip(
            layout.consumers, started.across(started.circuit.loads), started.fed[started.circuit.loads].all(axis=1)
        )
        if fed and c.record.works_from is not None and 0.5 < v < c.record.works_from.value and c.id != consumer.id
    ]
    return Dip(
        consumer.id,
        case.condition,
        float(started.solution.loads[motor]),
        record.start is not None,
        before,
        during,
        float(started.across(ends)),
        tuple(upset),
    )


def _buses(network: Network) -> list[tuple[str, list[str]]]:
    """Bars and panels, each with the returns to measure against: the first that is joined to it serves."""
    shared = {*network.inventory.bars, *network.inventory.panels}
    returns = [n.id for n in network.nodes.values() if n.item in network.inventory.bars and n.pole == "-"]
    if not returns:
        returns = [e.a for e in network.sources() if e.kind == "battery"]
    return [
        (n.id, returns)
        for n in network.nodes.values()
        if n.item in shared and n.pole == "+" and " way " not in n.id and returns
    ]


def _at(layout: Layout, case: Case, buses: list[tuple[str, list[str]]]) -> Mapping[str, float]:
    volts, part = case.solution.volts, case.solution.part
    found = {}
    for bus, returns in buses:
        a = layout.index[bus]
        b = next((b for b in map(layout.index.__getitem__, returns) if part[b] == part[a]), None)
        if case.fed[a] and b is not None:
            found[bus] = float(volts[a] - volts[b])
    return found
