"""A drawing laid out: every text, wire, symbol and shape in its place, ready to be written and to be measured."""

from __future__ import annotations

from dataclasses import dataclass

from loombook.drawings.geometry import Box, Point, around, box_of
from loombook.drawings.metrics import ASCENT, DESCENT, SIZE, width
from loombook.drawings.model import Service, State
from loombook.drawings.symbols import glyph


@dataclass(frozen=True)
class Text:
    """One line of text on its baseline."""

    x: float
    y: float
    text: str
    size: float = SIZE
    bold: bool = False
    anchor: str = "start"
    """start, middle or end."""
    muted: bool = False
    """Of second rank."""

    @property
    def box(self) -> Box:
        """What it covers, by the widest usual font."""
        wide = width(self.text, self.size, self.bold)
        left = self.x - {"start": 0.0, "middle": wide / 2, "end": wide}[self.anchor]
        return Box(left, self.y - ASCENT * self.size, left + wide, self.y + DESCENT * self.size)


@dataclass(frozen=True)
class Wire:
    """A conductor, or the heavy line of a bar."""

    points: tuple[Point, ...]
    service: Service = Service.POWER
    state: State = State.NORMAL
    ends: tuple[str, str] = ("", "")
    """Keys of the items it joins; empty for a bar, which joins what lies on it."""

    @property
    def box(self) -> Box:
        """What it covers, without its thickness."""
        return box_of(self.points)

    @property
    def legs(self) -> tuple[tuple[Point, Point], ...]:
        """Its straight stretches."""
        return tuple(zip(self.points, self.points[1:], strict=False))


@dataclass(frozen=True)
class Symbol:
    """A symbol with its supply end at the place."""

    kind: str
    at: Point
    across: bool = False

    @property
    def box(self) -> Box:
        """What it covers."""
        return glyph(self.kind, self.across).box.moved(*self.at)

    @property
    def ports(self) -> tuple[Point, Point]:
        """Its two ends."""
        return self.at, self.at.moved(*glyph(self.kind, self.across).end)


@dataclass(frozen=True)
class Shape:
    """A closed outline, such as a frame, a tag, a panel's cell or a dot."""

    points: tuple[Point, ...]
    paint: str = "line"
    """line: outline only; paper: hides what lies under it; fill: ground for text; solid: in the line's colour."""
    weight: float = 1.7
    rounded: float = 0.0
    """Corner radius of an upright rectangle; half its width makes a ring."""
    faint: bool = False
    dashed: bool = False

    @property
    def box(self) -> Box:
        """What it covers."""
        return box_of(self.points)


Part = Text | Wire | Symbol | Shape


def rectangle(box: Box, **more: object) -> Shape:
    """An upright rectangle."""
    corners = (
        Point(box.left, box.top),
        Point(box.right, box.top),
        Point(box.right, box.bottom),
        Point(box.left, box.bottom),
    )
    return Shape(corners, **more)


def ring(at: Point, radius: float, **more: object) -> Shape:
    """A ring or a filled dot."""
    return rectangle(Box(at.x - radius, at.y - radius, at.x + radius, at.y + radius), rounded=radius, **more)


@dataclass(frozen=True)
class Item:
    """What belongs together: one device, bar, cable or reference with its label; one link."""

    key: str
    """Unique in the drawing; for a device its id."""
    role: str
    """device, cable, wire, node, reference, note or frame."""
    parts: tuple[Part, ...]
    name: str = ""
    """For screen readers and the tip."""
    href: str = ""
    state: State = State.NORMAL
    here: bool = False
    """True for the item the page is about."""
    branch: str = ""
    """The branch it lies in; a node: its own id."""
    joins: tuple[str, str] = ("", "")
    """For a branch's lines: the nodes at its upper and lower end."""
    both: bool = False
    """True for a line that may carry current either way."""

    @property
    def box(self) -> Box:
        """What it covers."""
        return around(part.box for part in self.parts)

    @property
    def texts(self) -> tuple[Text, ...]:
        """Its lines of text."""
        return tuple(part for part in self.parts if isinstance(part, Text))


@dataclass(frozen=True)
class Scene:
    """A finished drawing."""

    name: str
    title: str
    about: str
    width: float
    height: float
    items: tuple[Item, ...]
    paper: str = ""
    """A4 or A3 landscape for sheets; empty for what goes into the page as it is."""
    zones: tuple[tuple[str, str], ...] = ()
    """Reference key → zone it stands in."""

    def __str__(self) -> str:
        """A short list of the items with their places, for tests and for the eye."""
        rows = [f"{self.name} {self.width:g} × {self.height:g} {self.paper}".rstrip()]
        for item in self.items:
            box = item.box
            texts = " / ".join(text.text for text in item.texts)
            rows.append(
                f"  {item.role} {item.key} [{box.left:.0f} {box.top:.0f} {box.right:.0f} {box.bottom:.0f}] {texts}"
            )
        return "\n".join(rows)
