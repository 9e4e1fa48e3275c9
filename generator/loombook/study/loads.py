"""What each load draws: rated current, how it follows the voltage, and how much of the time it runs in a condition."""

from __future__ import annotations

from collections.abc import Mapping

from ..inventory.loads import Circuit, Motor, Tap
from ..network import Consumer, Edge, Network
from . import defaults as d
from .defaults import Default
from .ledger import Ledger
from .sources import nominal_across

DUTY_BY_USE: Mapping[str, float] = {
    "navigation lights": 0.4, "bilge pump": 0.01, "bilge blower": 0.02, "radio": 0.5, "navigation": 0.6,
    "steering": 0.4, "alarm": 1.0, "lighting": 0.15, "gas": 0.05, "refrigeration": 0.4, "water": 0.03,
    "sanitation": 0.02, "deck gear": 0.02,
    "heating": 0.3, "entertainment": 0.15, "engine": 0.1, "charging": 0.2, "sockets": 0.1, "other": 0.2,
}  # fmt: skip
DUTY = Default(
    "part of the time that a load runs, where nothing says it",
    "by its use, from 1 % for a bilge pump to 100 % for an alarm",
    d.PRACTICE,
    effect="the energy of the loads named is in proportion to it",
    step="half as long",
    moves=0.5,
)
MOTOR_DUTY = Default(
    "part of the time that a motor runs, where nothing says it",
    "1 %",
    d.PRACTICE,
    0.01,
    0.01,
    "the energy of the motors named is in proportion to it",
    "half as long",
    0.5,
)


def load_amps(network: Network, edge: Edge) -> float:
    """Rated current of a load at its nominal voltage [A]."""
    load = edge.record.load
    if load is None:
        return 0.0
    if load.kind == "current":
        return load.high
    own = getattr(edge.record, "voltage", None)
    factor = edge.record.power_factor.value if edge.record.power_factor else 1.0
    return load.high / max(own.value if own else nominal_across(network, edge), 0.1) / max(factor, 0.05)


def law_of(record: object) -> str:
    """How a load's current follows the voltage: `power`, `current` or `resistance`; by its unit where it does not
    say."""
    if record.law:
        return record.law
    return "power" if record.load is not None and record.load.kind == "power" else "current"


def use_of(network: Network, consumer: Consumer) -> str:
    """What a consumer is for; one of several loads takes its circuit's use where it has none of its own."""
    if consumer.record.use == "other" and isinstance(consumer.record, Tap):
        return network.inventory.circuits[consumer.circuit].use
    return consumer.record.use


def duty_said(network: Network, consumer: Consumer, condition: str) -> float | None:
    """Part of the time that the inventory says a consumer runs in an operating condition, 0 to 1; None where it says
    nothing."""
    record = network.inventory.conditions.get(condition)
    if record is not None:
        for id in (consumer.id, consumer.circuit):
            if id in record.duty:
                return min(record.duty[id].value, 1.0)
    owner = _owner(network, consumer)
    said = owner.duty_in.get(condition, owner.duty)
    return None if said is None else min(said.value, 1.0)


def duty_of(network: Network, consumer: Consumer, condition: str, ledger: Ledger) -> float:
    """Part of the time that a consumer runs in an operating condition, 0 to 1; a default by its use where nothing says
    it."""
    said = duty_said(network, consumer, condition)
    if said is not None:
        return said
    if isinstance(_owner(network, consumer), Motor):
        return ledger.use(MOTOR_DUTY, consumer.circuit).high
    ledger.use(DUTY, consumer.circuit)
    return DUTY_BY_USE[use_of(network, consumer)]


def _owner(network: Network, consumer: Consumer) -> Circuit | Motor:
    inventory = network.inventory
    return inventory.circuits.get(consumer.circuit) or inventory.motors[consumer.circuit]
