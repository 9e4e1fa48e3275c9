"""The sheet of one panel, or of the circuits that a bar feeds itself: its feed above, its ways in their order below."""

from __future__ import annotations

from ..network.model import CONVERTS
from . import facts
from .chains import Chain
from .model import Branch, Element, OneLine, Reference
from .view import Ship, one_line


def panel_reference(ship: Ship, chain: Chain, panel: str) -> Reference:
    title = ship.inventory.panels[panel].title
    return Reference(f"{panel} from {chain.id}", (panel, title), title, facts.href(panel))


def way_reference(ship: Ship, chain: Chain) -> Reference:
    way = chain.pieces[0].first
    return Reference(f"behind {way.id}", (f"{way.item} way {way.path[3]}",), way.id, facts.href(way.item))


def feeder_sheet(ship: Ship, hub: str, name: str, chains: list[Chain], own: list[Chain]) -> OneLine:
    """A panel's or crowded bar's sheet: its feed above, its ways in their order below."""
    id = ship.hub_id(hub)
    branches = []
    if hub in ship.panels:
        for chain in own:
            if chain.lower == hub:
                above = ship.end(chain.upper)
                words = above if isinstance(above, str) else above.id
                reference = panel_reference(ship, chain, ship.panels[hub])
                reference = Reference(
                    reference.key, (f"from {words.removeprefix('~')}",), reference.name, reference.href
                )
                branches.append(Branch(f"feed {chain.id}", reference, id))
            elif chain.upper == hub:
                reference = way_reference(ship, chain)
                lower = Reference(reference.key, (_behind(ship, chain),), reference.name, reference.href)
                branches.append(Branch(f"way {chain.id}", id, lower, ship.links(chain.pieces[:1])))
    else:
        branches.append(
            Branch(f"feed {hub}", Reference(f"{hub} circuits", (ship.network.title(hub),), hub, facts.href(hub)), id)
        )
    branches += [ship.branch(chain) for chain in chains]
    if hub in ship.panels:
        branches = _in_order(ship, hub, branches, [*own, *chains])
    nodes = [
        ship.node(h, ordered=h == hub)
        for h in ship.hot.hubs
        if h == hub or any(h in (c.upper, c.lower) for c in chains)
    ]
    title = f"{ship.network.title(id)} ({id}): single-line diagram"
    return one_line(
        name, title, "Its feed, and what each of its ways protects and feeds, in their order.", nodes, branches
    )


def _behind(ship: Ship, chain: Chain) -> str:
    converter = next((p.first for p in chain.pieces if p.first.kind in CONVERTS), None)
    return ship.network.title(converter.item) if converter else ship.network.title(ship.hub_id(chain.lower))


def _in_order(ship: Ship, hub: str, branches: list[Branch], chains: list[Chain]) -> list[Branch]:
    """Feeds first, then the ways by number, spare ways in their places."""
    panel = ship.inventory.panels[ship.panels[hub]]
    number = {}
    for chain in chains:
        if chain.upper == hub and chain.pieces and chain.pieces[0].first.item == panel.id:
            number[chain.id] = int(chain.pieces[0].first.path[3])
    spares = [
        Branch(f"spare {n}", ship.hub_id(hub), Element("spare", f"way {n}", ("spare",), f"way {n}, spare", facts.href(panel.id)))
        for n, way in panel.ways.items() if way.spare
    ]  # fmt: skip
    unfed = {n for n, way in panel.ways.items() if not way.spare} - {str(n) for n in number.values()}
    idle = [Branch(f"way {n}", ship.hub_id(hub), Element("spare", f"way {n}", ("nothing fed",), f"way {n}", facts.href(panel.id)))
            for n in sorted(unfed, key=int)]  # fmt: skip

    def place(branch: Branch) -> tuple[int, str]:
        key = branch.id.removeprefix("way ")
        if branch.id.startswith("feed "):
            return (-1, branch.id)
        if branch.id.startswith("spare ") or key.isdigit():
            return (int(branch.id.split(" ")[1]), "")
        return (number.get(key, number.get(branch.id, 10_000)), branch.id)

    return sorted([*branches, *spares, *idle], key=place)
