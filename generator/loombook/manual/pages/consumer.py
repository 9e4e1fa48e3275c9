"""A page for each consumer: which fuse, where, is there a spare; then the way of the current with volts to measure."""

from __future__ import annotations

from collections.abc import Iterator

from ...network import Consumer
from ...quantities import digits, in_unit
from ...study.model import Drop, Flow, Why
from ..book import Book
from ..cables import WIRES, cable_row
from ..devices import Device
from ..evidence import evidence, found_on
from ..figures import current_words
from ..routes import Route, route
from ..sheet import Sheet
from ..text import Id, Inline, Link, Marked, Strong, without_empty
from ..words import quantity, rated, span
from .way import DEAD, dead_together, other_sources, reserves, way


def pages(book: Book) -> Iterator[Sheet]:
    for consumer in book.network.consumers.values():
        yield _page(book, consumer)


def _page(book: Book, consumer: Consumer) -> Sheet:
    record = consumer.record
    found = route(book, consumer)
    flow, path, own = found.flow, found.path, found.own
    drop = book.study.drops.get(consumer.id)
    values = {
        "answer": _answer(book, consumer, found),
        "also_called": record.also_called,
        "blows": any(not device.is_breaker for device in own),
        "unprotected": path is not None and not own,
        "strip": f"strip-{consumer.id}" if f"strip-{consumer.id}" in book.drawings else "",
        "dead_columns": DEAD,
        "dead": dead_together(book, path) if path else [],
        "way": way(book, path, flow, own) if path else None,
        "condition": flow.condition if flow else "",
        "others": other_sources(book, path) if path else [],
        "reserves": reserves(book, path) if path else [],
        "current": _current(consumer, flow),
        "drop": _drop(book, drop) if drop else [],
        "whys": _whys(book, consumer, drop),
        "wires": without_empty(WIRES, _wires(book, consumer)),
        "found": found_on(book, consumer.id, consumer.circuit, *(device.id for device in own)),
        "evidence": evidence(book, consumer.id, record),
        "circuit": book.named(consumer.circuit) if consumer.circuit != consumer.id else "",
    }
    tags = tuple(dict.fromkeys((consumer.id, consumer.name, *record.also_called, *filter(None, [record.label]))))
    return Sheet(f"circuits/{consumer.id}.md", consumer.name, "consumer", values, None, tags, (consumer.name, " ", Id(consumer.id)))


def _answer(book: Book, consumer: Consumer, found: Route) -> list[tuple[str, Inline]]:
    """Fuse, rating, place, spare and hidden fuses, before anything else."""
    rows: list[tuple[str, Inline]] = []
    if not found.path:
        rows.append(("Fuse", Marked("no way from any source to this device is written down", "missing")))
    elif not found.own:
        rows.append(("Fuse", Marked("none of its own: nothing near it protects this wire", "missing")))
        rows += [(f"Next {device.word.lower()} towards the source", (device_words(book, device), "; ", book.where_device(device))) for device in found.met]
    else:
        main, inline = found.own[-1], found.own[:-1]
        rows += [(main.word, device_words(book, main)), ("Where", book.where_device(main)), ("Spare", book.spare_words(main))]
        for device in inline:
            hidden = ", HIDDEN" if device.hidden else ""
            rows.append((f"{device.word} in the line too", (device_words(book, device), hidden, "; ", book.where_device(device))))
            rows.append(("Its spare", book.spare_words(device)))
    rows.append(("The device itself", book.where(consumer.record.at)))
    works = consumer.id in book.works_after
    rows.append(("After the isolation card", "keeps working" if works else "goes dead"))
    return rows


def device_words(book: Book, device: Device) -> Inline:
    """`5 A blade fuse, way 7 of Main panel, labelled NAV LIGHTS`."""
    label = f", labelled {device.name}" if device.panel and not device.name.startswith("way ") else ""
    return (Strong(rated(device.rating)), " ", device.kind_words, ", ", book.named(device.id), label)


def _current(consumer: Consumer, flow: Flow | None) -> list[tuple[str, Inline]]:
    record = consumer.record
    rows: list[tuple[str, Inline]] = [("At work", quantity(record.load))]
    if record.standby:
        rows.append(("Waiting", quantity(record.standby)))
    if record.start:
        time = (" for ", quantity(record.start.time)) if record.start.time else ""
        rows.append(("When it starts", (quantity(record.start.current), time)))
    if flow:
        rows.append((f"On average {flow.condition}", current_words(abs(flow.amps[consumer.edge]))))
    if record.works_from or record.works_to:
        rows.append(("Works from", (quantity(record.works_from), " to ", quantity(record.works_to))))
    return rows


def _drop(book: Book, drop: Drop) -> list[tuple[str, Inline]]:
    limit = (in_unit(drop.limit, "ratio"), " (", drop.limit_source, ")")
    if drop.fraction is None or drop.volts is None:
        missing = [book.named(edge.split(" ")[0]) for edge in drop.missing]
        words = ("cannot check: ", *(part for name in missing for part in (name, " ")), "length or area not known") if missing else "cannot check"
        return [("Lost on the way, by the rule's formula", Marked(words, "missing")), ("Limit", limit)]
    worst = drop.fraction.high
    verdict = "within the limit" if worst <= drop.limit else "within the limit only at best" if drop.fraction.low <= drop.limit else "OVER the limit"
    found = f"{span(drop.volts)} V, {span(drop.fraction, 100)} % of {digits(drop.nominal, 3)} V"
    return [("Lost on the way, by the rule's formula", (found, ": ", Strong(verdict))), ("Limit", limit),
            ("All circuits", Link("page:figures/drop.md", "voltage drop, circuit by circuit"))]  # fmt: skip


def _whys(book: Book, consumer: Consumer, drop: Drop | None) -> list[tuple[str, Why, str]]:
    """How the figures of this consumer came about."""
    fault = book.study.faults.get(consumer.plus)
    first = next((e for e in book.network.of_item.get(consumer.circuit, ()) if e.kind == "conductor" and e.id.split(" ")[0] == consumer.id), None)
    carrying = book.study.carrying.get(first.id) if first else None
    rows = [("Why this drop", drop and drop.why, "why-drop"), ("Why this fault current", fault and fault.why, "why-fault"),
            ("Why its wire carries this", carrying and carrying.why, "why-carrying")]  # fmt: skip
    return [(summary, why, anchor) for summary, why, anchor in rows if why]


def _wires(book: Book, consumer: Consumer) -> list[list[Inline]]:
    """The cables that are this consumer's own, positive and negative."""
    ids = {consumer.id, consumer.circuit}
    own = [e for e in book.network.of_item.get(consumer.circuit, ()) if e.kind == "conductor" and e.id.split(" ")[0] in ids]
    if consumer.circuit in book.inventory.motors:
        own = [e for node in (consumer.plus, consumer.minus) for e in book.network.at[node] if e.kind == "conductor"]
    return [cable_row(book, edge) for edge in own]
