"""The time-current band and breaking capacity of a device: from its record, the owner's curves or its family."""

from __future__ import annotations

from ..calc.breaking import breaking_capacity
from ..calc.curves import Band, own_curve
from ..calc.families import band
from ..calc.tables import Mark, OutOfTable, table
from ..inventory.fields import Breaking
from ..inventory.records import Inventory
from ..inventory.vessel import Curve
from ..quantities import parse
from .devices import Device

_MARKS = {"from memory": Mark.MEMORY, "invented": Mark.PRACTICE}


def band_of(inventory: Inventory, device: Device) -> Band:
    """How fast a device opens.

    Raises:
        OutOfTable: its rating or its family's times are not known
    """
    if device.rating is None:
        raise OutOfTable(f"{device.id} has no rating")
    curve = inventory.curves.get(device.family)
    if curve is not None:
        return _own(device.family, device.rating.value, curve)
    return band(device.family, device.rating.value, dc=not device.ac)


def slow_band_of(inventory: Inventory, device: Device) -> Band:
    """A band whose slow edge a device is sure to keep: its own, or the next larger rating's of its family's table.

    Raises:
        OutOfTable: as `band_of`
    """
    try:
        return band_of(inventory, device)
    except OutOfTable:
        if device.family != "gG" or device.rating is None:
            raise
        larger = [float(row["rating"]) for row in table("gg_gates").rows if float(row["rating"]) > device.rating.value]
        if not larger:
            raise
        return band(device.family, min(larger), dc=not device.ac)


def _own(name: str, rating: float, curve: Curve) -> Band:
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


def breaks(inventory: Inventory, device: Device, volts: float) -> tuple[float, str]:
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
