"""Words as plain text that goes into a data block, with foreign scripts kept from turning round what stands beside them."""

from __future__ import annotations

from ..text import Id, Inline, Lines, isolated


def said(words: Inline) -> str:
    """The words alone.

    >>> said(("5 A, ", ("way 7", "")))
    '5 A, way 7'
    """
    if isinstance(words, str):
        return isolated(words)
    if isinstance(words, tuple):
        return "".join([said(part) for part in words])
    if isinstance(words, Lines):
        return "; ".join([said(part) for part in words.parts])
    return isolated(words.text) if isinstance(words, Id) else said(words.words)


def capital(text: str) -> str:
    """With a capital first letter, the rest as it is."""
    return text[:1].upper() + text[1:]
