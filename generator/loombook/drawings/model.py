"""What a drawing is asked to show: sheets of bars and branches, strips, panel fronts and plans, before any layout."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum


class State(StrEnum):
    """How an item stands on this drawing; each is told by line and word, never by colour alone."""

    NORMAL = "normal"
    OPEN = "open"
    DEAD = "dead"
    LIVE = "live"
    ADDED = "added"
    REMOVED = "removed"
    CHANGED = "changed"


class Service(StrEnum):
    """What a conductor is there for; it gives the line its weight."""

    POWER = "power"
    CONTROL = "control"
    BOND = "bond"
    BAR = "bar"
    """The stretch that joins two rows of one bar."""


@dataclass(frozen=True)
class Element:
    """A thing with a symbol: a device in a line, a source or a load."""

    kind: str
    """Its line in `symbols.SYMBOLS`."""
    id: str
    """What its label aboard says; printed bold."""
    lines: tuple[str, ...] = ()
    """What stands under the id, one fact a line; each wraps at words."""
    name: str = ""
    """Its full name for a screen reader and for the tip."""
    href: str = ""
    """Where it links to, such as `item:F1`; empty: no link."""
    state: State = State.NORMAL


@dataclass(frozen=True)
class Cable:
    """A conductor between two things in a branch, with what is written beside it."""

    id: str = ""
    lines: tuple[str, ...] = ()
    name: str = ""
    href: str = ""
    state: State = State.NORMAL
    told: bool = True
    """False: its id is not printed; it stands in its name."""


@dataclass(frozen=True)
class Reference:
    """Where a line goes on: the other end carries the same key on another sheet."""

    key: str
    """Shared by the two ends, and by no others."""
    lines: tuple[str, ...] = ()
    """What is found there, such as the panel's name."""
    name: str = ""
    href: str = ""
    state: State = State.NORMAL

    @property
    def id(self) -> str:
        """The key names it."""
        return self.key


End = str | Element | Reference
"""What a branch ends on: a node by its id, a source or load, or a reference."""
Link = Element | Cable


class Form(StrEnum):
    """How a node is drawn."""

    BAR = "bar"
    JUNCTION = "junction"
    CHANGEOVER = "changeover"
    BOX = "box"
    """An apparatus with more than two lines: charger-inverter, splitter, controller."""


@dataclass(frozen=True)
class Node:
    """A place where branches meet."""

    id: str
    lines: tuple[str, ...] = ()
    """What stands at it: name, volts, prospective fault current."""
    form: Form = Form.BAR
    name: str = ""
    href: str = ""
    state: State = State.NORMAL
    level: int | None = None
    """Which level it stands on, 0 on top; None: as the branches ask."""
    ordered: bool = False
    """True where the order of its branches is a fact (a panel), not a wish."""


@dataclass(frozen=True)
class Branch:
    """One line of the drawing: from an upper end through its chain to a lower end."""

    id: str
    upper: End
    lower: End
    chain: tuple[Link, ...] = ()
    """Devices and cables from the upper end to the lower one."""
    service: Service = Service.POWER
    state: State = State.NORMAL
    """Of the conductors that no cable in the chain speaks for."""
    tie: bool = False
    """True: between two nodes side by side on one level, drawn level."""


@dataclass(frozen=True)
class OneLine:
    """A single-line sheet."""

    name: str
    """Unique, of letters, digits, stop and dash; prefix of all ids in the SVG."""
    title: str
    nodes: tuple[Node, ...]
    branches: tuple[Branch, ...]
    about: str = ""
    """One sentence on what it shows, for those who cannot see it."""
    notes: tuple[str, ...] = ()
    """Lines over the title block."""
    denser: tuple[OneLine, ...] = ()
    """Closer ways of saying the same, tried in turn before the sheet is cut."""
    here: str = ""
    """Id of the item the page is about, if any."""


@dataclass(frozen=True)
class TitleBlock:
    """What every sheet says about itself."""

    vessel: str
    revision: str = ""
    date: str = ""
    remark: str = ""
    """Such as "invented vessel"."""


@dataclass(frozen=True)
class Stop:
    """One station of a supply strip."""

    element: Element | Cable
    test: str = ""
    """Number of the test point behind this station; empty: none."""
    expect: str = ""
    """What a meter should show there, such as "25.2 to 26.4 V"."""
    where: str = ""
    """Its place aboard."""


@dataclass(frozen=True)
class Strip:
    """The way of the current to one consumer and back."""

    name: str
    title: str
    source: Stop
    out: tuple[Stop, ...]
    load: Stop
    back: tuple[Stop, ...]
    about: str = ""
    here: str = ""


@dataclass(frozen=True)
class Way:
    """One place of a panel front."""

    number: str
    label: str = ""
    """The text on the panel."""
    id: str = ""
    """The protective device."""
    kind: str = "fuse"
    """fuse, breaker, rcd or switch; 'spare' has a device place and nothing behind it; 'blank' has a blind cover."""
    rating: str = ""
    feeds: str = ""
    href: str = ""
    state: State = State.NORMAL


@dataclass(frozen=True)
class Front:
    """A panel as the eye meets it."""

    name: str
    title: str
    rows: tuple[tuple[Way, ...], ...]
    """Rows from the top, ways from the left."""
    heading: tuple[str, ...] = ()
    """What stands over the ways: volts, feed, main switch."""
    about: str = ""
    here: str = ""


@dataclass(frozen=True)
class Space:
    """A space of the boat on the plan."""

    id: str
    label: str
    outline: tuple[tuple[float, float], ...] = ()
    """Corners (metres from the stern, metres to starboard of the centre line); empty: the default arrangement."""
    href: str = ""
    side: tuple[tuple[float, float], ...] = ()
    """Corners on the side view (metres from the stern, metres up from the lowest point of the hull inside)."""
    floor: float | None = None
    """Height of its lowest point [m], for its default place on the side view."""
    outside: bool = False
    """In the open: on the side view only with corners of its own."""


@dataclass(frozen=True)
class Dot:
    """A numbered dot on the plan."""

    number: str
    label: str
    """What it is, with its id."""
    space: str
    """Id of the space it lies in."""
    place: str = ""
    """Where in the space, in words."""
    at: tuple[float, float] | None = None
    """Where on the plan; None: spread over the space."""
    kind: str = "device"
    """isolator, bank, panel, fuse or device: gives the dot its shape."""
    href: str = ""
    state: State = State.NORMAL
    height: float | None = None
    """Above the lowest point of the hull inside [m]; None: not on the side view."""


@dataclass(frozen=True)
class Plan:
    """What lies where."""

    name: str
    title: str
    spaces: tuple[Space, ...]
    dots: tuple[Dot, ...]
    length: float = 0.0
    """Length of the hull [m]; 0: from the spaces."""
    beam: float = 0.0
    about: str = ""
    here: str = ""
    depth: float = 0.0
    """Height of the side view [m]; 0: without one."""


Sheet = OneLine | Front | Plan


@dataclass(frozen=True)
class DrawingSet:
    """Sheets that refer to one another, in their order, under one title block."""

    block: TitleBlock
    sheets: tuple[Sheet, ...] = field(default_factory=tuple)
