"""Where everything stands: each id's page, so that templates, drawings and hand-written pages link alike."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from ..inventory.sources import Battery
from ..network import Network


def slug(text: str) -> str:
    """A part of a path: `24 V DC` → `24-V-DC`."""
    return re.sub(r"[^A-Za-z0-9]+", "-", text).strip("-")


def flow_pages(conditions: Iterable[str]) -> Mapping[str, str]:
    """Operating condition → the page of its load flow: `at anchor` → `figures/flow-at-anchor.md`."""
    found: dict[str, str] = {}
    for condition in conditions:
        name, number = f"figures/flow-{slug(condition).lower() or 'condition'}", 1
        while (path := f"{name}.md" if number == 1 else f"{name}-{number}.md") in found.values():
            number += 1
        found[condition] = path
    return found


def cables_of_runs(network: Network) -> Mapping[str, list]:
    """Cable id → its edges, for the cables that have an id of their own."""
    found: dict[str, list] = {}
    for edge in network.edges.values():
        if edge.kind == "conductor" and edge.path[:1] == ("runs",):
            found.setdefault(edge.item, []).append(edge)
    return found


def banks(network: Network) -> Mapping[str, list[Battery]]:
    """Bank → its batteries, keyed by the id of the first. A battery without a bank's name is a bank by itself."""
    by_name: dict[str, list[Battery]] = {}
    for battery in network.inventory.batteries.values():
        by_name.setdefault(battery.bank or f"\0{battery.id}", []).append(battery)
    return {members[0].id: members for members in by_name.values()}


def bank_name(members: list[Battery]) -> str:
    return members[0].bank or members[0].title


def links(network: Network, rules: Iterable) -> dict[str, tuple[str, str]]:
    """Id → (its name as a guest says it, the page and the place on it)."""
    inventory = network.inventory
    found: dict[str, tuple[str, str]] = {}
    for item in inventory.items():
        folder = {"spaces": "spaces", "panels": "panels", "circuits": "circuits", "motors": "circuits"}.get(
            item.family, "items"
        )
        found[item.id] = (item.title, f"{folder}/{item.id}.md")
    for first, members in banks(network).items():
        for battery in members:
            found[battery.id] = (battery.title, f"banks/{first}.md#{battery.id}")
    for consumer in network.consumers.values():
        found[consumer.id] = (consumer.name, f"circuits/{consumer.id}.md")
    for panel in inventory.panels.values():
        for number in panel.ways:
            found[f"{panel.id} way {number}"] = (f"way {number} of {panel.title}", f"panels/{panel.id}.md#way-{number}")
    for id in cables_of_runs(network):
        found[id] = (f"Cable {id}", f"items/{id}.md")
    for rule in rules:
        found[rule.id] = (rule.title, f"rules/{rule.id}.md")
    return found
