"""Every drawing of a vessel by name: what each sheet shows, said in the abstract model, then drawn."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from ..checks import Checked
from ..inventory.records import Inventory
from ..network import Edge, Network
from ..network.model import CONVERTS
from ..study.model import Study
from . import energychart, facts, strip
from .chains import COLD, HOT, Chain, Piece, Web, web
from .drawset import draw as drawn
from .model import (
    Branch, Cable, Dot, DrawingSet, Element, Form, Front, Link, Node, OneLine, Plan, Reference, Sheet, Space, State, TitleBlock, Way,
)  # fmt: skip
from .strips import strips

CROWD = 3
"""A bar that feeds so many final circuits gets a sheet of its own for them."""


def draw(study: Study, checked: Checked) -> dict[str, str]:
    """All drawings of the vessel.

    Args:
        study: what was worked out
        checked: what the rules say; drawings do not show it yet, pages do
    Returns:
        name → SVG text: `ship`, `panel-X4`, `bar-X17`, `negative`, `charging`, `bank-G1`, `system-24-V-DC`, `isolation-ship`,
        `plan`, `panel-front-X4`, `strip-C21`, and the charts of energy; a sheet cut into several comes as `name`, `name.2` and so on
    """
    ship = Ship(study)
    found: dict[str, str] = {}
    for make in SETS:
        found |= drawn(DrawingSet(ship.block, tuple(make(ship))))
    for sheet in strips(study):
        found[sheet.name] = strip.draw(sheet)
    return found | energychart.draw(study)


@dataclass(frozen=True)
class Ship:
    """The network as the sheets see it, made once for all of them."""

    study: Study

    @property
    def network(self) -> Network:
        return self.study.network

    @property
    def inventory(self) -> Inventory:
        return self.network.inventory

    @cached_property
    def hot(self) -> Web:
        return web(self.network, HOT)

    @cached_property
    def cold(self) -> Web:
        return web(self.network, COLD)

    @cached_property
    def block(self) -> TitleBlock:
        vessel = self.inventory.vessel
        date = vessel.date.isoformat() if vessel.date else ""
        return TitleBlock(vessel.name, vessel.revision, date, "Invented vessel" if vessel.invented else "")

    @cached_property
    def panels(self) -> Mapping[str, str]:
        """Hub of a panel → the panel's id."""
        return {(f"{p.id} L" if p.ac else p.id): p.id for p in self.inventory.panels.values()}

    @cached_property
    def homes(self) -> Mapping[str, str]:
        """Chain id → the sheet on which it is drawn whole: a panel's, a crowded bar's, or the ship's."""
        return _homes(self)

    # names and words

    def hub_id(self, node: str) -> str:
        """What a hub is called on a drawing; an unnamed joint begins with `~` and is not printed."""
        if node in self.panels:
            return self.panels[node]
        item = self.network.nodes[node].item
        if node == item or node.startswith(f"{item} com"):
            return item
        return f"~{node}"

    def node(self, node: str, state: State = State.NORMAL, ordered: bool = False) -> Node:
        """A hub as a node of a sheet."""
        id = self.hub_id(node)
        item = self.inventory.item(id.removeprefix("~").split(" ")[0])
        if id.startswith("~"):
            form = Form.JUNCTION
        else:
            form = Form.CHANGEOVER if item.family == "switches" else Form.JUNCTION if item.family == "junctions" else Form.BAR
        system = self.network.nodes[node].system
        current = facts.kilo(self.study, node)
        lines = () if id.startswith("~") else tuple(x for x in (item.title if item else "", system, current) if x and x != "DC negative")
        return Node(id, lines, form, item.title if item else id, facts.href(item.id) if item else "", state, None, ordered)

    def end(self, end: str, states: States | None = None) -> str | Element:
        """A chain's end: a hub's id, a source or load, or a terminal where nothing goes on."""
        kind, _, id = end.partition(" ")
        state = states.of_end(end) if states else State.NORMAL
        if kind == "source":
            return facts.source(self.network, id, state)
        if kind == "load":
            return facts.load(self.network, id, state)
        if end in self.hot.hubs or end in self.cold.hubs:
            return self.hub_id(end)
        item = self.inventory.item(self.network.nodes[end].item)
        return Element("terminal", end, (item.title if item else "",), end, facts.href(item.id) if item else "", state)

    def links(self, pieces: Iterable[Piece], states: States | None = None) -> tuple[Link, ...]:
        return tuple(self.link(piece, states) for piece in pieces)

    def link(self, piece: Piece, states: States | None = None) -> Element | Cable:
        """A device or cable of a chain."""
        state = states.of_edge(piece.first) if states else State.NORMAL
        if piece.first.kind == "conductor":
            return facts.cables(piece.edges, state)
        if piece.first.kind in ("joint", "bond"):
            words = "negatives joined inside" if piece.first.kind == "bond" else "joined"
            return Element("apparatus", piece.first.item, (words,), piece.first.id, facts.href(piece.first.item), state)
        return facts.device(self.network, piece.first, state)

    def branch(self, chain: Chain, states: States | None = None) -> Branch:
        """A chain as a branch; a paralleling switch between two hubs lies level."""
        links = self.links(chain.pieces, states)
        tie = chain.upper in self.hot.hubs and chain.lower in self.hot.hubs and any(
            isinstance(link, Element) and link.kind == "paralleling" for link in links
        )  # fmt: skip
        state = states.of_chain(chain) if states else State.NORMAL
        return Branch(chain.id, self.end(chain.upper, states), self.end(chain.lower, states), links, state=state, tie=tie)


@dataclass(frozen=True)
class States:
    """How each thing stands after the ship has been isolated."""

    ship: Ship

    @cached_property
    def opened(self) -> frozenset[str]:
        return frozenset(edge for handle in self.ship.study.ship.handles for edge in handle.edges)

    @cached_property
    def stopped(self) -> frozenset[str]:
        return frozenset(source for handle in self.ship.study.ship.handles for source in handle.sources)

    def of_node(self, node: str) -> State:
        return State.LIVE if node in self.ship.study.ship.live else State.DEAD

    def of_edge(self, edge: Edge) -> State:
        if edge.id in self.opened:
            return State.OPEN
        return State.LIVE if self.of_node(edge.b) is State.LIVE and self._fed(edge) else State.DEAD

    def _fed(self, edge: Edge) -> bool:
        return edge.kind in CONVERTS or edge.a in self.ship.study.ship.live

    def of_end(self, end: str) -> State:
        kind, _, id = end.partition(" ")
        if kind == "source":
            edge = next(e for e in self.ship.network.of_item[id] if e.id == id)
            return State.DEAD if id in self.stopped else self.of_node(edge.b)
        if kind == "load":
            consumer = self.ship.network.consumers.get(id)
            return self.of_node(consumer.plus if consumer else f"{id} +")
        return self.of_node(end)

    def of_chain(self, chain: Chain) -> State:
        cables = [p.first for p in chain.pieces if p.first.kind == "conductor"]
        return self.of_edge(cables[0]) if cables else self.of_end(chain.lower)


# which chain belongs on which sheet


def _homes(ship: Ship) -> dict[str, str]:
    """A panel's own tree and a crowded bar's final circuits leave the ship's sheet."""
    chains = {chain.id: chain for chain in ship.hot.chains}
    below: dict[str, list[Chain]] = {}
    for chain in chains.values():
        below.setdefault(chain.upper, []).append(chain)
    homes: dict[str, str] = {}
    for hub in ship.hot.hubs:
        final = [c for c in below.get(hub, ()) if _is_final(c, below, ship)]
        panel = ship.panels.get(hub)
        if panel or len(final) >= CROWD:
            for chain in final:
                for one in _tree(chain, below):
                    homes[one.id] = f"panel-{panel}" if panel else f"bar-{hub}"
    return homes


def _is_final(chain: Chain, below: Mapping[str, list[Chain]], ship: Ship) -> bool:
    """Whether only final circuits lie behind a chain: no converter, bar, panel or motor."""
    if any(piece.first.kind in CONVERTS for piece in chain.pieces):
        return False
    kind, _, id = chain.lower.partition(" ")
    if kind == "load":
        return id not in ship.inventory.motors
    if chain.lower not in ship.hot.hubs:
        return kind != "source"
    item = ship.network.nodes[chain.lower].item
    if chain.lower in ship.panels or item in ship.inventory.bars or item in ship.inventory.switches:
        return False
    return all(_is_final(c, below, ship) for c in below.get(chain.lower, ()))


def _tree(chain: Chain, below: Mapping[str, list[Chain]]) -> Iterator[Chain]:
    yield chain
    for further in below.get(chain.lower, ()):
        yield from _tree(further, below)


# the sheets


def _one_line(name: str, title: str, about: str, nodes: list[Node], branches: list[Branch], notes: tuple[str, ...] = ()) -> OneLine:
    """A sheet; of the nodes only those that a branch ends on."""
    used = {end for branch in branches for end in (branch.upper, branch.lower) if isinstance(end, str)}
    return OneLine(name, title, tuple(n for n in nodes if n.id in used), tuple(branches), about, notes)


def ship_set(ship: Ship) -> Iterator[Sheet]:
    """The ship's sheet, and the sheets of panels and crowded bars that it refers to."""
    own = [chain for chain in ship.hot.chains if chain.id not in ship.homes]
    yield _ship_sheet(ship, own)
    for hub in ship.hot.hubs:
        name = f"panel-{ship.panels[hub]}" if hub in ship.panels else f"bar-{hub}"
        chains = [chain for chain in ship.hot.chains if ship.homes.get(chain.id) == name]
        if chains or hub in ship.panels:
            yield _feeder_sheet(ship, hub, name, chains, own)


def _ship_sheet(ship: Ship, own: list[Chain]) -> OneLine:
    branches = []
    for chain in own:
        branch = ship.branch(chain)
        upper, lower = branch.upper, branch.lower
        chain_links = branch.chain
        if chain.upper in ship.panels:  # behind a panel's way: the way itself stands on the panel's sheet
            upper, chain_links = _way_reference(ship, chain), chain_links[1:]
        if chain.lower in ship.panels:
            lower = _panel_reference(ship, chain, ship.panels[chain.lower])
        branches.append(Branch(branch.id, upper, lower, chain_links, branch.service, branch.state, branch.tie))
    for hub in ship.hot.hubs:
        if f"bar-{hub}" in ship.homes.values():
            count = sum(1 for c in ship.hot.chains if c.upper == hub and ship.homes.get(c.id) == f"bar-{hub}")
            lower = Reference(f"{hub} circuits", (f"{count} circuits",), f"circuits of {hub}", facts.href(hub))
            branches.append(Branch(f"{hub} circuits", ship.hub_id(hub), lower))
    nodes = [ship.node(hub) for hub in ship.hot.hubs if hub not in ship.panels]
    return _one_line("ship", "Single-line diagram of the ship",
                     "Sources, banks, bars, converters and panels with their main devices and cables.", nodes, branches)  # fmt: skip


def _panel_reference(ship: Ship, chain: Chain, panel: str) -> Reference:
    title = ship.inventory.panels[panel].title
    return Reference(f"{panel} from {chain.id}", (panel, title), title, facts.href(panel))


def _way_reference(ship: Ship, chain: Chain) -> Reference:
    way = chain.pieces[0].first
    return Reference(f"behind {way.id}", (f"{way.item} way {way.path[3]}",), way.id, facts.href(way.item))


def _feeder_sheet(ship: Ship, hub: str, name: str, chains: list[Chain], own: list[Chain]) -> OneLine:
    """A panel's or crowded bar's sheet: its feed above, its ways in their order below."""
    id = ship.hub_id(hub)
    branches = []
    if hub in ship.panels:
        for chain in own:
            if chain.lower == hub:
                above = ship.end(chain.upper)
                words = above if isinstance(above, str) else above.id
                reference = _panel_reference(ship, chain, ship.panels[hub])
                reference = Reference(reference.key, (f"from {words.removeprefix('~')}",), reference.name, reference.href)
                branches.append(Branch(f"feed {chain.id}", reference, id))
            elif chain.upper == hub:
                reference = _way_reference(ship, chain)
                lower = Reference(reference.key, (_behind(ship, chain),), reference.name, reference.href)
                branches.append(Branch(f"way {chain.id}", id, lower, ship.links(chain.pieces[:1])))
    else:
        branches.append(Branch(f"feed {hub}", Reference(f"{hub} circuits", (ship.network.title(hub),), hub, facts.href(hub)), id))
    branches += [ship.branch(chain) for chain in chains]
    if hub in ship.panels:
        branches = _in_order(ship, hub, branches, [*own, *chains])
    nodes = [ship.node(h, ordered=h == hub) for h in ship.hot.hubs if h == hub or any(h in (c.upper, c.lower) for c in chains)]
    title = f"{ship.network.title(id)} ({id}): single-line diagram"
    return _one_line(name, title, "Its feed, and what each of its ways protects and feeds, in their order.", nodes, branches)


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


def system_sets(ship: Ship) -> Iterator[Sheet]:
    """One sheet for each voltage system, with its sources, bars, converters and panels."""
    systems = dict.fromkeys(n.system for n in ship.network.nodes.values() if n.pole in HOT and n.system)
    for system in systems:
        chains = [c for c in ship.hot.chains if c.id not in ship.homes and _touches(ship, c, system)]
        branches = [_panel_as_load(ship, c, system) for c in chains]
        nodes = [ship.node(hub) for hub in ship.hot.hubs]
        if branches:
            name = f"system-{system.replace(' ', '-')}"
            yield _one_line(name, f"{system} system: single-line diagram", f"What carries {system}, and what feeds it.", nodes, branches)


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
    return Branch(branch.id, upper, lower, branch.chain, branch.service, branch.state, isinstance(upper, str) and isinstance(lower, str) and branch.tie)


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
        yield _one_line("negative", "The negative side", "How every negative gets back to its battery.", nodes, branches)


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
        about = "Every charging source, its protection, and what it charges."
        yield _one_line("charging", "What charges what", about, nodes, [ship.branch(c) for c in chains])


def bank_sets(ship: Ship) -> Iterator[Sheet]:
    """One sheet for each bank: its batteries from the bar where they meet to the negative bar."""
    banks: dict[str, list[str]] = {}
    for battery in ship.inventory.batteries.values():
        banks.setdefault(battery.bank or battery.id, []).append(battery.id)
    for name, ids in banks.items():
        branches, hubs = [], []
        for id in ids:
            above, below = _first(ship.hot, f"source {id}"), _first(ship.cold, f"source {id}")
            if above is None or below is None:
                continue
            up, down = above.reversed() if above.upper == f"source {id}" else above, below
            item = ship.inventory.batteries[id]
            cells = item.cells
            lines = [f"{cells.series} cells in series", facts.text(cells.capacity)]
            lines += [f"{cells.parallel} in parallel"] if cells.parallel > 1 else []
            lines += [f"cell {facts.text(cells.resistance)}"] if cells.resistance else []
            lines += [f"link {facts.text(cells.link)}"] if cells.link else []
            battery = Element("battery up", id, (item.title, *lines), item.title, facts.href(id))
            chain = (*ship.links(up.pieces), battery, *ship.links(down.pieces))
            branches.append(Branch(f"bank {id}", ship.end(up.upper), ship.end(down.lower), chain))
            hubs += [up.upper, down.lower]
        nodes = [ship.node(hub) for hub in dict.fromkeys(hubs) if hub in ship.hot.hubs or hub in ship.cold.hubs]
        notes = tuple(_bms_note(ship, id) for id in ids if ship.inventory.batteries[id].bms)
        if branches:
            title = ship.inventory.batteries[ids[0]].bank or ship.inventory.batteries[ids[0]].title
            yield _one_line(f"bank-{ids[0]}", f"Bank: {title}", "Cells, battery management, fuses and switches of the bank, positive above.",
                            nodes, branches, notes)  # fmt: skip


def _first(of: Web, end: str) -> Chain | None:
    return next((chain for chain in of.chains if end in (chain.upper, chain.lower)), None)


def _bms_note(ship: Ship, id: str) -> str:
    bms = ship.inventory.batteries[id].bms
    said = [f"opens the {bms.side}"]
    said += [f"carries {bms.current}"] if bms.current else []
    said += [f"trips at {bms.trip}"] if bms.trip else []
    said += [f"sense leads {bms.sense_leads}"] if bms.sense_leads else []
    return f"BMS of {id}: {', '.join(said)}."


def isolation_set(ship: Ship) -> Iterator[Sheet]:
    """The ship after the isolating actions: live heavy and with the word, dead dashed."""
    states = States(ship)
    own = [chain for chain in ship.hot.chains if chain.id not in ship.homes]
    branches = []
    for chain in own:
        branch = ship.branch(chain, states)
        lower = branch.lower
        if chain.lower in ship.panels:
            panel = ship.panels[chain.lower]
            lower = Element("apparatus", panel, (ship.network.title(panel),), "", facts.href(panel), states.of_node(chain.lower))
        upper = branch.upper
        if chain.upper in ship.panels:
            panel = ship.panels[chain.upper]
            upper = Element("apparatus", panel, (ship.network.title(panel),), "", facts.href(panel), states.of_node(chain.upper))
        branches.append(Branch(branch.id, upper, lower, branch.chain, branch.service, branch.state, branch.tie))
    nodes = [ship.node(hub, states.of_node(hub)) for hub in ship.hot.hubs]
    title = "What stays live after the isolating actions"
    yield _one_line("isolation-ship", title, "Live parts are drawn heavy and say LIVE; dead parts are dashed.", nodes, branches)


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
            tuple(_front_way(ship, panel, numbers[c * high + r], fed) for c in range(panel.columns) if c * high + r < len(numbers))
            for r in range(high)
        )
        system = next((ship.network.nodes[n].system for n in (panel.id, f"{panel.id} L") if n in ship.network.nodes), "")
        yield Front(f"panel-front-{panel.id}", f"{panel.title} ({panel.id}): front", rows, (f"{panel.title}, {system}",),
                    "The panel's ways in their places, with label, rating and what each feeds.")  # fmt: skip


def _front_way(ship: Ship, panel, number: str, fed: Mapping[str, list[str]]) -> Way:
    way = panel.ways[number]
    id = f"{panel.id} way {number}"
    if way.spare:
        return Way(number, kind="spare", href=facts.href(panel.id))
    edge = next(e for e in ship.network.of_item[panel.id] if e.path == ("panels", panel.id, "ways", number) and e.record)
    kind = "rcd" if way.residual else edge.kind
    return Way(number, way.label or "", "", kind, facts.text(way.rating), ", ".join(fed.get(id, ())), facts.href(id))


BEAM = 0.32
"""Breadth of a hull against its length, where nobody says: only the outline on the plan depends on it."""


def plan_set(ship: Ship) -> Iterator[Sheet]:
    """What is where: switches, batteries, panels and hidden fuses as numbered dots."""
    inventory = ship.inventory
    length = inventory.vessel.length.value if inventory.vessel.length else 12.0
    beam = length * BEAM

    def metres(point: str) -> tuple[float, float]:
        x, y = (float(part) for part in point.split(","))
        return (round(x / 100 * length, 3), round((y - 50) / 100 * beam, 3))

    spaces = tuple(Space(s.id, s.title, tuple(metres(p) for p in s.outline), facts.href(s.id)) for s in inventory.spaces.values())
    dots = []
    for kind, items in (("isolator", inventory.switches), ("bank", inventory.batteries), ("panel", inventory.panels), ("fuse", inventory.fuses)):
        for item in items.values():
            if item.at and item.at.space and (kind != "fuse" or item.hidden):
                at = metres(item.at.plan) if item.at.plan else None
                dots.append(Dot(str(len(dots) + 1), f"{item.title} ({item.id})", item.at.space, item.at.place or "", at, kind, facts.href(item.id)))
    if spaces and dots:
        yield Plan("plan", "Location plan", spaces, tuple(dots), length, beam, "Where switches, batteries, panels and hidden fuses are.")


SETS: tuple[Callable[[Ship], Iterator[Sheet]], ...] = (
    ship_set, system_sets, negative_set, charging_set, bank_sets, isolation_set, fronts, plan_set,
)  # fmt: skip
"""Sheets that are numbered and refer to one another together. A new drawing is one function and one entry here."""
