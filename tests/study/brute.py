"""What is joined to what, found the plain way from the bare list of edges, with nothing of the program's own search."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Set
from itertools import product

from loombook.network import Edge, Network

CONDUCTS = {"conductor", "joint", "bond", "fuse", "breaker", "switch", "shunt", "bms"}
OWN_ENERGY = {"battery", "alternator", "solar array", "shore", "generator"}
CONVERTS = {"charger", "controller", "converter", "inverter"}


def live(network: Network, opened: Set[str], off: Set[str] = frozenset(), more: Iterable[str] = ()) -> set[str]:
    """Nodes joined to the live terminal of something that has energy.

    Args:
        network: the boat
        opened: ids of the edges that are open; all others conduct
        off: ids of the sources with energy of their own that give none
        more: nodes that something else keeps live
    """
    insulated = network.inventory.vessel.earth == "insulated"
    at = _at(network)
    seen: set[str] = set()
    waiting = list(more)
    for edge in network.edges.values():
        if edge.kind in OWN_ENERGY and edge.id not in off:
            waiting += _terminals(edge, insulated)
    while waiting:
        node = waiting.pop()
        if node in seen:
            continue
        seen.add(node)
        for edge in at[node]:
            if edge.kind in CONDUCTS and edge.id not in opened:
                waiting.append(edge.b if node == edge.a else edge.a)
            elif edge.kind == "input" and node == edge.a:
                for other in network.edges.values():
                    if other.item == edge.item and other.kind in CONVERTS:
                        waiting += _terminals(other, insulated)
    return seen


def _at(network: Network) -> dict[str, list[Edge]]:
    found: dict[str, list[Edge]] = {node: [] for node in network.nodes}
    for edge in network.edges.values():
        found[edge.a].append(edge)
        found[edge.b].append(edge)
    return found


def _terminals(edge: Edge, insulated: bool) -> list[str]:
    return [edge.a, edge.b] if insulated or edge.kind in ("shore", "generator", "inverter") else [edge.b]


def joined(network: Network, opened: Set[str]) -> dict[str, int]:
    """Node → number of the joined part that it is in."""
    at, part = _at(network), {}
    for number, start in enumerate(network.nodes):
        waiting = [start]
        while waiting:
            node = waiting.pop()
            if node in part:
                continue
            part[node] = number
            waiting += [e.b if node == e.a else e.a for e in at[node] if e.kind in CONDUCTS and e.id not in opened]
    return part


def fed(network: Network, opened: Set[str], sources: Set[str]) -> set[str]:
    """Consumers with both poles joined to one thing that gives: a source, or a converter whose input is so."""
    part = joined(network, opened)
    pairs = {(part[e.b], part[e.a]) for e in network.edges.values() if e.id in sources}
    while True:
        more = set()
        for edge in network.edges.values():
            if edge.kind in CONVERTS:
                entry = next(e for e in network.edges.values() if e.kind == "input" and e.item == edge.item)
                if (part[entry.a], part[entry.b]) in pairs:
                    more.add((part[edge.b], part[edge.a]))
        if more <= pairs:
            break
        pairs |= more
    return {c.id for c in network.consumers.values() if (part[c.plus], part[c.minus]) in pairs}


def charging(network: Network, opened: Set[str], off: Set[str]) -> set[str]:
    """Alternators and solar controllers that are on and have a battery between their own two terminals."""
    part = joined(network, opened)
    batteries = {(part[e.b], part[e.a]) for e in network.edges.values() if e.kind == "battery"}
    return {
        id
        for id in charges(network, opened, off)
        if (part[network.edges[id].b], part[network.edges[id].a]) in batteries
    }


def charges(network: Network, opened: Set[str], off: Set[str]) -> set[str]:
    """Alternators that turn, and solar controllers that the sun reaches."""
    part = joined(network, opened)
    turning = {e.id for e in network.edges.values() if e.kind == "alternator" and e.id not in off}
    arrays = {(part[e.b], part[e.a]) for e in network.edges.values() if e.kind == "solar array" and e.id not in off}
    entries = {e.item: (part[e.a], part[e.b]) for e in network.edges.values() if e.kind == "input"}
    return turning | {e.id for e in network.edges.values() if e.kind == "controller" and entries[e.item] in arrays}


def edges_of(network: Network, handle: str) -> set[str]:
    """The edges that a hand opens at a device or a way: all its live conductors, the protective one never.

    At a battery it is the button of the BMS, which opens every battery that has the same one.
    """
    item, _, way = handle.partition(" ")
    units = {id: battery.bms for id, battery in network.inventory.batteries.items() if battery.bms}
    if item in units:
        return {f"{id} bms" for id, unit in units.items() if unit.remote == units[item].remote}
    found = set()
    for edge in network.edges.values():
        if edge.item != item or edge.kind not in ("switch", "breaker", "fuse") or edge.a.endswith(" PE"):
            continue
        if way and not any(end == handle or end.startswith(f"{handle} ") for end in (edge.a, edge.b)):
            continue
        if not way and edge.a.endswith(" N") and network.inventory.item(item).poles == 1:
            continue
        found.add(edge.id)
    return found


def stopped_by(network: Network, handle: str) -> set[str]:
    """The sources that a stop or plug stops: with an alternator all others on its engine or with its very control."""
    inventory = network.inventory
    if handle in inventory.alternators:
        one = inventory.alternators[handle]
        same = {a.id for a in inventory.alternators.values() if one.engine and a.engine == one.engine}
        alike = {
            a.id
            for a in inventory.alternators.values()
            if not one.engine and a.stop and one.stop and one.stop.at and a.stop == one.stop
        }
        return same | alike | {handle}
    alone = {*inventory.solar_arrays, *inventory.shore_inlets, *inventory.generators}
    return {handle} if handle in alone else set()


def usually_off(network: Network) -> set[str]:
    """Edges of switches that nobody closes but in an emergency."""
    usual = [c for c in network.inventory.conditions.values() if not c.emergency]
    found = set()
    for switch in network.inventory.switches.values():
        positions = {switch.normal, *(c.switches.get(switch.id, "off") for c in usual)}
        if positions == {"off"}:
            found |= {e.id for e in network.edges.values() if e.item == switch.id}
    return found


def not_closed(network: Network, positions: Mapping[str, str]) -> set[str]:
    """Edges that are open with the switches in these positions."""
    return {
        e.id
        for e in network.edges.values()
        if e.positions and positions.get(e.item, network.normal.get(e.item, "on")) not in e.positions
    }


def standings(network: Network) -> Iterator[dict[str, str]]:
    """Every way in which switches may stand: change-overs and selectors in each position, others ON."""
    choices: list[list[tuple[str, str]]] = []
    unused = usually_off(network)
    for switch in network.inventory.switches.values():
        edges = [e for e in network.edges.values() if e.item == switch.id and e.positions]
        if not edges or any(e.id in unused for e in edges):
            continue
        choices.append([(switch.id, p) for p in sorted({p for e in edges for p in e.positions})])
    for chosen in product(*choices):
        yield dict(chosen)
