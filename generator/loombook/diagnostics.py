"""A located message: what is wrong or found, where, and what would help; as text, JSON or CI annotations."""

from __future__ import annotations

import json
import re
import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from difflib import SequenceMatcher, get_close_matches
from functools import lru_cache

_LONGEST = 80
"""Letters of what a message quotes from a file."""
_FEW = 100
"""Known names that are all compared with a slip."""
_WIDEST = 160
"""Letters of a line shown."""
_QUOTE = re.compile(r"`([^`]*)`")


@dataclass(frozen=True, order=True)
class Place:
    """A stretch of one line of one file; lines and columns count from 1, columns in characters."""

    file: str
    line: int
    column: int
    length: int = 1

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


@dataclass(frozen=True)
class Note:
    """A line below the message: a tag such as `source`, `clears` or `help`, and what it says."""

    tag: str
    text: str
    place: Place | None = None


@dataclass(frozen=True)
class Diagnostic:
    """One message.

    `level` is `error` for input that cannot be used, `A`, `B` or `C` for a finding, `unknown` for what cannot be
    checked.
    `message` is general, in lower case, without a full stop; `here` says what the caret points at.
    """

    level: str
    rule: str
    message: str
    place: Place | None = None
    here: str = ""
    notes: tuple[Note, ...] = ()

    @property
    def order(self) -> tuple:
        """Where it stands in a list: by file and line, then by rule."""
        return (self.place or Place("", 0, 0), self.rule, self.message)


class InventoryError(Exception):
    """The inventory cannot be used. Carries every message found, ready to print; `more` if the search was given up."""

    def __init__(self, diagnostics: Iterable[Diagnostic], sources: Mapping[str, str], more: bool = False) -> None:
        self.more = more
        self.diagnostics = tuple(sorted(diagnostics, key=lambda d: d.order))
        self.sources = dict(sources)
        super().__init__(self.text)

    @property
    def text(self) -> str:
        """All messages as they are printed, with a closing count."""
        count = len(self.diagnostics)
        counted = f"{count} error{'s' * (count != 1)} in the inventory"
        if self.more:
            counted += ", and there may be more: begin with the first"
        return f"{as_text(self.diagnostics, self.sources)}\n{counted}\n"


def near(word: str, known: Iterable[str], limit: int = 3) -> list[str]:
    """The known words that `word` may be a slip of, the nearest first.

    >>> near("ratting", ["rating", "name"]), near("agm", ["gel lead-acid", "agm lead-acid"])
    (['rating'], ['agm lead-acid'])
    """
    return list(_near(word.casefold()[:80], tuple(sorted(known)), limit))


@lru_cache(maxsize=256)  # one slip is often made many times
def _near(word: str, known: tuple[str, ...], limit: int) -> tuple[str, ...]:
    if len(known) > _FEW:  # a slip in the first letter is rare, and thousands of comparisons are slow
        known = tuple(name for name in known if name[:1].casefold() == word[:1])
    by_folded = {name.casefold(): name for name in known}
    close = get_close_matches(word, by_folded, n=limit, cutoff=0.6)
    if close:
        likeness = {folded: SequenceMatcher(None, folded, word).ratio() for folded in close}
        close = sorted((f for f in close if likeness[f] > likeness[close[0]] - 0.15), key=lambda f: (-likeness[f], f))
    elif len(word) > 1:
        close = [folded for folded in by_folded if word in folded.split()][:limit]
    return tuple(by_folded[folded] for folded in close)


def did_you_mean(word: str, known: Iterable[str], limit: int = 3) -> str:
    """A help sentence naming the nearest known words, or an empty string.

    >>> did_you_mean("ratting", ["rating", "name"])
    'did you mean `rating`?'
    """
    names = near(word, known, limit)
    return f"did you mean {' or '.join(f'`{name}`' for name in names)}?" if names else ""


def _cells(text: str) -> int:
    """Columns that a terminal gives to `text`; wide East Asian letters take two."""
    return sum(0 if unicodedata.combining(c) else 2 if unicodedata.east_asian_width(c) in "WF" else 1 for c in text)


def _printable(text: str) -> str:
    """Control characters made visible, so that a file cannot steer the reader's terminal."""
    if text.isprintable():
        return text
    return "".join(c if c.isprintable() else " " if c.isspace() else "\N{REPLACEMENT CHARACTER}" for c in text)


def _said(text: str) -> str:
    """A sentence of ours; what it quotes from a file may be endless."""
    return _printable(_QUOTE.sub(lambda q: q[0] if len(q[1]) <= _LONGEST else f"`{q[1][:_LONGEST]} …`", text))


def _excerpt(place: Place, here: str, lines: Mapping[str, list[str]]) -> list[str]:
    written = lines.get(place.file, [])
    if not 1 <= place.line <= len(written):
        return []
    line = written[place.line - 1]
    if not line.strip():
        return []
    start = place.column - 1
    if start > 120:  # a very long line: show the stretch around the caret
        line, start = "…" + line[start - 60 :], 61
    line = _printable(line if len(line) <= _WIDEST else line[: _WIDEST - 1] + "…").rstrip()
    length = max(1, min(place.length, len(line) - start))
    gutter = str(place.line)
    caret = " " * _cells(line[:start]) + "^" * max(1, _cells(line[start : start + length]))
    pad = " " * len(gutter)
    return [f"{gutter} | {line}", f"{pad} | {caret}{' ' + here if here else ''}"]


def _text_of(diagnostic: Diagnostic, written: Mapping[str, list[str]]) -> str:
    lines = [f"{diagnostic.level}  {diagnostic.rule}  {_said(diagnostic.message)}"]
    if diagnostic.place:
        lines.append(f"  --> {_said(str(diagnostic.place))}")
        lines += _excerpt(diagnostic.place, diagnostic.here, written)
    width = max((len(note.tag) for note in diagnostic.notes), default=0)
    for note in diagnostic.notes:
        where = f"{note.place}  " if note.place else ""
        lines.append(f"   = {note.tag.ljust(width)}  {_said(where + note.text)}")
    return "\n".join(lines)


def as_text(diagnostics: Iterable[Diagnostic], sources: Mapping[str, str]) -> str:
    """The messages for a terminal, each with the user's own line and a caret."""
    lines = {file: text.split("\n") for file, text in sources.items()}
    return "\n\n".join(_text_of(d, lines) for d in diagnostics) + "\n"


def as_json(diagnostics: Iterable[Diagnostic]) -> str:
    """The messages as a JSON list, for editors and scripts."""

    def place(p: Place | None) -> dict | None:
        return p and {"file": p.file, "line": p.line, "column": p.column, "length": p.length}

    rows = [
        {
            "level": d.level,
            "rule": d.rule,
            "message": d.message,
            "place": place(d.place),
            "here": d.here,
            "notes": [{"tag": n.tag, "text": n.text, "place": place(n.place)} for n in d.notes],
        }
        for d in diagnostics
    ]
    return json.dumps(rows, ensure_ascii=False, indent=1) + "\n"


def as_annotations(diagnostics: Iterable[Diagnostic]) -> str:
    """The messages as workflow annotations, the form in which build services mark a line of a change."""
    kinds = {"error": "error", "A": "error", "B": "warning"}

    def escape(text: str) -> str:
        return text.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")

    def escape_file(text: str) -> str:
        return escape(text).replace(":", "%3A").replace(",", "%2C")

    lines = []
    for d in diagnostics:
        where = f" file={escape_file(d.place.file)},line={d.place.line},col={d.place.column}" if d.place else ""
        lines.append(f"::{kinds.get(d.level, 'notice')}{where}::{escape(f'{d.rule} {d.message}')}")
    return "\n".join(lines) + "\n"
