"""The AC side: the fault at the inlet, the loop of a fault to earth, whether it is cut off in time, and where neutral
meets earth."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import inf

from ..calc.ac import disconnection_time, earth_fault_current, residual_time
from ..calc.curves import Band
from ..calc.tables import OutOfTable
from ..inventory.devices import Breaker
from ..network import Consumer, Network
from ..network.supply import Hop, SupplyPath
from .devices import Device, band_of, devices
from .drop import last_leg
from .model import Resistance
from .sources import Source

_RESIDUAL_KINDS = ("rcd", "rcbo B", "rcbo C")
HOUSEHOLD_RESIDUAL = 0.030
"""Residual current of a device that protects people [A]; taken where the device does not say its own (from memory)."""
TEST_MULTIPLE = 5.0
"""Multiple of the residual current at which an earth fault without much resistance is judged."""


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
class Bond:
    """Where neutral and earth are joined while one source supplies."""

    source: str
    joined: bool | None
    """Aboard; None where it is not recorded."""
    words: str


@dataclass(frozen=True)
class Mains:
    """The AC side of a vessel."""

    inlets: tuple[tuple[str, float, float, bool], ...]
    """(inlet, fault current least and most [A], whether it is declared)."""
    earth_faults: tuple[EarthFault, ...]
    bonds: tuple[Bond, ...]


def mains(
    network: Network, resistances: Mapping[str, Resistance], sources: Mapping[str, Source],
    supply: Mapping[str, Sequence[SupplyPath]],
    reserve: Mapping[str, Sequence[SupplyPath]],
) -> Mains:  # fmt: skip
    """The AC side; empty on a vessel that has none."""
    found = devices(network)
    consumers = [c for c in network.consumers.values() if network.nodes[c.plus].pole == "L"]
    faults = [
        _earth_fault(network, resistances, sources, found, consumer, path)
        for consumer in consumers
        for path in _by_source((*supply.get(consumer.id, ()), *reserve.get(consumer.id, ())))
    ]
    inlets = tuple(_inlet(network, id, sources[id]) for id in network.inventory.shore_inlets)
    return Mains(inlets, tuple(faults), tuple(_bonds(network)))


def _by_source(paths: Sequence[SupplyPath]) -> list[SupplyPath]:
    """One path for each inlet or inverter that feeds last."""
    found: dict[str, SupplyPath] = {}
    for path in paths:
        found.setdefault(last_leg(path)[1], path)
    return list(found.values())


def _inlet(network: Network, id: str, source: Source) -> tuple[str, float, float, bool]:
    return id, source.full / source.ohms.high, source.full / source.ohms.low, not source.assumed


def _earth_fault(
    network: Network,
    resistances: Mapping[str, Resistance],
    sources: Mapping[str, Source],
    found: Mapping[str, Device],
    consumer: Consumer,
    path: SupplyPath,
) -> EarthFault:
    hops, source = last_leg(path)
    back = len(path.back)
    line = hops[: len(hops) - back]
    earth = _earth_way(network, f"{consumer.id} PE", f"{network.edges[source].item} PE")
    loop = (
        _loop(resistances, sources[source], [*(h.edge.id for h in line), *(earth or ())]) if earth is not None else None
    )
    volts = sources[source].full
    amps = earth_fault_current(volts, loop) if loop else None
    if amps is not None and sources[source].limit is not None:
        amps = min(amps, sources[source].limit.low)
    device = next((h.edge.id for h in reversed(line) if h.edge.id in found), "")
    residual = _residual(network, line)
    return EarthFault(
        consumer.id,
        source,
        loop,
        amps,
        device,
        _opens(network, found.get(device), amps),
        residual,
        residual_time(TEST_MULTIPLE).most if residual else None,
        disconnection_time(volts),
    )


def _loop(resistances: Mapping[str, Resistance], source: Source, ids: Sequence[str]) -> float | None:
    ohms = [resistances[id] for id in ids]
    if any(r.missing for r in ohms):
        return None
    return source.ohms.high + sum(r.hot.high for r in ohms)


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


def _opens(network: Network, device: Device | None, amps: float | None) -> float | None:
    if device is None:
        return inf
    if amps is None:
        return None
    try:
        band: Band = band_of(network.inventory, device)
    except OutOfTable:
        return None
    return band.opening_time(amps).most


def _residual(network: Network, line: Sequence[Hop]) -> str:
    """The residual-current device on the way that people's lives hang on."""
    for hop in reversed(line):
        record = hop.edge.record
        own = getattr(record, "residual", None)
        kind = record.kind if isinstance(record, Breaker) or hasattr(record, "label") else ""
        if (own is not None and own.value <= HOUSEHOLD_RESIDUAL + 1e-9) or (own is None and kind in _RESIDUAL_KINDS):
            return hop.edge.id
    return ""


def _bonds(network: Network) -> Iterator[Bond]:
    for inlet in network.inventory.shore_inlets.values():
        if inlet.isolating_transformer:
            yield Bond(
                inlet.id,
                None,
                "the isolating transformer parts the boat from the shore; "
                "whether its secondary is joined to earth aboard is not recorded",
            )
        else:
            yield Bond(inlet.id, False, "neutral and earth are joined ashore; aboard they must not be")
    for inverter in network.inventory.inverters.values():
        words = {
            "fixed": (True, "always joined in the inverter, also while shore supplies if both are ever connected"),
            "switched": (True, "joined by the inverter only while it supplies"),
            "none": (False, "not joined: a fault to earth cannot trip anything while the inverter supplies"),
            None: (None, "whether the inverter joins neutral and earth is not recorded"),
        }
        joined, text = words[inverter.bond]
        yield Bond(inverter.id, joined, text)
