"""The whole study of a vessel, from its network to one frozen value: this page reads as its table of contents."""

from __future__ import annotations

from ..network import Network
from .availability import isolations, lost, reserve_paths, supply_paths
from .balance import balances
from .banks import banks_of, study_banks
from .carrying import carrying
from .course import note_assumptions
from .day import days, sun
from .design import design_currents
from .dips import Dips
from .drive import drives
from .drop import drops
from .effects import effects
from .essential import essentials
from .faults import study_faults
from .flow import study_flows
from .guards import guards
from .ledger import Ledger
from .mains import mains
from .model import Study
from .protection import Clusters, protection
from .resistances import resistances
from .sharing import sharings
from .sources import fault_sources
from .states import Cores
from .warming import Warmth
from .working import at_work, supplying


def study(network: Network) -> Study:
    """Everything worked out about one vessel."""
    ledger, cores = Ledger(), Cores(network)

    # what feeds what
    supply = supply_paths(network, cores)
    reserve = reserve_paths(network, cores, supply)
    fed = {id: supply[id] or reserve[id] for id in supply}
    dead = lost(network, cores)
    ship, systems, spaces = isolations(network, dead)

    # resistance, design current, drop
    ohms = resistances(network, ledger)
    sources = fault_sources(network, ledger)
    design = design_currents(network, cores, ohms, ledger)

    # faults and what stands against them
    faults, clusters = study_faults(network, ohms, sources, ledger, cores), Clusters(network)
    note_assumptions(network, ledger)

    # load flow and energy
    flow = study_flows(network, cores, ohms, ledger)
    banks = banks_of(network, cores, ledger)
    balance = balances(network, flow.flows, banks, ledger)

    return Study(
        network=network,
        resistances=ohms,
        carrying=carrying(network, design.largest),
        drops=drops(network, fed, design, ledger),
        faults=faults.at,
        flows=flow.flows,
        protection=protection(network, clusters),
        supply=supply,
        reserve=reserve,
        lost=dead,
        ship=ship,
        systems=systems,
        spaces=spaces,
        design=design.largest,
        guards=guards(network, clusters, faults, design, fed),
        balances=balance,
        banks=study_banks(banks, flow.flows, ledger),
        days=days(balance, banks),
        essentials=essentials(network, banks, supply, reserve, ledger),
        sun=sun(network, balance, ledger),
        dips=Dips(flow),
        sharings=sharings(network, design, banks),
        warm=Warmth(flow.layout.warming, flow.flows),
        working=at_work(network, flow.flows, ohms, fed),
        supplying=supplying(network, flow.cases),
        drives=drives(network, banks, fed, balance),
        mains=mains(network, ohms, sources, supply, reserve, cores, faults),
        defaults_used=lambda: ledger.assumptions(effects(network, faults, ledger)),
    )
