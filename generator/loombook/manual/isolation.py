"""What isolating a part of the boat means in words: actions in order, what stays live, what still works, what is lost."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from ..network.isolate import Handle, Isolation
from .book import Book
from .text import Action, Inline, Strong, joined
from .words import SOURCE_KINDS, few

_ORDER = {"stop": 0, "switch": 1, "breaker": 2, "plug": 3, "fuse": 4}
"""Life first: what turns or burns, then the main switches, then the rest; a fuse only where nothing else opens it."""


def actions(book: Book, isolation: Isolation) -> list[Action]:
    """One thing to do each, with its place and what one then sees."""
    ordered = sorted(isolation.handles, key=lambda handle: _ORDER[handle.kind])
    return [_action(book, handle) for handle in ordered]


def _action(book: Book, handle: Handle) -> Action:
    verb = handle.action[:1].upper() + handle.action[1:]
    where = book.where_is(handle.id) if handle.kind not in ("stop",) else book.where(handle.at)
    see = handle.see[:1].upper() + handle.see[1:] if handle.see else ""
    return Action((f"{verb}: ", book.named(handle.id)), where, see)


Keep = Callable[[str, str], bool]
"""Whether a terminal belongs to what the card is about: (node, space of its item)."""


def live_groups(book: Book, isolation: Isolation, keep: Keep) -> Mapping[str, tuple[list[str], list[str]]]:
    """Space, or nothing where no place is written down → voltages that stay live there, and what carries them."""
    found: dict[str, tuple[dict[str, None], dict[str, None]]] = {}
    for node in isolation.live:
        owner = node.split(" ")[0]
        consumer = book.network.consumers.get(owner)
        thing = consumer.record if consumer else book.items.get(owner)
        if thing is None:
            continue
        space = thing.at.space if thing.at and thing.at.space else ""
        if keep(node, space):
            systems, owners = found.setdefault(space, ({}, {}))
            systems[book.network.nodes[node].system] = None
            owners[owner] = None
    order = {space: number for number, space in enumerate(book.inventory.spaces)}
    spaces = sorted(found, key=lambda space: (-len(found[space][1]), order.get(space, len(order))))
    return {space: (_voltages(found[space][0]), list(found[space][1])) for space in spaces}


def _voltages(systems: Mapping[str, None]) -> list[str]:
    """The systems by name; a neutral goes without saying beside its line."""
    return [system for system in systems if system != "AC neutral" or len(systems) == 1]


def live_lines(book: Book, isolation: Isolation, most: int, keep: Keep = lambda node, space: True) -> list[Inline]:
    """STILL LIVE in short: sources that nothing stops, then a line for each space, most items first."""
    lines: list[Inline] = [stubborn(book, id) for id in isolation.unstoppable]
    for space, (systems, owners) in live_groups(book, isolation, keep).items():
        place = book.link(space) if space else "Place not written down"
        names = joined(few([book.title(id) for id in owners], 3))
        lines.append((place, ", ", Strong(" and ".join(systems)), ": ", names))
    return lines if len(lines) <= most else [*lines[: most - 1], f"and in {len(lines) - most + 1} more places: see the whole list"]


def stubborn(book: Book, source: str) -> Inline:
    """A source that no handle stops, and why."""
    edge = book.network.edges[source]
    why = {"solar array": "live in daylight, no switch", "alternator": "live while it turns, no stop is written down"}.get(edge.kind, "no handle opens it")
    return (book.named(edge.item), f": {why}")


def names(book: Book, consumers: Sequence[str], most: int) -> list[Inline]:
    """Consumers by name, the first of them."""
    return few([book.link(id) for id in consumers], most)


def essentials_lost(book: Book, isolation: Isolation) -> list[str]:
    """Consumers needed in an emergency that are dead afterwards."""
    working = frozenset(isolation.working)
    return [c.id for c in book.network.consumers.values() if c.record.essential and c.id not in working]


def gone(book: Book, isolation: Isolation) -> list[str]:
    """Consumers that a source reaches in normal use and that are dead afterwards."""
    working = frozenset(isolation.working)
    return [id for id in book.network.consumers if book.study.supply.get(id) and id not in working]


def fed_by(book: Book, sources: Sequence[str]) -> Inline:
    """Sources by name and kind."""
    edges = [book.network.edges[id] for id in sources]
    return joined([(book.link(edge.item), f" ({SOURCE_KINDS[edge.kind]})") for edge in edges])
