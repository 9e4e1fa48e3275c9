"""The way of one AC consumer from one source: a fault from line to neutral, and one from line to earth, by TN and by TT."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import inf

from ..calc.ac import REACTANCE, TOUCH_AC, disconnection_time, earth_fault_current, largest_earth, residual_time
from ..calc.tables import OutOfTable
from ..inventory.devices import Breaker
from ..inventory.sources import ShoreInlet
from ..network import Consumer, Network
from ..network.supply import Hop, SupplyPath
from .devices import Device, band_of
from .drop import last_leg
from .earthways import EarthWays
from .model import Range, Resistance
from .sources import Source

_RESIDUAL_KINDS = ("rcd", "rcbo B", "rcbo C")
HOUSEHOLD_RESIDUAL = 0.030
"""Residual current of a device that protects people [A]; taken where the device does not say its own (from memory)."""
TEST_MULTIPLE = 5.0
"""Multiple of the residual current at which an earth fault without much resistance is judged."""
FINAL = 32.0
"""Largest rating of a final circuit for which Table 41.1 gives the time [A]."""
DISTRIBUTION_TIME = {"TN": 5.0, "TT": 1.0}
"""Longest time for a larger one [s]. Source: IEC 60364-4-41, 411.3.2.3 and 411.3.2.4 (from memory)."""


@dataclass(frozen=True)
class LineFault:
    """A fault from line to neutral at an AC consumer, fed by one source: as the fault pages have it at that place."""

    consumer: str
    source: str
    """Edge id of the inlet, inverter or generator."""
    wiring: complex | None
    """Impedance of the wiring without the source, out and back, hot [Ω]; None where a length or area is missing."""
    amps: Range | None
    """Least, with the margin for an arc, and most [A]."""


@dataclass(frozen=True)
class EarthFault:
    """A fault from line to earth at an AC consumer, fed by one source."""

    consumer: str
    source: str
    """Edge id of the inlet, inverter or generator."""
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
    wiring: complex = 0j
    """Impedance of lead, line and protective conductor, hot [Ω]."""
    allowed: float | None = None
    """The largest loop with which the device still opens in time by overcurrent alone [Ω]."""
    system: str = "TN"
    """`TN`, or `TT` where the shore's earth is declared to be an electrode."""

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
class ElectrodeFault:
    """The same fault where the shore's earth is an electrode (TT): IEC 60364-4-41, 411.5."""

    consumer: str
    source: str
    residual: str
    """The residual-current device on the way; empty: none."""
    rated: float | None
    """Its rated residual current IΔn [A]."""
    largest: float | None
    """Largest resistance of electrode and protective conductor, 50 V/IΔn [Ω]."""
    earth: float | None
    """The resistance that is declared [Ω]; None: it is not, and the largest allowed is reckoned with."""
    amps: float | None
    """Fault current through it [A]; None where the loop aboard is not known, or nothing tells a resistance."""
    touch: float | None
    """Voltage of what is earthed at IΔn [V]."""
    opens: float | None
    """Longest time of the residual-current device at that current [s]; inf: it need not open."""
    limit: float | None
    """Longest time allowed [s]."""
    source_limit: str = ""

    @property
    def holds(self) -> bool | None:
        """Whether touch voltage and time hold; None where a figure for it lacks."""
        if self.limit is None:
            return True
        if not self.residual:
            return False
        if self.touch is None or self.opens is None:
            return None
        return self.touch <= TOUCH_AC * (1 + 1e-9) and self.opens <= self.limit


class Leg:
    """The way of one AC consumer from one inlet, inverter or generator."""

    def __init__(
        self, network: Network, resistances: Mapping[str, Resistance], sources: Mapping[str, Source],
        found: Mapping[str, Device], earth: EarthWays, consumer: Consumer, path: SupplyPath,
    ) -> None:  # fmt: skip
        hops, self.start = last_leg(path)
        self.network, self.resistances, self.found = network, resistances, found
        self.consumer, self.source = consumer, sources[self.start]
        self.record = network.edges[self.start].record
        self.out = hops[: len(hops) - len(path.back)]
        self.back = path.back
        self.volts = self.source.full
        device = next((h.edge.id for h in reversed(self.out) if h.edge.id in found), "")
        self.device, self.residual = device, residual_on(network, self.out)
        self.system = (isinstance(self.record, ShoreInlet) and self.record.earthing) or "TN"
        self.earth = _earth_of(self.record)
        earth_way = earth.between(f"{network.edges[self.start].item} PE", f"{consumer.id} PE")
        self.to_earth = self._wiring([*(h.edge.id for h in self.out), *earth_way]) if earth_way is not None else None

    def line_fault(self, amps: Range | None) -> LineFault:
        hot = self._wiring([h.edge.id for h in (*self.out, *self.back)])
        return LineFault(self.consumer.id, self.start, hot, amps if hot is not None else None)

    def earth_fault(self) -> EarthFault:
        loop = amps = None
        extra = 0.0 if self.system == "TN" else self.earth
        if self.to_earth is not None and extra is not None:
            loop = self._loop(extra)
            amps = self._limited(loop)
        limit, source = time_allowed(self.volts, self.found.get(self.device), self.system)
        return EarthFault(
            self.consumer.id,
            self.start,
            loop,
            amps,
            self.device,
            _opens(self.network, self.found.get(self.device), amps),
            self.residual,
            residual_time(TEST_MULTIPLE).most if self.residual else None,
            limit,
            source,
            self.source.ohms.high - self.source.lead.real,
            (self.to_earth or 0j) + self.source.lead,
            _allowed(self.network, self.found.get(self.device), self.volts, limit),
            self.system,
        )

    def electrode_fault(self) -> ElectrodeFault:
        rated = _rated(self.network, self.residual) if self.residual else None
        largest = largest_earth(rated) if rated else None
        taken = self.earth if self.earth is not None else largest
        amps = self._limited(self._loop(taken)) if taken is not None and self.to_earth is not None else None
        limit, source = time_allowed(self.volts, self.found.get(self.device), "TT")
        return ElectrodeFault(
            self.consumer.id,
            self.start,
            self.residual,
            rated,
            largest,
            self.earth,
            amps,
            taken * rated if taken is not None and rated else None,
            residual_time(min(amps / rated, TEST_MULTIPLE)).most if amps is not None and rated else None,
            limit,
            source,
        )

    def _loop(self, extra: float = 0.0) -> float:
        """Impedance of source, lead, line and earth; one of unknown angle adds to the modulus of the rest [Ω]."""
        inner, swing = self.source.parts(self.source.ohms.high, True)
        return abs(inner + self.to_earth + extra) + swing

    def _limited(self, loop: float) -> float:
        amps = earth_fault_current(self.volts, loop)
        holds = self.source.limit or self.source.settles
        return min(amps, holds.low) if holds is not None else amps

    def _wiring(self, ids: Sequence[str]) -> complex | None:
        """Impedance of conductors and devices in a row, hot [Ω]; None where a cable is not known."""
        total = 0j
        for id in ids:
            found, edge = self.resistances[id], self.network.edges[id]
            if found.missing:
                return None
            total += found.hot.high
            if edge.cable and edge.cable.length:
                total += 1j * REACTANCE * edge.cable.length.high
        return total


def by_source(paths: Sequence[SupplyPath]) -> list[SupplyPath]:
    """One path for each inlet, inverter or generator that feeds last."""
    found: dict[str, SupplyPath] = {}
    for path in paths:
        found.setdefault(last_leg(path)[1], path)
    return list(found.values())


def _earth_of(record: object) -> float | None:
    earth = getattr(record, "earth_resistance", None)
    return earth.high if earth is not None else None


def time_allowed(volts: float, device: Device | None, system: str) -> tuple[float | None, str]:
    """Longest time in which a fault to earth must be cut off [s], and who says so."""
    if device is not None and device.rating is not None and device.rating.value > FINAL:
        return DISTRIBUTION_TIME[system], f"IEC 60364-4-41, 411.3.2, {system}, above 32 A (from memory)"
    return disconnection_time(volts, system), f"IEC 60364-4-41 Table 41.1, {system} (seen)"


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


def residual_on(network: Network, line: Sequence[Hop]) -> str:
    """The residual-current device on the way that people's lives hang on."""
    for hop in reversed(line):
        rated = _rated(network, hop.edge.id)
        if rated is not None and rated <= HOUSEHOLD_RESIDUAL + 1e-9:
            return hop.edge.id
    return ""


def _rated(network: Network, edge: str) -> float | None:
    """Rated residual current of a device [A]; that of household where it does not say; None where it has none."""
    record = network.edges[edge].record
    own = getattr(record, "residual", None)
    if own is not None:
        return own.value
    kind = record.kind if isinstance(record, Breaker) or hasattr(record, "label") else ""
    return HOUSEHOLD_RESIDUAL if kind in _RESIDUAL_KINDS else None


__all__ = ["EarthFault", "ElectrodeFault", "Leg", "LineFault", "by_source", "residual_on", "time_allowed"]
