"""What each fuse and breaker can do where it stands: break the fault, open in time, spare its conductor, hold the
start, go first."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from math import inf

from ..calc.adiabatic import k_of_insulation, withstand
from ..calc.curves import Band
from ..calc.selectivity import selectivity
from ..calc.tables import OutOfTable
from ..inventory.sources import Battery
from ..network import Edge, Network
from ..network.supply import SupplyPath
from .design import Design
from .devices import Device, band_of, bms_band, breaks, devices, stretched
from .faults import FaultStudy
from .joined import Joined
from .looked import Looked
from .guardmodel import Guard, Selective, Starting
from .model import Fault, Range
from .protection import UNLIMITED, Clusters
from .sources import nominal_across

_SMALL_SHARE = 0.02
LONGEST = 5.0
"""Time within which a short has to be cut off [s]. Source: IEC 60364-4-41 (seen) for circuits that are not
hand-held."""


def guards(
    network: Network, clusters: Clusters, faults: FaultStudy, design: Design, supply: Mapping[str, Sequence[SupplyPath]]
) -> Mapping[str, Guard]:
    """Device edge id → what it can do."""
    return _Guards(network, clusters, faults, design, supply).all()


class _Guards:
    def __init__(
        self,
        network: Network,
        clusters: Clusters,
        faults: FaultStudy,
        design: Design,
        supply: Mapping[str, Sequence[SupplyPath]],
    ) -> None:
        self.network, self.clusters, self.faults, self.design = network, clusters, faults, design
        self.devices = devices(network)
        self.bands = {id: self._band(device) for id, device in self.devices.items()}
        self.conductors: dict[int, list[Edge]] = {}
        for edge in network.edges.values():
            if edge.kind == "conductor" and clusters.is_hot(edge):
                self.conductors.setdefault(clusters.of[edge.a], []).append(edge)
        self.nodes: dict[int, list[str]] = {}
        for node, cluster in clusters.of.items():
            self.nodes.setdefault(cluster, []).append(node)
        self.bms = {e.id: self._bms(e.record) for e in network.sources() if e.kind == "battery"}
        self.starting = self._starting(supply)
        self.joined = Joined(network)
        self.looked = [Looked(*pair) for pair in (faults.normal, *faults.highest)]
        self.lowest = self._lowest_through()

    def all(self) -> Mapping[str, Guard]:
        return {id: self._guard(device) for id, device in self.devices.items() if self.clusters.is_hot(device.edge)}

    def _band(self, device: Device) -> Band | str:
        try:
            return band_of(self.network.inventory, device)
        except OutOfTable as error:
            return str(error)

    def _bms(self, battery: Battery) -> Band | str:
        try:
            return bms_band(battery)
        except OutOfTable as error:
            return str(error)

    def _starting(self, supply: Mapping[str, Sequence[SupplyPath]]) -> Mapping[str, list[str]]:
        """Device → the consumers with a start current that are fed through it."""
        found: dict[str, list[str]] = {}
        for consumer in self.network.consumers.values():
            paths = supply.get(consumer.id, ())
            if consumer.record.start is not None and paths:
                for hop in paths[0].out:
                    if hop.edge.id in self.devices:
                        found.setdefault(hop.edge.id, []).append(consumer.id)
        return found

    def protected(self, device: Edge) -> list[int]:
        """The clusters that a device protects: against what does not limit itself, where such a source is behind it."""
        sides = dict.fromkeys((self.clusters.of[device.a], self.clusters.of[device.b]))
        mine = [c for c in sides if device.id in self.clusters.towards.get(c, ())]
        strong = [c for c in mine if any(e.kind in UNLIMITED for e in self.clusters.sources_behind(device, c))]
        return strong or mine

    def _lowest_through(self) -> Mapping[str, tuple[float, str, bool]]:
        """Device → the lowest fault current through it within its reach, where, and whether it rests on a default."""
        found: dict[str, tuple[float, str, bool]] = {}
        reach = {
            id: self._reach(device.edge) for id, device in self.devices.items() if self.clusters.is_hot(device.edge)
        }
        for row in self.faults.lowest:
            place = {node: i for i, (node, _) in enumerate(row.case.pairs)}
            inner = {id: i for i, id in enumerate(row.case.watch)}
            limited = any(self.network.edges[id].kind not in UNLIMITED for id in row.way)
            for id, (nodes, behind, strong) in reach.items():
                if not behind.issuperset(row.way) or (strong and limited):
                    continue
                for node in nodes:
                    if node in place:
                        i = place[node]
                        amps = float(row.watched[inner[id], i]) if id in inner else float(row.low[i])
                        if 1e-6 < amps < found.get(id, (inf, "", False))[0]:
                            found[id] = (amps, node, row.assumed)
        return found

    def _reach(self, device: Edge) -> tuple[list[str], frozenset[str], bool]:
        """The nodes that a device protects, the sources behind it, and whether one of them does not limit itself."""
        clusters = self.protected(device)
        behind = [e for c in clusters for e in self.clusters.sources_behind(device, c)]
        nodes = [n for c in clusters for n in self.nodes.get(c, ())]
        return nodes, frozenset(e.id for e in behind), any(e.kind in UNLIMITED for e in behind)

    def _guard(self, device: Device) -> Guard:
        edge, band = device.edge, self.bands[device.id]
        clusters = self.protected(edge)
        ends = [fault for n in (edge.a, edge.b) if (fault := self.faults.at.get(n)) and fault.highest]
        highest = max((f.highest for f in ends), key=lambda r: r.high, default=None)
        behind_it = min((f.highest.high for f in ends), default=None)
        conductors = [e for c in clusters for e in self.conductors.get(c, ())]
        smallest, bears = self._smallest(conductors)
        lowest, far, assumed = self.lowest.get(device.id, (None, "", False))
        volts = self.joined.highest_at(edge) or nominal_across(self.network, edge)
        capacity, source = self._breaks(device, volts)
        known = isinstance(band, Band)
        return Guard(
            device=device.id,
            family=device.family,
            rating=device.rating.value if device.rating else None,
            band=band if known else None,
            unknown="" if known else band,
            volts=volts,
            highest=highest,
            through=self._through(device, ends),
            breaks=capacity,
            breaks_source=source,
            conductors=tuple(e.id for e in conductors),
            smallest=smallest,
            bears=bears,
            far=far,
            lowest=lowest,
            lowest_assumed=assumed,
            opens=tuple(band.opening_time(lowest)) if known and lowest else None,
            lets_through=tuple(band.let_through(behind_it)) if known and behind_it else None,
            most_energy=_most_energy(band, lowest, behind_it) if known and lowest and behind_it else None,
            starts=tuple(self._starts(device, band)),
            selectivity=tuple(self._selective(device, band, clusters, lowest, behind_it)),
            blackout=self._blackout(device, band, clusters, behind_it),
        )

    def _through(self, device: Device, ends: Sequence[Fault]) -> Range | None:
        """The most that flows through a device when either of its ends is shorted; in radial wiring the fault behind it."""
        if not ends:
            return None
        if device.id not in self.faults.through:
            return min(ends, key=lambda fault: fault.highest.high).highest
        worst = max(ends, key=lambda fault: fault.highest.high).highest
        most = self.faults.through[device.id]
        return Range(most * worst.low / worst.high, most) if worst.high else None

    def _breaks(self, device: Device, volts: float) -> tuple[float | None, str]:
        try:
            return breaks(self.network.inventory, device, volts)
        except OutOfTable as error:
            return None, str(error)

    def _smallest(self, conductors: Iterable[Edge]) -> tuple[str, float | None]:
        """The conductor that bears least, and how much [A²s]."""
        best: tuple[float, str] = (inf, "")
        for edge in conductors:
            if edge.cable.area is not None:
                insulation = edge.cable.insulation or self.network.inventory.defaults.insulation
                try:
                    k = k_of_insulation(insulation.low if insulation else None)
                except OutOfTable:
                    continue
                best = min(best, (withstand(edge.cable.area.low, k, edge.cable.parallel), edge.id))
        return (best[1], best[0]) if best[1] else ("", None)

    def _starts(self, device: Device, band: Band | str) -> Iterator[Starting]:
        for id in self.starting.get(device.id, ()):
            consumer = self.network.consumers[id]
            start = consumer.record.start
            others = abs(self.design.amps.get(device.id, 0.0))
            if id not in self.design.motor:
                others = max(0.0, others - abs(self.design.amps.get(consumer.edge, 0.0)))
            amps, seconds = start.current.high + others, start.time.high if start.time else None
            holds = band.carries(amps, seconds) if isinstance(band, Band) and seconds is not None else None
            yield Starting(id, amps, seconds, holds)

    # selectivity

    def _selective(
        self, device: Device, band: Band | str, clusters: Sequence[int], low: float | None, high: float | None
    ) -> Iterator[Selective]:
        upstream = dict.fromkeys(id for c in clusters for id in self.clusters.upstream(device.edge, c))
        for id in upstream:
            if (share := self._share(device, id)) > _SMALL_SHARE:
                yield self._against(device, band, id, "device", self.bands[id], share, low, high)
        given = self._given_behind(device)
        for id in self._batteries_behind(device, clusters):
            if (share := given.get(id, 0.0)) > _SMALL_SHARE:
                yield self._against(device, band, id, "bms", self.bms[id], share, low, high)

    def _against(
        self,
        device: Device,
        near: Band | str,
        id: str,
        kind: str,
        far: Band | str,
        share: float,
        low: float | None,
        high: float | None,
    ) -> Selective:
        for band in (near, far):
            if isinstance(band, str):
                return Selective(id, kind, "", None, share, band)
        if low is None or high is None or high <= low:
            return Selective(id, kind, "", None, share, "the fault currents within its reach are not known")
        verdict = selectivity(near, stretched(far, 1 / share), max(low, device.rating.value), high)
        return Selective(id, kind, verdict.verdict, verdict.limit, share)

    def _share(self, device: Device, upstream: str) -> float:
        """Part of the fault just behind a device that an upstream device carries: in normal use, or else at worst."""
        for looked in self.looked:
            current, place = looked.behind(device.edge)
            if current > 0:
                return looked.through(upstream, place) / current
        return 1.0

    def _given_behind(self, device: Device) -> Mapping[str, float]:
        """Source → its part of the fault just behind a device, in normal use or else at worst."""
        for looked in self.looked:
            current, place = looked.behind(device.edge)
            if current > 0:
                return {id: amps / current for id, amps in looked.given(place).items()}
        return {}

    def _batteries_behind(self, device: Device, clusters: Sequence[int]) -> list[str]:
        found = {
            e.id
            for c in clusters
            for e in self.clusters.sources_behind(device.edge, c)
            if e.kind == "battery" and e.record.bms
        }
        return sorted(found)

    def _blackout(
        self, device: Device, band: Band | str, clusters: Sequence[int], high: float | None
    ) -> tuple[str, ...]:
        """The batteries, if the trip of every one that feeds a short just behind the device comes before it."""
        if isinstance(band, str) or not high:
            return ()
        opens = band.opening_time(high).most
        batteries = [
            id
            for id, share in self._given_behind(device).items()
            if share > _SMALL_SHARE and self.network.edges[id].kind == "battery"
        ]
        for id in batteries:
            trip = self.bms[id]
            if isinstance(trip, str) or trip.opening_time(self._given_behind(device)[id] * high).least >= opens:
                return ()
        return tuple(batteries)


def _most_energy(band: Band, low: float, high: float) -> float | None:
    """The most that a band lets through at any current of the range at which it opens within 5 s [A²s]."""
    currents = sorted({low, high, *(amps for amps in band.currents if low < amps < high)})
    energies = [amps**2 * most for amps in currents for most in [band.opening_time(amps).most] if most <= LONGEST]
    return max(energies, default=None)
