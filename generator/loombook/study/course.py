"""A fault current over time: how fast each source's part rises, what it settles to, and when its BMS opens."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from heapq import heappop, heappush
from math import inf

from ..calc.fault_dc import BATTERY_DECAY, battery_rise, rise_constant, time_to_peak
from ..calc.fault_sources import PEAK_FACTOR, capacitor_peak
from ..inventory.loads import Motor
from ..inventory.sources import Battery
from ..network import Edge, Network
from ..quantities import digits, in_unit
from .defaults import CELL_INDUCTANCE, WIRE_INDUCTANCE
from .ledger import Ledger, told
from .model import Fault, Range, Resistance, Why
from .pulses import Pulse
from .sources import Source, fault_sources

FIGURE = (1e-3, 20e-3)
"""1/δ that the lines of figure 10 span [s]; outside them they are drawn on."""
FORMULA = (
    "lead-acid: 1/δ = 2/(R/L + 1/T_B), T_B = 30 ms, t_p and τ1 from 1/δ, I_k = 0.95 E/(R + 0.1 R_B); "
    "lithium: τ1 = L/R, peak and settled current alike; R = E/I of the source's own part, E of all batteries in series; "
    "capacitor: i_p = κ E/R of the path to it"
)


@dataclass(frozen=True)
class Part:
    """What one source adds to a fault, over time."""

    source: str
    """Edge id; the item's id for a motor and a capacitor."""
    kind: str
    """`lead-acid`, `lithium`, `limited`, `sun`, `motor` or `capacitor`."""
    peak: Range
    """[A]"""
    sustained: Range | None = None
    """What it settles to [A]; None where its own data would be needed."""
    rise: Range | None = None
    """τ1 [s]"""
    to_peak: Range | None = None
    """t_p [s]; for lithium the time to 95 % of it."""
    decay: float | None = None
    """τ2 [s]"""
    opens: str = ""
    """Whether its BMS opens: `yes`, `no`, `may`, `unknown`; empty where it has none."""
    delay: Range | None = None
    """After which time it opens [s]."""
    drawn_on: bool = False
    """Whether figure 10 had to be drawn on beyond its lines."""
    metres: float | None = None
    """Conductor between it and the place, out and back [m]; None where a length is missing."""
    series: tuple[str, ...] = ()
    """Batteries in series with it on that way: electromotive force, resistance and cells are of all of them."""
    stands: float | None = None
    """After which time a motor has come to a stand and gives nothing, at most [s]."""
    turned: bool = False
    """Whether the water turns it, so that it does not come to a stand."""


def note_assumptions(network: Network, ledger: Ledger) -> None:
    """Enter the inductances into the ledger, once for every battery and capacitor."""
    for edge in network.sources():
        if edge.kind == "battery":
            ledger.use(WIRE_INDUCTANCE, edge.item)
            ledger.use(CELL_INDUCTANCE, edge.item)


class Courses:
    """The faults of a vessel over time, worked out where asked."""

    def __init__(self, network: Network, faults: Mapping[str, Fault], resistances: Mapping[str, Resistance]) -> None:
        self.network, self.faults, self.resistances = network, faults, resistances
        self._reached: dict[str, Mapping[str, tuple[float, float]]] = {}

    @cached_property
    def sources(self) -> Mapping[str, Source]:
        return fault_sources(self.network, Ledger())

    @cached_property
    def charged(self) -> tuple[tuple[str, str, str, float], ...]:
        """(item, positive, negative, capacitance [F]) of every capacitor that is written down."""
        found = []
        for edge in self.network.edges.values():
            farads = getattr(edge.record, "capacitance", None)
            if farads is not None and edge.kind in ("load", "input"):
                found.append((edge.item, edge.a, edge.b, farads.high))
        return tuple(found)

    def at(self, node: str) -> tuple[Part, ...]:
        """Every part of the highest fault at a node, the largest first; then the capacitors."""
        fault = self.faults.get(node)
        if fault is None or fault.highest is None or fault.highest.high <= 0:
            return ()
        low = fault.highest.low / fault.highest.high
        parts = [self._part(node, fault, id, Range(amps * low, amps)) for id, amps in fault.shares]
        return (*parts, *self._capacitors(node, fault))

    def _part(self, node: str, fault: Fault, id: str, amps: Range) -> Part:
        source = self.sources.get(id)
        edge = self.network.edges[id]
        if source is None:
            record: Motor = edge.record
            turned, on = bool(record.regenerates), record.runs_on
            return Part(
                edge.item, "motor", amps, None if turned else Range(0, 0), stands=on.high if on else None, turned=turned
            )
        if edge.kind == "solar array":
            return Part(id, "sun", amps, amps)
        if source.limit is not None or edge.kind != "battery":
            peak = Range(amps.low, PEAK_FACTOR * amps.high) if source.limit else amps
            return Part(id, "limited", peak, amps)
        return self._battery(node, fault, edge, source, amps)

    def _battery(self, node: str, fault: Fault, edge: Edge, source: Source, amps: Range) -> Part:
        battery: Battery = edge.record
        opens, delay = _trip(battery, amps)
        metres, others = self._metres(edge.b, edge.a, node, fault.against)
        row = [source, *(self.sources[id] for id in others)]
        series = tuple(self.network.edges[id].item for id in others)
        lead = battery.chemistry != "lfp"
        emf = sum(s.full for s in row)
        ohms = Range(emf / amps.high, emf / max(amps.low, 1e-9))
        kind, settled = ("lead-acid", _settled(row, ohms)) if lead else ("lithium", amps)
        if metres is None:
            return Part(edge.id, kind, amps, settled, opens=opens, delay=delay, series=series)
        cells = battery.cells.series + sum(self.network.edges[id].record.cells.series for id in others)
        least = WIRE_INDUCTANCE.low * metres + CELL_INDUCTANCE.low * cells
        most = WIRE_INDUCTANCE.high * metres + CELL_INDUCTANCE.high * cells
        if not lead:
            tau = Range(least / ohms.high, most / ohms.low)
            return Part(
                edge.id,
                kind,
                amps,
                settled,
                tau,
                Range(3 * tau.low, 3 * tau.high),
                None,
                opens,
                delay,
                metres=metres,
                series=series,
            )
        delta = Range(battery_rise(ohms.high, least), battery_rise(ohms.low, most))
        return Part(
            edge.id, kind, amps, settled,
            Range(rise_constant(delta.low), rise_constant(delta.high)),
            Range(time_to_peak(delta.low), time_to_peak(delta.high)),
            BATTERY_DECAY, opens, delay, delta.low < FIGURE[0] or delta.high > FIGURE[1], metres, series,
        )  # fmt: skip

    def _capacitors(self, node: str, fault: Fault) -> Iterator[Part]:
        for item, plus, minus, farads in self.charged:
            there, back = self._reach(plus).get(node), self._reach(minus).get(fault.against)
            if there is None or back is None:
                continue
            metres, ohms = there[0] + back[0], there[1] + back[1]
            if metres in (0, inf) or ohms <= 0:  # at its own terminals only its own resistance limits it
                yield Part(item, "capacitor", Range(0, inf), Range(0, 0))
                continue
            peak = capacitor_peak(fault.volts, ohms, WIRE_INDUCTANCE.low * metres, farads)
            yield Part(
                item, "capacitor", Range(0, peak.current), Range(0, 0), to_peak=Range(0, peak.time), metres=metres
            )

    def pulse(self, device: Edge) -> Pulse:
        """What charged capacitors add through a fuse or breaker when its far side is shorted.

        i_p as in `capacitor_peak`; I²t = C U² / 2R, all of the charge turned to heat in the path

        Returns:
            peaks added up, energy and what gives them; nothing where no capacitor stands behind it
        """
        peak = energy = 0.0
        gives: list[str] = []
        own = self._ohms(device)
        for item, plus, minus, farads in self.charged:
            reach = self._reach(plus)
            if device.a not in reach or device.b not in reach:
                continue
            far = max((device.a, device.b), key=lambda node: reach[node][1])
            near = device.other(far)
            if abs(reach[far][1] - reach[near][1] - own) > 1e-3 * own:
                continue  # there is a nearer way round
            fault = self.faults.get(far)
            back = self._reach(minus).get(fault.against) if fault else None
            if back is None:
                continue
            metres, ohms = reach[far][0] + back[0], reach[far][1] + back[1]
            gives.append(item)
            if metres == inf or ohms <= 0:
                peak = energy = inf
                continue
            peak += capacitor_peak(fault.volts, ohms, WIRE_INDUCTANCE.low * metres, farads).current
            energy += farads * fault.volts**2 / (2 * ohms)
        return Pulse(peak, energy, tuple(sorted(set(gives))))

    # lengths

    def _metres(self, plus: str, minus: str, node: str, against: str) -> tuple[float | None, tuple[str, ...]]:
        """Conductor out and back, and the batteries in series on the way."""
        there, above = self._out(plus, node, True)
        back, below = self._out(minus, against, False)
        total = there + back
        return total if total < inf else None, (*above, *below)

    def _out(self, start: str, goal: str, up: bool) -> tuple[float, tuple[str, ...]]:
        """Length of the shortest way from a post [m], through as few further batteries in series as can be.

        Args:
            start: the post
            goal: a pole of the fault
            up: towards the positive pole, so that a battery is gone through from its negative post
        """
        if (found := self._reach(start).get(goal)) is not None:
            return found[0], ()
        queue: list[tuple[int, float, str, tuple[str, ...]]] = [(0, 0.0, start, ())]
        seen = set()
        while queue:
            count, metres, here, row = heappop(queue)
            if here == goal:
                return metres, row
            if here in seen:
                continue
            seen.add(here)
            for edge in self.network.at[here]:
                if edge.conducts:
                    heappush(queue, (count, metres + _length(edge), edge.other(here), row))
                elif edge.kind == "battery" and here == (edge.a if up else edge.b):
                    heappush(queue, (count + 1, metres, edge.other(here), (*row, edge.id)))
        return inf, ()

    def _reach(self, start: str) -> Mapping[str, tuple[float, float]]:
        """Node → length and resistance of the shortest way in wires and closed devices [m, Ω]."""
        if start not in self._reached:
            found: dict[str, tuple[float, float]] = {}
            queue = [(0.0, 0.0, start)]
            while queue:
                metres, ohms, here = heappop(queue)
                if here in found:
                    continue
                found[here] = (metres, ohms)
                for edge in self.network.at[here]:
                    other = edge.other(here)
                    if edge.conducts and other not in found:
                        heappush(queue, (metres + _length(edge), ohms + self._ohms(edge), other))
            self._reached[start] = found
        return self._reached[start]

    def _ohms(self, edge: Edge) -> float:
        known = self.resistances.get(edge.id)
        return known.cold.low if known and not known.missing else 0.0

    def why(self, node: str) -> Why | None:
        """How the course at a node came about; None where no battery and no capacitor gives a part of it."""
        parts = [p for p in self.at(node) if p.kind in ("lead-acid", "lithium", "capacitor")]
        if not parts:
            return None
        inputs = [
            ("inductance of a wire, a metre", WIRE_INDUCTANCE.value, WIRE_INDUCTANCE.source),
            ("inductance of a battery, a cell", CELL_INDUCTANCE.value, CELL_INDUCTANCE.source),
        ]
        steps = []
        for part in parts:
            length = (
                "a length on the way is not known" if part.metres is None else f"{digits(part.metres, 2)} m of wire"
            )
            way = (
                f"out and back, the shortest way, in series with {' and '.join(part.series)}"
                if part.series
                else "out and back, the shortest way"
            )
            inputs.append((part.source, length, way))
            if part.rise and part.sustained:
                steps.append((f"{part.source}: τ1", told(part.rise, "time")))
                steps.append((f"{part.source}: settles to", told(part.sustained, "current")))
            if part.drawn_on:
                steps.append((f"{part.source}: 1/δ", "outside 1 ms to 20 ms, the lines of figure 10 are drawn on"))
            if part.kind == "capacitor" and part.peak.high < inf:
                steps.append((f"{part.source}: peak without its own resistance", in_unit(part.peak.high, "current", 2)))
        return Why(
            FORMULA,
            "IEC 61660-1:1997 (from memory, verified against published examples); the standard does not cover lithium",
            tuple(inputs),
            tuple(steps),
            "computed",
        )


def _length(edge: Edge) -> float:
    if not edge.cable:
        return 0.0
    return edge.cable.length.high if edge.cable.length else inf


def _settled(row: Sequence[Source], ohms: Range) -> Range:
    """0.95 E over the whole resistance, where `ohms` holds nine tenths of the batteries' own.

    Args:
        row: the battery and those in series with it
        ohms: of the whole way at the peak [Ω]
    """
    own = sum((1 - s.peak) * s.ohms.low for s in row), sum((1 - s.peak) * s.ohms.high for s in row)
    emf = sum(s.sustained * s.full for s in row)
    return Range(emf / (ohms.high + own[1]), emf / (ohms.low + own[0]))


def _trip(battery: Battery, amps: Range) -> tuple[str, Range | None]:
    """Whether a battery's BMS opens at its part of the fault, and after which time."""
    bms = battery.bms
    if bms is None:
        return "", None
    if bms.trip is None or bms.trip_delay is None:
        return "unknown", None
    delay = Range(bms.trip_delay.low, bms.trip_delay.high)
    if amps.low >= bms.trip.high:
        return "yes", delay
    return ("may", delay) if amps.high >= bms.trip.low else ("no", None)
