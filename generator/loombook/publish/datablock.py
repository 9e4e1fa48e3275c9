"""The fault finder's data as a block that stands in a page: links made to work there, nothing in it that could be markup."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from typing import Any

PLACEHOLDER = "<!--find-->"
"""Where a page of the manual wants the block."""

_SIGNS = str.maketrans({"<": "\\u003c", ">": "\\u003e", "&": "\\u0026", "\u2028": "\\u2028", "\u2029": "\\u2029"})


def block(data: Mapping[str, Any], address: Callable[[str], str | None]) -> str:
    """The `<script>` element that the finder reads.

    Args:
        data: from `manual.find.find_data`
        address: `item:F12` → where that leads from the page, or None for no link
    """
    text = json.dumps(_linked(data, address), ensure_ascii=False, separators=(",", ":")).translate(_SIGNS)
    return f'<script type="application/json" id="lb-find-data">{text}</script>'


def _linked(value: Any, address: Callable[[str], str | None]) -> Any:
    if isinstance(value, Mapping):
        found = {key: address(inner) if key == "url" else _linked(inner, address) for key, inner in value.items()}
        return {key: inner for key, inner in found.items() if inner is not None}
    return [_linked(inner, address) for inner in value] if isinstance(value, (list, tuple)) else value
