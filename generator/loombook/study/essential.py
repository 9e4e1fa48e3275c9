"""How long each bank carries, alone, what must work in an emergency."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from ..network import Network
from ..network.supply import SupplyPath
from .balance import Essential
from .banks import Bank
from .design import efficiency
from .ledger import Ledger
from .loads import duty_of, duty_said, load_amps
from .sources import nominal_across


def essentials(
    network: Network,
    banks: Sequence[Bank],
    supply: Mapping[str, Sequence[SupplyPath]],
    reserve: Mapping[str, Sequence[SupplyPath]],
    ledger: Ledger,
) -> tuple[Essential, ...]:
    """Each bank with the essential consumers that it reaches, at the duty of the emergency condition where there is
    one."""
    condition = next((name for name, c in network.inventory.conditions.items() if c.emergency), "")
    wanted = [c for c in network.consumers.values() if c.record.essential or _owner(network, c).essential]
    return tuple(_of(network, bank, wanted, condition, supply, reserve, ledger) for bank in banks) if wanted else ()


def _owner(network: Network, consumer):
    return network.inventory.item(consumer.circuit)


def _of(
    network: Network, bank: Bank, wanted: Sequence, condition: str, supply: Mapping, reserve: Mapping, ledger: Ledger
) -> Essential:
    carried, unreached, watts = [], [], 0.0
    for consumer in wanted:
        path = next(_paths_from(bank, (*supply.get(consumer.id, ()), *reserve.get(consumer.id, ()))), None)
        if path is None:
            unreached.append(consumer.id)
            continue
        carried.append(consumer.id)
        edge = network.edges[consumer.edge]
        duty = duty_of(network, consumer, condition, ledger)
        taken = duty * load_amps(network, edge) * nominal_across(network, edge)
        for item in path.through:
            source = network.edges[item]
            taken /= efficiency(source, ledger)
        watts += taken
    for item in _converters(network, bank, carried, supply, reserve):
        idle = getattr(network.edges[item].record, "idle", None)
        watts += idle.value if idle else 0.0
    amps = watts / bank.volts
    return Essential(
        bank.name,
        tuple(carried),
        tuple(unreached),
        amps,
        bank.hours(amps) if amps > 0 else None,
        said=all(duty_said(network, c, condition) is not None for c in wanted if c.id in carried),
    )


def _paths_from(bank: Bank, paths: Sequence[SupplyPath]) -> Iterator[SupplyPath]:
    return (path for path in paths if path.source in bank.ids)


def _converters(network: Network, bank: Bank, carried: Sequence[str], supply: Mapping, reserve: Mapping) -> set[str]:
    """The converters that stand on the ways taken."""
    found = set()
    for id in carried:
        path = next(_paths_from(bank, (*supply.get(id, ()), *reserve.get(id, ()))))
        found |= set(path.through)
    return found
