"""One sheet for each voltage system, and one for the negative side."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from . import facts
from .chains import HOT, Chain
from .dense import parted
from .model import Branch, Element, Node, Sheet
from .view import Ship, one_line


def system_sets(ship: Ship) -> Iterator[Sheet]:
    """One sheet for each voltage system, with its sources, bars, converters and panels."""
    systems = dict.fromkeys(n.system for n in ship.network.nodes.values() if n.pole in HOT and n.system)
    for system in systems:
        chains = [c for c in ship.hot.chains if c.id not in ship.homes and _touches(ship, c, system)]
        branches = [_panel_as_load(ship, c, system) for c in chains]
        nodes = [ship.node(hub) for hub in ship.hot.hubs]
        if branches:
            name = f"system-{system.replace(' ', '-')}"
            title, about = f"{system} system: single-line diagram", f"What carries {system}, and what feeds it."
            whole = one_line(name, title, about, nodes, branches)
            yield replace(whole, denser=parted(whole))


def _touches(ship: Ship, chain: Chain, system: str) -> bool:
    """Whether a chain carries this system: one of its conductors or ends does."""
    nodes = ship.network.nodes
    own = [edge for piece in chain.pieces for edge in piece.edges if edge.conducts]
    if own:
        return any(nodes[edge.a].system == system or nodes[edge.b].system == system for edge in own)
    hubs = [end for end in (chain.upper, chain.lower) if end in nodes]
    return any(nodes[hub].system == system for hub in hubs)


def _panel_as_load(ship: Ship, chain: Chain, system: str) -> Branch:
    """On a system's sheet a panel is a thing by itself; so is what lies in another system."""
    branch = ship.branch(chain)
    upper, lower = branch.upper, branch.lower
    nodes = ship.network.nodes
    if isinstance(lower, str) and (chain.lower in ship.panels or nodes[chain.lower].system != system):
        lower = _stand_in(ship, chain.lower)
    if isinstance(upper, str) and (chain.upper in ship.panels or nodes[chain.upper].system != system):
        upper = _stand_in(ship, chain.upper)
    return Branch(
        branch.id,
        upper,
        lower,
        branch.chain,
        branch.service,
        branch.state,
        isinstance(upper, str) and isinstance(lower, str) and branch.tie,
    )


def _stand_in(ship: Ship, hub: str) -> Element:
    id = ship.hub_id(hub).removeprefix("~")
    title = ship.network.title(id.split(" ")[0])
    system = ship.network.nodes[hub].system
    return Element("apparatus", id, (title, system), title, facts.href(id.split(" ")[0]))


def negative_set(ship: Ship) -> Iterator[Sheet]:
    """The negative side: batteries, shunts, bars and bonds; the returns of final circuits are counted at their bar."""
    circuits = ship.inventory.circuits
    own = [c for c in ship.cold.chains if c.lower.partition(" ")[2] not in circuits]
    returns: dict[str, int] = {}
    for chain in ship.cold.chains:
        if chain.lower.partition(" ")[2] in circuits:
            returns[chain.upper] = returns.get(chain.upper, 0) + 1
    nodes = []
    for hub in ship.cold.hubs:
        node = ship.node(hub)
        count = returns.get(hub, 0)
        lines = (*node.lines, f"returns of {count} circuits") if count else node.lines
        nodes.append(Node(node.id, lines, node.form, node.name, node.href))
    branches = [ship.branch(chain) for chain in own]
    if branches:
        yield one_line("negative", "The negative side", "How every negative gets back to its battery.", nodes, branches)
