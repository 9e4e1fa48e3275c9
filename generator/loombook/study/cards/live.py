"""STILL LIVE: what stays joined to a source once some handles are open, grouped as one would meet it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from ...network import Network
from ...network.isolate import Handle, Isolation, Isolator
from ...network.model import PRIMARY
from .model import Live, Wait
from .words import listed, place, space, span

_WHEN = {"battery": "always", "alternator": "while the engine runs", "solar array": "in daylight", "shore": "while the shore lead is in"}
WATER = "while the water turns the propeller"
_FIRST = ("batteries", "bars", "panels", "inverters", "converters", "chargers", "solar controllers", "alternators", "solar arrays",
          "shore inlets", "motors")  # fmt: skip
"""Families in the order in which a card names them."""


def still_live(isolator: Isolator, isolation: Isolation) -> tuple[Live, ...]:
    """What is live after the handles of an isolation are open, dangerous groups first."""
    return _Groups(isolator, isolation).all()


def waits(isolator: Isolator, nodes: frozenset[str] | None = None) -> tuple[Wait, ...]:
    """Devices that keep a charge, longest first and unknown ones before all; of `nodes`, where they are given."""
    network = isolator.network
    found = []
    for id, seconds in stored(network).items():
        if nodes is None or f"{id} +" in nodes or f"{id} in +" in nodes:
            item = network.inventory.item(id)
            found.append(Wait(id, item.title, place(network.inventory, item.at), seconds))
    return tuple(sorted(found, key=lambda w: -(w.seconds if w.seconds is not None else float("inf"))))


def stored(network: Network) -> Mapping[str, float | None]:
    """Device that holds a charge → seconds until it is gone, or None where nobody wrote them down.

    An inverter and the controller of a drive always hold one; other devices where the inventory says so.
    """
    inventory = network.inventory
    found: dict[str, float | None] = {}
    for item in (*inventory.inverters.values(), *inventory.converters.values(), *inventory.motors.values()):
        seconds = item.stored_energy_wait.high if item.stored_energy_wait else None
        holds = item.id in inventory.inverters or getattr(item, "capacitance", None) or getattr(item, "kind", "") == "drive"
        if seconds is not None or holds:
            found[item.id] = seconds
    return found


def turned_by_water(network: Network) -> list[str]:
    """Motors that give energy back when the water turns them."""
    return [m.id for m in network.inventory.motors.values() if m.regenerates]


class _Groups:
    def __init__(self, isolator: Isolator, isolation: Isolation) -> None:
        self.isolator, self.isolation = isolator, isolation
        self.network = isolator.network
        self.part = isolator.joined(isolation.handles)
        self.live = {**isolation.live}
        self.fed: dict[int, tuple[str, ...]] = {self.part[node]: ids for node, ids in self.live.items()}
        self.open_ends = self._open_ends()

    def all(self) -> tuple[Live, ...]:
        groups = [self._group(part, nodes, self._when(part)) for part, nodes in self._parts(self.live).items()]
        groups += self._kept()
        return tuple(sorted(groups, key=_danger))

    def _parts(self, nodes) -> dict[int, list[str]]:
        found: dict[int, list[str]] = {}
        for node in nodes:
            found.setdefault(self.part[node], []).append(node)
        return found

    def _kept(self) -> list[Live]:
        """What no source keeps live, but a turning propeller does, or a charge for a while."""
        motors = turned_by_water(self.network)
        poles = ("+", "-") if self.isolator.insulated else ("+",)
        turned = self.isolator.live_with(self.isolation.handles, [f"{id} {pole}" for id in motors for pole in poles]) - set(self.live)
        parts = self._parts(sorted(turned))
        groups = []
        for part, devices in self._charged().items():
            times = [seconds for seconds in devices.values() if seconds is not None]
            when = f"for up to {span(max(times))}" if len(times) == len(devices) else "for some minutes; how long is not written down"
            if part in parts:
                groups.append(self._group(part, parts.pop(part), f"{WATER}, and {when} after", [*motors, *(d for d in devices if d not in motors)]))
            else:
                groups.append(self._group(part, [n for n, p in self.part.items() if p == part], when, list(devices)))
        return groups + [self._group(part, nodes, WATER, motors) for part, nodes in parts.items()]

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
        items = [id for id in owners if id not in network.inventory.circuits and network.inventory.item(id)]
        edges = {e.id: e for n in nodes for e in network.at[n]}
        cables = list(dict.fromkeys(e.item for e in edges.values() if e.kind == "conductor" and (e.a in inside and e.b in inside)))
        hot = max((network.nodes[n] for n in nodes), key=lambda n: n.volts or 0.0)
        places = self._places(items, loads, [e for e in edges.values() if e.cable])
        named = sorted((id for id in items if network.inventory.item(id).family in _FIRST), key=self._rank)
        titles = [network.title(id) for id in (named or items)] or [network.title(id) for id in loads]
        if not titles:
            titles = [f"cable {listed(cables, 3)}"] if cables else [listed(nodes, 3)]
        return Live(tuple(titles), self.open_ends.get(part, ()), tuple(places), self._system(hot), hot.volts or 0.0,
                    tuple(network.title(id) for id in own), when, self._placeless(items, loads),
                    tuple(own), tuple(items), tuple(cables), tuple(loads), frozenset(nodes))  # fmt: skip

    def _system(self, node) -> str:
        if node.system == "solar array":
            return f"up to {node.volts:.0f} V DC"
        return node.system.replace("AC neutral", "mains neutral") or "volts not known"

    def _rank(self, id: str) -> tuple[int, int]:
        item = self.network.inventory.item(id)
        return _FIRST.index(item.family), list(self.network.inventory.items()).index(item)

    def _places(self, items, loads, cables) -> list[str]:
        inventory = self.network.inventory
        names = [space(inventory, inventory.item(id).at) for id in items]
        names += [space(inventory, self.network.consumers[id].record.at) for id in loads if id in self.network.consumers]
        names += [inventory.spaces[s].title for e in cables for s in e.cable.spaces if s in inventory.spaces]
        return [name for name in dict.fromkeys(names) if name]

    def _placeless(self, items, loads) -> bool:
        inventory = self.network.inventory
        ats = [inventory.item(id).at for id in items] + [self.network.consumers[id].record.at for id in loads if id in self.network.consumers]
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


def _danger(group: Live) -> tuple:
    return (group.when != "always", -group.volts, -len(group.nodes), group.what)


def handles_named(isolator: Isolator, ids: Sequence[str]) -> tuple[Handle, ...]:
    """The handles with these ids, in this order."""
    by_id = {h.id: h for h in isolator.handles}
    return tuple(by_id[id] for id in ids)
