"""A single-line sheet said in few words: cables beside their fuses, and lines broken at converters with references."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from ..network import Edge
from ..network.model import CONVERTS
from ..quantities import digits
from . import facts
from .chains import Piece
from .metrics import width
from .model import Branch, Cable, Element, Link, OneLine, Reference

MAINS = ("charger", "inverter")
"""Converters between mains and direct current."""
ALL = (*MAINS, "converter")
APART = (*ALL, "paralleling")
"""With the switch between house and start battery too."""
PROTECTING = ("fuse", "breaker", "rcd")
"""Symbols of what protects a cable."""
LONG_WORD = 53.0
"""A name with a longer word does not stand beside a wide symbol, but in the tip and on the system's sheet [px]."""
WIDE = (*ALL, "paralleling")


def few_words(pieces: Sequence[Piece], links: Sequence[Link]) -> tuple[Link, ...]:
    """The links of a line in few words.

    Cables of one size between two converters are said once, with their length together, beside the fuse that guards
    them; a fuse or breaker has its rating alone. All the rest stands on the system's sheet, and in each item's name.

    Args:
        pieces: what lies in the line
        links: the same as things to draw, with their states
    """
    said = [
        _cable(pieces, n, link) if isinstance(link, Cable) else _terse(link, pieces[n].first)
        for n, link in enumerate(links)
    ]
    for n, link in enumerate(said):
        for beside in (n - 1, n + 1):
            device = said[beside] if 0 <= beside < len(said) else None
            if isinstance(link, Cable) and link.lines and isinstance(device, Element) and device.kind in PROTECTING:
                said[beside] = replace(device, lines=(*device.lines, ", ".join(link.lines)))
                said[n] = link = replace(link, lines=())
    return tuple(said)


def _cable(pieces: Sequence[Piece], place: int, cable: Cable) -> Cable:
    """The first cable of its size speaks for all of them up to the next converter; its id stands in its name."""
    hidden = replace(cable, lines=(), told=False)
    edges = pieces[place].edges
    if not all(edge.cable for edge in edges):
        return hidden
    start = max((n for n in range(place) if pieces[n].first.kind in CONVERTS), default=-1) + 1
    end = next((n for n in range(place, len(pieces)) if pieces[n].first.kind in CONVERTS), len(pieces))
    alike = [n for n in range(start, end) if pieces[n].first.cable and _area(pieces[n].edges) == _area(edges)]
    if alike[0] != place:
        return hidden
    return replace(hidden, lines=(_area(edges), _length([pieces[n].edges for n in alike])))


def _area(edges: Sequence[Edge]) -> str:
    """Size of equal cables side by side."""
    areas = list(dict.fromkeys(facts.size(edge.cable) for edge in edges))
    return f"{len(edges)} × {areas[0]}" if len(areas) == 1 and len(edges) > 1 else " + ".join(areas)


def _length(cables: Sequence[Sequence[Edge]]) -> str:
    """Length of cables one after another, together; of those side by side the longest counts."""
    lengths = [[edge.cable.length for edge in edges] for edges in cables]
    if not all(q for side_by_side in lengths for q in side_by_side):
        return "length ?"
    if len(lengths) == 1 and len(lengths[0]) == 1:
        return str(lengths[0][0])
    certain = all(q.certain for side_by_side in lengths for q in side_by_side)
    total = sum(max(q.value for q in side_by_side) for side_by_side in lengths)
    return f"{'' if certain else '~'}{digits(total, 2)} m"


def _terse(element: Element, edge: Edge) -> Link:
    rating = facts.text(getattr(edge.record, "rating", None))
    if edge.kind in ("fuse", "breaker") and rating:
        return replace(element, lines=(rating,))
    return _named(element)


def _named(link: Link) -> Link:
    """A converter or tie whose name would be cut in a narrow column without it."""
    if isinstance(link, Element) and link.kind in WIDE and any(width(word) > LONG_WORD for word in link.name.split()):
        return replace(link, lines=tuple(line for line in link.lines if line != link.name))
    return link


def broken(sheet: OneLine, kinds: tuple[str, ...]) -> OneLine:
    """Every line through a converter of these kinds in two: it ends at a reference, and begins again at the converter."""
    return replace(sheet, branches=tuple(piece for branch in sheet.branches for piece in _broken(branch, kinds)))


def _broken(branch: Branch, kinds: tuple[str, ...]) -> tuple[Branch, ...]:
    place = next((n for n, x in enumerate(branch.chain) if isinstance(x, Element) and x.kind in kinds), None)
    if place is None or not isinstance(branch.upper, str):
        return (branch,)  # a source's own converter stays with it
    converter = branch.chain[place]
    fed = Reference(f"~input of {converter.id}", (converter.id,), f"to {converter.name}", converter.href)
    origin = (f"from {branch.upper}",) if not branch.upper.startswith("~") else ()
    feed = replace(fed, lines=origin, name=f"feeds {converter.name}")
    into = Branch(f"{branch.id} input", branch.upper, fed, branch.chain[:place], branch.service, branch.state)
    return into, replace(branch, upper=feed, chain=branch.chain[place:], tie=False)


def denser(dense: OneLine) -> tuple[OneLine, ...]:
    """Ways to say a sheet more closely, the mildest first."""
    return (dense, *parted(dense))


def parted(sheet: OneLine) -> tuple[OneLine, ...]:
    """The sheet with its lines broken at more and more kinds of converters, all other words kept."""
    narrow = replace(sheet, branches=tuple(replace(b, chain=tuple(map(_named, b.chain))) for b in sheet.branches))
    return tuple(broken(narrow, kinds) for kinds in (MAINS, ALL, APART))
