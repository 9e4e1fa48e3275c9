"""The network as the drawings see it: hubs, chains, and what each is called and looks like on a sheet."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

from ..inventory.records import Inventory
from ..network import Network
from ..network.model import CONVERTS
from ..study.model import Study
from . import facts
from .chains import COLD, HOT, Chain, Piece, Web, web
from .dense import few_words
from .homes import homes
from .model import Branch, Cable, Element, Form, Link, Node, OneLine, State, TitleBlock
from .states import States


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
        return homes(self.network, self.hot, self.panels)

    # names and words

    def hub_id(self, node: str) -> str:
        """What a hub is called on a drawing; an unnamed joint begins with `~` and is not printed."""
        if node in self.panels:
            return self.panels[node]
        item = self.network.nodes[node].item
        if node == item or node.startswith(f"{item} com"):
            return item
        return f"~{node}"

    def node(self, node: str, state: State = State.NORMAL, ordered: bool = False, dense: bool = False) -> Node:
        """A hub as a node of a sheet."""
        id = self.hub_id(node)
        item = self.inventory.item(id.removeprefix("~").split(" ")[0])
        if id.startswith("~"):
            form = Form.JUNCTION
        else:
            form = (
                Form.CHANGEOVER
                if item.family == "switches"
                else Form.JUNCTION
                if item.family == "junctions"
                else Form.BAR
            )
        system = self.network.nodes[node].system
        current = facts.kilo(self.study, node, highest=dense)
        title = item.title if item else ""
        system = "" if system == "DC negative" or system.removesuffix(" DC") in title else system
        lines = () if id.startswith("~") else tuple(x for x in (title, system, current) if x)
        return Node(
            id, lines, form, item.title if item else id, facts.href(item.id) if item else "", state, None, ordered
        )

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

    def _with_leads(self, chain: Chain, links: tuple[Link, ...], states: States) -> tuple[Link, ...]:
        """The links with the bare lead between two devices, or between a device and an end, as live or dead as its node."""
        found: list[Link] = []
        leaves = ""
        for (enters, leaves), link in zip(self._way(chain), links, strict=True):
            bare = isinstance(link, Element) and not (found and isinstance(found[-1], Cable))
            found += [Cable(state=states.of_node(enters)), link] if bare else [link]
        if found and isinstance(found[-1], Element):
            found.append(Cable(state=states.of_node(leaves)))
        return tuple(found)

    def _way(self, chain: Chain) -> list[tuple[str, str]]:
        """Where each thing of a chain begins and ends, walking down it."""
        ends = [self._ends(piece) for piece in chain.pieces]
        way = []
        for n, (a, b) in enumerate(ends):
            before = ends[n - 1] if n else (chain.upper,)
            after = ends[n + 1] if n + 1 < len(ends) else (chain.lower,)
            down = a in before or b in after or not (b in before or a in after)
            way.append((a, b) if down else (b, a))
        return way

    def _ends(self, piece: Piece) -> tuple[str, str]:
        """The two places a thing joins."""
        edge = piece.first
        a = self.network.input_of(edge).a if edge.kind in CONVERTS else edge.a
        return self.hot.place.get(a, a), self.hot.place.get(edge.b, edge.b)

    def branch(self, chain: Chain, states: States | None = None, dense: bool = False) -> Branch:
        """A chain as a branch, in few words where that is asked; a paralleling switch between two hubs lies level."""
        links = self.links(chain.pieces, states)
        links = few_words(chain.pieces, links) if dense else links
        if states:
            links = self._with_leads(chain, links, states)
        tie = chain.upper in self.hot.hubs and chain.lower in self.hot.hubs and any(
            isinstance(link, Element) and link.kind == "paralleling" for link in links
        )  # fmt: skip
        state = states.of_chain(chain) if states else State.NORMAL
        return Branch(
            chain.id, self.end(chain.upper, states), self.end(chain.lower, states), links, state=state, tie=tie
        )


def one_line(
    name: str, title: str, about: str, nodes: list[Node], branches: list[Branch], notes: tuple[str, ...] = ()
) -> OneLine:
    """A sheet; of the nodes only those that a branch ends on."""
    used = {end for branch in branches for end in (branch.upper, branch.lower) if isinstance(end, str)}
    return OneLine(name, title, tuple(n for n in nodes if n.id in used), tuple(branches), about, notes)
