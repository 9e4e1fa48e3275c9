"""What a YAML parser's complaint means to somebody who has never heard of YAML."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import yaml

from ..diagnostics import Place


@dataclass(frozen=True)
class _Meaning:
    """What to say where the parser's words hold `found`; `opening` points where the thing begins, not where it ends."""

    found: str
    message: str
    help: str
    opening: bool = False


_QUOTE = 'put the text in quotation marks: `"like this"`'
_FIT = "lines that belong together begin in the same column"
_CLOSE = "close it with the same sign"

_UNKNOWN = _Meaning("", "this cannot be read", "check the indentation, the colons and the quotation marks here")
_COLON = _Meaning(
    "mapping values are not allowed",
    "a colon where none can be",
    "a text with a colon in it stands in quotation marks; else check the indentation",
)
_NO_COLON = _Meaning(
    "could not find expected ':'",
    "a key without its colon",
    "write `key: value`, with a space after the colon",
    opening=True,
)
_NO_KEY = _Meaning("", "a key is missing before the colon", "write the key, or remove the colon")

_MEANINGS = (
    _COLON,
    _NO_COLON,
    _Meaning(
        "block sequence entries are not allowed",
        "a list item where none can be",
        "begin the list on a line of its own below its key",
    ),
    _Meaning(
        "while scanning a quoted scalar found unexpected", "a quotation mark that is not closed", _CLOSE, opening=True
    ),
    _Meaning(
        "found unknown escape character",
        "a `\\` inside double quotation marks",
        "use single quotation marks, or write `\\\\`",
    ),
    _Meaning(
        "expected hexdecimal number",
        "a `\\` inside double quotation marks",
        "use single quotation marks, or write `\\\\`",
    ),
    _Meaning(
        "found invalid Unicode character",
        "a `\\` inside double quotation marks",
        "use single quotation marks, or write `\\\\`",
    ),
    _Meaning("found character that cannot start any token", "a text cannot begin with this sign", _QUOTE),
    _Meaning("while scanning an anchor", "a text cannot begin with `&` or `*`", _QUOTE),
    _Meaning("while scanning an alias", "a text cannot begin with `&` or `*`", _QUOTE),
    _Meaning("while scanning a tag", "a text cannot begin with `!`", _QUOTE),
    _Meaning("while parsing a tag", "a text cannot begin with `!`", _QUOTE),
    _Meaning("undefined tag handle", "a text cannot begin with `!`", _QUOTE),
    _Meaning("while scanning a block scalar", "a text cannot begin with `|` or `>`", _QUOTE),
    _Meaning("while scanning a directive", "a line cannot begin with `%`", _QUOTE),
    _Meaning("directive", "a line cannot begin with `%`", _QUOTE),
    _Meaning("did not find expected <document start>", "a line cannot begin with `%`", _QUOTE),
    _Meaning(
        "while parsing a flow",
        "a bracket that is not closed, or a comma that is missing",
        "close it with the same kind of bracket; a text with a bracket or comma in it stands in quotation marks",
        opening=True,
    ),
    _Meaning("did not find expected '-' indicator", "this line does not fit the list around it", _FIT),
    _Meaning("did not find expected key", "this line does not fit the lines around it", _FIT),
    _Meaning("tab character", "a tab", "use spaces"),
    _Meaning(
        "exceeded maximum nesting depth",
        "brackets within brackets, too deep",
        "no part of an inventory is nested so; check that each bracket is closed",
    ),
)


def explain(error: yaml.YAMLError, text: str, file: str) -> dict[str, Any]:
    """The refusal's rule, message, place and help."""
    words = " ".join(str(getattr(error, part, None) or "") for part in ("context", "problem", "reason"))
    meaning = next((m for m in _MEANINGS if m.found in words), _UNKNOWN)
    mark = getattr(error, "problem_mark", None)
    if meaning.opening:
        mark = getattr(error, "context_mark", None) or mark
    lines = text.split("\n")
    place = _inside(Place(file, mark.line + 1, mark.column + 1) if mark else Place(file, 1, 1), lines)
    sign = lines[place.line - 1][place.column - 1 : place.column]
    if meaning is _COLON and (line := _without_colon(lines, place.line)):
        meaning, place = _NO_COLON, Place(file, line, 1 + len(lines[line - 1]) - len(lines[line - 1].lstrip()))
    elif meaning.found == "did not find expected key" and sign == ":":
        meaning = _NO_KEY
    return {
        "rule": "not-yaml",
        "message": meaning.message.replace("this sign", "a backtick" if sign == "`" else f"`{sign}`"),
        "place": place,
        "help": meaning.help,
    }


def _without_colon(lines: list[str], number: int) -> int | None:
    """The line above `number` that has no colon and so was read together with it."""
    for above in range(number - 1, 0, -1):
        written = lines[above - 1].split(" #")[0].strip()
        if written and not written.startswith("#"):
            is_text = not (written.endswith(":") or ": " in written or written[0] in "-[{\"'|>")
            return above if is_text else None
    return None


def _inside(place: Place, lines: list[str]) -> Place:
    """The place, or the end of the last line written where the parser points below it."""
    number = min(place.line, len(lines))
    while number > 1 and not lines[number - 1].strip():
        number -= 1
    if number == place.line:
        return place
    return Place(place.file, number, max(1, len(lines[number - 1].rstrip())))
