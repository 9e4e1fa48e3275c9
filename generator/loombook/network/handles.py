"""What a hand can open without a tool: isolators, breakers, plugs, stops; a fuse only where nothing else does."""

from __future__ import annotations

from dataclasses import dataclass

from ..inventory.devices import Breaker, Panel, Switch
from ..inventory.fields import Location
from .model import Edge, Network

FUSE_COST = 1000
"""A fuse counts as a handle only where nothing else does."""
PULLED = ("blade", "mini blade", "maxi blade", "glass", "gG")
"""Families of fuse that come out of their holder by hand; the others are bolted."""
SHUT = ("hidden", "tool")
"""Access that no hand has in a hurry."""


@dataclass(frozen=True)
class Handle:
    """One action of a hand."""

    id: str
    """Item id; a panel's way is `X4 way 7`; a source's stop is the id of the first source that it stops."""
    kind: str
    """`switch`, `breaker`, `fuse`, `plug`, `stop` or `button`."""
    name: str
    action: str
    """What to do, verb first: `turn OFF`."""
    at: Location | None = None
    see: str = ""
    edges: tuple[str, ...] = ()
    """The conducting edges that it opens; a stop or plug opens its sources instead."""
    sources: tuple[str, ...] = ()
    """The source edges that it stops."""
    stays_on: bool = False
    """Meant to be left on in an emergency."""
    propulsion: bool = False
    """Whether it takes the boat's way off."""
    access: str = ""
    """What stands between a hand and it, where the inventory says it."""
    label: str = ""
    """What is written on it aboard."""

    @property
    def cost(self) -> int:
        return FUSE_COST if self.kind == "fuse" else 1


def handles(network: Network) -> tuple[Handle, ...]:
    """Every handle aboard, in the order of the inventory."""
    inventory = network.inventory
    found = [h for switch in inventory.switches.values() if (h := _switch(network, switch))]
    found += [h for breaker in inventory.breakers.values() if (h := _breaker(network, breaker))]
    for panel in inventory.panels.values():
        found += _ways(network, panel)
    for fuse in inventory.fuses.values():
        if _pulled(fuse.kind, fuse.access) and not fuse.hidden:
            edges = tuple(e.id for e in network.of_item.get(fuse.id, ()))
            found.append(
                Handle(
                    fuse.id,
                    "fuse",
                    fuse.title,
                    "pull the fuse",
                    fuse.at,
                    "",
                    edges,
                    access=fuse.access or "",
                    label=fuse.label or "",
                )
            )
    for inlet in inventory.shore_inlets.values():
        found.append(
            Handle(
                inlet.id,
                "plug",
                inlet.title,
                "unplug, shore end first",
                inlet.at,
                sources=(inlet.id,),
                label=inlet.label or "",
            )
        )
    return (*found, *_stops(network))


def buttons(network: Network) -> tuple[Handle, ...]:
    """Controls by which a hand opens the BMS of batteries: a last resort, and no part of any smallest set."""
    opened: dict[str, list[str]] = {}
    for battery in network.inventory.batteries.values():
        if battery.bms and battery.bms.remote:
            opened.setdefault(battery.bms.remote, []).append(battery.id)
    found = []
    for words, ids in opened.items():
        batteries = [network.inventory.batteries[id] for id in ids]
        bank = batteries[0].bank
        whole = bank and batteries == [b for b in network.inventory.batteries.values() if b.bank == bank]
        name = bank if whole else " and ".join(b.title for b in batteries)
        edges = tuple(f"{id} bms" for id in ids)
        found.append(Handle(ids[0], "button", name, "press", Location(place=words), "", edges))
    return tuple(found)


def _switch(network: Network, switch: Switch) -> Handle | None:
    remote = switch.kind == "remote" and bool(switch.control)
    if switch.access in SHUT and not remote:
        return None
    action = "put to OFF" if switch.kind in ("change-over", "selector") else "turn OFF"
    at = Location(place=switch.control) if remote else switch.at
    access = "" if remote else switch.access or ""
    edges = _opened(network, switch)
    return Handle(
        switch.id,
        "switch",
        switch.title,
        action,
        at,
        switch.see or "",
        edges,
        (),
        switch.stays_on,
        switch.propulsion,
        access,
        switch.label or "",
    )


def _breaker(network: Network, breaker: Breaker) -> Handle | None:
    if breaker.access in SHUT or breaker.hidden:
        return None
    edges = _opened(network, breaker)
    return Handle(
        breaker.id,
        "breaker",
        breaker.title,
        "switch OFF",
        breaker.at,
        breaker.see or "",
        edges,
        access=breaker.access or "",
        label=breaker.label or "",
    )


def _opened(network: Network, device: Switch | Breaker) -> tuple[str, ...]:
    """The conductors that a device opens: never the protective one, and the neutral only with two poles."""
    edges = [e for e in network.of_item.get(device.id, ()) if e.kind in ("switch", "breaker")]
    poles = [_conductor(e) for e in edges]
    return tuple(e.id for e, pole in zip(edges, poles) if pole != "PE" and (pole != "N" or device.poles == 2))


def _conductor(edge: Edge) -> str:
    """`L`, `N` or `PE` of an AC device's edge; empty on DC."""
    tail = edge.a.rsplit(" ", 1)[-1]
    return tail if tail in ("L", "N", "PE") else ""


def _pulled(kind: str, access: str | None) -> bool:
    return kind in PULLED and access not in (*SHUT, "key")


def _ways(network: Network, panel: Panel) -> list[Handle]:
    if panel.access in SHUT:
        return []
    found = []
    edges_of: dict[str, list[str]] = {}
    for edge in network.of_item[panel.id]:
        if edge.record and edge.path[:3] == ("panels", panel.id, "ways"):
            edges_of.setdefault(edge.path[3], []).append(edge.id)
    for number, way in panel.ways.items():
        kind = way.kind or panel.kind
        is_breaker = network.inventory.is_breaker(kind)
        if way.spare or not (is_breaker or _pulled(kind, panel.access)):
            continue
        id = f"{panel.id} way {number}"
        circuits = network.circuits_from.get(id, ())
        name = way.label or ", ".join(c.title for c in circuits) or f"way {number}"
        action = "switch OFF" if is_breaker else "pull the fuse"
        stays = any(c.stays_on for c in circuits)
        found.append(
            Handle(
                id,
                "breaker" if is_breaker else "fuse",
                f"{name} ({panel.title}, way {number})",
                action,
                panel.at,
                "",
                tuple(edges_of.get(number, ())),
                (),
                stays,
                access=panel.access or "",
                label=way.label or "",
            )
        )
    return found


def _stops(network: Network) -> list[Handle]:
    """Stop controls. One control that stops several sources, as the engine's stops its alternators, is one action."""
    groups: dict[object, list] = {}
    inventory = network.inventory
    for source in (
        *inventory.alternators.values(), *inventory.generators.values(), *inventory.solar_arrays.values(),
    ):  # fmt: skip
        own = (source.stop.action, source.stop.at or source.at) if source.stop else source.id
        groups.setdefault(getattr(source, "engine", None) or own, []).append(source)
    found = []
    for sources in groups.values():
        first = next((s for s in sources if s.stop), None)
        if first:
            name = " and ".join(s.title for s in sources)
            at = first.stop.at or first.at
            found.append(
                Handle(
                    sources[0].id,
                    "stop",
                    name,
                    first.stop.action,
                    at,
                    first.stop.see or "",
                    (),
                    tuple(s.id for s in sources),
                )
            )
    return found
