"""STILL LIVE: what stays joined to a source once some handles are open, grouped as one would meet it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from ...network import Edge, Network, Node
from ...network.isolate import Isolation, Isolator
from ...network.model import PRIMARY
from ...network.potentials import AC_VOLTS
from .boat import Boat
from .model import Live, Wait
from .words import listed, place, space, span

NEUTRAL = "AC neutral"
_WHEN = {
    "battery": "always",
    "alternator": "while the engine runs",
    "generator": "while the generator runs",
    "solar array": "in daylight",
    "shore": "while the shore lead is in",
}
WATER = "while the water turns the propeller"
_FIRST = (
    "batteries",
    "bars",
    "panels",
    "inverters",
    "converters",
    "chargers",
    "solar controllers",
    "alternators",
    "solar arrays",
    "shore inlets",
    "generators",
    "motors",
)
"""Families in the order in which a card names them."""


def still_live(
    boat: Boat, isolation: Isolation, inside: frozenset[str] | None = None, isolator: Isolator | None = None
) -> tuple[Live, ...]:
    """What is live after the handles of an isolation are open, dangerous groups first.

    Args:
        boat: the boat
        isolation: the handles, and the nodes that they leave live
        inside: only groups that reach these nodes
        isolator: the one that the isolation comes from, where it is not the boat's usual one
    """
    return _Groups(boat, isolation, inside, isolator or boat.isolator).all()


def waits(boat: Boat, nodes: frozenset[str] | None = None) -> tuple[Wait, ...]:
    """Devices that keep a charge, longest first and unknown ones before all; of `nodes`, where they are given."""
    found = []
    for id, seconds in stored(boat.network).items():
        if nodes is None or f"{id} +" in nodes or f"{id} in +" in nodes:
            item = boat.items[id]
            found.append(Wait(id, item.title, place(boat.inventory, item.at), seconds))
    return tuple(sorted(found, key=lambda w: -(w.seconds if w.seconds is not None else float("inf"))))


def stored(network: Network) -> Mapping[str, float | None]:
    """Device that holds a charge → seconds until it is gone, or None where nobody wrote them down.

    An inverter and the controller of a drive always hold one; other devices where the inventory says so.
    """
    inventory = network.inventory
    found: dict[str, float | None] = {}
    for item in (*inventory.inverters.values(), *inventory.converters.values(), *inventory.motors.values()):
        seconds = item.stored_energy_wait.high if item.stored_energy_wait else None
        holds = (
            item.id in inventory.inverters or getattr(item, "capacitance", None) or getattr(item, "kind", "") == "drive"
        )
        if seconds is not None or holds:
            found[item.id] = seconds
    return found


def turned_by_water(network: Network) -> list[str]:
    """Motors that give energy back when the water turns them."""
    return [m.id for m in network.inventory.motors.values() if m.regenerates]


class _Groups:
    def __init__(self, boat: Boat, isolation: Isolation, inside: frozenset[str] | None, isolator: Isolator) -> None:
        self.isolator, self.isolation = isolator, isolation
        self.network, self.items, self.order, self.inside = boat.network, boat.items, boat.order, inside
        self.part = isolator.joined(isolation.handles)
        self.live = {**isolation.live}
        self.fed: dict[int, tuple[str, ...]] = {self.part[node]: ids for node, ids in self.live.items()}
        self.open_ends = self._open_ends()

    def all(self) -> tuple[Live, ...]:
        groups = [
            self._group(part, nodes, self._when(part))
            for part, nodes in self._parts(self.live).items()
            if self._wanted(nodes)
        ]
        groups += self._kept()
        return tuple(sorted(_with_neutrals(groups), key=_danger))

    def _wanted(self, nodes: Iterable[str]) -> bool:
        return self.inside is None or not self.inside.isdisjoint(nodes)

    def _parts(self, nodes: Iterable[str]) -> dict[int, list[str]]:
        found: dict[int, list[str]] = {}
        for node in nodes:
            found.setdefault(self.part[node], []).append(node)
        return found

    def _kept(self) -> list[Live]:
        """What no source keeps live, but a turning propeller does, or a charge for a while."""
        motors = turned_by_water(self.network)
        poles = ("+", "-") if self.isolator.insulated else ("+",)
        turned = self.isolator.live_with(
            self.isolation.handles, [f"{id} {pole}" for id in motors for pole in poles]
        ) - set(self.live)
        parts = self._parts(sorted(turned))
        groups = []
        for part, devices in self._charged().items():
            times = [seconds for seconds in devices.values() if seconds is not None]
            when = (
                f"for up to {span(max(times))}"
                if len(times) == len(devices)
                else "for some minutes; how long is not written down"
            )
            nodes = [n for n, p in self.part.items() if p == part]
            if not self._wanted(nodes):
                parts.pop(part, None)
            elif part in parts:
                groups.append(
                    self._group(
                        part,
                        parts.pop(part),
                        f"{WATER}, and {when} after",
                        [*motors, *(d for d in devices if d not in motors)],
                    )
                )
            else:
                groups.append(self._group(part, nodes, when, list(devices)))
        return groups + [
            self._group(part, nodes, WATER, motors) for part, nodes in parts.items() if self._wanted(nodes)
        ]

    def _charged(self) -> dict[int, dict[str, float | None]]:
        """Part that is not live → the devices in it that hold a charge."""
        found: dict[int, dict[str, float | None]] = {}
        for id, seconds in stored(self.network).items():
            for end in (f"{id} +", f"{id} in +"):
                if end in self.part and end not in self.live and self.network.nodes[end].pole:
                    found.setdefault(self.part[end], {})[id] = seconds
        return found

    def _group(self, part: int, nodes: Sequence[str], when: str, sources: Sequence[str] = ()) -> Live:
        network = self.network
        inside = set(nodes)
        own = list(sources) or list(dict.fromkeys(network.edges[id].item for id in self.fed.get(part, ())))
        owners = dict.fromkeys(network.nodes[n].item for n in nodes)
        loads = [c.id for c in network.consumers.values() if c.plus in inside]
        loads += [id for id in owners if id in network.inventory.motors and id not in loads]
        items = [id for id in owners if id not in network.inventory.circuits and id in self.items]
        edges = {e.id: e for n in nodes for e in network.at[n]}
        cables = list(
            dict.fromkeys(e.item for e in edges.values() if e.kind == "conductor" and (e.a in inside and e.b in inside))
        )
        hot = max((network.nodes[n] for n in nodes), key=lambda n: n.volts or 0.0)
        volts = hot.volts or (AC_VOLTS if hot.pole == "N" else 0.0)
        places = self._places(items, loads, [e for e in edges.values() if e.cable])
        named = sorted((id for id in items if self.items[id].family in _FIRST), key=self._rank)
        titles = [self.items[id].title for id in (named or items)] or [network.title(id) for id in loads]
        if not titles:
            titles = [f"cable {listed(cables, 3)}"] if cables else [listed(nodes, 3)]
        return Live(
            tuple(titles),
            self.open_ends.get(part, ()),
            tuple(places),
            self._system(hot),
            volts,
            tuple(network.title(id) for id in own),
            when,
            self._placeless(items, loads),
            tuple(own),
            tuple(items),
            tuple(cables),
            tuple(loads),
            frozenset(nodes),
        )

    def _system(self, node: Node) -> str:
        if node.system == "solar array":
            return f"up to {node.volts:.0f} V DC"
        return node.system or "voltage not known"

    def _rank(self, id: str) -> tuple[int, int]:
        return _FIRST.index(self.items[id].family), self.order[id]

    def _places(self, items: Iterable[str], loads: Iterable[str], cables: Iterable[Edge]) -> list[str]:
        inventory = self.network.inventory
        names = [space(inventory, self.items[id].at) for id in items]
        names += [
            space(inventory, self.network.consumers[id].record.at) for id in loads if id in self.network.consumers
        ]
        names += [inventory.spaces[s].title for e in cables for s in e.cable.spaces if s in inventory.spaces]
        return [name for name in dict.fromkeys(names) if name]

    def _placeless(self, items: Iterable[str], loads: Iterable[str]) -> bool:
        ats = [self.items[id].at for id in items] + [
            self.network.consumers[id].record.at for id in loads if id in self.network.consumers
        ]
        return any(at is None or not at.space for at in ats)

    def _open_ends(self) -> Mapping[int, tuple[str, ...]]:
        """Part → names of the open handles at its ends."""
        found: dict[int, dict[str, None]] = {}
        for h in (*self.isolation.handles, *self.isolation.keep_off):
            for edge in (self.network.edges[id] for id in h.edges):
                for end in (edge.a, edge.b):
                    found.setdefault(self.part[end], {})[h.name] = None
        return {part: tuple(names) for part, names in found.items()}

    def _when(self, part: int, seen: frozenset[int] = frozenset()) -> str:
        """When a part is live; what a converter feeds is live when its input is."""
        found: set[str] = set()
        for id in self.fed.get(part, ()):
            edge = self.network.edges[id]
            if edge.kind in PRIMARY:
                found.add(_WHEN[edge.kind])
                continue
            entry = self.part[self.network.input_of(edge).a]
            if entry != part and entry not in seen:
                found.update(self._when(entry, seen | {part}).split(" or "))
        found.discard("")
        if "always" in found:
            return "always"
        order = list(_WHEN.values())
        return " or ".join(sorted(found, key=lambda words: order.index(words) if words in order else len(order)))


def _with_neutrals(groups: Sequence[Live]) -> list[Live]:
    """A neutral stands in one line with its line conductor; alone, it is as dangerous as that."""
    lines = [g for g in groups if g.system != NEUTRAL]
    for group in groups:
        if group.system != NEUTRAL:
            continue
        mate = next((g for g in lines if g.sources == group.sources and set(group.items) <= set(g.items)), None)
        if mate:
            lines[lines.index(mate)] = replace(
                mate, nodes=mate.nodes | group.nodes, cables=tuple(dict.fromkeys((*mate.cables, *group.cables)))
            )
        else:
            lines.append(group)
    return lines


def _danger(group: Live) -> tuple:
    return (group.when != "always", -group.volts, -len(group.nodes), group.what)
