"""The AC side: what each source gives into a fault, faults to neutral and to earth at each consumer, and where neutral
and earth are joined."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import inf

from ..calc.generators import TRANSIENT
from ..network import Network
from ..network.supply import SupplyPath
from .devices import devices
from .earthways import EarthWays
from .faults import FaultStudy
from .legs import EarthFault, ElectrodeFault, Leg, LineFault, by_source
from .model import Range, Resistance
from .neutral import Bond, BondState, bond_states, bonds
from .sources import Source
from .states import Cores


@dataclass(frozen=True)
class Inlet:
    """The fault current that the shore brings."""

    id: str
    boat: Range | None
    """At the boat's end of the lead, as the fault pages have it at the inlet [A]; None where nothing leads back."""
    declared: bool
    socket: Range
    """At the socket ashore [A]."""
    lead: complex
    """Impedance of the lead, out and back, warm [Ω]."""


@dataclass(frozen=True)
class AcLimit:
    """What an inverter gives into a fault."""

    id: str
    rated: float
    """[A]"""
    limit: Range
    """Least and most [A]."""
    declared: bool


@dataclass(frozen=True)
class Rotating:
    """What a generator gives into a fault."""

    id: str
    rated: float
    """[A]"""
    impedance: float
    """To which its reactances are parts [Ω]."""
    first: Range
    """In the first moment, I_n/x″d [A]."""
    transient: Range
    """After the first tenth of a second, I_n/x′d [A]."""
    lasting: Range
    """What lasts [A]."""
    reactances: tuple[Range, Range]
    """x″d and x′d [1]."""
    declared: tuple[bool, bool, bool]
    """Whether x″d, x′d and the lasting current are the owner's."""


@dataclass(frozen=True)
class Mains:
    """The AC side of a vessel."""

    inlets: tuple[Inlet, ...]
    inverters: tuple[AcLimit, ...]
    generators: tuple[Rotating, ...]
    line_faults: tuple[LineFault, ...]
    earth_faults: tuple[EarthFault, ...]
    electrode_faults: tuple[ElectrodeFault, ...]
    """One for each earth fault that the shore feeds."""
    bonds: tuple[Bond, ...]
    states: tuple[BondState, ...]
    """One for each position of the change-over switches."""


def mains(
    network: Network, resistances: Mapping[str, Resistance], sources: Mapping[str, Source],
    supply: Mapping[str, Sequence[SupplyPath]],
    reserve: Mapping[str, Sequence[SupplyPath]], cores: Cores, faults: FaultStudy,
) -> Mains:  # fmt: skip
    """The AC side; empty on a vessel that has none."""
    found, earth = devices(network), EarthWays(network)
    legs = [
        Leg(network, resistances, sources, found, earth, consumer, path)
        for consumer in network.consumers.values()
        if network.nodes[consumer.plus].pole == "L"
        for path in by_source((*supply.get(consumer.id, ()), *reserve.get(consumer.id, ())))
    ]
    places = [(leg.consumer.plus, leg.start) for leg in legs]
    places += [(network.edges[id].b, id) for id in network.inventory.shore_inlets]
    given = _given(network, faults, places)
    return Mains(
        tuple(_inlet(network, id, sources[id], given) for id in network.inventory.shore_inlets),
        tuple(_limit(network, e.id, sources[e.id]) for e in network.sources() if e.kind == "inverter"),
        tuple(_rotating(network, e.id, sources[e.id]) for e in network.sources() if e.kind == "generator"),
        tuple(leg.line_fault(given.get((leg.consumer.plus, leg.start))) for leg in legs),
        tuple(leg.earth_fault() for leg in legs),
        tuple(leg.electrode_fault() for leg in legs if network.edges[leg.start].kind == "shore"),
        tuple(bonds(network)),
        tuple(bond_states(network, cores)),
    )


def _given(network: Network, faults: FaultStudy, places: Sequence[tuple[str, str]]) -> Mapping[tuple[str, str], Range]:
    """(place, source) → the least that the source gives alone, and the most that it gives in any state [A]."""
    most = dict.fromkeys(places, 0.0)
    for case, shorts in faults.highest if places else ():
        place = {case.pairs[i][0]: i for i in case.alternating.tolist()}
        row = {feed.edge.id: i for i, feed in enumerate(case.feeds)}
        for node, source in most:
            if node in place and source in row:
                most[node, source] = max(most[node, source], float(shorts.given[row[source], place[node]]))
    found = {}
    for (node, source), amps in most.items():
        alone = dict(faults.at[node].alone).get((source,)) if node in faults.at else None
        if alone is not None and amps > 0:
            found[node, source] = Range(min(alone.low, amps), amps)
    return found


def _inlet(network: Network, id: str, source: Source, given: Mapping[tuple[str, str], Range]) -> Inlet:
    socket = Range(source.full / (source.ohms.high - source.lead.real), source.full / source.ohms.low)
    return Inlet(id, given.get((network.edges[id].b, id)), not source.assumed, socket, source.lead)


def _limit(network: Network, id: str, source: Source) -> AcLimit:
    record = network.edges[id].record
    limit = source.limit or Range(inf, inf)
    return AcLimit(id, record.power.value / source.full, limit, not source.assumed)


def _rotating(network: Network, id: str, source: Source) -> Rotating:
    record = network.edges[id].record
    rated, base = record.power.value / source.full, source.full**2 / record.power.value
    subtransient = Range(source.ohms.low / base, source.ohms.high / base)
    transient = transient_of(record)
    return Rotating(
        id,
        rated,
        base,
        Range(rated / subtransient.high, rated / subtransient.low),
        Range(rated / transient.high, rated / transient.low),
        source.settles or Range(0.0, inf),
        (subtransient, transient),
        (record.subtransient is not None, record.transient is not None, record.sustained is not None),
    )


def transient_of(record) -> Range:
    """x′d of a generator [1]: its own, or the default."""
    given = record.transient
    return Range(given.low, given.high) if given is not None else Range(*TRANSIENT)


__all__ = [
    "AcLimit",
    "Bond",
    "BondState",
    "EarthFault",
    "ElectrodeFault",
    "Inlet",
    "LineFault",
    "Mains",
    "Rotating",
    "mains",
]
