"""The symbols of IEC 60617 that schemdraw does not bring, drawn as schemdraw elements, upright, supply on top.

Shapes are redrawn from the common form of each symbol as taught in the trade (from memory, IEC 60617 was not at hand);
one unit is 30 px. The supply end is the anchor `start` at (0, 0), the other end is `end`, straight below.
"""

from __future__ import annotations

from collections.abc import Iterable

from schemdraw.elements import Element
from schemdraw.segments import Segment, SegmentBezier, SegmentCircle, SegmentPoly, SegmentText

Part = Segment | SegmentCircle | SegmentPoly | SegmentText | SegmentBezier

LETTER = 14
"""Size of a letter inside a symbol [px]."""


class Upright(Element):
    """A symbol made of the given parts, from its supply end down to its other end."""

    def __init__(self, parts: Iterable[Part], height: float):
        super().__init__()
        self.segments.extend(parts)
        self.anchors["start"] = (0, 0)
        self.anchors["end"] = (0, -height)


class Across(Element):
    """A symbol made of the given parts, from its supply end at the left to its other end."""

    def __init__(self, parts: Iterable[Part], length: float):
        super().__init__()
        self.segments.extend(parts)
        self.anchors["start"] = (0, 0)
        self.anchors["end"] = (length, 0)


THIN = 0.5
"""Width that stands for a signal lead; the table of symbols reads it off."""


def line(*places: tuple[float, float], dashed: bool = False, thin: bool = False) -> Segment:
    """A line through the places."""
    return Segment(places, ls="--" if dashed else None, lw=THIN if thin else None)


def letter(text: str, y: float, x: float = 0) -> SegmentText:
    """A letter inside a symbol, its middle at the place."""
    return SegmentText((x, y), text, align=("center", "center"), fontsize=LETTER)


def box(half: float, top: float, bottom: float) -> SegmentPoly:
    """A rectangle about the axis."""
    return SegmentPoly([(-half, top), (half, top), (half, bottom), (-half, bottom)])


def wave(x: float, y: float, half: float = 0.2) -> SegmentBezier:
    """The sine sign of alternating current, its middle at the place."""
    return SegmentBezier([(x - half, y), (x - half / 3, y + 0.28), (x + half / 3, y - 0.28), (x + half, y)])


def direct(x: float, y: float, half: float = 0.2) -> list[Part]:
    """The sign of direct current, a line over a broken line, its middle at the place."""
    third = half * 2 / 5
    broken = [line((x - half + k * third, y - 0.07), (x - half + (k + 1) * third, y - 0.07)) for k in (0, 2, 4)]
    return [line((x - half, y + 0.07), (x + half, y + 0.07)), *broken]


# --- things in the line -----------------------------------------------------------------------------------------


def fuse() -> Element:
    """Fuse: a rectangle with the line through it."""
    return Upright([box(0.17, -0.15, -1.05), line((0, 0), (0, -1.2))], 1.2)


def resistor() -> Element:
    """Resistor: a rectangle in the line."""
    return Upright([line((0, 0), (0, -0.15)), box(0.17, -0.15, -1.05), line((0, -1.05), (0, -1.2))], 1.2)


def shunt() -> Element:
    """Measuring shunt: a resistor with its two sense taps, four terminals in all."""
    taps = [part for y in (-0.32, -0.88) for part in (line((-0.2, y), (-0.42, y)), SegmentCircle((-0.47, y), 0.05))]
    return Upright([line((0, 0), (0, -0.15)), box(0.2, -0.15, -1.05), line((0, -1.05), (0, -1.2)), *taps], 1.2)


HINGE, FIXED, TIP = (0, -0.95), (0, -0.3), (-0.36, -0.36)
MIDDLE = (-0.19, -0.65)


def contact(*marks: Part) -> Element:
    """Make contact in its idle position, with the marks of what it can do on its fixed side."""
    return Upright([line((0, 0), FIXED), line(TIP, HINGE, (0, -1.25)), *marks], 1.25)


def cross(y: float = FIXED[1]) -> list[Part]:
    """Breaks a fault current: the cross of a circuit breaker."""
    return [line((-0.1, y - 0.1), (0.1, y + 0.1)), line((-0.1, y + 0.1), (0.1, y - 0.1))]


def bar(y: float = FIXED[1]) -> Part:
    """Isolates: the short bar of a disconnector."""
    return line((-0.14, y), (0.14, y))


def bow(y: float = FIXED[1]) -> Part:
    """Contactor: the half circle on the fixed side."""
    return SegmentBezier([(0, y), (0.2, y), (0.2, y + 0.19), (0, y + 0.19)])


def hand() -> list[Part]:
    """Worked by hand: a broken link to a grip."""
    return [line(MIDDLE, (-0.5, MIDDLE[1]), dashed=True), line((-0.5, MIDDLE[1] + 0.16), (-0.5, MIDDLE[1] - 0.16))]


def breaker() -> Element:
    """Circuit breaker."""
    return contact(*cross())


def isolator() -> Element:
    """Switch-disconnector, worked by hand: ring and bar on the fixed side."""
    return Upright(
        [line((0, 0), (0, -0.19)), bar(-0.19), SegmentCircle((0, -0.26), 0.07), line(TIP, HINGE, (0, -1.25)), *hand()],
        1.25,
    )


def switch() -> Element:
    """Switch, worked by hand."""
    return contact(*hand())


def contactor() -> Element:
    """Contactor: half circle on the fixed side and the coil that works it."""
    return contact(
        bow(),
        line(MIDDLE, (-0.45, MIDDLE[1]), dashed=True),
        SegmentPoly([(-0.45, -0.5), (-0.63, -0.5), (-0.63, -0.8), (-0.45, -0.8)]),
    )


def paralleling() -> Element:
    """Switch that puts two banks side by side: a hand-worked isolator between two ring terminals."""
    return Upright(
        [
            SegmentCircle((0, -0.05), 0.05),
            line((0, -0.1), FIXED),
            bar(),
            line(TIP, HINGE, (0, -1.15)),
            SegmentCircle((0, -1.2), 0.05),
            *hand(),
        ],
        1.25,
    )


def bms() -> Element:
    """Battery management: a contactor worked by a control box."""
    return contact(
        bow(),
        line(MIDDLE, (-0.34, MIDDLE[1]), dashed=True),
        SegmentPoly([(-0.34, -0.4), (-0.7, -0.4), (-0.7, -0.9), (-0.34, -0.9)]),
        line((-0.62, -0.74), (-0.52, -0.54), (-0.42, -0.74)),
    )


def rcd() -> Element:
    """Residual-current breaker: a breaker, and the ring about the line that works it."""
    ring = [(0.22, -1.12), (0.22, -1.02), (-0.22, -1.02), (-0.22, -1.12)]
    under = [(0.22, -1.12), (0.22, -1.22), (-0.22, -1.22), (-0.22, -1.12)]
    return Upright(
        [
            line((0, 0), FIXED),
            *cross(),
            line(TIP, HINGE, (0, -1.4)),
            SegmentBezier(ring),
            SegmentBezier(under),
            line((-0.2, -1.12), (-0.42, -1.12), (-0.42, -0.65), MIDDLE, dashed=True),
        ],
        1.4,
    )


def changeover() -> Element:
    """Change-over switch: one blade, two fixed sides 0.4 left and right of the axis, the common end below."""
    return Upright(
        [
            line((-0.4, 0), (-0.4, -0.3)),
            line((0.4, 0), (0.4, -0.3)),
            line((-0.34, -0.34), (0, -0.95)),
            line((0, -0.95), (0, -1.25)),
        ],
        1.25,
    )


def diode() -> Element:
    """Diode, current from top to bottom."""
    return Upright(
        [
            line((0, 0), (0, -1.2)),
            SegmentPoly([(-0.28, -0.35), (0.28, -0.35), (0, -0.82)]),
            line((-0.28, -0.82), (0.28, -0.82)),
        ],
        1.2,
    )


def converter(before: str, behind: str) -> Element:
    """Converter: a square with a diagonal, the kind of current before and behind it ('ac' or 'dc')."""
    return Upright(
        [line((0, 0), (0, -0.12)), *converter_square(before, behind, 0, -0.72), line((0, -1.32), (0, -1.44))], 1.44
    )


def converter_across(before: str, behind: str) -> Element:
    """The same, from left to right."""
    return Across(
        [line((0, 0), (0.12, 0)), *converter_square(before, behind, 0.72, 0), line((1.32, 0), (1.44, 0))], 1.44
    )


def converter_square(before: str, behind: str, x: float, y: float) -> list[Part]:
    """The square about its middle."""
    corners = [(x - 0.6, y + 0.6), (x + 0.6, y + 0.6), (x + 0.6, y - 0.6), (x - 0.6, y - 0.6)]
    parts: list[Part] = [SegmentPoly(corners), line(corners[3], corners[1])]
    for kind, side in ((before, -1), (behind, 1)):
        at = (x + side * 0.27, y - side * 0.3)
        parts += [wave(*at)] if kind == "ac" else direct(*at)
    return parts


def transformer() -> Element:
    """Transformer with separate windings: two rings that cross."""
    return Upright(
        [
            line((0, 0), (0, -0.12)),
            SegmentCircle((0, -0.5), 0.38),
            SegmentCircle((0, -0.98), 0.38),
            line((0, -1.36), (0, -1.48)),
        ],
        1.48,
    )


def meter(sign: str) -> Element:
    """Measuring instrument in the line."""
    return Upright(
        [line((0, 0), (0, -0.12)), SegmentCircle((0, -0.57), 0.45), letter(sign, -0.57), line((0, -1.02), (0, -1.14))],
        1.14,
    )


def box_in_line(sign: str = "") -> Element:
    """Apparatus in the line, of any kind: a square with its letters."""
    signs = [letter(sign, -0.6)] if sign else []
    return Upright([line((0, 0), (0, -0.1)), box(0.55, -0.1, -1.1), *signs, line((0, -1.1), (0, -1.2))], 1.2)


def connector() -> Element:
    """Plug and socket: the socket's bow over the plug's bar."""
    return Upright(
        [
            line((0, 0), (0, -0.25)),
            SegmentBezier([(-0.26, -0.55), (-0.26, -0.15), (0.26, -0.15), (0.26, -0.55)]),
            SegmentPoly([(-0.08, -0.42), (0.08, -0.42), (0.08, -0.85), (-0.08, -0.85)], fill="black"),
            line((0, -0.85), (0, -1.1)),
        ],
        1.1,
    )


def bar_mark() -> Element:
    """A bar, seen along the line that passes it: a short heavy stroke across."""
    return Upright(
        [
            line((0, 0), (0, -0.5)),
            SegmentPoly([(-0.5, -0.18), (0.5, -0.18), (0.5, -0.32), (-0.5, -0.32)], fill="black"),
        ],
        0.5,
    )
