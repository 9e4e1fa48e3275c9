"""What a meter reads round a loop while its device is at work, and the search for the fault as steps on paper."""

from __future__ import annotations

from dataclasses import dataclass

from ...network.loops import Loop, half_split
from ...network.suspects import likely
from ...study.loads import load_amps
from ...study.model import Flow
from ..book import Book
from ..text import Action, Inline, Strong, joined
from .parts import part_of, point_place, point_words

TOLERANCE = 0.03
"""How far below what is expected a reading still is right, as a part of the nominal voltage: the 3 % drop limit again."""

HAND_SAFE = 60.0
"""Highest direct voltage that a crew is guided to measure [V]. Source: IEC 60364-4-41, 414.4.5 (from memory)."""


@dataclass(frozen=True)
class Readings:
    """A loop with the volts to expect at each of its points, black lead on the last."""

    loop: Loop
    volts: tuple[float, ...]
    nominal: float
    condition: str
    """The operating condition whose load flow they come from; empty: nominal voltage less the drop on the way."""


def is_hand_safe(book: Book, loop: Loop) -> bool:
    """Whether a crew may measure along it: direct current of low voltage."""
    nodes = [book.network.nodes[node] for node in loop.points]
    return not any(node.pole in ("L", "N", "PE") or abs(node.volts or 0.0) > HAND_SAFE for node in nodes)


def readings(book: Book, loop: Loop, flow: Flow | None) -> Readings:
    """The volts round a loop with its own device at full work.

    A load flow has every load at its average; what the device draws beyond its own average loses ΔI · R more on the way.
    """
    network = book.network
    consumer = network.consumers.get(loop.consumer)
    source, black = loop.points[0], loop.points[-1]
    nominal = abs(network.nodes[source].volts or 0.0)
    whole = flow is not None and all(node in flow.volts for node in loop.points)
    edge = network.edges[consumer.edge] if consumer else None
    full = load_amps(network, edge) if edge else 0.0
    more = max(full - (abs(flow.amps.get(edge.id, 0.0)) if whole and edge else 0.0), 0.0)
    lost = [0.0]
    for id in loop.edges:
        found = book.study.resistances.get(id)
        lost.append(
            lost[-1]
            + (0.0 if found is None or found.missing or id == loop.edges[loop.turn - 1] else found.hot.value * more)
        )
    volts = []
    for i, node in enumerate(loop.points):
        base = flow.across(node, black) if whole else nominal if i < loop.turn else 0.0
        volts.append(base - lost[i] if i < loop.turn else base + lost[-1] - lost[i])
    return Readings(loop, tuple(round(v, 2) for v in volts), nominal, flow.condition if whole else "")


def steps_on_paper(book: Book, found: Readings) -> list[Action]:
    """The search as numbered steps: where to hold the red lead, and which step or part comes next.

    What is right is said as volts below the source, because a battery that is higher or lower moves every reading.
    """
    loop, least = found.loop, TOLERANCE * found.nominal
    weights = {id: likely(book.network.edges[id]) for id in loop.edges}
    steps = half_split(loop, weights)
    if not steps:
        return []
    first: Inline = (
        "Black lead to ",
        point_words(book, loop.points[-1]),
        ", red lead to ",
        point_words(book, loop.points[0]),
    )
    see = (
        f"About {found.volts[0]:.1f} V: write it down and go to 2. Much less: the fault is in the source, or before it."
    )
    actions = [Action(first, point_place(book, loop.points[0]), see)]
    for step in steps:
        node, volts = loop.points[step.point], found.volts[step.point]
        on, before = _next(book, step.further), _next(book, step.before)
        below = max(found.volts[0] - volts, 0.0) + least
        right = (
            f"At most {below:.1f} V below the first reading"
            if step.point < loop.turn
            else f"More than {max(volts, 0.0) + least:.1f} V"
        )
        hidden = "HIDDEN; " if loop.hidden[step.point] else ""
        actions.append(
            Action(
                ("Red lead to ", point_words(book, node)),
                (hidden, point_place(book, node)),
                (right, ": ", on, ". Less: ", before, "."),
            )
        )
    return actions


def _next(book: Book, branch: int | tuple[str, ...]) -> Inline:
    if isinstance(branch, int):
        return f"go to {branch + 1}"
    return (
        "it is here: ",
        Strong(joined([part_of(book, id).name.split(", and its two ends")[0] for id in branch], "; or ")),
    )
