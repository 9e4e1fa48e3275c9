"""Cuts drawings for paper: sheets of their own, columns of a long strip, and where on them a link may be touched."""

from __future__ import annotations

import html
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from loombook.publish import svg

PX = 0.75
"""Points in a pixel of a drawing."""
ROOM = 504.0
"""Width for a drawing on a standing sheet [pt]."""
SHORT, COLUMN = 330.0, 590.0
"""The highest that a drawing in the text stays whole, and the highest column of a longer one [pt]."""
GAP = 14.0
"""Between two columns [pt]."""
PAPERS = {"A4": (796.0, 515.0), "A3": (1145.0, 760.0)}
"""Room on a lying sheet of a drawing's own [pt]."""

_BOX = re.compile(r'viewBox="0 0 ([\d.]+) ([\d.]+)"')
_PAPER = re.compile(r'data-paper="(A\d)"')
_TOUCH = re.compile(
    r'<a [^>]*?href="([^"]*)"[^>]*>(?:<title>[^<]*</title>)?'
    r'<rect x="(-?[\d.]+)" y="(-?[\d.]+)" width="([\d.]+)" height="([\d.]+)"'
)
_TEXT = re.compile(r'(<g transform="[^"]*">.*?</g>)|<text [^>]*?y="(-?[\d.]+)"[^>]*>.*?</text>')
_LINE = 30.0
"""Room above and below a line of text that its letters cannot leave [px]."""
_FONTS = re.compile(r"font-family:[^;\"]*")
_SIZE = re.compile(r'viewBox="[^"]*" width="[^"]*" height="[^"]*"')


@dataclass(frozen=True)
class Spot:
    """A place on a drawing that leads to `target`, in pixels of the drawing."""

    target: str
    x: float
    y: float
    wide: float
    high: float


@dataclass(frozen=True)
class Piece:
    """A part of a drawing from one height to another, and the scale at which it is shown [pt in a pixel]."""

    top: float
    high: float
    wide: float
    scale: float


@dataclass(frozen=True)
class Figure:
    """A drawing of the manual as the printer sees it."""

    text: str

    @property
    def paper(self) -> str:
        """`A3` or `A4` for a sheet of its own; nothing for a drawing that stands in the text."""
        found = _PAPER.search(self.text[:1000])
        return found[1] if found and found[1] in PAPERS else ""

    @cached_property
    def size(self) -> tuple[float, float]:
        found = _BOX.search(self.text)
        return (float(found[1]), float(found[2])) if found else (ROOM, SHORT)

    @cached_property
    def spots(self) -> tuple[Spot, ...]:
        return tuple(Spot(html.unescape(m[1]), *map(float, m.groups()[1:])) for m in _TOUCH.finditer(self.text))

    def pieces(self) -> list[Piece]:
        """The drawing whole, or a long one in columns of about the same height."""
        wide, high = self.size
        if self.paper:
            room = PAPERS[self.paper]
            return [Piece(0, high, wide, min(room[0] / wide, room[1] / high))]
        scale = min(PX, ROOM / wide)
        narrow = min(0.6, (ROOM - GAP) / 2 / wide)
        if high * scale <= SHORT or narrow < 0.5:
            return [Piece(0, high, wide, min(scale, COLUMN / high))]
        count = max(2, -int(-high * narrow // COLUMN))
        cuts = [0.0, *(self._cut(high * k / count) for k in range(1, count)), high]
        return [Piece(top, low - top, wide, narrow) for top, low in zip(cuts, cuts[1:], strict=False) if low > top]

    def _cut(self, about: float) -> float:
        """The height nearest to `about` at which no name or symbol is cut through."""
        taken = sorted((spot.y - 2, spot.y + spot.high + 2) for spot in self.spots)
        free = [about, *(edge for pair in taken for edge in pair)]
        whole = [y for y in free if not any(top < y < low for top, low in taken) and 0 < y < self.size[1]]
        return round(min(whole, key=lambda y: (abs(y - about), y), default=about), 1)

    def cropped(self, piece: Piece) -> str:
        """SVG of a piece, black on white, in the one font that the printer has; without words that are not on it."""
        text = _FONTS.sub("font-family:'DejaVu Sans'", svg.standalone(self.text))
        if piece.high == self.size[1]:
            return text

        def shown(match: re.Match) -> str:
            symbol, y = match.groups()
            on_it = symbol or -_LINE < float(y) - piece.top < piece.high + _LINE
            return match[0] if on_it else ""

        view = f'viewBox="0 {piece.top:g} {piece.wide:g} {piece.high:g}" width="{piece.wide:g}" height="{piece.high:g}"'
        return _TEXT.sub(shown, _SIZE.sub(view, text, count=1))

    def on(self, piece: Piece) -> Iterator[Spot]:
        """The spots of a piece, in points from its upper left corner."""
        for spot in self.spots:
            if piece.top <= spot.y + spot.high / 2 <= piece.top + piece.high:
                k = piece.scale
                yield Spot(spot.target, spot.x * k, (spot.y - piece.top) * k, spot.wide * k, spot.high * k)
