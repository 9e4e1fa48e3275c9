"""What isolating a part of the boat means in words: actions in order, what stays live, what still works, what is lost."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

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


def live_groups(book: Book, isolation: Isolation) -> Mapping[tuple[str, str], list[str]]:
    """(space or nothing, system) → items that stay live there, sources of most energy first."""
    found: dict[tuple[str, str], dict[str, None]] = {}
    for node in isolation.live:
        owner = node.split(" ")[0]
        item = book.items.get(owner) or (book.network.consumers[owner].record if owner in book.network.consumers else None)
        if item is None:
            continue
        space = item.at.space if item.at and item.at.space else ""
        found.setdefault((space, book.network.nodes[node].system), {})[owner] = None
    order = {space: number for number, space in enumerate(book.inventory.spaces)}
    return {key: list(found[key]) for key in sorted(found, key=lambda key: (order.get(key[0], len(order)), key[1]))}


def live_lines(book: Book, isolation: Isolation, most: int) -> list[Inline]:
    """STILL LIVE in short: a line for each place and voltage; sources that nothing stops come first."""
    lines: list[Inline] = [stubborn(book, id) for id in isolation.unstoppable]
    groups = live_groups(book, isolation)
    for (space, system), items in groups.items():
        place = book.named(space) if space else "Place not written down"
        names = joined(few([book.title(id) for id in items], 4))
        lines.append((place, ", ", Strong(_volts(system)), ": ", names))
    return lines if len(lines) <= most else [*lines[: most - 1], f"and in {len(lines) - most + 1} more places"]


def stubborn(book: Book, source: str) -> Inline:
    """A source that no handle stops, and why."""
    edge = book.network.edges[source]
    why = {"solar array": "live in daylight, no switch", "alternator": "live while it turns, no stop is written down"}.get(edge.kind, "no handle opens it")
    return (book.named(edge.item), f": {why}")


def _volts(system: str) -> str:
    return {"solar array": "solar panels"}.get(system, system)


def names(book: Book, consumers: Sequence[str], most: int) -> list[Inline]:
    """Consumers by name, the first of them."""
    return few([book.link(id) for id in consumers], most)


def essentials_lost(book: Book, isolation: Isolation) -> list[str]:
    """Consumers needed in an emergency that are dead afterwards."""
    working = frozenset(isolation.working)
    return [c.id for c in book.network.consumers.values() if c.record.essential and c.id not in working]


def fed_by(book: Book, sources: Sequence[str]) -> Inline:
    """Sources by name and kind."""
    edges = [book.network.edges[id] for id in sources]
    return joined([(book.link(edge.item), f" ({SOURCE_KINDS[edge.kind]})") for edge in edges])
