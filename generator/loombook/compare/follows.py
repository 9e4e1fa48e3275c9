"""What a change asks of people: tests to repeat, cards and labels to print, spares to buy, whom to tell."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from typing import Any

from ..checks.devices import devices
from ..inventory.vessel import PrintCopy, TestRecord
from ..network import Network
from ..quantities import digits
from ..study.cards.model import Card
from .model import Change, Reprint, Side, Stale, Stock, Verdict

WORDS = ("name", "label", "also called", "photo", "papers", "note", "made", "fitted")
"""Fields that are words about a thing: another word changes nothing that was measured."""


def touched(changes: Iterable[Change]) -> frozenset[str]:
    """Ids of what is another thing now, not only called otherwise."""
    return frozenset(c.id for c in changes if not all(f.name.endswith(WORDS) for f in c.fields))


def stale(before: Side, after: Side, changed: frozenset[str]) -> Iterator[Stale]:
    """Tests carried over from the revision before that rest on something that was changed since."""
    done = set(before.inventory.tests)
    for test in after.inventory.tests:
        because = changed & _rests_on(after, test) if test in done else ()
        if because:
            yield Stale(test, tuple(sorted(because)))


def repeated(before: Side, after: Side) -> tuple[TestRecord, ...]:
    """Tests that were added."""
    done = set(before.inventory.tests)
    return tuple(test for test in after.inventory.tests if test not in done)


def _rests_on(side: Side, test: TestRecord) -> set[str]:
    """Ids of what the measurement went through: the thing itself, the cables on it, and of a consumer all its way."""
    network = side.study.network
    own = test.item.split(" way ")[0]
    found = {own, test.item, *_cables_at(network, own)}
    whole = any(word in test.what.casefold() for word in ("drop", "volt"))  # measured at the end of all its way
    for consumer in network.consumers.values() if whole else ():
        if own in (consumer.id, consumer.circuit):
            for path in side.study.supply.get(consumer.id, ()):
                found |= {hop.edge.item for hop in (*path.out, *path.back)}
    return found


def _cables_at(network: Network, item: str) -> Iterator[str]:
    own = {node for edge in network.edges.values() if edge.item == item for node in (edge.a, edge.b)}
    own |= {node for node in network.nodes if node == item or node.startswith(f"{item} ")}
    for edge in network.edges.values():
        if edge.kind == "conductor" and {edge.a, edge.b} & own:
            yield edge.item


ASPECTS: tuple[tuple[str, Callable[[Card], Any]], ...] = (
    ("the steps", lambda card: (card.first, card.steps, card.keep_off, card.restore, card.checks)),
    ("what stays live", lambda card: (card.live, card.waits, card.unstoppable)),
    ("what still works", lambda card: _working(card)),
    ("the cautions", lambda card: (card.cautions, card.dangers)),
    ("what gets wet first", lambda card: (card.wet, card.dry_unknown)),
)
"""What a reader of a card must not have wrong, and where it stands."""


def _working(card: Card) -> list[tuple]:
    """As printed: hours with two digits."""
    return [(w.name, w.works, None if w.hours is None else digits(w.hours, 2)) for w in card.works]


def reprints(before: Side, after: Side) -> Iterator[Reprint]:
    """The cards that say something else, with the copies of them that hang aboard."""
    then, now = ({(c.kind, c.name): c for c in side.study.cards} for side in (before, after))
    for key, card in now.items():
        if key not in then:
            yield Reprint(card.name, "new", "there was no such card", _copies(after, card.name))
        elif said := [name for name, of in ASPECTS if of(card) != of(then[key])]:
            yield Reprint(card.name, "changed", ", ".join(said), _copies(after, card.name))
    for (_, name), _card in then.items():
        if name not in {name for _, name in now}:
            yield Reprint(name, "no longer", "there is no such card any more", _copies(after, name))


def _copies(side: Side, card: str) -> tuple[PrintCopy, ...]:
    inventory = side.inventory
    return tuple(p for p in inventory.prints if p.card == card and p.revision != inventory.vessel.revision)


def labels(changes: Iterable[Change]) -> Iterator[str]:
    """What is to be labelled anew: a way of a panel as `X4 way 7`."""
    for change in changes:
        for field in change.fields:
            *way, last = field.name.split(" ")
            if last == "label" and field.after and change.kind != "removed":
                yield f"{change.id} way {way[1]}" if way[:1] == ["ways"] else change.id


def stock(before: Side, after: Side) -> Iterator[Stock]:
    """Kinds and ratings of fuse that are used now and were not, or were and are not."""
    then, now = _used(before), _used(after)
    for (kind, amps), count in {**then, **now}.items():
        if bool(then[kind, amps]) != bool(now[kind, amps]):
            spares = sum(s.count for s in after.inventory.spares if s.kind == kind and s.amps == amps)
            yield Stock(kind, f"{amps:g} A", then[kind, amps], now[kind, amps], spares)


def _used(side: Side) -> Counter[tuple[str, float]]:
    fuses = (d for d in devices(side.study.network) if d.kind == "fuse" and d.rating)
    return Counter((d.family, d.rating.value) for d in fuses)


def left(changes: Iterable[Change]) -> tuple[str, ...]:
    """What was taken out of the inventory, and may still lie in the boat."""
    return tuple(c.id for c in changes if c.kind == "removed" and c.family in ("circuits", "cables", "motors"))


def notify(
    before: Side,
    after: Side,
    changes: Iterable[Change],
    prints: Iterable[Reprint],
    verdicts: Iterable[Verdict],
) -> Iterator[tuple[str, str]]:
    """(whom to tell, why). Common practice, no source; the policy itself says what it asks."""
    then, now = _lithium(before), _lithium(after)
    banks = [c.id for c in changes if c.family == "batteries" and c.id in touched([c])]
    if now - then:
        yield "insurer", f"lithium batteries were fitted: {', '.join(sorted(now - then))}; insurers ask to be told"
    elif banks:
        yield "insurer", f"the batteries are others now: {', '.join(banks)}"
    graver = [v for v in verdicts if v.after == "A" and v.kind in ("new", "worse")]
    if graver:
        yield "surveyor", f"findings of grade A that did not stand before: {len(graver)}"
    if any(p.kind != "no longer" for p in prints):
        yield "crew", "emergency cards changed: hang the new ones, destroy the old, and run through them once"


def _lithium(side: Side) -> set[str]:
    return {id for id, battery in side.inventory.batteries.items() if battery.chemistry in ("lfp", "nmc")}
