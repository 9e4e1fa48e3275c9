"""The whole study of a vessel, from its network to one frozen value: this page reads as its table of contents."""

from __future__ import annotations

from ..network import Network
from .availability import isolations, lost, reserve_paths, supply_paths
from .carrying import carrying
from .defaults import Ledger
from .design import design_currents
from .drop import drops
from .faults import faults
from .flow import flows
from .model import Study
from .protection import protection
from .resistances import resistances
from .sources import fault_sources


def study(network: Network) -> Study:
    """Everything worked out about one vessel."""
    ledger = Ledger()
    ohms = resistances(network, ledger)
    sources = fault_sources(network, ledger)
    design = design_currents(network, ohms, ledger)
    supply = supply_paths(network)
    reserve = reserve_paths(network, supply)
    ship, systems, spaces = isolations(network)
    return Study(
        network=network,
        resistances=ohms,
        carrying=carrying(network, design.largest),
        drops=drops(network, {id: supply[id] or reserve[id] for id in supply}, design, ledger),
        faults=faults(network, ohms, sources, ledger),
        flows=flows(network, ohms, ledger),
        protection=protection(network),
        supply=supply,
        reserve=reserve,
        lost=lost(network),
        ship=ship,
        systems=systems,
        spaces=spaces,
        assumptions=ledger.assumptions(),
        design=design.largest,
    )
