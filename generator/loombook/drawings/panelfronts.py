"""Each panel as the eye meets it: its ways in rows and columns, with label, rating and what each feeds."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from ..inventory.devices import Panel
from . import facts
from .model import Front, Sheet, Way
from .view import Ship


def fronts(ship: Ship) -> Iterator[Sheet]:
    """Each panel as the eye meets it: ways numbered down each column."""
    fed: dict[str, list[str]] = {}
    for circuit in ship.inventory.circuits.values():
        fed.setdefault(circuit.source, []).append(circuit.title)
    for edge in ship.network.edges.values():  # what a way feeds that is no circuit
        if edge.kind == "conductor" and edge.path[:1] == ("runs",) and " way " in edge.a:
            fed.setdefault(edge.a.removesuffix(" L"), []).append(f"cable {edge.item}")
    for panel in ship.inventory.panels.values():
        numbers = list(panel.ways)
        high = -(-len(numbers) // panel.columns)
        rows = tuple(
            tuple(
                _front_way(ship, panel, numbers[c * high + r], fed)
                for c in range(panel.columns)
                if c * high + r < len(numbers)
            )
            for r in range(high)
        )
        system = next(
            (ship.network.nodes[n].system for n in (panel.id, f"{panel.id} L") if n in ship.network.nodes), ""
        )
        yield Front(f"panel-front-{panel.id}", f"{panel.title} ({panel.id}): front", rows, (f"{panel.title}, {system}",),
                    "The panel's ways in their places, with label, rating and what each feeds.")  # fmt: skip


def _front_way(ship: Ship, panel: Panel, number: str, fed: Mapping[str, list[str]]) -> Way:
    way = panel.ways[number]
    id = f"{panel.id} way {number}"
    if way.spare:
        return Way(number, kind="spare", href=facts.href(panel.id))
    edge = next(
        e for e in ship.network.of_item[panel.id] if e.path == ("panels", panel.id, "ways", number) and e.record
    )
    kind = "rcd" if way.residual else edge.kind
    return Way(number, way.label or "", "", kind, facts.text(way.rating), ", ".join(fed.get(id, ())), facts.href(id))
