"""The charging sheet: every source to every battery, its protection, and what the battery management opens and stops."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from ..network import Edge
from ..study.joined import Joined
from .banks import bms_note
from .dense import denser
from .model import Sheet
from .view import Ship, one_line

ABOUT = "Every charging source, its protection, what it charges, and what the battery management opens."
TOLD = {
    True: "A BMS tells these to stop before it opens: {}.",
    False: "No BMS tells these to stop before it opens: {}.",
    None: "Not recorded whether a BMS tells these to stop before it opens: {}.",
}


def charging_set(ship: Ship) -> Iterator[Sheet]:
    """Every source to every battery: what is left of the ship's sheet when loads and panels are taken away."""
    chains = [c for c in ship.hot.chains if c.id not in ship.homes and not c.lower.startswith("load ")]
    while True:  # take away what ends in nothing that charges or is charged, until nothing more goes
        count: dict[str, int] = {}
        for chain in chains:
            for end in (chain.upper, chain.lower):
                count[end] = count.get(end, 0) + 1
        kept = [c for c in chains if c.lower not in ship.panels and (c.lower.startswith("source ") or count[c.lower] > 1)
                and (c.upper.startswith("source ") or count[c.upper] > 1)]  # fmt: skip
        if kept == chains:
            break
        chains = kept
    nodes = [ship.node(hub) for hub in ship.hot.hubs]
    if chains:
        whole, dense = (
            one_line(
                "charging", "What charges what", ABOUT, nodes, [ship.branch(c, dense=few) for c in chains], _notes(ship)
            )
            for few in (False, True)
        )
        yield replace(whole, denser=denser(dense))


def _notes(ship: Ship) -> tuple[str, ...]:
    """What each battery management opens, and which of the sources that charge through it are told to stop first."""
    managed = [battery for battery in ship.inventory.batteries.values() if battery.bms]
    part = Joined(ship.network).use_part
    posts = {(part[f"{battery.id} +"], part[f"{battery.id} -"]) for battery in managed}
    told: dict[bool | None, list[str]] = {known: [] for known in TOLD}
    for edge in ship.network.sources():
        if _charges(edge) and (part[edge.b], part[edge.a]) in posts:
            told[edge.record.bms_stops_it].append(edge.item)
    stops = (TOLD[known].format(", ".join(dict.fromkeys(ids))) for known, ids in told.items() if ids)
    return (*(bms_note(battery) for battery in managed), *stops)


def _charges(edge: Edge) -> bool:
    """Whether a source is there to charge; an array does so by its controller."""
    return edge.kind in ("alternator", "controller", "charger") or edge.kind == "converter" and edge.record.charges
