"""How wide a text prints, from a real font's tables, and how it wraps at words."""

from __future__ import annotations

import re
import unicodedata
from functools import cache, lru_cache
from importlib.util import find_spec
from pathlib import Path

SIZE = 13.5
"""Font size of all notes [px]. A capital stands 0.716 em high in the narrowest of the named fonts: 2.56 mm on paper."""
PITCH = 16.5
"""From one line of a label to the next [px]."""
ASCENT = 0.93
"""Line box above the baseline [em], the larger of the usual sans fonts."""
DESCENT = 0.24
"""Line box below the baseline [em]."""
ELLIPSIS = "…"

_UNKNOWN = 1.35  # [em] a sign outside the table: as wide as the widest common fallback sign


@cache
def _advances(bold: bool) -> dict[int, float]:
    """Advance width of each sign [em], the larger of two fonts.

    From the tables that come with Matplotlib: DejaVu Sans, the widest of the fonts a reader's machine falls back to,
    and Helvetica, whose widths Arial and Liberation Sans share. What fits here fits in the fonts between them.
    """
    from fontTools.ttLib import TTFont

    fonts = Path(find_spec("matplotlib").submodule_search_locations[0]) / "mpl-data" / "fonts"
    font = TTFont(fonts / "ttf" / ("DejaVuSans-Bold.ttf" if bold else "DejaVuSans.ttf"), lazy=True)
    widths, em = font["hmtx"], font["head"].unitsPerEm
    table = {code: widths[name][0] / em for code, name in font.getBestCmap().items()}
    core = fonts / "pdfcorefonts" / ("Helvetica-Bold.afm" if bold else "Helvetica.afm")
    for code, wide in re.findall(r"^C (\d+) ; WX (\d+) ", core.read_text(encoding="latin-1"), re.MULTILINE):
        if int(code) < 127:  # above that the file counts in an encoding of its own
            table[int(code)] = max(table[int(code)], int(wide) / 1000)
    return table


def clean(text: str) -> str:
    """The text without control and direction-override signs, on one line.

    >>> clean("Bilge\\n\\u202epump\\x07")
    'Bilge pump'
    """
    if text.isprintable():
        return text.strip()
    kept = (" " if c in "\t\n\r" else c for c in text)
    return "".join(c for c in kept if unicodedata.category(c) not in ("Cc", "Cf", "Cs", "Co", "Cn")).strip()


def measured(text: str) -> bool:
    """True when the table knows every sign, so the width is a figure and not a guess."""
    if text.isascii():
        return True
    table = _advances(False)
    return all(ord(c) in table and ord(c) < 0x0590 or 0x2000 <= ord(c) < 0x2C00 and ord(c) in table for c in text)


@lru_cache(maxsize=65536)
def width(text: str, size: float = SIZE, bold: bool = False) -> float:
    """How wide the text prints [px], never less than in the reader's font.

    >>> width("70 mm²") < width("120 mm²")
    True
    >>> width("") == 0
    True
    """
    table = _advances(bold)
    return sum(table.get(ord(c), _UNKNOWN) for c in text) * size


def wrap(
    text: str, room: float, size: float = SIZE, bold: bool = False, most: int = 3, taken: float = 0.0
) -> list[str]:
    """The text in lines that fit the room, broken at words; a word too long is cut; the rest becomes an ellipsis.

    Args:
        text: what to write; control signs are left out
        room: width of a line [px]
        size: font size [px]
        bold: heavy type
        most: number of lines at most
        taken: width at the beginning of the first line that something else fills [px]; the first line is empty when
            no word fits behind it

    >>> wrap("Navigation lights forward", 90)
    ['Navigation', 'lights', 'forward']
    >>> wrap("Navigation lights forward", 90, most=2)
    ['Navigation', 'lights…']
    >>> wrap("charger 24 V 60 A", 60)
    ['charger', '24 V', '60 A']
    """
    return list(_wrapped(text, round(room, 1), size, bold, most, round(taken, 1)))


@lru_cache(maxsize=16384)
def _wrapped(text: str, room: float, size: float, bold: bool, most: int, taken: float) -> tuple[str, ...]:
    lines: list[str] = []
    line = ""
    for word in _words(clean(text)):
        left = room - (0.0 if lines else taken)
        if width((line + word).rstrip(" "), size, bold) > left and (line or (taken and not lines)):
            lines.append(line.rstrip(" "))
            line = ""
        line += word
        while width(line.rstrip(" "), size, bold) > room and len(line) > 1:
            cut = _fitting(line, room, size, bold)
            kept = line.rfind("\u00a0", 1, cut + 1)  # rather part figure and unit than cut a word
            lines.append(line[: kept if kept > 0 else cut])
            line = line[kept + 1 if kept > 0 else cut :]
        if len(lines) > most:
            break
    if line.strip(" "):
        lines.append(line.rstrip(" "))
    if len(lines) > most:
        lines = lines[:most]
        lines[-1] = _shortened(lines[-1], room if most > 1 else room - taken, size, bold)
    return tuple(line.replace("\u00a0", " ") for line in lines)


@lru_cache(maxsize=16384)
def longest_word(text: str, size: float = SIZE, bold: bool = False) -> float:
    """How wide a line must be so that no word of the text is cut [px].

    >>> longest_word("WATER MICROWAVE") == width("MICROWAVE")
    True
    >>> longest_word("250 A") == width("250")
    True
    """
    words = (part for word in _words(clean(text)) for part in word.split("\u00a0"))
    return max((width(word.rstrip(" "), size, bold) for word in words), default=0.0)


_UNIT = re.compile(r"(?<=[\d×]) (?=[A-Za-zΩµ°%²³]{1,3}\b|mm²|m²|×|%)|(?<=×) (?=\d)|(?<=[a-z]) (?=[A-Z]$)")


def _words(text: str) -> list[str]:
    """The text cut after each place where a line may end: spaces, strokes and hyphens; not between figure and unit."""
    text = _UNIT.sub("\u00a0", text)
    words, word = [], ""
    for c, following in zip(text, f"{text[1:]} ", strict=False):
        word += c
        if c == " " or (c in "/-–" and following.isalpha() and len(word) > 2):
            words.append(word)
            word = ""
    return [*words, word] if word else words


def _fitting(line: str, room: float, size: float, bold: bool) -> int:
    """How many signs of the line fit, at least one."""
    count = 1
    while count < len(line) and width(line[: count + 1], size, bold) <= room:
        count += 1
    return count


def _shortened(line: str, room: float, size: float, bold: bool) -> str:
    """The line with an ellipsis at its end, in place of its last words; a lone word loses letters."""
    while line and width(line + ELLIPSIS, size, bold) > room:
        shorter = re.sub(r"[ \u00a0][^ \u00a0]*$", "", line)
        line = shorter if shorter not in ("", line) else line[:-1]
    return line.rstrip() + ELLIPSIS
