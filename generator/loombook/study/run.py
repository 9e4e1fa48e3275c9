"""The whole study of a vessel, from its network to one frozen value: this page reads as its table of contents."""

from __future__ import annotations

from ..network import Network
from .availability import isolations, lost, reserve_paths, supply_paths
from .carrying import carrying
from .defaults import Ledger
from .design import design_currents
from .drop import drops
from .faults import study_faults
from .flow import flows
from .model import Study
from .guards import guards
from .protection import Clusters, protection
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
    fed = {id: supply[id] or reserve[id] for id in supply}
    faults, clusters = study_faults(network, ohms, sources, ledger), Clusters(network)
    ship, systems, spaces = isolations(network)
    return Study(
        network=network,
        resistances=ohms,
        carrying=carrying(network, design.largest),
        drops=drops(network, fed, design, ledger),
        faults=faults.at,
        flows=flows(network, ohms, ledger),
        protection=protection(network, clusters),
        supply=supply,
        reserve=reserve,
        lost=lost(network),
        ship=ship,
        systems=systems,
        spaces=spaces,
        guards=guards(network, clusters, faults, design, fed),
        assumptions=ledger.assumptions(),
        design=design.largest,
    )
