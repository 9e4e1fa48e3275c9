"""The load flow of each operating condition on its own page: sources, converters, bars and every consumer at work."""

from __future__ import annotations

from collections.abc import Iterator

from ...quantities import digits, in_unit
from ...study.ledger import known
from ...study.loads import law_of
from ...study.model import Flow, Why
from ...study.solve import FLOOR
from ...study.working import AtWork, Supplying, Working
from ..book import Book
from ..figures import figure
from ..sheet import Sheet
from ..text import Column, Inline, Link, Marked
from ..words import SOURCE_KINDS, condition_words

FAILED = [Column("Where"), Column("What"), Column("Place")]
SOURCES = [
    Column("Source"),
    Column("What"),
    Column("At its output", "V", True),
    Column("Gives", "A", True),
    Column("At most", "A", True),
]
CONVERTERS = [
    Column("Converter"),
    Column("Works from"),
    Column("Input", "V", True),
    Column("Takes", "A", True),
    Column("Output", "V", True),
    Column("Gives", "A", True),
    Column("At most", "A", True),
    Column("Efficiency", "%", True),
    Column("Stays as heat", "W", True),
]
BARS = [Column("Bar or panel"), Column("Voltage", "V", True)]
CONSUMERS = [
    Column("Consumer"),
    Column("Keeps its"),
    Column("On average", "A", True),
    Column("At average", "V", True),
    Column("At work", "V", True),
    Column("Below nominal", "%", True),
]


def pages(book: Book) -> Iterator[Sheet]:
    for name, flow in book.study.flows.items():
        yield _page(book, name, flow)


def _page(book: Book, name: str, flow: Flow) -> Sheet:
    sources = book.study.supplying[name]
    found = [(work, w) for work in book.study.working.values() for w in work.conditions if w.condition == name]
    why = f"page:{book.flow_pages[name]}#why-flow"
    whole = not any(item == "" for item, _ in flow.problems)
    values = {
        "condition": condition_words(name),
        "note": (book.inventory.conditions[name].note or "") if name in book.inventory.conditions else "",
        "failed": (FAILED, [_failed(book, item, what) for item, what in flow.problems]),
        "whole": whole,
        "sources": (SOURCES, [_source(book, s, why) for s in sources if s.taken is None]),
        "converters": (CONVERTERS, [_converter(book, s, why) for s in sources if s.taken is not None]),
        "bars": (BARS, _bars(book, flow, why)),
        "consumers": (CONSUMERS, [_consumer(book, work, w) for work, w in found]),
        "why_failed": _why_failed(book, flow, sources),
        "why": _why(book, flow, sources),
    }
    return Sheet(
        book.flow_pages[name], f"Load flow, {condition_words(name)}", "flow", values, None, ("load flow", name)
    )


def _failed(book: Book, item: str, what: str) -> list[Inline]:
    return [book.named(item) if item else "the whole network", what, book.where_is(item) if item else "–"]


def _limit(amps: float | None) -> Inline:
    return "–" if amps is None else digits(amps, 3)


def _source(book: Book, s: Supplying, why: str) -> list[Inline]:
    edge = book.network.edges[s.edge]
    gives: Inline = figure(_amps(s.amps), why)
    if s.at_limit:
        gives = (gives, ", its limit")
    return [book.named(edge.item), SOURCE_KINDS[s.kind], figure(f"{s.volts:.2f}", why), gives, _limit(s.limit)]


def _converter(book: Book, s: Supplying, why: str) -> list[Inline]:
    edge, (volts, amps) = book.network.edges[s.edge], s.taken or (0.0, 0.0)
    record = edge.record
    low, high = getattr(record, "input_from", None), getattr(record, "input_to", None)
    window = f"{low or '?'} to {high or '?'}" if low or high else Marked("not known", "missing")
    gives: Inline = figure(_amps(s.amps), why)
    if s.at_limit:
        gives = (gives, ", its limit")
    own = getattr(record, "efficiency", None)
    efficiency = digits(100 * s.efficiency, 2) if s.efficiency else "–"
    return [
        book.named(edge.item),
        window,
        figure(f"{volts:.2f}", why),
        figure(_amps(amps), why),
        figure(f"{s.volts:.2f}", why),
        gives,
        _limit(s.limit),
        efficiency if own else Marked(f"{efficiency} (default)", "default"),
        figure(digits(max(s.lost or 0.0, 0.0), 2), why),
    ]


def _amps(amps: float) -> str:
    return digits(amps, 3) if abs(amps) >= 5e-4 else "0"


def _bars(book: Book, flow: Flow, why: str) -> list[list[Inline]]:
    """Every live bar and panel, in volts above the negative of its system."""
    rows = []
    for node in book.network.nodes.values():
        shared = node.item in book.inventory.bars or node.item in book.inventory.panels
        if shared and node.pole in ("+", "L") and " way " not in node.id:
            volts = flow.volts.get(node.id)
            live = volts is not None and abs(volts) >= 0.05
            at_most = "at most " if flow.behind.get(node.id) else ""
            rows.append([book.named(node.item), figure(f"{at_most}{volts:.2f}", why) if live else "not live"])
    return rows


def _consumer(book: Book, work: AtWork, w: Working) -> list[Inline]:
    record = book.network.consumers[work.consumer].record
    name, law = book.named(work.consumer), law_of(record) if record.load else Marked("load not known", "missing")
    if w.volts is None or w.average is None:
        failed = (
            Link(f"page:{book.flow_pages[w.condition]}#failed", "cannot be supplied") if w.problem else "not supplied"
        )
        return [name, law, "–", "–", failed, "–"]
    why = f"item:{work.consumer}#why-volts"
    below = 100 * (1 - w.volts / work.nominal) if work.nominal else 0.0
    at_most = "at most " if w.at_most else ""
    return [
        name,
        law,
        figure(_amps(w.amps), why),
        figure(f"{at_most}{w.average:.2f}", why),
        figure(f"{at_most}{w.volts:.2f}", why),
        figure(digits(below, 2), why) if below >= 0.05 else "above it",
    ]


def _why_failed(book: Book, flow: Flow, sources: tuple[Supplying, ...]) -> Why | None:
    """By which limits what is asked cannot be supplied; None where everything can."""
    if not flow.problems:
        return None
    limits = {book.network.edges[s.edge].item: s.limit for s in sources if s.limit is not None}
    inputs = []
    for item in dict.fromkeys(item for item, _ in flow.problems):
        if item in book.network.consumers:
            inputs.append(
                (
                    book.title(item),
                    f"taken to work down to {FLOOR:.0%} of its nominal voltage",
                    "common practice, no source",
                )
            )
        elif item in limits:
            inputs.append((book.title(item), f"gives at most {in_unit(limits[item], 'current')}", "the inventory"))
        elif item:
            inputs.append((book.title(item), "its window or cut-off", "the inventory"))
    steps = tuple((book.title(item) if item else "the whole network", what) for item, what in flow.problems)
    return Why(
        "I_source ≤ I_limit; U_battery ≥ U_cut-off; U_input within its window; a device within what it works with",
        "the limits of the inventory, in the load flow of this condition, every load at its average",
        tuple(inputs) or (("load flow", "every source and load of this condition", "the inventory"),),
        steps,
        "computed",
    )


def _why(book: Book, flow: Flow, sources: tuple[Supplying, ...]) -> Why:
    """What the load flow of this condition was worked out from."""
    inputs = []
    for s in sources:
        edge = book.network.edges[s.edge]
        record, title = edge.record, book.title(edge.item)
        if edge.kind == "battery":
            resistance = getattr(record, "resistance", None)
            how = known(resistance) if resistance else "from its cells, or a default"
            inputs.append((title, "half charged, behind its own resistance", how))
        elif s.limit is not None:
            inputs.append((title, f"holds its set-point up to {in_unit(s.limit, 'current')}", "the inventory"))
        else:
            inputs.append((title, "holds its voltage", "the inventory"))
    given = sum(s.volts * s.amps for s in sources if s.taken is None)
    heat = sum(s.lost or 0.0 for s in sources if s.taken is not None)
    ends = ((c, book.network.edges[c.edge]) for c in book.network.consumers.values())
    used = sum(abs((flow.across(c.plus, c.minus) or 0.0) * flow.amps.get(e.id, 0.0)) for c, e in ends)
    steps = (
        ("sources on", str(len(sources))),
        ("given by batteries, shore, panels and engines, together", f"{given:.1f} W"),
        ("taken by the consumers", f"{used:.1f} W"),
        ("heat of converters and controllers", f"{heat:.1f} W"),
        ("left for the heat of the wiring", f"{given - heat - used:.1f} W"),
    )
    return Why(
        "Σ I = 0 at every terminal, U = E − I · R in every source, converter: U_in · I_in = U_out · I_out / η + idle",
        "Kirchhoff's laws, solved for the whole network; cables at 20 °C and more by their own current, "
        "IEC 60028 temperature coefficient",
        tuple(inputs),
        steps,
        "computed",
    )
