"""The AC side: the fault at the inlet, faults from line to neutral and to earth at each consumer with resistance and
reactance, and whether a fault to earth is cut off in time."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import inf

from ..calc.ac import REACTANCE, disconnection_time, earth_fault_current, residual_time
from ..calc.ac_fault import loop_impedance
from ..calc.tables import OutOfTable
from ..inventory.devices import Breaker
from ..network import Consumer, Network
from ..network.supply import Hop, SupplyPath
from .defaults import REACTANCE_TAKEN, Ledger
from .devices import Device, band_of, devices
from .drop import last_leg
from .model import Range, Resistance
from .neutral import Bond, BondState, bond_states, bonds
from .sources import Source, lead_ohms
from .states import Cores

_RESIDUAL_KINDS = ("rcd", "rcbo B", "rcbo C")
HOUSEHOLD_RESIDUAL = 0.030
"""Residual current of a device that protects people [A]; taken where the device does not say its own (from memory)."""
TEST_MULTIPLE = 5.0
"""Multiple of the residual current at which an earth fault without much resistance is judged."""
FINAL = 32.0
"""Largest rating of a final circuit for which Table 41.1 gives the time [A]."""
DISTRIBUTION_TIME = 5.0
"""Longest time for a larger one in a TN system [s]. Source: IEC 60364-4-41, 411.3.2.3 (from memory)."""


@dataclass(frozen=True)
class Inlet:
    """The fault current that the shore brings."""

    id: str
    least: float
    """At the boat's end of the lead, the smallest to reckon with [A]."""
    most: float
    """The largest: as if the lead had no length [A]."""
    declared: bool
    socket: Range
    """At the socket ashore [A]."""
    lead: tuple[float, float]
    """Resistance and reactance of the lead, out and back, warm [Ω]."""


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
class LineFault:
    """A fault from line to neutral at an AC consumer, fed by one source."""

    consumer: str
    source: str
    """Edge id of the inlet or inverter."""
    wiring: tuple[float, float] | None
    """Resistance and reactance from the source out and back, hot [Ω]; None where a length or area is missing."""
    amps: Range | None
    """Least and most, the source's own limit counted in [A]."""


@dataclass(frozen=True)
class EarthFault:
    """A fault from line to earth at an AC consumer, fed by one source."""

    consumer: str
    source: str
    """Edge id of the inlet or inverter."""
    loop: float | None
    """Impedance of the whole loop [Ω]; None where a length is missing."""
    amps: float | None
    """Fault current, the source's own limit counted in [A]."""
    device: str
    """The first fuse or breaker towards the source; empty: none."""
    opens: float | None
    """The longest it may take on overcurrent [s]; inf where it need not open; None where its band is not known."""
    residual: str
    """The residual-current device on the way; empty: none."""
    residual_opens: float | None
    """[s]"""
    limit: float | None
    """Longest time allowed [s]."""
    source_limit: str = "IEC 60364-4-41 Table 41.1, TN (seen)"
    before: float = 0.0
    """Impedance of the source without lead and wiring [Ω]."""
    wiring: tuple[float, float] = (0.0, 0.0)
    """Resistance and reactance of lead, line and protective conductor, hot [Ω]."""
    allowed: float | None = None
    """The largest loop with which the device still opens in time by overcurrent alone [Ω]."""

    @property
    def in_time(self) -> bool | None:
        """Whether it is cut off in time; None where that cannot be told."""
        if self.limit is None:
            return True
        times = [t for t in (self.opens, self.residual_opens) if t is not None]
        if any(t <= self.limit for t in times):
            return True
        return None if self.opens is None else False


@dataclass(frozen=True)
class Mains:
    """The AC side of a vessel."""

    inlets: tuple[Inlet, ...]
    inverters: tuple[AcLimit, ...]
    line_faults: tuple[LineFault, ...]
    earth_faults: tuple[EarthFault, ...]
    bonds: tuple[Bond, ...]
    states: tuple[BondState, ...]
    """One for each position of the change-over switches."""


def mains(
    network: Network, resistances: Mapping[str, Resistance], sources: Mapping[str, Source],
    supply: Mapping[str, Sequence[SupplyPath]],
    reserve: Mapping[str, Sequence[SupplyPath]], cores: Cores, ledger: Ledger,
) -> Mains:  # fmt: skip
    """The AC side; empty on a vessel that has none."""
    found = devices(network)
    legs = [
        _Leg(network, resistances, sources, found, consumer, path, ledger)
        for consumer in network.consumers.values()
        if network.nodes[consumer.plus].pole == "L"
        for path in _by_source((*supply.get(consumer.id, ()), *reserve.get(consumer.id, ())))
    ]
    inlets = tuple(_inlet(network, id, sources[id]) for id in network.inventory.shore_inlets)
    inverters = tuple(_limit(network, e.id, sources[e.id]) for e in network.sources() if e.kind == "inverter")
    return Mains(
        inlets,
        inverters,
        tuple(leg.line_fault() for leg in legs),
        tuple(leg.earth_fault() for leg in legs),
        tuple(bonds(network)),
        tuple(bond_states(network, cores)),
    )


def _by_source(paths: Sequence[SupplyPath]) -> list[SupplyPath]:
    """One path for each inlet or inverter that feeds last."""
    found: dict[str, SupplyPath] = {}
    for path in paths:
        found.setdefault(last_leg(path)[1], path)
    return list(found.values())


def _lead(network: Network, item: str) -> tuple[float, float]:
    """Resistance and reactance of a shore lead, out and back, warm [Ω]."""
    inlet = network.inventory.shore_inlets.get(item)
    if inlet is None:
        return 0.0, 0.0
    length = inlet.lead_length.high if inlet.lead_length and inlet.lead_area else 0.0
    return 2 * lead_ohms(inlet), 2 * REACTANCE * length


def _inlet(network: Network, id: str, source: Source) -> Inlet:
    lead = _lead(network, id)
    socket = Range(source.full / (source.ohms.high - lead[0]), source.full / source.ohms.low)
    least = source.full / loop_impedance(source.full, socket.low, *lead)
    return Inlet(id, least, socket.high, not source.assumed, socket, lead)


def _limit(network: Network, id: str, source: Source) -> AcLimit:
    record = network.edges[id].record
    limit = source.limit or Range(inf, inf)
    return AcLimit(id, record.power.value / source.full, limit, not source.assumed)


class _Leg:
    """The way of one AC consumer from one inlet or inverter."""

    def __init__(
        self,
        network: Network,
        resistances: Mapping[str, Resistance],
        sources: Mapping[str, Source],
        found: Mapping[str, Device],
        consumer: Consumer,
        path: SupplyPath,
        ledger: Ledger,
    ) -> None:
        hops, self.start = last_leg(path)
        self.network, self.resistances, self.found, self.ledger = network, resistances, found, ledger
        self.consumer, self.source = consumer, sources[self.start]
        self.out = hops[: len(hops) - len(path.back)]
        self.back = path.back
        self.lead = _lead(network, network.edges[self.start].item)

    def line_fault(self) -> LineFault:
        hot = self._wiring([h.edge.id for h in (*self.out, *self.back)])
        if hot is None:
            return LineFault(self.consumer.id, self.start, None, None)
        cold = self._wiring([h.edge.id for h in (*self.out, *self.back)], cold=True) or (0.0, 0.0)
        volts, source = self.source.full, self.source
        most = volts / loop_impedance(volts, volts / source.ohms.low, *cold, largest_current=True)
        least = volts / loop_impedance(volts, volts / self._before(), hot[0] + self.lead[0], hot[1] + self.lead[1])
        if source.limit is not None:
            least, most = min(least, source.limit.low), min(most, source.limit.high)
        return LineFault(self.consumer.id, self.start, hot, Range(least, most))

    def earth_fault(self) -> EarthFault:
        earth = _earth_way(self.network, f"{self.consumer.id} PE", f"{self.network.edges[self.start].item} PE")
        wiring = self._wiring([*(h.edge.id for h in self.out), *earth]) if earth is not None else None
        volts, before = self.source.full, self._before()
        loop = amps = None
        if wiring is not None:
            wiring = (wiring[0] + self.lead[0], wiring[1] + self.lead[1])
            loop = loop_impedance(volts, volts / before, *wiring)
            amps = earth_fault_current(volts, loop)
            if self.source.limit is not None:
                amps = min(amps, self.source.limit.low)
        device = next((h.edge.id for h in reversed(self.out) if h.edge.id in self.found), "")
        residual = _residual(self.network, self.out)
        limit, source = _time_allowed(volts, self.found.get(device))
        return EarthFault(
            self.consumer.id,
            self.start,
            loop,
            amps,
            device,
            _opens(self.network, self.found.get(device), amps),
            residual,
            residual_time(TEST_MULTIPLE).most if residual else None,
            limit,
            source,
            before,
            wiring or (0.0, 0.0),
            _allowed(self.network, self.found.get(device), volts, limit),
        )

    def _before(self) -> float:
        """Impedance of the source by itself, the most to reckon with [Ω]."""
        return self.source.ohms.high - self.lead[0]

    def _wiring(self, ids: Sequence[str], cold: bool = False) -> tuple[float, float] | None:
        """Resistance and reactance of conductors and devices in a row [Ω]; None where a cable is not known."""
        resistance = reactance = 0.0
        for id in ids:
            found, edge = self.resistances[id], self.network.edges[id]
            if found.missing:
                return None
            resistance += found.cold.low if cold else found.hot.high
            if edge.cable and edge.cable.length:
                self.ledger.use(REACTANCE_TAKEN, edge.item)
                reactance += REACTANCE * (edge.cable.length.low if cold else edge.cable.length.high)
        return resistance, reactance


def _earth_way(network: Network, start: str, goal: str) -> list[str] | None:
    """The protective conductors from a consumer to its source; None where they do not join."""
    before: dict[str, tuple[str, str]] = {start: ("", "")}
    queue = [start]
    while queue and goal not in before:
        node = queue.pop(0)
        for edge in network.at.get(node, ()):
            other = edge.other(node)
            if edge.conducts and other not in before and network.nodes[other].pole == "PE":
                before[other] = (edge.id, node)
                queue.append(other)
    if goal not in before:
        return None
    way, node = [], goal
    while before[node][0]:
        id, node = before[node]
        way.append(id)
    return way


def _time_allowed(volts: float, device: Device | None) -> tuple[float | None, str]:
    if device is not None and device.rating is not None and device.rating.value > FINAL:
        return DISTRIBUTION_TIME, "IEC 60364-4-41, 411.3.2.3, TN, above 32 A (from memory)"
    return disconnection_time(volts), "IEC 60364-4-41 Table 41.1, TN (seen)"


def _opens(network: Network, device: Device | None, amps: float | None) -> float | None:
    if device is None:
        return inf
    if amps is None:
        return None
    try:
        return band_of(network.inventory, device).opening_time(amps).most
    except OutOfTable:
        return None


def _allowed(network: Network, device: Device | None, volts: float, limit: float | None) -> float | None:
    """U0 / Ia, with Ia the smallest current at which the device is sure to have opened within the time allowed."""
    if device is None or limit is None or device.rating is None:
        return None
    try:
        band = band_of(network.inventory, device)
    except OutOfTable:
        return None
    low, high = device.rating.value, 1000 * device.rating.value
    if not band.opens_within(high, limit):
        return None
    while high / low > 1.001:
        middle = (low * high) ** 0.5
        low, high = (low, middle) if band.opens_within(middle, limit) else (middle, high)
    return volts / high


def _residual(network: Network, line: Sequence[Hop]) -> str:
    """The residual-current device on the way that people's lives hang on."""
    for hop in reversed(line):
        record = hop.edge.record
        own = getattr(record, "residual", None)
        kind = record.kind if isinstance(record, Breaker) or hasattr(record, "label") else ""
        if (own is not None and own.value <= HOUSEHOLD_RESIDUAL + 1e-9) or (own is None and kind in _RESIDUAL_KINDS):
            return hop.edge.id
    return ""


__all__ = ["AcLimit", "Bond", "BondState", "EarthFault", "Inlet", "LineFault", "Mains", "mains"]
