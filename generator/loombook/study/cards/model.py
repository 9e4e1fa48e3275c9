"""What a card says, as values: steps with their handles, what stays live, what still works, who tried it and when."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from ..model import Assumption


@dataclass(frozen=True)
class Step:
    """One action, verb first."""

    do: str
    where: str = ""
    """Place in words; empty where the action has none."""
    see: str = ""
    """What one then sees, hears or feels."""
    handles: tuple[str, ...] = ()
    """Ids of the handles that it moves: more than one only for the ways of one panel."""
    stops: tuple[str, ...] = ()
    """Ids of the sources that it stops, by a control of the boat's or by a cover laid over them."""
    label: str = ""
    """What is written on the handle aboard."""
    number: int = 0
    """On the location plan; 0 where its place has none."""
    helm: bool = False
    """Whether the helm decides when: it takes the boat's way off."""


@dataclass(frozen=True)
class Live:
    """Conductors joined to each other that are still joined to a source."""

    what: tuple[str, ...]
    """Names of the things a person would touch: posts, bars, panels, then the rest."""
    upto: tuple[str, ...]
    """Names of the open handles at which it ends."""
    where: tuple[str, ...]
    """Names of the spaces."""
    system: str
    """`24 V DC`, `230 V AC`."""
    volts: float
    """Nominal, the highest in it; of an array its open-circuit voltage [V]."""
    why: tuple[str, ...]
    """Names of the sources joined to it."""
    when: str
    """`always`, `while the engine runs`, `in daylight`, `while the shore lead is in`, `while the water turns the
    propeller`, `for up to 3 min`."""
    placeless: bool = False
    """Whether the place of something in it is not written down."""
    sources: tuple[str, ...] = field(default=(), repr=False)
    items: tuple[str, ...] = field(default=(), repr=False)
    cables: tuple[str, ...] = field(default=(), repr=False)
    consumers: tuple[str, ...] = field(default=(), repr=False)
    nodes: frozenset[str] = field(default=frozenset(), repr=False)


@dataclass(frozen=True)
class Pool:
    """Batteries side by side that carry what still works, and for how long."""

    batteries: tuple[str, ...]
    name: str
    energy: float
    """Usable, from full [Wh]."""
    usable: float
    """Part of the capacity that is counted on, 0 to 1."""
    stated: bool
    """Whether the owner states the usable part of all of them."""
    power: float
    """What still works draws from it on average, converters' losses included [W]."""
    amps: float
    """The same at its nominal voltage [A]."""
    hours: float | None
    """From full [h]; None where nothing draws."""
    hours_half: float | None
    """From half charge [h]; nothing for a battery of which no more than half is used."""


@dataclass(frozen=True)
class Works:
    """A consumer after the steps: whether it still works, and for how long."""

    id: str
    name: str
    essential: bool
    works: bool
    pool: str = ""
    """Name of the batteries that carry it."""
    hours: float | None = None
    """From full [h]."""
    where: str = ""


@dataclass(frozen=True)
class Wait:
    """A device that keeps a charge after it is off."""

    id: str
    name: str
    where: str
    seconds: float | None
    """Until it is safe, as its maker says; None where nobody wrote it down."""


@dataclass(frozen=True)
class Point:
    """Where the meter goes to prove a part dead."""

    name: str
    """`T1`."""
    a: str
    b: str
    """Nodes between which, and each to earth."""
    words: str
    where: str
    was: float
    """Nominal before [V]."""
    ac: bool
    upto: tuple[str, ...] = ()
    """Handles that parted it."""


@dataclass(frozen=True)
class Wet:
    """What water reaches, and when: its height above the lowest point of the hull inside."""

    id: str
    name: str
    where: str
    height: float
    """[m]"""
    exact: bool
    """False: only the floor of its space is known; the water comes no earlier than that."""


@dataclass(frozen=True)
class Opened:
    """What is lost when the BMS of some batteries opens, and what comes back by the switches of the card."""

    batteries: tuple[str, ...]
    name: str
    alarm: str
    """Where the alarm before it is seen or heard."""
    lost: tuple[Works, ...]
    """Essential first."""
    back: tuple[Works, ...]
    """Essential consumers that work again after the card's steps."""
    positions: tuple[tuple[str, str], ...]
    """(switch id, position) of those steps, in their order."""
    works: tuple[Works, ...] = field(default=(), repr=False)
    """All that works after them, as on a card."""
    pools: tuple[Pool, ...] = ()


@dataclass(frozen=True)
class Print:
    """A printed copy that hangs somewhere."""

    card: str
    where: str
    revision: str
    date: datetime.date | None
    current: bool
    """Whether it is of the vessel's revision. Whether the card itself has changed since is not known."""


@dataclass(frozen=True)
class Tried:
    """The last time that somebody ran through a card."""

    date: datetime.date
    seconds: int
    by: str
    dark: bool
    note: str
    days: int
    """Days from then to the day of the build."""


@dataclass(frozen=True)
class Card:
    """One card: one event."""

    kind: str
    """`fast`, `orderly`, `system`, `space`, or the name of the variant."""
    name: str
    """As a print or drill names it: `fast`, `24 V DC`, `engine`."""
    title: str
    when: str
    """When to take this card."""
    steps: tuple[Step, ...]
    live: tuple[Live, ...] = ()
    works: tuple[Works, ...] = ()
    """Essential first, those that are lost among them; then what else works."""
    pools: tuple[Pool, ...] = ()
    keep_off: tuple[Step, ...] = ()
    """Switches that must be found off."""
    waits: tuple[Wait, ...] = ()
    points: tuple[Point, ...] = ()
    restore: tuple[Step, ...] = ()
    first: str = ""
    """What must be known before the first step, in one line."""
    checks: tuple[str, ...] = ()
    """What to look at afterwards."""
    cautions: tuple[str, ...] = ()
    dangers: tuple[str, ...] = ()
    """Cautions where life is at stake."""
    wet: tuple[Wet, ...] = ()
    """What gets wet first, lowest first."""
    dry_unknown: tuple[str, ...] = ()
    """Names of what has no height written down."""
    opened: tuple[Opened, ...] = ()
    unstoppable: tuple[str, ...] = ()
    """Ids of sources that no handle parts from the boat."""
    tried: tuple[Tried, ...] = ()
    """Latest first."""
    prints: tuple[Print, ...] = ()
    revision: str = ""

    @property
    def handles(self) -> tuple[str, ...]:
        """Ids of what it opens, in order."""
        return tuple(id for step in self.steps for id in step.handles)

    @property
    def numbers(self) -> tuple[int, ...]:
        """Of the places of its handles on the location plan, in the order of the steps."""
        return tuple(dict.fromkeys(step.number for step in (*self.steps, *self.keep_off) if step.number))

    @property
    def actions(self) -> int:
        """How many steps open or stop something."""
        return sum(bool(step.handles) for step in self.steps)

    @property
    def lost(self) -> tuple[Works, ...]:
        """What is needed in an emergency and does not work any more."""
        return tuple(w for w in self.works if w.essential and not w.works)

    @property
    def working(self) -> tuple[Works, ...]:
        return tuple(w for w in self.works if w.works)


@dataclass(frozen=True)
class Cards:
    """Every card of a vessel, for one day."""

    fast: Card
    orderly: Card
    systems: tuple[Card, ...]
    spaces: tuple[Card, ...]
    variants: tuple[Card, ...]
    """Those that make sense aboard this vessel."""
    prints: tuple[Print, ...]
    """Every printed copy, also of cards that no longer exist."""
    assumptions: tuple[Assumption, ...] = ()
    """Defaults that went into the hours."""

    def __iter__(self) -> Iterator[Card]:
        yield self.fast
        yield self.orderly
        yield from (*self.variants, *self.systems, *self.spaces)

    @cached_property
    def plans(self) -> Mapping[str, Card]:
        """Name of a drawing → the card whose handles it shows. A card without a handle on the plan has none."""
        found: dict[str, Card] = {}
        for card in self:
            if card.numbers:
                words = card.name if card.kind == card.name else f"{card.kind} {card.name}"
                word = re.sub(r"[^a-z0-9]+", "-", f"plan {words}".lower()).strip("-")
                found[word if word not in found else f"{word}-{len(found)}"] = card
        return found

    @property
    def by_name(self) -> Mapping[str, Card]:
        """Name → card. Where a space or system is called as an event is, the event's card has the name."""
        return {card.name: card for card in reversed(list(self))}

    @property
    def of_space(self) -> Mapping[str, Card]:
        """Space → its card."""
        return {card.name: card for card in self.spaces}

    @property
    def stale(self) -> tuple[Print, ...]:
        """Copies to be printed again, the old ones to be destroyed."""
        return tuple(p for p in self.prints if not p.current)
