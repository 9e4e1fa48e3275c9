"""The fuses and breakers of a vessel in one form, with their time–current bands and what they can break."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any, Protocol

from ..calc.breaking import breaking_capacity
from ..calc.curves import Band, own_curve, trip
from ..calc.families import band
from ..calc.tables import Mark, OutOfTable
from ..inventory.devices import Panel
from ..inventory.fields import Breaking
from ..inventory.records import Inventory
from ..inventory.sources import Battery
from ..inventory.vessel import Curve
from ..network import Edge, Network
from ..quantities import Quantity, parse

_MARKS = {"from memory": Mark.MEMORY, "invented": Mark.PRACTICE}


class Opener(Protocol):
    """What is asked of a fuse or breaker to tell how fast it opens and what it breaks."""

    @property
    def id(self) -> str: ...
    @property
    def family(self) -> str: ...
    @property
    def rating(self) -> Quantity | None: ...
    @property
    def voltage(self) -> Quantity | None: ...
    @property
    def breaking(self) -> Breaking | None: ...
    @property
    def ac(self) -> bool: ...


@dataclass(frozen=True)
class Device:
    """One pole of a fuse or breaker, on a live conductor."""

    edge: Edge
    family: str
    """Standard family (`blade`, `class T`, `C`), or the name of one of the owner's curves."""
    rating: Quantity | None
    voltage: Quantity | None
    breaking: Breaking | None
    ac: bool
    record: Any = field(repr=False, default=None)

    @property
    def id(self) -> str:
        return self.edge.id


def devices(network: Network) -> dict[str, Device]:
    """Edge id → device, for every fuse and breaker on a live pole."""
    found = {}
    for edge in network.edges.values():
        poles = {network.nodes[n].pole for n in (edge.a, edge.b)}
        if edge.kind in ("fuse", "breaker") and poles & {"+", "L"}:
            found[edge.id] = _device(network, edge, "L" in poles)
    return found


def _device(network: Network, edge: Edge, ac: bool) -> Device:
    item, record = network.inventory.item(edge.item), edge.record
    if isinstance(item, Panel):
        return Device(
            edge,
            record.kind or item.kind,
            record.rating,
            record.voltage or item.voltage,
            record.breaking or item.breaking,
            ac,
            record,
        )
    return Device(edge, record.kind, record.rating, record.voltage, record.breaking, ac, record)


def band_of(inventory: Inventory, device: Opener) -> Band:
    """How fast a device opens.

    Raises:
        OutOfTable: its rating or its family's times are not known, in plain words
    """
    if device.rating is None:
        raise OutOfTable(f"{device.id} has no rating")
    curve = inventory.curves.get(device.family)
    if curve is not None:
        return _own(device.family, device.rating.value, curve)
    return band(device.family, device.rating.value, dc=not device.ac)


def _own(name: str, rating: float, curve: Curve) -> Band:
    """A band from the points of an owner's curve."""
    fastest, slowest = [], []
    for text, time in curve.points.items():
        if time == "never":
            continue
        amps = float(text.removesuffix(" A")) * (1 if text.endswith(" A") or curve.per == "ampere" else rating)
        span = parse(time, "time")
        fastest.append((amps, span.low))
        slowest.append((amps, span.high))
    return own_curve(
        f"{name} {rating:g} A", rating, fastest, slowest, curve.source, _MARKS.get(curve.mark, Mark.SECONDARY)
    )


def bms_band(battery: Battery) -> Band:
    """The trip of a battery's management unit.

    Raises:
        OutOfTable: it has none, or its threshold or delay is not given
    """
    bms = battery.bms
    if bms is None or bms.trip is None or bms.trip_delay is None:
        raise OutOfTable(f"the trip of the BMS of {battery.id} is not given")
    return trip(f"BMS of {battery.id}", (bms.trip.low, bms.trip.high), (bms.trip_delay.low, bms.trip_delay.high))


def stretched(band: Band, factor: float) -> Band:
    """The band over the current of a fault of which the device carries only a part; `factor` is the whole over the
    part."""

    def edge(points: tuple[tuple[float, float], ...]) -> tuple[tuple[float, float], ...]:
        return tuple((amps * factor, time) for amps, time in points)

    return replace(band, fastest=edge(band.fastest), slowest=edge(band.slowest))


def breaks(inventory: Inventory, device: Opener, volts: float) -> tuple[float, str]:
    """What a device breaks at a voltage [A], and where that is known from.

    Its own figure counts up to the voltage that it is stated at; without one its family's is taken.

    Raises:
        OutOfTable: nothing is known, in plain words
    """
    curve = inventory.curves.get(device.family)
    own: Breaking | None = device.breaking or (curve.breaking if curve else None)
    if own is not None:
        at = own.voltage or device.voltage
        if at is None:
            raise OutOfTable(f"at which voltage it breaks {own.current} is not said")
        if at.value >= volts:
            return own.current.value, f"{own.current} at {at}, as recorded"
    if curve is not None:
        raise OutOfTable("its breaking capacity at this voltage is not recorded")
    rated = device.voltage.value if device.voltage else None
    found = breaking_capacity(device.family, volts, rated, "ac" if device.ac else "dc")
    return found.amperes, f"its family: {found.source} ({found.mark})"
