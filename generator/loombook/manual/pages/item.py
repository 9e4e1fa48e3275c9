"""A short page for every other item and for every cable of a run, so that each label in a drawing leads somewhere."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from ...inventory.fields import Breaking, Location
from ...inventory.vessel import Item
from ...network import Edge
from ...quantities import Quantity, digits
from ...study.model import Why
from ..book import Book
from ..cables import area_words, more_about, warmth, why_warm
from ..devices import device_id
from ..evidence import evidence, found_on
from ..figures import cannot, fault_words, lowest_words
from ..faulting import PLACES, course, lasting, ruled_by
from ..guarding import section
from ..items import kind_of
from ..paths import cables_of_runs
from ..sheet import Sheet
from ..text import Column, Id, Inline, Marked, joined
from ..words import ACCESS, few, quantity, span, yes_no
from .fault import shares

OTHERS = ("spaces", "batteries", "panels", "circuits", "motors")
"""Families with pages of their own."""
JOINED = [Column("Terminal"), Column("Wire or link"), Column("Leads to")]
PLAIN = ("name", "at", "label", "also_called", "photo", "papers", "note", "see", "hidden", "access")


def pages(book: Book) -> Iterator[Sheet]:
    for item in book.inventory.items():
        if item.family not in OTHERS:
            yield _item(book, item)
    for id, edges in cables_of_runs(book.network).items():
        yield _cable(book, id, edges)


def _item(book: Book, item: Item) -> Sheet:
    fault = book.fault(item.id)
    lost = _lost(book, item)
    values = {
        "answer": _answer(book, item),
        "also_called": item.also_called,
        "written": _written(book, item),
        "lost": None if lost is None else [book.link(c) for c in lost],
        "joined_to": (JOINED, _joined(book, item)),
        "fault": _fault(book, item.id),
        "whys": [("Why this fault current", fault.why, "why-fault")] if fault and fault.why else [],
        "assumed": book.assumed.get(item.id, []),
        "course": course(book, item.id) if item.family in PLACES else None,
        "lasting": lasting(book, item.id),
        "guard": section(book, book.devices[item.id]) if item.id in book.devices else None,
        "found": found_on(book, item.id),
        "evidence": evidence(book, item.id, item),
    }
    tags = tuple(dict.fromkeys((item.id, item.title, *item.also_called, *filter(None, [item.label]))))
    return Sheet(
        f"items/{item.id}.md",
        item.title,
        "item",
        values,
        None,
        tags,
        (item.title, " ", Id(item.id)) if item.name else item.id,
    )


def _answer(book: Book, item: Item) -> list[tuple[str, Inline]]:
    access = getattr(item, "access", None)
    rows: list[tuple[str, Inline]] = [("What", kind_of(item)), ("Where", book.where(item.at))]
    if item.id in book.devices:
        device = book.devices[item.id]
        rating = quantity(device.rating) if device.rating else Marked("not known", "missing")
        rows = [
            ("What", (rating, " ", device.kind_words)),
            ("Where", book.where(item.at)),
            ("Spare", book.spare_words(device)),
        ]
    if getattr(item, "hidden", False):
        rows.append(("Hidden", "yes, nobody would look for it there"))
    if access:
        rows.append(("To be reached", ACCESS[access]))
    if item.label:
        rows.append(("Its label says", item.label))
    if getattr(item, "see", None):
        rows.append(("When it has opened", item.see))
    return rows


def _written(book: Book, item: Item) -> list[tuple[str, Inline]]:
    """Every field that the owner filled in, in the words of the inventory."""
    rows = []
    for field in type(item).model_fields:
        value = getattr(item, field)
        if field in PLAIN or value is None or value is False or value == () or value == "":
            continue
        words = _words(book, value)
        if words:
            rows.append((field.replace("_", " ").capitalize(), words))
    return rows


def _words(book: Book, value: Any) -> Inline:
    if isinstance(value, Quantity):
        return quantity(value)
    if isinstance(value, bool):
        return yes_no(value)
    if isinstance(value, Location):
        return book.where(value)
    if isinstance(value, Breaking):
        return (quantity(value.current), (" at ", quantity(value.voltage)) if value.voltage else "")
    if hasattr(value, "action"):
        return (value.action, (": ", book.where(value.at)) if value.at else "")
    return str(value) if isinstance(value, (str, int)) or hasattr(value, "isoformat") else ""


def _lost(book: Book, item: Item) -> tuple[str, ...] | None:
    """What goes dead when it opens or fails; None for what cannot open."""
    if item.family in ("fuses", "breakers", "switches", "junctions", "bars", "shunts"):
        edges = [edge.id for edge in book.network.of_item.get(item.id, ()) if edge.conducts]
        if not edges:  # a bar or joint: whatever needs one of its wires
            edges = [edge.id for edge in book.network.at.get(item.id, ())]
        return book.lost_with(edges)
    return None


def _joined(book: Book, item: Item) -> list[list[Inline]]:
    """What is joined to each of its terminals."""
    rows = []
    own = {edge.id for edge in book.network.of_item.get(item.id, ()) if edge.kind != "conductor"}
    nodes = dict.fromkeys(
        n
        for e in book.network.of_item.get(item.id, ())
        if e.kind != "conductor"
        for n in (e.a, e.b)
        if n.split(" ")[0] == item.id
    )
    for node in nodes or {item.id: None}:
        for edge in book.network.at.get(node, ()):
            if edge.id not in own or edge.kind == "joint" and edge.other(node).split(" ")[0] != item.id:
                rows.append([_terminal(book, item, node), _link(book, edge), book.node(edge.other(node))])
    return rows


def _terminal(book: Book, item: Item, node: str) -> Inline:
    words = book.port(item.id, node.partition(" ")[2])
    return words or "–"


def _link(book: Book, edge: Edge) -> Inline:
    if edge.kind == "conductor":
        return book.named(edge.item) if edge.path[:1] == ("runs",) else ("cable of ", book.named(edge.id.split(" ")[0]))
    if edge.path[:1] == ("panels",):
        return ("in panel ", book.named(edge.item))
    return "directly"


def _fault(book: Book, id: str) -> list[tuple[str, Inline]]:
    fault = book.fault(id)
    if fault is None or fault.highest is None:
        return []
    rows: list[tuple[str, Inline]] = [
        ("Highest fault current", fault_words(fault)),
        ("Lowest", lowest_words(fault)),
        ("Given by", shares(book, fault)),
    ]
    if fault.ruled_by in book.network.edges:
        rows.append(("Ruled by", ruled_by(book, id)))
    return rows


def _cable(book: Book, id: str, edges: list[Edge]) -> Sheet:
    edge = edges[0]
    carrying, resistance = book.study.carrying.get(edge.id), book.study.resistances.get(edge.id)
    protection = book.study.protection.get(edge.id)
    whys: list[tuple[str, Why, str]] = []
    if carrying and carrying.why:
        whys.append(("Why it carries this", carrying.why, "why-carrying"))
    if resistance and resistance.why:
        whys.append(("Why this resistance", resistance.why, "why-resistance"))
    if warm := why_warm(book, edges):
        whys.append(("Why it gets this warm", warm, "why-warm"))
    lost = book.lost_with([e.id for e in edges])
    cable = edge.cable
    values = {
        "answer": [
            ("From", book.node(edge.a)),
            ("To", book.node(edge.b)),
            ("Size", (area_words(edge), ", ", quantity(cable.length, "length not known"))),
            ("Colour", cable.colour or Marked("not known", "missing")),
            ("Its label says", cable.label or Marked("not known", "missing")),
        ],
        "also_called": (),
        "written": [
            ("Carries here", f"{digits(carrying.amps, 3)} A" if carrying.amps is not None else cannot(carrying.missing))
            if carrying
            else ("Carries here", "–"),
            (
                "Expected to carry",
                f"{digits(carrying.design, 2)} A" if carrying and carrying.design is not None else "–",
            ),
            (
                "Resistance at 20 °C",
                f"{span(resistance.cold, 1000)} mΩ"
                if resistance and not resistance.missing
                else cannot(resistance.missing if resistance else ""),
            ),
            ("Gets to", warmth(book, edge)),
            ("Protected by", _protected(book, protection)),
            ("Passes", joined([book.named(space) for space in cable.spaces]) if cable.spaces else "–"),
            *more_about(book, edge),
        ],
        "lost": [book.link(c) for c in lost],
        "joined_to": (JOINED, []),
        "fault": [],
        "whys": whys,
        "assumed": book.assumed.get(id, []),
        "course": None,
        "lasting": [],
        "guard": None,
        "found": found_on(book, id),
        "evidence": evidence(book, id, cable),
    }
    return Sheet(
        f"items/{id}.md",
        f"Cable {id}",
        "item",
        values,
        None,
        tuple(dict.fromkeys((id, *filter(None, [cable.label])))),
        f"Cable {id}",
    )


def _protected(book: Book, protection) -> Inline:
    if protection is None:
        return "–"
    devices = list(dict.fromkeys(device_id(book.network.edges[id]) for id in protection.devices))
    words = joined(few([book.named(id) for id in devices], 6)) if devices else ""
    if not protection.unprotected_from:
        return words or "–"
    bare = joined(
        [
            book.link(book.network.edges[s].item) if s in book.network.edges else book.link(s)
            for s in protection.unprotected_from
        ]
    )
    return (words, "; " if words else "", Marked(("no device between it and ", bare), "missing"))
