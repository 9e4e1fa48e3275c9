"""What feeds each consumer, what dies with each device, and what isolation leaves: the network's answers gathered."""

from __future__ import annotations

from collections.abc import Mapping

from ..network import Network
from ..network.isolate import Isolation, Isolator
from ..network.live import all_primary, lost_with
from ..network.supply import Supply, SupplyPath
from .states import Cores, worst_states


def supply_paths(network: Network, cores: Cores) -> Mapping[str, tuple[SupplyPath, ...]]:
    """Consumer id → supply paths with the switches in normal position, every source on."""
    supply = Supply(cores.of(network.normal), all_primary(network))
    return {id: supply.paths(id) for id in network.consumers}


def reserve_paths(
    network: Network, cores: Cores, normal: Mapping[str, tuple[SupplyPath, ...]]
) -> Mapping[str, tuple[SupplyPath, ...]]:
    """Consumer id → paths from further sources, or through further converters, once other switches are closed."""
    found: dict[str, dict[tuple[str, tuple[str, ...]], SupplyPath]] = {id: {} for id in network.consumers}
    for _, positions in worst_states(network):
        if all(network.normal.get(id) == position for id, position in positions.items()):
            continue
        supply = Supply(cores.of(positions), all_primary(network))
        for id in network.consumers:
            known = {(p.source, p.through) for p in normal[id]}
            for path in supply.paths(id, known):
                found[id].setdefault((path.source, path.through), path)
    return {id: tuple(paths.values()) for id, paths in found.items()}


def lost(network: Network, cores: Cores) -> Mapping[str, tuple[str, ...]]:
    """Edge id → consumers that go dead when it alone opens, in normal use."""
    return lost_with(cores.of(network.normal), all_primary(network))


def isolations(
    network: Network, lost: Mapping[str, tuple[str, ...]]
) -> tuple[Isolation, Mapping[str, Isolation], Mapping[str, Isolation]]:
    """The smallest sets of handles for the ship, for each voltage system and for each space.

    Args:
        network: the boat
        lost: as `lost` tells it
    """
    isolator = Isolator(network, lost=lost)
    systems = sorted({n.system for n in network.nodes.values() if n.pole in ("+", "L") and n.system})
    by_system = {system: isolator.system(system) for system in systems}
    by_space = {space: isolator.space(space) for space in network.inventory.spaces}
    return isolator.ship(), by_system, by_space
