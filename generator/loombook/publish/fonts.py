"""Fonts for paper: those that come with Matplotlib, and of the machine's own only what shows letters that these lack."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from importlib.util import find_spec
from pathlib import Path

import typst
from fontTools.ttLib import TTFont

TEXT = "DejaVuSans.ttf"
"""What the sheets are set in."""
_RARE = re.compile("[^\x00-\u04ff\u2000-\u2bff]")
"""Neither European letters nor signs: those DejaVu Sans has."""
LAST = "Last Resort High-Efficiency"
"""The font that has a box for every letter, with the name of its script; it comes with Matplotlib too."""


@dataclass(frozen=True)
class Chosen:
    """Where fonts are found, and the names of those that are asked between the text's own and the last resort."""

    fonts: typst.Fonts
    families: tuple[str, ...] = ()
    unshown: frozenset[str] = frozenset()
    """Letters that no font here has: they are printed as boxes."""


def chosen(texts: Iterable[str]) -> Chosen:
    """The fonts that these texts need. The same everywhere, unless they hold letters that DejaVu Sans does not have."""
    missing = {letter for text in texts for letter in _RARE.findall(text)} - _held(str(_ours() / TEXT))
    return _with_the_machines(frozenset(letter for letter in missing if letter.isalnum() or ord(letter) > 0x2FFF))


@cache
def _with_the_machines(missing: frozenset[str]) -> Chosen:
    """Those of the machine's fonts that together show most of the letters; few, and always the same ones."""
    left, found = set(missing), []
    known = (
        {
            font.family: font.path
            for font in sorted(_machines(), key=lambda font: (font.family, font.path), reverse=True)
        }
        if left
        else {}
    )
    while left:
        best = max(sorted(known), key=lambda family: len(left & _held(known[family])), default=None)
        if best is None or not left & _held(known[best]):
            break
        left -= _held(known[best])
        found.append(best)
    folders = [str(_ours()), *dict.fromkeys(str(Path(known[family]).parent) for family in found)]
    fonts = typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=folders)
    return Chosen(fonts, tuple(found), frozenset(left))


def _machines() -> list[typst.FontInfo]:
    """Upright fonts of middle weight, one a file."""
    found = typst.Fonts(include_system_fonts=True, include_embedded_fonts=False).fonts()
    return [
        font for font in found if font.path and font.index == 0 and font.style == "normal" and 300 <= font.weight <= 500
    ]


@cache
def _held(path: str) -> frozenset[str]:
    """The letters that a font can show."""
    with TTFont(path, fontNumber=0, lazy=True) as font:
        return frozenset(map(chr, font.getBestCmap() or ()))


@cache
def _ours() -> Path:
    return Path(find_spec("matplotlib").submodule_search_locations[0]) / "mpl-data" / "fonts" / "ttf"
