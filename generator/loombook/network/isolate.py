"""The smallest set of handles that kills a part of the boat, what stays live after it, and what still works."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from .core import Core
from .cutset import Flow, cheapest_cut, flow_of
from .handles import Handle, buttons, handles
from .live import alive, all_primary, lost_with, state, taken_outwards
from .model import PRIMARY, Edge, Network

MOST_HANDLES = 4
"""Actions that a frightened person gets right in the dark: what an isolating procedure aims at (from memory)."""
MOST_GENTLE = 8
"""Actions up to which a set that leaves the rest of the boat alone is worth more than a smaller one (our judgement)."""
_TIE = 10**6
"""Between sets alike in what counts most, what counts next decides."""
_ESSENTIAL = 1000
"""Losing one essential consumer, or pulling a fuse, weighs as much as losing so many others."""


@dataclass(frozen=True)
class Isolation:
    """The smallest set of handles that kills a target, and what it leaves."""

    target: str
    handles: tuple[Handle, ...]
    live: Mapping[str, tuple[str, ...]] = field(repr=False)
    """Node → source edges joined to it, in whatever position the switches that are left may stand."""
    working: tuple[str, ...] = field(repr=False)
    """Consumers that still work, by the batteries alone and with the other switches in their normal position."""
    unstoppable: tuple[str, ...] = ()
    """Sources that no handle cuts off from the target, left out of the set and to be named: an array in daylight."""
    keep_off: tuple[Handle, ...] = ()
    """Switches that are off in normal use and must be found off, or more stays live: a paralleling switch."""


class Isolator:
    """Answers for one network; the clusters between handles are found once.

    Args:
        network: the boat
        leave_on: whether what is meant to stay on in an emergency is left on
        with_buttons: whether controls that open a battery's BMS count as handles
        lost: edge → consumers that go dead when it alone opens in normal use, where that is known already
    """

    def __init__(
        self,
        network: Network,
        leave_on: bool = True,
        with_buttons: bool = False,
        lost: Mapping[str, tuple[str, ...]] | None = None,
    ) -> None:
        self.network = network
        self._known_lost = lost
        self.insulated = network.inventory.vessel.earth == "insulated"
        found = (*handles(network), *(buttons(network) if with_buttons else ()))
        self.handles = found
        """Every handle, also those that are left on."""
        self._usable = tuple(h for h in found if not (leave_on and h.stays_on))
        self._left_on = self._meant_to_stay_on() if leave_on else frozenset()
        self.flow: Flow = flow_of(network, self._usable, self._may_be_closed, self.insulated)
        self._number = {h: number for number, h in enumerate(self._usable)}
        self.off = frozenset(
            n for h, n in self._number.items() if h.edges and not any(map(self._may_be_closed, self._edges(h)))
        )
        """Numbers of the handles that are off in normal use."""
        self._fuses = frozenset(n for h, n in self._number.items() if h.kind == "fuse")

    def ship(self) -> Isolation:
        """The set for the whole ship, leaving on what is meant to stay on."""
        return self.kill("ship", self.network.nodes, gently=False)

    def system(self, system: str) -> Isolation:
        """The set that kills one voltage system and takes as little else with it as it can."""
        return self.kill(system, [n.id for n in self.network.nodes.values() if n.system == system])

    def space(self, space: str) -> Isolation:
        """The set that kills what is in one space, the items there and the cables through it, and little else."""
        return self.kill(space, self.nodes_in(space))

    def nodes_in(self, space: str) -> list[str]:
        """The nodes of the items in a space, and the ends of the cables through it."""
        network, found = self.network, set()
        here = {item.id for item in network.inventory.items() if item.at and item.at.space == space}
        here |= {c.id for c in network.consumers.values() if c.record.at and c.record.at.space == space}
        for edge in network.edges.values():
            if (
                edge.item in here
                and edge.kind not in ("conductor", "joint")
                or (edge.cable and space in edge.cable.spaces)
            ):
                found |= {edge.a, edge.b}
        found |= {node for c in network.consumers.values() if c.id in here for node in (c.plus, c.minus)}
        return sorted(
            found
            | {n.id for n in network.nodes.values() if n.item in here and n.item not in network.inventory.circuits}
        )

    def kill(self, target: str, nodes: Iterable[str], gently: bool = True) -> Isolation:
        """The smallest set of handles after which none of `nodes` is live but those that no handle can kill.

        `gently` takes a larger set, up to `MOST_GENTLE`, where that loses less outside the target.
        """
        wanted = [n for n in nodes if self.is_hot(n) and n not in self._left_on]
        stubborn = frozenset(self._stubborn(wanted))
        targets = self._targets(wanted, stubborn)
        outside = self._losses(frozenset(wanted))
        price = [h.cost for h in self._usable]
        smallest = self._cut(targets, [cost * _TIE + lost for cost, lost in zip(price, outside)], stubborn)
        chosen = smallest
        if gently:
            spared = [
                (lost + (_ESSENTIAL if h.kind == "fuse" else 0)) * _TIE + h.cost
                for h, lost in zip(self._usable, outside)
            ]
            gentle = self._cut(targets, spared, stubborn)
            chosen = gentle if len(gentle) <= MOST_GENTLE else smallest
        return self.after(target, [self._usable[n] for n in chosen], sorted(stubborn))

    def after(self, target: str, chosen: Iterable[Handle], stubborn: Iterable[str] = ()) -> Isolation:
        """What a set of handles leaves live and leaves working."""
        chosen = tuple(chosen)
        opened = self._opened(chosen)
        fed = self.flow.fed_by(opened)
        live = {node: fed[cluster] for node, cluster in self.flow.cluster.items() if cluster in fed}
        alive_now = len(self.flow.live(opened))
        keep_off = [
            n
            for n in sorted(self.off - {self._number[h] for h in chosen})
            if len(self.flow.live(opened - {n})) > alive_now
        ]
        return Isolation(
            target, chosen, live, self.working(chosen), tuple(stubborn), tuple(self._usable[n] for n in keep_off)
        )

    def joined(self, chosen: Iterable[Handle]) -> Mapping[str, int]:
        """Node → number of the joined part that it is in with a set of handles open."""
        part = self.flow.joined(self._opened(chosen))
        return {node: part[cluster] for node, cluster in self.flow.cluster.items()}

    def live_with(self, chosen: Iterable[Handle], nodes: Iterable[str]) -> frozenset[str]:
        """The nodes that are live when something else keeps `nodes` live, such as a motor that the water turns."""
        live = self.flow.live(self._opened(chosen), more=[self.flow.cluster[n] for n in nodes])
        return frozenset(n for n, cluster in self.flow.cluster.items() if cluster in live)

    def _opened(self, chosen: Iterable[Handle]) -> frozenset[int]:
        return self.off | {self._number[h] for h in chosen}

    def live_nodes(self, chosen: Iterable[Handle]) -> frozenset[str]:
        """The nodes that a set of handles leaves live."""
        return self.live_with(chosen, ())

    def working(self, chosen: Iterable[Handle]) -> tuple[str, ...]:
        """The consumers that a set of handles leaves working, by the batteries alone."""
        opened = frozenset(edge for h in chosen for edge in h.edges)
        ties = opened & self._ties
        batteries = {e.id for e in self.network.sources() if e.kind == "battery"}
        working = set(alive(self._normal.reopened(ties), batteries).consumers)
        for edge in opened - ties:
            working.difference_update(self._hanging.get(edge, ()))
        return tuple(c for c in self.network.consumers if c in working)

    # what a set has to kill

    def is_hot(self, node: str) -> bool:
        """Whether a node is of a pole that can be live against earth."""
        pole = self.network.nodes[node].pole
        return pole in ("+", "L", "N") or (pole == "-" and self.insulated)

    def _edges(self, handle: Handle) -> list[Edge]:
        return [self.network.edges[id] for id in handle.edges]

    def _may_be_closed(self, edge: Edge) -> bool:
        """Whether a switch is ever used closed; one that only an emergency closes is to be found off."""
        usual = [c for c in self.network.inventory.conditions.values() if not c.emergency]
        positions = {self.network.normal.get(edge.item), *(c.switches.get(edge.item) for c in usual)}
        return not edge.positions or bool(positions - {"off", None})

    def _meant_to_stay_on(self) -> frozenset[str]:
        """Nodes of the circuits that are left on in an emergency."""
        network = self.network
        circuits = {c.id for c in network.inventory.circuits.values() if c.stays_on}
        return frozenset(node for e in network.edges.values() if e.item in circuits for node in (e.a, e.b))

    def _targets(self, wanted: Iterable[str], stubborn: frozenset[str]) -> frozenset[int]:
        """Clusters that a handle can kill; and of the loads, those that only a fuse can."""
        flow, every = self.flow, frozenset(range(len(self._usable)))
        loads = {c.plus for c in self.network.consumers.values()}
        live = flow.live(self.off, stubborn)
        without_fuses = flow.live(every - self._fuses, stubborn)
        last = flow.live(every, stubborn)
        at = flow.cluster
        return frozenset(
            at[n] for n in wanted if at[n] in live and at[n] not in (last if n in loads else without_fuses)
        )

    def _stubborn(self, wanted: Iterable[str]) -> list[str]:
        """Sources that no handle parts from a bar or panel, where some of `wanted` is reached beyond them."""
        flow = self.flow
        primary = frozenset(e.id for e in self.network.sources() if e.kind in PRIMARY)
        targets = {flow.cluster[n] for n in wanted}
        shut = frozenset(range(len(self._usable))) - self._fuses
        found = []
        for id in sorted(primary):
            if self.network.edges[id].kind == "battery" or id in flow.stops:
                continue
            reached = flow.live(shut, primary - {id})
            if reached & targets and self._shared & reached:
                found.append(id)
        return found

    @cached_property
    def _shared(self) -> frozenset[int]:
        """Clusters with a bar or panel that others share."""
        inventory = self.network.inventory
        names = [*inventory.bars, *(p if not panel.ac else f"{p} L" for p, panel in inventory.panels.items())]
        return frozenset(self.flow.cluster[id] for id in names if id in self.flow.cluster)

    def _losses(self, wanted: frozenset[str]) -> list[int]:
        """What opening each handle alone loses outside the target, the essential weighing more."""
        consumers = self.network.consumers
        weight = {c.id: 0 if c.plus in wanted else _ESSENTIAL if c.record.essential else 1 for c in consumers.values()}
        return [sum(weight[c] for c in self.lost_by(h)) for h in self._usable]

    def lost_by(self, handle: Handle) -> frozenset[str]:
        """Consumers that go dead when a handle alone is opened, in normal use."""
        return frozenset(c for edge in handle.edges for c in self._lost.get(edge, ()))

    @cached_property
    def _normal(self) -> Core:
        return state(self.network)

    @cached_property
    def _ties(self) -> frozenset[str]:
        return frozenset(edge.id for edge in self._normal.ties)

    @cached_property
    def _hanging(self) -> Mapping[str, tuple[str, ...]]:
        """Radial edge → every consumer that hangs from it."""
        return taken_outwards(self._normal, frozenset(self.network.consumers))

    @cached_property
    def _lost(self) -> Mapping[str, tuple[str, ...]]:
        return lost_with(self._normal, all_primary(self.network)) if self._known_lost is None else self._known_lost

    def _cut(self, targets: frozenset[int], costs: Sequence[int], stubborn: frozenset[str]) -> list[int]:
        return cheapest_cut(self.flow, targets, costs, self.off, stubborn)


__all__ = ["MOST_HANDLES", "Handle", "Isolation", "Isolator", "buttons", "handles"]
