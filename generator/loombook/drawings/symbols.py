"""The table of symbols: what kind of thing is drawn how, each rendered once by schemdraw and kept as plain geometry."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache, lru_cache
from xml.etree import ElementTree

import schemdraw
from schemdraw import elements

from loombook.drawings import iec, iec_ends
from loombook.drawings.geometry import Box, Point, around, box_of
from loombook.drawings.metrics import width

UNIT = 30
"""Pixels in one unit of schemdraw: a resistor's body is 8 mm long on paper."""


@dataclass(frozen=True)
class Kind:
    """One line of the table."""

    build: Callable[[], elements.Element]
    """Makes the schemdraw element."""
    means: str
    """What it stands for, as the legend says it."""
    across: Callable[[], elements.Element] | None = None
    """Makes it lying from left to right; None turns the upright one about its diagonal."""
    upended: bool = False
    """True to draw it with its other end on top."""


def _converter(before: str, behind: str, means: str) -> Kind:
    return Kind(lambda: iec.converter(before, behind), means, lambda: iec.converter_across(before, behind))


SYMBOLS: dict[str, Kind] = {
    # sources
    "battery": Kind(iec_ends.battery, "battery of cells"),
    "battery up": Kind(iec_ends.battery, "battery of cells, positive on top", upended=True),
    "battery sensed": Kind(iec_ends.sensed, "battery of cells with sense leads, and the unit that watches them"),
    "battery balanced": Kind(
        iec_ends.balanced, "battery of cells with sense leads, and the unit that watches and balances them"
    ),
    "cell": Kind(iec_ends.cell, "one cell"),
    "cell up": Kind(iec_ends.cell, "one cell, positive on top", upended=True),
    "alternator": Kind(iec_ends.alternator, "alternator", iec_ends.alternator_across),
    "generator": Kind(iec_ends.alternator, "generator, alternating current", iec_ends.alternator_across),
    "turbine": Kind(iec_ends.turbine, "wind or water generator"),
    "solar": Kind(iec_ends.solar, "solar array"),
    "shore": Kind(iec_ends.shore, "shore inlet"),
    # protection and switching
    "fuse": Kind(iec.fuse, "fuse"),
    "breaker": Kind(iec.breaker, "circuit breaker"),
    "rcd": Kind(iec.rcd, "residual-current breaker"),
    "isolator": Kind(iec.isolator, "isolator (switch-disconnector)"),
    "switch": Kind(iec.switch, "switch"),
    "changeover": Kind(iec.changeover, "change-over switch"),
    "changeover up": Kind(iec.changeover, "change-over switch, common side on top", upended=True),
    "paralleling": Kind(iec.paralleling, "paralleling switch"),
    "contactor": Kind(iec.contactor, "contactor"),
    "bms": Kind(iec.bms, "battery management system with its contactor"),
    # in the line
    "shunt": Kind(iec.shunt, "measuring shunt"),
    "resistor": Kind(iec.resistor, "resistor"),
    "diode": Kind(iec.diode, "diode"),
    "diode up": Kind(iec.diode, "diode, current upwards", upended=True),
    "capacitor": Kind(lambda: elements.Capacitor().length(1.2).down(), "capacitor"),
    "transformer": Kind(iec.transformer, "transformer, separate windings"),
    "charger": _converter("ac", "dc", "charger or rectifier, AC to DC"),
    "inverter": _converter("dc", "ac", "inverter, DC to AC"),
    "converter": _converter("dc", "dc", "converter, DC to DC"),
    "ac converter": _converter("ac", "ac", "converter, AC to AC"),
    "ammeter": Kind(lambda: iec.meter("A"), "ammeter"),
    "voltmeter": Kind(lambda: iec.meter("V"), "voltmeter"),
    "apparatus": Kind(iec.box_in_line, "apparatus in the line"),
    "connector": Kind(iec.connector, "plug and socket connector"),
    "bar": Kind(iec.bar_mark, "bar"),
    "junction": Kind(lambda: elements.Dot(radius=0.1), "junction"),
    "terminal": Kind(lambda: elements.Dot(radius=0.1, open=True), "terminal"),
    # loads
    "motor": Kind(iec_ends.motor, "motor"),
    "pump": Kind(iec_ends.pump, "motor pump", iec_ends.pump_across),
    "lamp": Kind(iec_ends.lamp, "lamp"),
    "heater": Kind(iec_ends.heater, "heating element"),
    "electronics": Kind(iec_ends.electronics, "electronic apparatus"),
    "socket": Kind(iec_ends.socket, "socket outlet"),
    "horn": Kind(iec_ends.horn, "horn or siren"),
    "load": Kind(iec_ends.load, "load of any kind"),
    "spare": Kind(iec_ends.spare, "spare, nothing connected"),
    # earth
    "earth": Kind(iec_ends.earth, "earth"),
    "hull": Kind(iec_ends.hull, "bonded to hull or frame"),
    "anode": Kind(iec_ends.anode, "anode or earth plate"),
}


@dataclass(frozen=True)
class Glyph:
    """A symbol as plain geometry, its supply end at the origin."""

    paths: tuple[tuple[str, str], ...]
    """How it is painted ('line', 'thin', 'dash', 'solid', 'hollow') and the path."""
    letters: tuple[tuple[Point, str], ...]
    """Letters inside: the middle of each, and the text."""
    box: Box
    """What it covers."""
    end: Point
    """Its other end; the same as the origin for a dot."""


@cache
def glyph(kind: str, across: bool = False) -> Glyph:
    """The symbol of this kind, top to bottom, or left to right when it lies across.

    Raises:
        KeyError: no such kind in the table
    """
    wanted = SYMBOLS[kind]
    turned = across and wanted.across is None
    element = (wanted.across if across and wanted.across else wanted.build)()
    drawing = schemdraw.Drawing(canvas="svg", show=False)
    drawing.config(inches_per_unit=UNIT / 72, lw=1, margin=0)
    drawing.add(element)
    end = element.absanchors["end"]
    drawn = _read(ElementTree.fromstring(drawing.get_imagedata("svg")))
    drop = _point(end[0] * UNIT, -end[1] * UNIT)
    if wanted.upended:
        drawn = [(how, _mapped(what, lambda p: _point(p.x, drop.y - p.y))) for how, what in drawn]
    if turned:
        drawn = [(how, _mapped(what, lambda p: Point(p.y, p.x))) for how, what in drawn]
        drop = Point(drop.y, 0)
    paths = _joined([(how, what) for how, what in drawn if how != "letter"])
    letters = tuple((what[0][1][0], what[0][0]) for how, what in drawn if how == "letter")
    boxes = [box_of(points) for how, what in drawn if how != "letter" for _, points in what if points]
    boxes += [_letter_box(place, text) for place, text in letters]
    return Glyph(paths, letters, around(boxes), drop)


Steps = list[tuple[str, list[Point]]]
"""A path as commands with their points; a ring keeps its box corners under 'O'."""


def _read(svg: ElementTree.Element) -> list[tuple[str, Steps]]:
    """What schemdraw's SVG holds, in absolute rounded points."""
    out: list[tuple[str, Steps]] = []
    for part in svg.iter():
        tag = part.tag.split("}")[-1]
        style = part.get("style", "")
        if tag == "circle":
            x, y, r = (float(part.get(name, "0")) for name in ("cx", "cy", "r"))
            out.append((_paint(style), [("O", [_point(x - r, y - r), _point(x + r, y + r)])]))
        elif tag == "path":
            out.append((_paint(style), _steps(part.get("d", ""))))
        elif tag in ("polygon", "polyline"):
            points = _points(part.get("points", ""))
            close = [("Z", [])] if tag == "polygon" else []
            out.append((_paint(style), [("M", points[:1]), ("L", points[1:]), *close]))
        elif tag == "text":
            text = "".join(part.itertext()).strip()
            out.append(("letter", [(text, [_letter_place(part)])]))
    return out


def _letter_place(part: ElementTree.Element) -> Point:
    """The middle of a letter: schemdraw sets it one line below the text's own place."""
    drops = [float(span.get("dy", "0")) for span in part]
    return _point(float(part.get("x", "0")), float(part.get("y", "0")) + sum(drops))


def _paint(style: str) -> str:
    """How a part is painted, from schemdraw's style."""
    if "fill:black" in style:
        return "solid"
    if re.search(rf"stroke-width:{iec.THIN}\b", style):
        return "thin"
    if "fill:white" in style:
        return "hollow"
    dash = re.search(r"stroke-dasharray:([^;]*)", style)
    return "dash" if dash and dash[1] not in ("-", "") else "line"


def _steps(path: str) -> Steps:
    """Path text → commands with absolute points."""
    found = re.findall(r"([MLCQZ])([^MLCQZ]*)", path)
    return [(command, _points(numbers)) for command, numbers in found]


def _points(text: str) -> list[Point]:
    numbers = [float(n) for n in re.findall(r"-?\d+\.?\d*(?:e-?\d+)?", text)]
    return [_point(x, y) for x, y in zip(numbers[::2], numbers[1::2], strict=True)]


def _point(x: float, y: float) -> Point:
    return Point(_tidy(x), _tidy(y))


def _tidy(value: float) -> float:
    """Rounded to a tenth of a pixel, without a minus zero."""
    return round(value, 1) + 0.0


def _mapped(steps: Steps, move: Callable[[Point], Point]) -> Steps:
    """The steps with every point moved."""
    return [(command, [move(p) for p in points]) for command, points in steps]


def _joined(drawn: list[tuple[str, Steps]]) -> tuple[tuple[str, str], ...]:
    """One path text for each way of painting, hollow parts last so that they hide the line under them."""
    order = ("line", "thin", "dash", "solid", "hollow")
    texts = {how: "".join(_text(steps) for kind, steps in drawn if kind == how) for how in order}
    return tuple((how, texts[how]) for how in order if texts[how])


def _text(steps: Steps) -> str:
    out = ""
    for command, points in steps:
        if command == "O":
            (x0, x1), (y0, y1) = (sorted(side) for side in zip(*points, strict=True))
            r, middle = (x1 - x0) / 2, (y0 + y1) / 2
            out += (
                f"M{number(x0)} {number(middle)}a{number(r)} {number(r)} 0 1 0 {number(2 * r)} 0"
                f"a{number(r)} {number(r)} 0 1 0 {number(-2 * r)} 0"
            )
        elif command == "Z":
            out += "Z"
        elif points:
            out += command + " ".join(f"{number(p.x)} {number(p.y)}" for p in points)
    return out


def _letter_box(place: Point, text: str) -> Box:
    half = width(text, iec.LETTER) / 2
    return Box(place.x - half, place.y - 8, place.x + half, place.y + 8)


@lru_cache(maxsize=65536)
def number(value: float) -> str:
    """A coordinate as it is written: at most one decimal, no minus zero.

    >>> number(12.04), number(-0.01), number(3.25)
    ('12', '0', '3.2')
    """
    return f"{round(value, 1) + 0.0:g}" if abs(value) < 1e5 else f"{value:.0f}"
