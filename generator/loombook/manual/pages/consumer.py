"""A page for each consumer: which fuse, where, is there a spare; then the way of the current with volts to measure."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import takewhile

from ...network import Consumer, Edge
from ...network.loops import loop_of
from ...network.supply import SupplyPath
from ...quantities import digits, in_unit
from ...study.model import Drop, Flow, Why
from ...study.working import AtWork, why_at_work
from ..answer import answer
from ..book import Book
from ..cables import WIRES, cable_row, warmth, why_warm
from ..evidence import evidence, found_on
from ..figures import cannot, current_words, fault_words, lowest_words
from ..find.readings import is_hand_safe, readings, steps_on_paper
from ..routes import route
from ..sheet import Sheet
from ..text import Action, Id, Inline, Link, Marked, Strong, joined, without_empty
from ..words import condition_words, quantity, span
from . import drive, starting
from .mainsfault import mains_facts, mains_whys
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
        "answer": answer(book, consumer, found),
        "also_called": record.also_called,
        "blows": any(not device.is_breaker for device in own),
        "unprotected": path is not None and not own,
        "strips": book.figures(f"strip-{consumer.id}"),
        "dead_columns": DEAD,
        "dead": dead_together(book, path) if path else [],
        "way": way(book, path, flow, own) if path else None,
        "search": _search(book, path, flow) if path else [],
        "condition": condition_words(flow.condition) if flow else "",
        "others": other_sources(book, path) if path else [],
        "reserves": reserves(book, path) if path else [],
        "current": [*_current(consumer, flow), *_motor(book, consumer)],
        "drop": [
            *(_drop(book, drop) if drop else []),
            *_at_work(book, book.study.working[consumer.id]),
            *_warmth(book, consumer),
            *_fault(book, consumer),
        ],
        "mains": mains_facts(book, consumer.id),
        "whys": _whys(book, consumer, drop),
        "wires": without_empty(WIRES, _wires(book, consumer)),
        "assumed": list(dict.fromkeys([*book.assumed.get(consumer.id, []), *book.assumed.get(consumer.circuit, [])])),
        "found": found_on(book, consumer.id, consumer.circuit, *(device.id for device in own)),
        "evidence": evidence(book, consumer.id, record),
        "circuit": book.named(consumer.circuit) if consumer.circuit != consumer.id else "",
    }
    tags = tuple(dict.fromkeys((consumer.id, consumer.name, *record.also_called, *filter(None, [record.label]))))
    return Sheet(
        f"circuits/{consumer.id}.md",
        consumer.name,
        "consumer",
        values,
        None,
        tags,
        (consumer.name, " ", Id(consumer.id)),
    )


def _search(book: Book, path: SupplyPath, flow: Flow | None) -> list[Action]:
    """The search for the fault as steps; none where a crew should not measure."""
    loop = loop_of(book.network, path, book.hidden_nodes)
    return steps_on_paper(book, readings(book, loop, flow)) if is_hand_safe(book, loop) else []


def _current(consumer: Consumer, flow: Flow | None) -> list[tuple[str, Inline]]:
    record = consumer.record
    rows: list[tuple[str, Inline]] = [("At work", quantity(record.load))]
    if record.standby:
        rows.append(("Waiting", quantity(record.standby)))
    if record.start:
        time = (" for ", quantity(record.start.time)) if record.start.time else ""
        rows.append(("When it starts", (quantity(record.start.current), time)))
    if flow:
        rows.append((f"On average, {condition_words(flow.condition)}", current_words(abs(flow.amps[consumer.edge]))))
    if record.works_from or record.works_to:
        rows.append(("Works from", (quantity(record.works_from), " to ", quantity(record.works_to))))
    return rows


def _motor(book: Book, consumer: Consumer) -> list[tuple[str, Inline]]:
    """What is told elsewhere of a motor: its start, and how far it drives the vessel."""
    rows: list[tuple[str, Inline]] = []
    if consumer.id in book.study.dips:
        where = f"page:{starting.PATH}#why-start-{consumer.id}"
        rows.append(("What dips meanwhile", Link(where, "when a motor starts")))
    if any(found.motor == consumer.id for found in book.study.drives):
        rows.append(("How long and how far", Link(f"page:{drive.path_of(consumer.id)}", "speed and range")))
    return rows


def _fault(book: Book, consumer: Consumer) -> list[tuple[str, Inline]]:
    """What a short at its own end gives, on DC; on AC the faults have rows of their own."""
    fault = book.study.faults.get(consumer.plus)
    if fault is None or fault.highest is None or book.network.nodes[consumer.plus].pole != "+":
        return []
    why = f"item:{consumer.id}#why-fault"
    lowest = Link(why, lowest_words(fault)) if fault.lowest else cannot()
    return [("Highest fault current at it", Link(why, fault_words(fault))), ("Lowest, at its end of the wire", lowest)]


def _drop(book: Book, drop: Drop) -> list[tuple[str, Inline]]:
    limit = (in_unit(drop.limit, "ratio"), " (", drop.limit_source, ")")
    if drop.fraction is None or drop.volts is None:
        missing = [book.id(id) for id in dict.fromkeys(edge.split(" ")[0] for edge in drop.missing)]
        words = (
            ("cannot check: length or area of ", joined(missing), " not known")
            if missing
            else "cannot check: no supply or no load is written down"
        )
        return [("Lost on the way, by the rule's formula", Marked(words, "missing")), ("Limit", limit)]
    worst = drop.fraction.high
    verdict = (
        "within the limit"
        if worst <= drop.limit
        else "within the limit only at best"
        if drop.fraction.low <= drop.limit
        else "OVER the limit"
    )
    found = f"{span(drop.volts)} V, {span(drop.fraction, 100)} % of {digits(drop.nominal, 3)} V"
    return [
        ("Lost on the way, by the rule's formula", (found, ": ", Strong(verdict))),
        ("Limit", limit),
        ("All circuits", Link("page:figures/drop.md", "voltage drop, circuit by circuit")),
    ]


def _at_work(book: Book, work: AtWork) -> list[tuple[str, Inline]]:
    """The volts that are left at it while it works, where they are least."""
    worst = work.worst
    rows: list[tuple[str, Inline]] = []
    if worst is not None and worst.volts is not None:
        page = Link(f"page:{book.flow_pages[worst.condition]}", condition_words(worst.condition))
        least = f"{'at most ' if worst.at_most else ''}{worst.volts:.2f} V"
        rows.append(("Least at it while it works", (least, ", ", page)))
    for w in work.failed:
        failed = Link(f"page:{book.flow_pages[w.condition]}#failed", condition_words(w.condition))
        rows.append(("Cannot be supplied", (failed, f": {w.problem} (", book.link(w.by), ")")))
    return rows


def _warmth(book: Book, consumer: Consumer) -> list[tuple[str, Inline]]:
    """Of its wires the one that gets warmest."""
    wires = [(warm.celsius, edge) for edge in _own_wires(book, consumer) if (warm := book.study.warm.get(edge.id))]
    return [("Its warmest wire gets to", warmth(book, max(wires, key=lambda found: found[0])[1]))] if wires else []


def _whys(book: Book, consumer: Consumer, drop: Drop | None) -> list[tuple[str, Why, str]]:
    """How the figures of this consumer came about."""
    fault = book.study.faults.get(consumer.plus)
    first = next(
        (
            e
            for e in book.network.of_item.get(consumer.circuit, ())
            if e.kind == "conductor" and e.id.split(" ")[0] == consumer.id
        ),
        None,
    )
    carrying = book.study.carrying.get(first.id) if first else None
    rows = [
        ("Why this drop", drop and drop.why, "why-drop"),
        ("Why these volts at work", why_at_work(book.network, book.study.working[consumer.id]), "why-volts"),
        ("Why this fault current", fault and fault.why, "why-fault"),
        *mains_whys(book, consumer.id),
        ("Why its wire carries this", carrying and carrying.why, "why-carrying"),
        ("Why its wire gets this warm", why_warm(book, _own_wires(book, consumer)), "why-warm"),
    ]
    return [(summary, why, anchor) for summary, why, anchor in rows if why]


def _wires(book: Book, consumer: Consumer) -> list[list[Inline]]:
    """The cables that are this consumer's own: its circuit's, or a motor's from its fuse and back to the first bar."""
    if consumer.circuit in book.inventory.motors:
        return [cable_row(book, edge) for edge in _motor_wires(book, consumer)]
    return [cable_row(book, edge) for edge in _own_wires(book, consumer)]


def _own_wires(book: Book, consumer: Consumer) -> list[Edge]:
    """The cables of a final circuit and of this load of it."""
    ids = {consumer.id, consumer.circuit}
    return [
        e for e in book.network.of_item.get(consumer.circuit, ()) if e.kind == "conductor" and e.id.split(" ")[0] in ids
    ]


def _motor_wires(book: Book, consumer: Consumer) -> list[Edge]:
    found = route(book, consumer)
    if found.path is None:
        return []
    fuse = {edge for device in found.own[-1:] for edge in device.edges}
    out = list(
        takewhile(lambda hop: hop.edge.id not in fuse and hop.into not in book.inventory.bars, reversed(found.path.out))
    )
    back = list(takewhile(lambda hop: hop.out_of not in book.inventory.bars, found.path.back))
    return [hop.edge for hop in (*reversed(out), *back) if hop.edge.kind == "conductor"]
