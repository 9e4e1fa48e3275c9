"""What stands beside each symbol: the words and figures of one item, and the symbol that it gets."""

from __future__ import annotations

from ..inventory.devices import Switch, Way
from ..inventory.fields import Cable as CableRecord
from ..inventory.loads import Consumer
from ..network import Edge, Network
from ..quantities import Quantity, digits, in_unit
from ..study.model import Study
from .model import Cable, Element, State

SWITCHES = {
    "isolator": "isolator", "paralleling": "paralleling", "change-over": "changeover", "selector": "changeover",
    "remote": "contactor", "switch": "switch",
}  # fmt: skip
SOURCES = {
    "battery": "battery",
    "alternator": "alternator",
    "solar array": "solar",
    "shore": "shore",
    "generator": "generator",
}
CONVERTERS = {"controller": "converter", "charger": "charger", "converter": "converter", "inverter": "inverter"}
LOADS = {
    "navigation lights": "lamp", "lighting": "lamp", "bilge pump": "pump", "water": "pump", "sanitation": "pump",
    "bilge blower": "motor", "deck gear": "motor", "refrigeration": "motor", "heating": "heater", "sockets": "socket",
    "alarm": "horn", "radio": "electronics", "navigation": "electronics", "steering": "motor", "entertainment": "electronics",
}  # fmt: skip


def href(id: str) -> str:
    """The link to an item's page."""
    return f"item:{id.replace(' ', '%20')}"


def text(quantity: Quantity | None) -> str:
    """A quantity as the owner wrote it; empty where it is not known."""
    return str(quantity) if quantity else ""


def kilo(study: Study, node: str, highest: bool = False) -> str:
    """The prospective fault current at a node, in a few signs: a range where resistances are ranges, or its upper end."""
    fault = study.faults.get(node)
    if not fault or not fault.highest:
        return ""
    low, high = (in_unit(amps, "current", 2) for amps in (fault.highest.low, fault.highest.high))
    figure = high if highest or low == high else f"{low} to {high}"
    return f"max. {figure}{' (assumed)' if fault.assumed else ''}"


def source(network: Network, id: str, state: State = State.NORMAL) -> Element:
    """A source with energy of its own."""
    item = network.inventory.item(id)
    edge = next(e for e in network.of_item[id] if e.kind in SOURCES)
    lines = [item.title]
    if edge.kind == "battery":
        cells = item.cells
        strings = f" × {cells.parallel}" if cells.parallel > 1 else ""
        lines.append(f"{cells.series} cells{strings}, {text(cells.capacity)}")
    elif edge.kind == "solar array":
        count = item.series * item.parallel
        lines.append(f"{count} × {text(item.power)}" if count > 1 else text(item.power))
    elif edge.kind == "generator":
        lines.append(f"{text(item.voltage)}, {text(item.power)}")
    elif edge.kind == "shore":
        lines.append(f"{text(item.voltage)}, {text(item.current)}")
    else:
        lines.append(text(item.current))
    return Element(SOURCES[edge.kind], id, tuple(lines), item.title, href(id), state)


def device(network: Network, edge: Edge, state: State = State.NORMAL) -> Element:
    """A device or converter in the line."""
    record = edge.record
    if isinstance(record, Way):
        number = edge.path[3]
        rating = text(record.rating)
        kind = "rcd" if record.residual else edge.kind
        id = f"{edge.item} way {number}"
        return Element(
            kind,
            f"way {number}",
            tuple(x for x in (rating, record.label or "") if x),
            f"{id} {record.label or ''}".strip(),
            href(id),
            state,
        )
    item = network.inventory.item(edge.item)
    name = item.title
    if edge.kind == "bms":
        return Element(
            "bms", edge.item, ("BMS", text(item.bms.current)), f"battery management of {name}", href(edge.item), state
        )
    if edge.kind in CONVERTERS:
        size = text(getattr(item, "power", None) or getattr(item, "current", None))
        return Element(CONVERTERS[edge.kind], edge.item, (name, size), name, href(edge.item), state)
    if edge.kind == "shunt":
        return Element(
            "shunt", edge.item, tuple(x for x in (name, text(item.rating)) if x), name, href(edge.item), state
        )
    if isinstance(item, Switch):
        lines = [name] if item.name else []
        if item.normal == "off":
            lines.append("normally off")
        return Element(SWITCHES[item.kind], edge.item, tuple([*lines, text(item.rating)]), name, href(edge.item), state)
    kind = "rcd" if getattr(item, "residual", None) else edge.kind
    hidden = ("hidden",) if getattr(item, "hidden", False) else ()
    return Element(kind, edge.item, (f"{text(item.rating)} {item.kind}", *hidden), name, href(edge.item), state)


def cables(edges: tuple[Edge, ...], state: State = State.NORMAL) -> Cable:
    """One cable, or several side by side."""
    ids = " + ".join(dict.fromkeys(e.item for e in edges))
    first = edges[0]
    own = first.path[:1] == ("runs",)
    facts = list(dict.fromkeys(size(e.cable) for e in edges if e.cable))
    lengths = list(dict.fromkeys(text(e.cable.length) or "length ?" for e in edges if e.cable))
    lines = [*facts, *lengths]
    if first.cable and first.cable.colour:
        lines.append(first.cable.colour)
    name = f"cable {ids}, {', '.join(lines)}"
    return Cable(ids if own else "", tuple(lines), name, href(first.item), state)


def size(cable: CableRecord) -> str:
    """Cross-section, with the number of conductors side by side."""
    area = text(cable.area) or "area ?"
    return f"{cable.parallel} × {area}" if cable.parallel > 1 else area


def load(network: Network, id: str, state: State = State.NORMAL) -> Element:
    """A consumer, or a circuit with all its loads."""
    record: Consumer = network.inventory.item(id) or network.consumers[id].record
    kind = LOADS.get(record.use, "load")
    if record.family == "motors":
        kind = "motor"
    taps = getattr(record, "loads", {})
    size = f"{len(taps)} loads" if taps else text(record.load)
    return Element(kind, id, tuple(x for x in (record.name or "", size) if x), record.title, href(id), state)


def volts(value: float) -> str:
    """A voltage as a meter shows it."""
    return f"{digits(value, 3 if value < 100 else 4)} V"
