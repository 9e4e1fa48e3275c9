"""The supply strip: the way of the current to one consumer and back, with test points, to be read on a phone."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache

from loombook.drawings.geometry import Box, Point
from loombook.drawings.labels import full_name
from loombook.drawings.metrics import ASCENT, PITCH, SIZE, clean, width, wrap
from loombook.drawings.model import Cable, Service, State, Stop, Strip
from loombook.drawings.scene import Item, Part, Scene, Symbol, Text, Wire, rectangle
from loombook.drawings.svg import written
from loombook.drawings.symbols import glyph

WIDE = 344
"""Width of the strip: a phone of 360 px shows it without scaling [px]."""
AXIS = 46
"""Where the line runs [px]."""
RAIL = 12
"""Where the line comes back to the source [px]."""
TEXT = 78
"""Where labels begin [px]."""
ROOM = WIDE - TEXT - 6
"""Width for labels [px]."""
POINT = 12
"""Half the height of a test point's number [px]."""
LARGE = 16
"""Size of ids and volts [px]."""
SPACE = 10
"""Between one station and the next [px]."""


@lru_cache(maxsize=8192)
def draw(strip: Strip) -> str:
    """The strip as SVG text; one that has not changed since the last time is not drawn again."""
    return written(scene(strip))


def scene(strip: Strip) -> Scene:
    """Stations from the source at the top to the load, and on to the source's other pole; a rail closes the ring."""
    roll = _Roll(strip.here)
    head = roll.station(strip.source)
    for stop in (*strip.out, strip.load):
        roll.station(stop)
    if strip.back:
        roll.word("and back")
    for stop in strip.back:
        roll.station(stop)
    roll.close(strip.source.element.id, head)
    return Scene(strip.name, strip.title, strip.about, WIDE, round(roll.y, 1), (*roll.wires, *roll.items))


@dataclass(frozen=True)
class _Line:
    """One line of a label."""

    text: str
    size: float = SIZE
    bold: bool = False
    muted: bool = False

    @property
    def pitch(self) -> float:
        return PITCH * max(self.size / SIZE, 1)


@dataclass
class _Roll:
    """The strip as far as it is drawn."""

    here: str
    y: float = 10.0
    wires: list[Item] = field(default_factory=list)
    items: list[Item] = field(default_factory=list)
    begun: Point | None = None
    """Where the line that still runs began."""
    came_from: str = ""

    def station(self, stop: Stop) -> Point:
        """One thing with its symbol on the line and its facts beside it, then its test point; returns its upper end."""
        what = stop.element
        lines = _lines(stop)
        tall = sum(line.pitch for line in lines)
        head = Point(AXIS, round(self.y, 1))
        here = bool(what.id) and what.id == self.here
        if isinstance(what, Cable):
            self._mark(self.y + tall / 2, what.state)
            self.items.append(
                Item(
                    what.id or f"~cable {len(self.items)}",
                    "cable",
                    _texts(lines, self.y),
                    full_name(what),
                    what.href,
                    what.state,
                    here,
                )
            )
        else:
            shape = glyph(what.kind).box
            tall = max(tall, shape.height)
            head = Point(AXIS, round(self.y + (tall - shape.height) / 2 - shape.top, 1))
            self._arrive(head, what.id, what.state)
            texts = _texts(lines, self.y + (tall - sum(line.pitch for line in lines)) / 2)
            symbol = Symbol(what.kind, head)
            self.items.append(Item(what.id, "device", (symbol, *texts), full_name(what), what.href, what.state, here))
            self._leave(symbol, what.id)
        self.y += tall + SPACE
        if stop.test or stop.expect:
            self._test(stop)
        return head

    def word(self, word: str) -> None:
        """A word beside the line."""
        self.items.append(Item(f"~{word}", "note", _texts([_Line(word, muted=True)], self.y)))
        self.y += PITCH + SPACE

    def close(self, source: str, head: Point) -> None:
        """The rail on the left, from the last station back to the source's upper end."""
        foot = round(self.y + 2, 1)
        points = (
            self.begun,
            Point(AXIS, foot),
            Point(RAIL, foot),
            Point(RAIL, head.y - 5),
            Point(AXIS, head.y - 5),
            head,
        )
        self.wires.append(Item("~rail", "wire", (Wire(points, Service.POWER, State.NORMAL, (self.came_from, source)),)))
        self.y = foot - PITCH / 2 - 3
        self.word(f"back to {source}" if source else "back to the source")

    def _leave(self, symbol: Symbol, name: str) -> None:
        """The line goes on below a symbol."""
        _, end = symbol.ports
        self.begun = end if end.y > symbol.at.y else Point(AXIS, symbol.box.bottom)
        if end.y < symbol.box.bottom - 8:  # a load whose drawing reaches lower than its end
            self.begun = Point(AXIS, symbol.box.bottom)
        self.came_from = name

    def _arrive(self, at: Point, name: str, state: State = State.NORMAL) -> None:
        """The line reaches a thing."""
        if self.begun is None:
            return
        state = state if state in (State.DEAD, State.LIVE) else State.NORMAL
        wire = Wire((self.begun, at), Service.POWER, state, (self.came_from, name))
        self.wires.append(Item(f"~wire {len(self.wires)}", "wire", (wire,), state=state))

    def _mark(self, y: float, state: State) -> None:
        """A short stroke across the line where a cable's facts stand."""
        stroke = Wire((Point(AXIS - 5, round(y + 5, 1)), Point(AXIS + 5, round(y - 5, 1))), Service.CONTROL, state)
        self.wires.append(Item(f"~mark {len(self.wires)}", "wire", (stroke,), state=state))

    def _test(self, stop: Stop) -> None:
        """The numbered test point and what a meter should show there."""
        lines = [_Line(text, LARGE, True) for text in wrap(stop.expect, ROOM, LARGE, bold=True, most=2)]
        tall = max(2 * POINT + 2, sum(line.pitch for line in lines))
        middle = round(self.y + tall / 2, 1)
        number = clean(stop.test)
        name = f"test {number}" if number else f"~test {len(self.items)}"
        parts: list[Part] = []
        if number:
            self._arrive(Point(AXIS, middle - POINT), name)
            self.begun, self.came_from = Point(AXIS, middle + POINT), name
            reach = max(POINT, width(number, bold=True) / 2 + 5)
            parts.append(
                rectangle(Box(AXIS - reach, middle - POINT, AXIS + reach, middle + POINT), rounded=POINT, paint="paper")
            )
            parts.append(Text(AXIS, round(middle + 4.9, 1), number, bold=True, anchor="middle"))
        parts += _texts(lines, middle - sum(line.pitch for line in lines) / 2)
        told = f"test point {number}: {clean(stop.expect)}" if number else clean(stop.expect)
        self.items.append(Item(name, "test", tuple(parts), told))
        self.y += tall + SPACE


def _lines(stop: Stop) -> list[_Line]:
    """The id large, then the facts, then the place; a cable's id and facts run on in one line of second rank."""
    what = stop.element
    named = "" if what.id.startswith("~") else what.id
    where = [_Line(text, muted=True) for text in wrap(stop.where, ROOM, most=3)]
    if isinstance(what, Cable):
        told = ", ".join(clean(fact) for fact in what.lines if clean(fact))
        return [_Line(text, muted=True) for text in wrap(f"{named} {told}", ROOM, most=3)] + where
    head = [_Line(text, LARGE, True) for text in wrap(named, ROOM, LARGE, bold=True, most=2)]
    return head + [_Line(text) for fact in what.lines for text in wrap(fact, ROOM, most=3)] + where


def _texts(lines: list[_Line], top: float) -> tuple[Text, ...]:
    out, y = [], top
    for line in lines:
        out.append(Text(TEXT, round(y + ASCENT * line.size, 1), line.text, line.size, line.bold, muted=line.muted))
        y += line.pitch
    return tuple(out)
