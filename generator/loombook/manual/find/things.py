"""Everything that can be looked up, with its answer: devices first, then fuses, switches, panels, wires, spaces, spares."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any
from urllib.parse import quote

from ...inventory.fields import Cable
from ...inventory.vessel import Item
from ...network import Consumer
from ...network.live import all_primary
from ...network.suspects import suspects_of
from ..book import Book
from ..cables import cable_words
from ..devices import Device
from ..items import kind_of
from ..answer import answer as answer_of_consumer
from ..paths import cables_of_runs
from ..routes import route
from ..text import Inline, joined
from ..words import few, kind_words, rated
from .said import said

MOST = 6
"""Names in a row of an answer."""


@dataclass(frozen=True)
class Thing:
    """One result of a look-up."""

    name: str
    id: str
    names: tuple[str, ...]
    """What people call it, its label, its id: found first."""
    words: tuple[str, ...] = ()
    """Where it is, what its wires look like, what it belongs to: found too."""
    answer: tuple[tuple[str, str], ...] = ()
    target: str = ""
    """`item:F12`."""
    consumer: str = field(default="")
    """The consumer's id, where it is one."""


def things(book: Book) -> Iterator[Thing]:
    """Every thing aboard that has a name, a label, a number or a colour."""
    for consumer in book.network.consumers.values():
        yield _consumer(book, consumer)
    for circuit in book.inventory.circuits.values():
        if circuit.loads:
            yield _thing(book, circuit.id, circuit, [("Feeds", _names(book, book.consumers_of.get(circuit.id, ())))])
    for device in book.devices.values():
        yield _device(book, device)
    taken = _taken(book)
    for item in book.inventory.items():
        if item.family not in ("spaces", "circuits", "motors", "fuses", "breakers"):
            yield _item(book, item, taken)
    for id, edges in cables_of_runs(book.network).items():
        yield _cable(book, id, edges)
    for space in book.inventory.spaces.values():
        yield _space(book, space)
    for spare in book.inventory.spares:
        name = f"Spare {spare.rating or ''} {kind_words(spare.kind)}".replace("  ", " ")
        rows = [
            ("How many", str(spare.count)),
            ("Where", book.where(spare.at)),
            *([("Note", spare.note)] if spare.note else []),
        ]
        yield Thing(said(name), "", (name, spare.kind), ("spares",), _said(rows))


def _said(rows: Iterable[tuple[str, Inline]]) -> tuple[tuple[str, str], ...]:
    return tuple((term, said(words)) for term, words in rows)


def _names(book: Book, ids: Iterable[str]) -> Inline:
    names = [book.title(id) for id in ids]
    return joined(few(names, MOST)) if names else "nothing else"


def _thing(book: Book, id: str, record: Any, rows: Iterable[tuple[str, Inline]], *words: str, name: str = "") -> Thing:
    name = name or book.title(id)
    names = [
        name,
        *getattr(record, "also_called", ()),
        getattr(record, "label", None) or "",
        "" if id in book.inventory.spaces else id,
    ]
    at = getattr(record, "at", None)
    place = [book.title(at.space) if at and at.space else "", at.place if at and at.place else ""]
    return Thing(
        said(name), id, tuple(dict.fromkeys(filter(None, names))), tuple(dict.fromkeys(filter(None, (*place, *words)))), _said(rows),
        f"item:{quote(id)}" if id in book.links else "",
    )  # fmt: skip


def _consumer(book: Book, consumer: Consumer) -> Thing:
    found = route(book, consumer)
    rows = list(answer_of_consumer(book, consumer, found))
    if found.own:
        lost = book.lost_with(found.own[-1])
        others = [c for c in lost if c != consumer.id]
        words = (
            ("also dead: ", _names(book, others))
            if others
            else f"nothing{' else' if consumer.id in lost else ''} is dead"
        )
        rows.insert(3, (f"If this {found.own[-1].word.lower()} is gone", words))
    wires = [e.cable for e in book.network.of_item.get(consumer.circuit, ()) if e.kind == "conductor" and e.cable]
    words = [w for cable in wires for w in _wire_words(cable)]
    words += [
        w for device in found.own for w in (device.id, device.name, book.title(device.panel) if device.panel else "")
    ]
    thing = _thing(
        book,
        consumer.id,
        consumer.record,
        rows,
        *words,
        *([book.title(consumer.circuit)] if consumer.circuit != consumer.id else []),
    )
    return Thing(thing.name, thing.id, thing.names, thing.words, thing.answer, thing.target, consumer.id)


def _wire_words(cable: Cable) -> list[str]:
    return [word for word in (cable.label, f"{cable.colour} wire" if cable.colour else None) if word]


def _device(book: Book, device: Device) -> Thing:
    word = device.word.lower()
    rows: list[tuple[str, Inline]] = [
        (device.word, (rated(device.rating), " ", device.kind_words, ", HIDDEN" if device.hidden else "")),
        ("Where", book.where_device(device)),
        ("Spare", book.spare_words(device)),
        (f"If this {word} is gone", ("dead: ", _names(book, book.lost_with(device)))),
    ]
    name = (
        f"{device.name}, {book.title(device.id)}"
        if device.panel and not device.name.startswith("way ")
        else book.title(device.id)
    )
    words = [word, device.kind, device.spot, str(device.rating or "")]
    thing = _thing(book, device.id, device.record, rows, *words, name=name)
    extra = (device.name, device.id.replace(" way ", " "))
    return Thing(
        thing.name, thing.id, tuple(dict.fromkeys((*thing.names, *extra))), thing.words, thing.answer, thing.target
    )


def _item(book: Book, item: Item, taken: Mapping[str, tuple[str, ...]]) -> Thing:
    rows: list[tuple[str, Inline]] = [("What", kind_of(item)), ("Where", book.where(item.at))]
    if item.family == "panels":
        rows.append(("Feeds", _names(book, (c for way in item.ways for c in _fed(book, f"{item.id} way {way}")))))
    elif edges := _edges(book, item):
        lost = list(dict.fromkeys(c for edge in edges for c in taken.get(edge, ())))
        rows.append(
            ("Without it", ("dead: ", _names(book, lost)) if lost else "nothing is dead, as the switches usually stand")
        )
    if see := getattr(item, "see", None):
        rows.append(("Opened", see))
    if getattr(item, "hidden", False):
        rows.append(("Mind", "HIDDEN"))
    return _thing(book, item.id, item, rows, kind_of(item), item.made or "")


def _taken(book: Book) -> Mapping[str, tuple[str, ...]]:
    """Edge id → the consumers that go dead when that part fails, sources too, with the switches as they usually stand."""
    found = suspects_of(book.normal, all_primary(book.network))
    return {id: suspect.lost for suspect in found if not suspect.also for id in suspect.edges}


def _edges(book: Book, item: Item) -> list[str]:
    """What an item is made of in the network; of a bar, the wires at it, any of which may be meant."""
    return [edge.id for edge in (*book.network.of_item.get(item.id, ()), *book.network.at.get(item.id, ()))]


def _fed(book: Book, way: str) -> list[str]:
    return [c for circuit in book.circuits_from.get(way, ()) for c in book.consumers_of.get(circuit, ())]


def _cable(book: Book, id: str, edges: list) -> Thing:
    edge, cable = edges[0], edges[0].cable
    lost = book.lost_with(e.id for e in edges)
    rows: list[tuple[str, Inline]] = [
        ("What", cable_words(edge)),
        ("From", book.node(edge.a)),
        ("To", book.node(edge.b)),
        ("Without it", ("dead: ", _names(book, lost)) if lost else "nothing is dead: it is not the only way"),
    ]
    if cable.spaces or cable.route:
        rows.append(
            ("Runs", joined([*(book.title(space) for space in cable.spaces), *([cable.route] if cable.route else [])]))
        )
    return _thing(book, id, cable, rows, *_wire_words(cable), "cable", "wire", str(cable.area or ""))


def _space(book: Book, space: Item) -> Thing:
    isolation = book.study.spaces.get(space.id)
    handles = (
        joined([handle.name for handle in isolation.handles])
        if isolation and isolation.handles
        else "no handle is known"
    )
    rows: list[tuple[str, Inline]] = [
        ("In it", _names(book, book.at_space.get(space.id, ()))),
        ("To make it dead, open", handles),
    ]
    return _thing(book, space.id, space, rows, space.compartment or "")
