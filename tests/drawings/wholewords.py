"""Words that a drawing prints cut: what stands on the sheets, beside the words that its labels are made of."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import fields, is_dataclass

from loombook.drawings.labels import WORDS
from loombook.drawings.metrics import clean
from loombook.drawings.model import Sheet
from loombook.drawings.scene import Scene

FRAME = ("frame", "note")
"""Items of the paper, not of what is drawn."""


def cut_words(sheets: Iterable[Sheet], drawn: Iterable[Scene]) -> list[str]:
    """Words on the scenes that are neither a word of the sheets nor a part of one at a hyphen or stroke.

    Args:
        sheets: what was to be drawn
        drawn: what was drawn, references filled in
    """
    known = {part for sheet in sheets for text in (*_texts(sheet), *WORDS.values()) for part in _parts(text)}
    known |= {"from", "to", "feeds", "goes", "on", "comes", "continued"}
    return [
        f"{scene.name}, {item.key}: {word}"
        for scene in drawn
        for item in scene.items
        if item.role not in (*FRAME, "reference")
        for text in item.texts
        for word in _bare(text.text)
        if word not in known
    ]


def _bare(text: str) -> list[str]:
    return [word for word in text.replace("…", " ").split() if word]


def _parts(text: str) -> Iterator[str]:
    """Each word, and each run of its parts between hyphens and strokes; with the comma that joins figures."""
    for word in clean(text).split():
        pieces = re.findall(r"[^/\-–]*[/\-–]+|[^/\-–]+", word)
        for start in range(len(pieces)):
            for end in range(start + 1, len(pieces) + 1):
                part = "".join(pieces[start:end])
                yield part
                yield f"{part},"


def _texts(value: object) -> Iterator[str]:
    """Every text anywhere in a value."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, tuple | frozenset):
        for one in value:
            yield from _texts(one)
    elif is_dataclass(value):
        for field in fields(value):
            yield from _texts(getattr(value, field.name))
