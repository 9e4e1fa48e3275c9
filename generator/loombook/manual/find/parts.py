"""Each part that can fail, said so that a person can put a hand on it: what it is, where it is, what page it has."""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import quote

from ...network import Edge
from ..answer import device_words
from ..book import Book
from ..cables import cable_words
from ..devices import device_id
from ..text import Inline
from ..words import SOURCE_KINDS
from .advice import kind_of
from .said import capital, said


@dataclass(frozen=True)
class Part:
    """One edge of the network in words."""

    name: str
    kind: str
    """Key of `ADVICE`."""
    place: str
    target: str
    """`item:F12`, or nothing where no page speaks of it."""
    hidden: bool = False


def part_of(book: Book, id: str) -> Part:
    """The part that an edge is."""
    edge = book.network.edges[id]
    kind = kind_of(edge, book.network.nodes[edge.a].pole)
    if edge.kind in ("fuse", "breaker"):
        return _device(book, edge, kind)
    if edge.kind == "conductor":
        return _cable(book, edge, kind)
    if edge.kind == "load":
        consumer = edge.id.removesuffix(" load")
        return Part(
            f"{said(book.named(consumer))} itself", kind, said(book.where_is(consumer)), _target(book, consumer)
        )
    return Part(capital(_words(book, edge)), kind, said(book.where_is(edge.item)), _target(book, edge.item))


def _words(book: Book, edge: Edge) -> str:
    name = said(book.named(edge.item))
    if edge.kind == "joint":
        return f"the joint between {said(book.node(edge.a))} and {said(book.node(edge.b))}"
    if edge.kind == "bms":
        return f"the guard (BMS) of {name}"
    if edge.kind == "bond":
        return f"the link between the negatives inside {name}"
    if edge.kind == "shunt":
        return f"{name} and its bolts"
    return f"{name} itself" if edge.kind in SOURCE_KINDS else name


def _device(book: Book, edge: Edge, kind: str) -> Part:
    device = book.devices[device_id(edge)]
    hidden = ", HIDDEN" if device.hidden else ""
    return Part(
        said(device_words(book, device)) + hidden,
        kind,
        said(book.where_device(device)),
        _target(book, device.id),
        device.hidden,
    )


def _cable(book: Book, edge: Edge, kind: str) -> Part:
    run = edge.path[:1] == ("runs",)
    owner = edge.item if run else edge.id.split(" ")[0]
    whose = f"Cable {edge.item}" if run else f"Cable of {said(book.named(owner))}"
    label = f", labelled {said(edge.cable.label)}" if edge.cable.label else ""
    leg = " on the way back" if kind == "negative" else ""
    name = f"{whose}{leg}{label}: {said(cable_words(edge))}, and its two ends"
    ends = [f"{said(point_words(book, node))} ({said(point_place(book, node))})" for node in (edge.a, edge.b)]
    passes = [said(book.named(space)) for space in edge.cable.spaces]
    route = said(edge.cable.route) if edge.cable.route else f"through {', '.join(passes)}" if passes else ""
    place = f"from {ends[0]} to {ends[1]}" + (f"; {route}" if route else "")
    return Part(name, kind, place, _target(book, owner))


def _target(book: Book, id: str) -> str:
    return f"item:{quote(id)}" if id in book.links else ""


def point_words(book: Book, node: str) -> Inline:
    """A terminal as a person with a meter looks for it."""
    port = node.partition(" ")[2]
    return ("load side of ", book.node(node)) if port.startswith("way ") else book.node(node)


def point_place(book: Book, node: str) -> Inline:
    """Where it is: the place of the way, item or device whose terminal it is."""
    owner, _, port = node.partition(" ")
    return book.where_is(f"{owner} way {port.split(' ')[1]}" if port.startswith("way ") else owner)
