"""Where the meter goes: one point of every part that the handles have parted, between its poles and each to earth."""

from __future__ import annotations

from collections.abc import Mapping

from ...network.isolate import Isolation
from ...network.potentials import AC_VOLTS
from .boat import Boat
from .live import NEUTRAL
from .model import Point
from .words import place

DEAD = 0.5
"""What a meter may show of a part that is dead [V] (from memory)."""
_FIRST = ("panels", "bars", "motors", "inverters", "converters", "chargers", "junctions")


def points(boat: Boat, isolation: Isolation) -> tuple[Point, ...]:
    """One point for each part that was live and is not any more: at a panel, else at a bar or device."""
    network = boat.network
    before = boat.isolator.live_nodes(())
    part = boat.isolator.joined(isolation.handles)
    dead = [n for n in network.nodes if n in before and n not in isolation.live and network.nodes[n].pole in ("+", "L")]
    groups: dict[int, list[str]] = {}
    for node in dead:
        groups.setdefault(part[node], []).append(node)
    ends = _ends(boat, isolation, part)
    found: list[Point] = []
    for number, nodes in groups.items():
        best = min(
            (n for n in nodes if _rank(boat, n) is not None),
            key=lambda n: (_rank(boat, n), nodes.index(n)),
            default=None,
        )
        other = _other(boat, best) if best else None
        name, upto = f"T{len(found) + 1}", ends.get(number, ())
        if best and other:
            found.append(_point(boat, name, best, other, upto))
            continue
        load = next((c for c in network.consumers.values() if c.plus in nodes), None)
        if load:
            volts = network.nodes[load.plus].volts or 0.0
            where = place(boat.inventory, load.record.at)
            found.append(
                Point(
                    name,
                    load.plus,
                    load.minus,
                    f"{load.name}, at its terminals",
                    where,
                    volts,
                    network.nodes[load.plus].pole == "L",
                    upto,
                )
            )
    return tuple(found)


def known_live(boat: Boat, isolation: Isolation) -> str:
    """A place where the meter is proved: battery posts that stay live; empty where there are none."""
    for battery in boat.inventory.batteries.values():
        if f"{battery.id} +" in isolation.live:
            volts = boat.network.nodes[f"{battery.id} +"].volts or 0.0
            return f"the posts of {battery.title} ({place(boat.inventory, battery.at)}): about {volts:.0f} V"
    return ""


def _rank(boat: Boat, node: str) -> int | None:
    item = boat.inventory.item(boat.network.nodes[node].item)
    if item is None or item.family not in _FIRST or " way " in node:
        return None
    return _FIRST.index(item.family)


def _other(boat: Boat, node: str) -> str | None:
    """The terminal of the other pole that a probe reaches from there."""
    network, inventory = boat.network, boat.inventory
    stem, _, tail = node.rpartition(" ")
    twin = {"+": "-", "L": "N"}.get(tail)
    if twin and f"{stem} {twin}" in network.nodes:
        return f"{stem} {twin}"
    panel = inventory.panels.get(node)
    if panel and panel.negative:
        return panel.negative if panel.negative in network.nodes else f"{panel.negative} 1"
    here = inventory.item(node)
    space = here.at.space if here and here.at else None
    part = boat.isolator.joined(())
    fed = {part[c.minus] for c in network.consumers.values() if part[c.plus] == part[node]}
    bars = [b for b in inventory.bars.values() if network.nodes[b.id].pole == "-"]
    bars.sort(key=lambda b: (part[b.id] not in fed, not (space and b.at and b.at.space == space)))
    return bars[0].id if bars else next((e.a for e in network.sources() if e.kind == "battery"), None)


def _point(boat: Boat, name: str, a: str, b: str, upto: tuple[str, ...]) -> Point:
    node = boat.network.nodes[a]
    item = boat.inventory.item(node.item)
    ac = node.pole == "L"
    volts = node.volts or (AC_VOLTS if node.system == NEUTRAL or ac else 0.0)
    words = f"{item.title}: line to neutral" if ac else f"{item.title} to {_terminal(boat, b, item.id)}"
    return Point(name, a, b, words, place(boat.inventory, item.at), volts, ac, upto)


def _terminal(boat: Boat, node: str, item: str) -> str:
    owner = boat.network.nodes[node].item
    return "its negative terminal" if owner == item else boat.network.title(owner)


def _ends(boat: Boat, isolation: Isolation, part: Mapping[str, int]) -> dict[int, tuple[str, ...]]:
    found: dict[int, dict[str, None]] = {}
    for handle in isolation.handles:
        for edge in (boat.network.edges[id] for id in handle.edges):
            for end in (edge.a, edge.b):
                found.setdefault(part[end], {})[handle.id] = None
    return {number: tuple(ids) for number, ids in found.items()}
