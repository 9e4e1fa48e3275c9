"""The slow edge of a device's band where only the next larger rating of its family is known."""

from __future__ import annotations

from ..calc.curves import Band
from ..calc.families import band
from ..calc.tables import OutOfTable, table
from ..inventory.records import Inventory
from ..study.devices import Opener, band_of


def slow_band_of(inventory: Inventory, device: Opener) -> Band:
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
