"""Every source as an electromotive force behind a resistance, with a current limit where it regulates itself."""

from __future__ import annotations

from cmath import rect
from collections.abc import Mapping
from dataclasses import dataclass
from math import pi

from ..calc.ac import REACTANCE
from ..calc.banks import assumed_lead_acid, assumed_lfp_cell, cell_voltages, lead_acid_bank, lithium_bank
from ..calc.conductors import resistance
from ..calc.fault_dc import lead_acid_emf
from ..calc.generators import rated_impedance
from ..inventory.sources import Battery, Generator, Inverter, ShoreInlet, SolarArray
from ..network import Edge, Network
from ..network.model import ALTERNATING
from . import defaults as d
from .ledger import Ledger, spread
from .model import Range


@dataclass(frozen=True)
class Source:
    """A source of fault current: its open-circuit voltage and resistance, and its limit if it has one."""

    edge: str
    full: float
    """Electromotive force, charged and cold [V]."""
    low: float
    """Electromotive force, nearly empty, still delivering [V]."""
    ohms: Range
    """Internal resistance [Ω], as a range where it is one."""
    limit: Range | None = None
    """Current that it does not go beyond: least and most [A]. None: it gives and takes without limit."""
    assumed: bool = False
    """Whether its resistance or limit is a default of ours."""
    varies: bool = False
    """Whether its limit goes up and down with the hour, as an array's does: its least is no doubt about its most."""
    peak: float = 1.0
    """Factor on the resistance at the peak of the current: 0.9 for lead-acid (IEC 61660-1)."""
    sustained: float = 1.0
    """Factor on the electromotive force once the current has settled: 0.95 for lead-acid (IEC 61660-1)."""
    settles: Range | None = None
    """Current that a generator's fault falls to [A]; None for all else."""
    lead: complex = 0j
    """Impedance of a shore lead, out and back, which `ohms.high` has in it [Ω]."""
    angle: float | None = 0.0
    """Angle of an AC source's own impedance [rad]; None where it is not known."""

    def most(self, lean: bool) -> float | None:
        """The limit for the highest fault current [A]: where it is in doubt the most, or, `lean`, the least; None: none."""
        if self.limit is None:
            return None
        return self.limit.low if lean and not self.varies else self.limit.high

    def least(self, lean: bool) -> float | None:
        """The same for the lowest, when a generator's current has fallen [A]."""
        holds = self.limit or self.settles
        if holds is None:
            return None
        return holds.low if lean or self.varies else holds.high

    def parts(self, ohms: float, with_lead: bool = False) -> tuple[complex, float]:
        """The part of an AC source's impedance whose angle is known, and the rest by modulus [Ω]."""
        lead = self.lead if with_lead else 0j
        own = ohms - lead.real
        return (lead, own) if self.angle is None else (lead + rect(own, self.angle), 0.0)


def fault_sources(network: Network, ledger: Ledger) -> Mapping[str, Source]:
    """Edge id → source, as it feeds a fault."""
    found = {}
    for edge in network.sources():
        if edge.kind == "battery":
            found[edge.id] = _battery(edge, ledger)
        elif edge.kind == "shore":
            found[edge.id] = _shore(edge, ledger)
        elif edge.kind == "generator":
            found[edge.id] = _generator(edge, ledger)
        elif edge.kind == "inverter":
            found[edge.id] = _inverter(network, edge, ledger)
        elif edge.kind == "solar array":
            found[edge.id] = _array(edge, ledger)
        else:
            found[edge.id] = _regulated(network, edge, ledger)
    return found


def battery_ohms(battery: Battery, ledger: Ledger) -> tuple[Range, bool]:
    """Internal resistance of a battery without its BMS [Ω], and whether it is an assumption of ours."""
    cells, id = battery.cells, battery.id
    if battery.resistance is not None:
        return spread(battery.resistance, ledger, id), not battery.resistance.certain
    if battery.chemistry != "lfp":
        ledger.use(d.LEAD_ACID, id, id)
        least, most = assumed_lead_acid(cells.capacity.value * cells.parallel)
        emf = lead_acid_emf(cells.series)
        return Range(emf / most, emf / least), True
    assumed = cells.resistance is None
    if assumed:
        ledger.use(d.LFP_CELL, id, id)
        cell = Range(*assumed_lfp_cell(cells.capacity.value))
    else:
        cell = spread(cells.resistance, ledger, id)
    link = spread(cells.link, ledger, id) if cells.link else ledger.use(d.LINK, id).range
    bank = lithium_bank(cells.series, cells.parallel, (cell.low, cell.high), (link.low, link.high))
    return Range(*bank.resistance), assumed


def _battery(edge: Edge, ledger: Ledger) -> Source:
    battery: Battery = edge.record
    ohms, assumed = battery_ohms(battery, ledger)
    ohms = Range(max(ohms.low, 1e-6), max(ohms.high, 1e-6))
    series = battery.cells.series
    if battery.chemistry == "lfp":
        volts = cell_voltages("lfp")
        return Source(edge.id, series * volts.rested, series * volts.low, ohms, None, assumed)
    bank = lead_acid_bank(series, (ohms.low, ohms.high))
    return Source(edge.id, bank.emf[1], bank.emf[0], ohms, None, assumed, peak=0.9, sustained=0.95)


def _shore(edge: Edge, ledger: Ledger) -> Source:
    inlet: ShoreInlet = edge.record
    volts = inlet.voltage.value
    if inlet.fault_current:
        amps = spread(inlet.fault_current, ledger, edge.item)
    else:
        ledger.use(d.SHORE, edge.item, edge.id)
        amps = Range(d.SHORE.low, 3000.0 if volts < 150 else 6000.0)
    ohms = Range(volts / max(amps.high, 1.0), volts / max(amps.low, 1.0) + 2 * lead_ohms(inlet))
    assumed = inlet.fault_current is None
    return Source(edge.id, volts, volts, ohms, None, assumed, lead=lead_impedance(inlet), angle=None)


def lead_impedance(inlet: ShoreInlet) -> complex:
    """Resistance and reactance of a shore lead, out and back, warm [Ω]."""
    length = inlet.lead_length.high if inlet.lead_length and inlet.lead_area else 0.0
    return complex(2 * lead_ohms(inlet), 2 * REACTANCE * length)


def lead_ohms(inlet: ShoreInlet) -> float:
    """One conductor of the shore lead, warm; nothing where its length or area is not known [Ω]."""
    if inlet.lead_length is None or inlet.lead_area is None:
        return 0.0
    return resistance(inlet.lead_area.low, inlet.lead_length.high, d.HOT.high)


def _generator(edge: Edge, ledger: Ledger) -> Source:
    """A generator: its subtransient reactance at first, what its regulator holds in the end."""
    record: Generator = edge.record
    volts = record.voltage.value
    base = rated_impedance(max(record.power.value, 1.0), volts)
    if record.subtransient is not None:
        parts = spread(record.subtransient, ledger, edge.item)
    else:
        parts = ledger.use(d.SUBTRANSIENT, edge.item, edge.id).range
    if record.sustained is not None:
        lasting = spread(record.sustained, ledger, edge.item)
    else:
        factor = ledger.use(d.SUSTAINED, edge.item).range
        lasting = Range(factor.low * volts / base, factor.high * volts / base)
    ohms = Range(max(parts.low, 1e-3) * base, max(parts.high, 1e-3) * base)
    assumed = record.subtransient is None or record.sustained is None
    return Source(edge.id, volts, volts, ohms, None, assumed, settles=lasting, angle=pi / 2)


def _inverter(network: Network, edge: Edge, ledger: Ledger) -> Source:
    inverter: Inverter = edge.record
    volts = output_volts(network, edge)
    if inverter.fault_current:
        limit = spread(inverter.fault_current, ledger, edge.item)
    else:
        ledger.use(d.INVERTER, edge.item, edge.id)
        rated = inverter.power.value / volts
        limit = Range(d.INVERTER.low * rated, d.INVERTER.high * rated)
    return _droop(edge, volts, limit, inverter.fault_current is None, ledger)


def _array(edge: Edge, ledger: Ledger) -> Source:
    array: SolarArray = edge.record
    ledger.use(d.SOLAR, edge.item, edge.id)
    volts = array.series * array.open_circuit.value
    amps = max(array.parallel * array.short_circuit.value, 1e-3)
    return Source(
        edge.id,
        volts,
        volts,
        Range(0.05 * volts / amps, 0.05 * volts / amps),
        Range(d.SOLAR.low * amps, d.SOLAR.high * amps),
        varies=True,
    )


def _regulated(network: Network, edge: Edge, ledger: Ledger) -> Source:
    """Charger, DC converter, solar controller, alternator."""
    ledger.use(d.LIMITED, edge.item, edge.id)
    rated = edge.record.current.value
    volts = output_volts(network, edge)
    return _droop(edge, volts, Range(d.LIMITED.low * rated, d.LIMITED.high * rated), True, ledger)


def _droop(edge: Edge, volts: float, limit: Range, assumed: bool, ledger: Ledger) -> Source:
    ledger.use(d.DROOP, edge.item)
    least, most = (max(part * volts / max(limit.high, 1e-3), 1e-6) for part in (d.DROOP.low, d.DROOP.high))
    return Source(edge.id, volts, volts, Range(least, most), limit, assumed)


def output_volts(network: Network, edge: Edge) -> float:
    """Voltage that a regulated source holds at its terminals [V]: its set-point, or a default by what it charges."""
    record = edge.record
    for name in ("output", "absorption", "float"):
        quantity = getattr(record, name, None)
        if quantity is not None:
            return quantity.value
    nominal = nominal_across(network, edge)
    if edge.kind == "generator":
        return record.voltage.value
    if edge.kind in ("charger", "controller", "alternator"):
        battery = _battery_on(network, edge)
        if battery is not None:
            return battery.cells.series * (3.45 if battery.chemistry == "lfp" else 2.35)
        return nominal * 1.15
    return nominal


def nominal_across(network: Network, edge: Edge) -> float:
    """Nominal voltage between the two ends of an edge [V]; 230 V or 12 V where nothing tells it."""
    a, b = network.nodes[edge.a].volts, network.nodes[edge.b].volts
    if a is not None and b is not None and a != b:
        return abs(b - a)
    return 230.0 if edge.kind in ALTERNATING else 12.0


def _battery_on(network: Network, edge: Edge) -> Battery | None:
    """A battery of the same nominal voltage, the one that a charger most likely charges: in the same system."""
    system = network.nodes[edge.b].system
    found = [e.record for e in network.sources() if e.kind == "battery" and network.nodes[e.b].system == system]
    return found[0] if found else None
