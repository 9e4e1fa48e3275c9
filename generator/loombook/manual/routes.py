"""The way of the current to one consumer: its points to measure, its devices, and what else dies at each level."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from ..network import Consumer, Edge
from ..network.model import SOURCES
from ..network.supply import Hop, SupplyPath
from ..study.loads import load_amps
from ..study.model import Flow
from .book import Book
from .devices import Device, device_id

PROTECTS = ("fuse", "breaker")
_DEVICES = ("fuse", "breaker", "switch", "shunt", "bms")
PROTECTS_UP_TO = 1.5
"""A device rated at more than this many times what a wire carries is not taken as that wire's own (33 CFR 183.455)."""
LEAST = 1e-3
"""Less than this is no current [A]."""


@dataclass(frozen=True)
class Point:
    """A place on the way where a meter can be held."""

    node: str
    black: str
    """Node for the meter's other lead."""
    volts: float | None
    """Expected there, with the device at work [V]."""
    drop: float | None
    """Lost since the source or converter before it [V]."""
    by: tuple[Edge, ...]
    """The conductors from the point before."""
    device: Edge | None = None
    """What is passed last."""
    hidden: bool = False
    at_most: bool = False
    """Whether a cable of unknown length lies before it: then the voltage is at most `volts`."""


def busiest(book: Book, consumer: Consumer) -> Flow | None:
    """The operating condition in which the consumer draws most; None where it is supplied in none."""
    running = [
        flow
        for flow in book.flows
        if abs(flow.amps.get(consumer.edge, 0.0)) > LEAST and consumer.id not in book.starved[flow.condition]
    ]
    return max(running, key=lambda flow: abs(flow.amps[consumer.edge]), default=None)


def supplied_in(flow: Flow, paths: Sequence[SupplyPath]) -> SupplyPath | None:
    """The first way of which every point is reached in a load flow, the first way of all where none is."""
    whole = (path for path in paths if all(hop.into in flow.volts for hop in path.out))
    return next(whole, paths[0] if paths else None)


class Way:
    """One supply path with its points, in volts of one load flow and with the consumer itself at full work.

    The load flow has every load at its average. What the consumer draws beyond its own average loses
    ΔI · R more along the conductors of its last stage; that is added here.
    """

    def __init__(self, book: Book, path: SupplyPath, flow: Flow | None) -> None:
        self.book, self.path, self.flow = book, path, flow
        self.consumer = book.network.consumers[path.consumer]
        edge = book.network.edges[self.consumer.edge]
        average = abs(flow.amps.get(edge.id, 0.0)) if flow else 0.0
        self.more = max(load_amps(book.network, edge) - average, 0.0)
        self.blacks = _blacks(book, path)

    def out(self) -> list[Point]:
        """The points from the source's positive to the consumer."""
        source = self.book.network.edges[self.path.source]
        points: list[Point] = []
        stage, start, ohms, wires = 0, source.b, 0.0, []
        if not source.b.endswith(" cell +"):  # a battery's own post comes after its BMS
            points.append(self._point(source.b, start, 0, 0.0, (), None))
        for hop in self.path.out:
            edge = hop.edge
            if edge.kind in SOURCES:
                stage, start, ohms = stage + 1, hop.into, 0.0
            else:
                ohms += self._ohms(edge)
            if edge.kind == "conductor":
                wires.append(edge)
            device = edge if edge.kind in (*SOURCES, *_DEVICES) else None
            if device is not None or (edge.kind != "input" and _is_stop(self.book, hop.into)):
                points.append(self._point(hop.into, start, stage, ohms, tuple(wires), device))
                wires = []
        return points

    def _point(
        self, node: str, start: str, stage: int, ohms: float, wires: tuple[Edge, ...], device: Edge | None
    ) -> Point:
        black = self.blacks[min(stage, len(self.blacks) - 1)]
        here, there = self._across(node, black), self._across(start, black)
        last = stage == len(self.path.through)
        more = self.more * ohms if last else 0.0
        behind = self.more * self._ohms_behind(black) if last else 0.0
        volts = None if here is None else here - more - behind
        drop = None if here is None or there is None else there - here + more
        at_most = bool(self.flow and self.flow.behind.get(node))
        return Point(node, black, volts, drop, wires, device, _hidden(self.book, node, device), at_most)

    def back(self) -> list[Point]:
        """The points from the consumer back to the negative of its last source, in volts above that negative."""
        if not self.path.back:
            return []
        black = self.blacks_end
        wires: list[Edge] = []
        ends = [(self.consumer.minus, (), None)]
        for hop in self.path.back:
            if hop.into.endswith(" cell -"):
                break  # the battery's own post was the end of the way
            if hop.edge.kind == "conductor":
                wires.append(hop.edge)
            if hop.edge.kind in _DEVICES or _is_stop(self.book, hop.into) or hop is self.path.back[-1]:
                ends.append((hop.into, tuple(wires), hop.edge if hop.edge.kind in _DEVICES else None))
                wires = []
        points = []
        for node, wires, device in ends:
            volts = self._across(node, black)
            volts = None if volts is None else volts + self.more * (self._ohms_behind(node) - self._ohms_behind(black))
            points.append(Point(node, black, volts, None, wires, device, _hidden(self.book, node, device)))
        return points

    @property
    def blacks_end(self) -> str:
        return self.path.back[-1].into.replace(" cell -", " -")

    def _across(self, node: str, black: str) -> float | None:
        return self.flow.across(node, black) if self.flow else None

    def _ohms(self, edge: Edge) -> float:
        found = self.book.study.resistances.get(edge.id)
        return 0.0 if found is None or found.missing else found.hot.value

    def _ohms_behind(self, node: str) -> float:
        """Resistance of the way back from a node to the last source's negative; 0 for a node not on it [Ω]."""
        if node == self.consumer.minus:
            return sum(self._ohms(hop.edge) for hop in self.path.back)
        place = next((i for i, hop in enumerate(self.path.back) if hop.into == node), None)
        return 0.0 if place is None else sum(self._ohms(hop.edge) for hop in self.path.back[place + 1 :])


def _blacks(book: Book, path: SupplyPath) -> list[str]:
    """For each stage of the way, the node where the meter's black lead goes."""
    network = book.network
    source = network.edges[path.source]
    blacks = [f"{source.item} -" if source.kind == "battery" else source.a]
    blacks += [network.edges[id].a for id in path.through]
    bar = next((hop.into for hop in path.back if hop.into in book.inventory.bars), None)
    if bar:
        blacks[-1] = bar
    return blacks


def _is_stop(book: Book, node: str) -> bool:
    """Whether a conductor's end is a point by itself: a bar, a joint, a panel, a converter's input, the consumer."""
    owner, _, port = node.partition(" ")
    inventory = book.inventory
    if (
        owner in inventory.bars
        or owner in inventory.junctions
        or owner in inventory.converters
        or owner in inventory.inverters
    ):
        return True
    if owner in inventory.panels:
        return not port.startswith("way ")
    return owner in book.network.consumers or owner in inventory.circuits or owner in inventory.batteries


def _hidden(book: Book, node: str, device: Edge | None) -> bool:
    if device is not None and device_id(device) in book.devices:
        return book.devices[device_id(device)].hidden
    junction = book.inventory.junctions.get(node.split(" ")[0])
    return bool(junction and junction.hidden) or " joint " in node


def devices_on(book: Book, hops: Iterable[Hop]) -> list[Device]:
    """Fuses and breakers on a way, in its order, each once."""
    ids = dict.fromkeys(device_id(hop.edge) for hop in hops if hop.edge.kind in PROTECTS)
    return [book.devices[id] for id in ids]


def own_devices(book: Book, path: SupplyPath) -> list[Device]:
    """The devices of the consumer's own circuit, nearest to the consumer first, up to its panel way.

    Where no panel's way is on the way, up to the first one that can be seen.
    """
    nearest_first = devices_on(book, reversed(path.out))
    found: list[Device] = []
    for device in nearest_first:
        found.append(device)
        if device.panel or not device.hidden:
            break
    return found


def fits(book: Book, path: SupplyPath, device: Device) -> bool:
    """Whether a device is this circuit's: a panel's way, one that takes down no other, or small enough for its wire."""
    if device.panel:
        return True
    circuit = book.network.consumers[path.consumer].circuit
    lost = book.lost_with(device)
    if lost and {book.network.consumers[c].circuit for c in lost} == {circuit}:
        return True
    own = [
        book.study.carrying.get(hop.edge.id)
        for hop in path.out
        if hop.edge.item == circuit and hop.edge.kind == "conductor"
    ]
    least = min((found.amps for found in own if found and found.amps is not None), default=None)
    return bool(least is None or device.rating is None or device.rating.value <= PROTECTS_UP_TO * least)


@dataclass(frozen=True)
class Route:
    """How one consumer is fed and protected, as its page and the lists say it."""

    flow: Flow | None
    """The operating condition in which it draws most."""
    path: SupplyPath | None
    """The way shown."""
    met: tuple[Device, ...] = ()
    """Devices from the consumer to the first that can be seen, nearest first."""
    own: tuple[Device, ...] = ()
    """Those that protect its own wiring; the last is the one to look for."""


def route(book: Book, consumer: Consumer) -> Route:
    """The way to show for a consumer, and its devices."""
    if consumer.id not in book.routes:
        book.routes[consumer.id] = _route(book, consumer)
    return book.routes[consumer.id]


def _route(book: Book, consumer: Consumer) -> Route:
    paths = (*book.study.supply.get(consumer.id, ()), *book.study.reserve.get(consumer.id, ()))
    flow = busiest(book, consumer)
    path = supplied_in(flow, paths) if flow else next(iter(paths), None)
    if path is None:
        return Route(flow, None)
    met = tuple(own_devices(book, path))
    return Route(flow, path, met, met if met and fits(book, path, met[-1]) else met[:-1])


@dataclass(frozen=True)
class Level:
    """A stretch of the way and what goes dead together when anything on it fails."""

    edges: tuple[Edge, ...]
    """From the consumer towards the source."""
    lost: tuple[str, ...]
    """Every consumer that goes dead with this stretch."""
    nearer: tuple[str, ...]
    """Those that go dead with the stretch before it already."""
    key: tuple[str, str]
    """Tells this level from any other: an edge of the stretch, and one of the stretch before it."""


def levels(book: Book, path: SupplyPath) -> list[Level]:
    """Stretches from the consumer towards its source, as far as the last converter, each with what it takes down.

    Whatever goes dead with a stretch goes dead with every stretch nearer to the source as well, so counting is enough
    to tell two stretches apart.
    """
    found: list[Level] = []
    nearer: tuple[str, ...] = (path.consumer,)
    before = path.consumer
    stretch: list[Edge] = []
    dead: tuple[str, ...] = ()
    for hop in reversed(path.out):
        if hop.edge.kind in SOURCES:
            break
        lost = book.study.lost.get(hop.edge.id, ())
        if not hop.needed or not lost:
            continue
        if stretch and len(lost) != len(dead):
            found.append(Level(tuple(stretch), dead, nearer, (stretch[0].id, before)))
            nearer, before, stretch = dead, stretch[0].id, []
        dead = lost
        stretch.append(hop.edge)
    if stretch:
        found.append(Level(tuple(stretch), dead, nearer, (stretch[0].id, before)))
    return found


def middle(points: Sequence[Point]) -> int | None:
    """Which of the points splits them best: the middle one that a hand can reach."""
    if not points:
        return None
    centre = (len(points) - 1) / 2
    reachable = [i for i, point in enumerate(points) if not point.hidden]
    return min(reachable, key=lambda i: (abs(i - centre), i), default=None)
