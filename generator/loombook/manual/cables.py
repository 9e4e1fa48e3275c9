"""Cables in words: what a conductor is, where it goes, and what is not known of it."""

from __future__ import annotations

from collections.abc import Sequence

from ..network import Edge
from ..quantities import digits
from ..study.model import Why
from .book import Book
from .figures import current_words
from .text import EMPTY, Column, Inline, Marked, joined, plain
from .words import condition_words, quantity, yes_no

WIRES = [
    Column("Cable"),
    Column("From"),
    Column("To"),
    Column("Area", "", True),
    Column("Length", "", True),
    Column("Colour"),
    Column("Label"),
    Column("Insulation", "", True),
    Column("Route"),
]


def cable_words(edge: Edge) -> Inline:
    """`2 × 70 mm², 0.55 m, red`."""
    cable = edge.cable
    area = quantity(cable.area, "area not known")
    if cable.parallel > 1:
        area = (f"{cable.parallel} × ", area)
    return joined([area, quantity(cable.length, "length not known"), *([cable.colour] if cable.colour else [])])


def area_words(edge: Edge) -> Inline:
    area = quantity(edge.cable.area)
    return (f"{edge.cable.parallel} × ", area) if edge.cable.parallel > 1 else area


def cable_row(book: Book, edge: Edge) -> list[Inline]:
    """A cable's row of `WIRES`."""
    cable = edge.cable
    insulation = quantity(cable.insulation) if cable.insulation else _class(book)
    spaces = joined([book.named(space) for space in cable.spaces])
    route = joined([part for part in (cable.route or "", ("through ", spaces) if cable.spaces else "") if part], "; ")
    return [
        name_of(book, edge),
        book.node(edge.a),
        book.node(edge.b),
        area_words(edge),
        quantity(cable.length),
        cable.colour or EMPTY,
        cable.label or EMPTY,
        insulation,
        route or EMPTY,
    ]


def _class(book: Book) -> Inline:
    declared = book.inventory.defaults.insulation
    return Marked(f"{declared} (default)", "default") if declared else Marked("not known", "missing")


def name_of(book: Book, edge: Edge) -> Inline:
    """A cable's own id, or the circuit and pole that it belongs to."""
    if edge.path[:1] == ("runs",):
        return book.id(edge.item)
    owner, _, rest = edge.id.partition(" ")
    pole = {"+": "positive", "-": "negative", "L": "line", "N": "neutral", "PE": "earth"}.get(
        rest.rsplit(" ", 1)[-1], rest
    )
    number = rest.split(" ")[0]
    piece = f"piece {number}, " if number.isdigit() else ""
    return (book.id(owner), f" {piece}{pole}")


def warmth(book: Book, edge: Edge) -> Inline:
    """How warm a conductor gets by its own current: in the load flow, and with all that is expected of it."""
    warm = book.study.warm.get(edge.id)
    if warm is None:
        return EMPTY
    carrying = book.study.carrying.get(edge.id)
    words: list[Inline] = [
        f"{warm.celsius:.0f} °C in the load flow",
        f" ({condition_words(warm.condition)})" if warm.amps >= 5e-4 else "",
    ]
    if carrying and carrying.design is not None:
        words.append(
            f", {warm.at(carrying.design):.0f} °C if it carried all that is expected of it; its insulation is for {warm.limit:.0f} °C"
        )
    return tuple(words)


def why_warm(book: Book, edges: Sequence[Edge]) -> Why | None:
    """How the temperatures of conductors came about, in one telling; None where none is worked out."""
    found = [(edge, warm) for edge in edges if (warm := book.study.warm.get(edge.id))]
    if not found:
        return None
    alike: dict[tuple, list[str]] = {}  # the two wires of a cable are told once
    for edge, warm in found:
        carrying = book.study.carrying.get(edge.id)
        design = carrying.design if carrying else None
        key = (warm, bool(edge.cable.insulation), None if design is None else round(design, 6))
        alike.setdefault(key, []).append(plain(name_of(book, edge)))
    inputs, steps = [], []
    for (warm, said, design), names in alike.items():
        name = " and ".join(names)
        allowed = (
            f"may carry {digits(warm.allowed, 3)} A here"
            if warm.allowed
            else "the rule set's table does not reach it: taken at its limit"
        )
        stated = "insulation as stated" if said else "insulation by default"
        inputs.append(
            (
                name,
                f"{allowed}, {warm.ambient:.0f} °C around it, {warm.limit:.0f} °C at most",
                f"its space and the rules; {stated}",
            )
        )
        steps.append(
            (
                f"{name}, {condition_words(warm.condition)}",
                f"{current_words(warm.amps)} on average make {digits(warm.celsius, 3)} °C",
            )
        )
        if design is not None:
            at_load = digits(warm.at(design), 3)
            steps.append(
                (
                    f"{name}, with all that is expected of it",
                    f"{current_words(design)} would make {at_load} °C, if it lasted",
                )
            )
    return Why(
        "T = T_a + (T_i − T_a) · (I / I_z)², at most 200 °C",
        "heat in proportion to the square of the current; I_z as “carries” has it. The load flow takes its resistance at the "
        "temperature of its average current",
        tuple(inputs),
        tuple(steps),
        "computed",
    )


def more_about(book: Book, edge: Edge) -> list[tuple[str, Inline]]:
    """What else is written down about a cable."""
    cable, defaults = edge.cable, book.inventory.defaults
    made_off = [end.joint for end in cable.ends if end.joint] or ([cable.joint] if cable.joint else [])
    return [
        ("Conductor", cable.conductor or _default(defaults.conductor)),
        ("Tinned", yes_no(cable.tinned)),
        ("In a sheath all the way", yes_no(cable.sheathed)),
        (
            "Bundled with",
            f"{cable.bundle} current-carrying conductors, its own included"
            if cable.bundle
            else Marked("not written down", "missing"),
        ),
        ("Made off", joined(list(dict.fromkeys(made_off))) if made_off else Marked("not written down", "missing")),
        ("Guarded where it chafes", yes_no(cable.chafe) if cable.chafe is not None else _default(defaults.chafe)),
        *([("Note", cable.note)] if cable.note else []),
    ]


def _default(value: str | bool | None) -> Inline:
    """What the vessel's defaults say of a cable that says nothing."""
    if value is None:
        return Marked("not written down", "missing")
    return Marked((value if isinstance(value, str) else yes_no(value), " (default)"), "default")
