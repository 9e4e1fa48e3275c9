"""What protects and switches, as a page speaks of it: one value for a fuse, a breaker or a way of a panel."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import ceil
from typing import Any

from ..inventory.devices import Panel, Way
from ..inventory.fields import Location
from ..network import Edge, Network
from ..quantities import Quantity
from .words import kind_words, ordinal


@dataclass(frozen=True)
class Device:
    """A fuse or breaker."""

    id: str
    """Item id, or `X4 way 7`."""
    name: str
    """What people call it: its name, or a way's label."""
    kind: str
    """As the inventory has it: `blade`, `C`."""
    rating: Quantity | None
    at: Location | None
    spot: str = ""
    """Where on its panel: `way 7, column 1, 7th from the top`."""
    hidden: bool = False
    access: str = ""
    record: Any = field(default=None, repr=False)
    edges: tuple[str, ...] = ()
    panel: str = ""
    """Id of the panel whose way it is."""
    row: int = 0
    """From the top of its column of the panel, counted from 1."""
    column: int = 0
    columns: int = 0
    is_breaker: bool = False
    """It is reset, not replaced."""

    @property
    def word(self) -> str:
        return "Breaker" if self.is_breaker else "Fuse"

    @property
    def place_on_panel(self) -> str:
        """In a table: `column 1, row 7`."""
        return f"column {self.column}, row {self.row}" if self.columns > 1 else f"row {self.row}"

    def short(self, panel: str = "") -> str:
        """In a line: `5 A, way 7 of Main panel`; `60 A fuse F3`."""
        amps = str(self.rating) if self.rating else "rating not known"
        return (
            f"{amps}, way {self.id.split(' way ')[1]} of {panel}"
            if self.panel
            else f"{amps} {self.word.lower()} {self.id}"
        )

    @property
    def kind_words(self) -> str:
        return kind_words(self.kind)


def way_spot(panel: Panel, number: str) -> tuple[int, int, str]:
    """Column and row of a way, counted from 1, and both in words. Ways are numbered down each column."""
    ways = list(panel.ways)
    rows = ceil(len(ways) / panel.columns)
    column, row = divmod(ways.index(number), rows)
    words = f"{ordinal(row + 1)} from the top"
    return column + 1, row + 1, f"{ordinal(column + 1)} column, {words}" if panel.columns > 1 else words


def devices(network: Network) -> Mapping[str, Device]:
    """Every fuse, breaker and way aboard by id, panels first, in the order of the inventory."""
    inventory = network.inventory
    found: dict[str, Device] = {}
    for panel in inventory.panels.values():
        for number, way in panel.ways.items():
            if not way.spare:
                device = _of_way(network, panel, number, way)
                found[device.id] = device
    for item in (*inventory.fuses.values(), *inventory.breakers.values()):
        edges = tuple(e.id for e in network.of_item.get(item.id, ()) if e.kind in ("fuse", "breaker"))
        found[item.id] = Device(
            item.id,
            item.title,
            item.kind,
            item.rating,
            item.at,
            "",
            item.hidden,
            item.access or "",
            item,
            edges,
            is_breaker=item.family == "breakers",
        )
    return found


def _of_way(network: Network, panel: Panel, number: str, way: Way) -> Device:
    path = ("panels", panel.id, "ways", number)
    edges = tuple(e.id for e in network.of_item[panel.id] if e.path == path and e.record is not None)
    name = way.label or f"way {number}"
    kind = network.edges[edges[0]].kind
    column, row, words = way_spot(panel, number)
    return Device(
        f"{panel.id} way {number}",
        name,
        way.kind or panel.kind,
        way.rating,
        panel.at,
        f"way {number}, {words}",
        False,
        panel.access or "",
        way,
        edges,
        panel.id,
        row,
        column,
        panel.columns,
        kind == "breaker",
    )


def device_id(edge: Edge) -> str:
    """The id of the device whose edge this is: the item, or the way of a panel."""
    return f"{edge.item} way {edge.path[3]}" if edge.path[:1] == ("panels",) else edge.item
