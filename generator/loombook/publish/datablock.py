"""The fault finder's data as a block that stands in a page: links made to work there, nothing in it that could be markup."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from typing import Any

PLACEHOLDER = "<!--find-->"
"""Where a page of the manual wants the block."""

LONG = 8
"""A text no longer than this is not worth keeping apart."""
_SIGNS = str.maketrans({"<": "\\u003c", ">": "\\u003e", "&": "\\u0026", "\u2028": "\\u2028", "\u2029": "\\u2029"})


def block(data: Mapping[str, Any], address: Callable[[str], str | None]) -> str:
    """The `<script>` element that the finder reads.

    Args:
        data: from `manual.find.find_data`
        address: `item:F12` → where that leads from the page, or None for no link
    """
    text = json.dumps(packed(_linked(data, address)), ensure_ascii=False, separators=(",", ":")).translate(_SIGNS)
    return f'<script type="application/json" id="lb-find-data">{text}</script>'


def _linked(value: Any, address: Callable[[str], str | None]) -> Any:
    if isinstance(value, Mapping):
        found = {key: address(inner) if key == "url" else _linked(inner, address) for key, inner in value.items()}
        return {key: inner for key, inner in found.items() if inner is not None}
    return [_linked(inner, address) for inner in value] if isinstance(value, (list, tuple)) else value


def packed(value: Any) -> dict[str, Any]:
    """The value with every text that it says more than once kept once, because a phone's file is to be small.

    In `value` a text `=12` stands for the twelfth of `texts`; one that begins with such a sign itself has it twice. The
    finder's script undoes it.

    >>> packed(["one and the same", "one and the same", "=1"])
    {'texts': ['one and the same'], 'value': ['=0', '=0', '==1']}
    """
    counts = Counter(_texts(value))
    number = {
        text: str(n) for n, text in enumerate(text for text, count in counts.items() if count > 1 and len(text) > LONG)
    }

    def short(inner: Any) -> Any:
        if isinstance(inner, Mapping):
            return {key: short(v) for key, v in inner.items()}
        if isinstance(inner, list):
            return [short(v) for v in inner]
        if not isinstance(inner, str):
            return inner
        return f"={number[inner]}" if inner in number else f"={inner}" if inner.startswith("=") else inner

    return {"texts": list(number), "value": short(value)}


def _texts(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, (Mapping, list)):
        for inner in value.values() if isinstance(value, Mapping) else value:
            yield from _texts(inner)
