"""Nominal potential, system and pole of every node, and what the wiring as written cannot be."""

from __future__ import annotations

from collections import deque
from collections.abc import Mapping
from dataclasses import replace

from ..diagnostics import Diagnostic, Note
from ..inventory.records import Inventory
from ..inventory.sources import Battery, Converter, Generator, Inverter, ShoreInlet, SolarArray
from .model import PRIMARY, Edge, Network, Node

SYSTEM_VOLTS = (6, 12, 24, 36, 48, 60, 72, 84, 96, 110, 120, 144, 192, 240, 288, 360, 400)
"""Nominal voltages that a bank is called by."""
NOMINAL_CELL = {"lfp": 3.2}
LEAD_CELL = 2.0
"""Volts a cell at rest: lead-acid 2.0 (IEC 61660-1), lithium iron phosphate 3.2 (cell specifications)."""
AC_VOLTS = 230.0
_SAME = 0.5


def battery_volts(battery: Battery) -> float:
    """Nominal voltage of a battery: the system voltage nearest to its cells' sum [V]."""
    exact = battery.cells.series * NOMINAL_CELL.get(battery.chemistry, LEAD_CELL)
    return float(min(SYSTEM_VOLTS, key=lambda v: abs(v - exact)))


def source_volts(edge: Edge) -> float | None:
    """Nominal voltage of a source; None for one that takes the voltage of what it charges [V]."""
    record = edge.record
    if isinstance(record, Battery):
        return battery_volts(record)
    if isinstance(record, Converter):
        return float(
            min((*SYSTEM_VOLTS, 5), key=lambda v: abs(v - record.output.value * (0.9 if record.charges else 1)))
        )
    if isinstance(record, SolarArray):
        return record.series * record.open_circuit.value
    if isinstance(record, (ShoreInlet, Generator)):
        return record.voltage.value
    if isinstance(record, Inverter):
        return record.output.value if record.output else AC_VOLTS
    return record.voltage.value if getattr(record, "voltage", None) else None


def potentials(network: Network) -> tuple[Mapping[str, Node], list[Diagnostic]]:
    """Every node with its potential, system and pole; and the messages about what cannot be."""
    sources = [
        edge
        for edge in network.sources()
        if edge.kind in ("battery", "converter", "shore", "generator", "inverter", "solar array")
    ]
    sources += [edge for edge in network.sources() if edge not in sources and source_volts(edge) is not None]
    volts: dict[str, float] = {}
    island: dict[str, int] = {}
    problems: list[Diagnostic] = []
    for number, source in enumerate(sources):
        if source.a not in volts:
            _flood(network, source.a, number, volts, island, problems)
    _floor_at_zero(volts, island)
    problems = (_shorts(network) or problems[:1]) + _no_source(network) + _loops(network)
    nodes = {id: _named(node, volts.get(id)) for id, node in network.nodes.items()}
    array_nodes = _solar_nodes(network)
    nodes = {
        id: replace(n, system="solar array") if id in array_nodes and n.pole == "+" else n for id, n in nodes.items()
    }
    return nodes, list(dict.fromkeys(problems))


def _flood(network: Network, start: str, number: int, volts: dict, island: dict, problems: list) -> None:
    volts[start], island[start] = 0.0, number
    queue = deque([start])
    while queue:
        node = queue.popleft()
        for edge in network.at[node]:
            rise = _rise(edge)
            if rise is None:
                continue
            other = edge.other(node)
            there = volts[node] + (rise if node == edge.a else -rise)
            if other not in volts:
                volts[other], island[other] = there, number
                queue.append(other)
            elif abs(volts[other] - there) > _SAME:
                problems.append(_conflict(network, edge, volts))


def _shorts(network: Network) -> list[Diagnostic]:
    """Sources whose two ends are joined by conductors, with the way that joins them."""
    problems = []
    for source in network.sources():
        way = _way(network, source.b, source.a)
        if way is not None:
            steps = " → ".join(dict.fromkeys([source.b, *(edge.item for edge in way), source.a]))
            runs = [edge for edge in way if edge.path[:1] in (("runs",), ("circuits",))]
            path = (runs or way or [source])[-1].path
            help = Note("help", "as written this is a short circuit; one of these ends belongs elsewhere")
            problems.append(
                network.inventory.error(
                    "short", f"`{source.item}` is short-circuited: {steps}", path, "", help, key=True
                )
            )
    return problems


def _way(network: Network, start: str, goal: str) -> list[Edge] | None:
    """The shortest way along conducting edges, every switch closed; None where there is none."""
    before: dict[str, Edge | None] = {start: None}
    queue = deque([start])
    while queue and goal not in before:
        node = queue.popleft()
        for edge in network.at[node]:
            if edge.conducts and edge.other(node) not in before:
                before[edge.other(node)] = edge
                queue.append(edge.other(node))
    if goal not in before:
        return None
    way, node = [], goal
    while (edge := before[node]) is not None:
        way.append(edge)
        node = edge.other(node)
    return way[::-1]


def _rise(edge: Edge) -> float | None:
    if edge.a.endswith(" PE") or edge.b.endswith(" PE"):
        return None
    if edge.conducts:
        return 0.0
    if edge.kind in ("load", "input"):
        return None
    return source_volts(edge)


def _conflict(network: Network, edge: Edge, volts: Mapping[str, float]) -> Diagnostic:
    inventory: Inventory = network.inventory
    if not edge.conducts:
        there = abs(volts[edge.b] - volts[edge.a])
        message = f"`{edge.item}` ({source_volts(edge):g} V) is joined to points that are {there:g} V apart"
        help = "a short circuit" if there < _SAME else "sources in parallel have the same voltage"
        return inventory.error(
            "voltage", message, edge.path, "", *_joining(network, edge), Note("help", help), key=True
        )
    a, b = volts[edge.a], volts[edge.b]
    low = min(v for v in volts.values())
    if min(a, b) - low < _SAME:
        message = f"`{edge.id}` joins positive and negative: `{edge.a}` is at {abs(a - low):g} V, `{edge.b}` at {abs(b - low):g} V"
        help = "as written this is a short circuit; one of the two ends is another terminal"
    else:
        message = f"`{edge.id}` joins two voltages: `{edge.a}` is at {a - low:g} V, `{edge.b}` at {b - low:g} V"
        help = "a converter or charger belongs between them, or one of the two ends is another terminal"
    return inventory.error("voltage", message, edge.path, "", Note("help", help))


def _joining(network: Network, source: Edge) -> list[Note]:
    """Which other source a source is joined to at both its ends though their voltages differ, and by which runs."""
    own = source_volts(source)
    found = []
    for other in network.sources():
        volts = source_volts(other)
        if other.id == source.id or volts is None or own is None or abs(volts - own) <= _SAME:
            continue
        ways = [way for end in ("b", "a") if (way := _way(network, getattr(source, end), getattr(other, end)))]
        if ways:
            found.append((-len(ways), sum(map(len, ways)), other, volts, ways))
    if not found:
        return []
    _, _, other, volts, ways = min(found, key=lambda row: row[:2])
    runs = dict.fromkeys(f"`{edge.path[1]}`" for way in ways for edge in way if edge.path[:1] == ("runs",))
    by = f" by {'the run' if len(runs) == 1 else 'the runs'} {', '.join(runs)}" if runs else ""
    place = next(
        (network.inventory.error("", "", e.path).place for way in ways for e in way if e.path[:1] == ("runs",)), None
    )
    return [Note("joined", f"to `{other.item}` ({volts:g} V){by}", place)]


def _floor_at_zero(volts: dict[str, float], island: Mapping[str, int]) -> None:
    """Count from the lowest point of each island, so that batteries in series read 0, 12, 24 V."""
    lowest: dict[int, float] = {}
    for node, value in volts.items():
        lowest[island[node]] = min(value, lowest.get(island[node], value))
    for node in volts:
        volts[node] -= lowest[island[node]]


def _named(node: Node, volts: float | None) -> Node:
    tail = node.id.rsplit(" ", 1)[-1]
    if tail == "PE":
        return replace(node, pole="PE", system="AC earth")
    if volts is None:
        return node
    if tail in ("L", "N"):
        return replace(node, volts=volts, pole=tail, system=f"{volts:g} V AC" if tail == "L" else "AC neutral")
    if volts < _SAME:
        return replace(node, volts=0.0, pole="-", system="DC negative")
    return replace(node, volts=volts, pole="+", system=f"{volts:g} V DC")


def _solar_nodes(network: Network) -> set[str]:
    """Nodes on the array's side of a solar controller."""
    found: set[str] = set()
    stack = [edge.b for edge in network.edges.values() if edge.kind == "solar array"]
    while stack:
        node = stack.pop()
        if node not in found:
            found.add(node)
            stack += [e.other(node) for e in network.at[node] if e.conducts]
    return found


def _no_source(network: Network) -> list[Diagnostic]:
    if any(edge.kind in PRIMARY for edge in network.edges.values()):
        return []
    help = Note("help", "give it at least one of `batteries` or `shore inlets`")
    place = network.inventory.place("vessel")
    return [Diagnostic("error", "no-source", "the inventory has no source of energy", place, notes=(help,))]


def _loops(network: Network) -> list[Diagnostic]:
    """Converters that feed each other in a ring with no battery to begin with."""
    part = _parts(network)
    fed = {part[e.b] for e in network.edges.values() if e.kind in PRIMARY}
    converting = [e for e in network.edges.values() if e.kind in ("converter", "inverter", "charger", "controller")]
    while True:  # energy spreads through the converters whose input has it
        more = {part[e.b] for e in converting if part[network.input_of(e).a] in fed} - fed
        if not more:
            break
        fed |= more
    problems = []
    starved = [e for e in converting if part[network.input_of(e).a] not in fed]
    supplied = {part[e.b] for e in starved}
    for edge in starved:
        if part[network.input_of(edge).a] in supplied:
            help = Note("help", "a converter needs a battery, an inlet or an array somewhere before it")
            problems.append(
                network.inventory.error(
                    "loop",
                    f"`{edge.item}` is fed only by converters that feed each other",
                    edge.path,
                    "",
                    help,
                    key=True,
                )
            )
    for edge in converting:
        if part[edge.b] == part[network.input_of(edge).a]:
            problems.append(
                network.inventory.error(
                    "loop", f"the output of `{edge.item}` is joined to its own input", edge.path, key=True
                )
            )
    return problems


def _parts(network: Network) -> dict[str, int]:
    """Node → number of the conductively joined part that it belongs to, with every switch closed."""
    part: dict[str, int] = {}
    for number, start in enumerate(network.nodes):
        stack = [start] if start not in part else []
        while stack:
            node = stack.pop()
            if node not in part:
                part[node] = number
                stack += [e.other(node) for e in network.at[node] if e.conducts and e.other(node) not in part]
    return part
