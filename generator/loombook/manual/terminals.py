"""Terminals in words: `X1 2` is the load side of X1, `Q9 1` of a change-over its position 1."""

from __future__ import annotations

from ..inventory.devices import Switch

POLES = {"+": "positive", "-": "negative", "L": "line", "N": "neutral", "PE": "earth"}
PORTS = {
    **POLES, "cell +": "cell side, positive", "cell -": "cell side, negative", "1": "feed side", "2": "load side",
    "in +": "input, positive", "in -": "input, negative", "out +": "output, positive", "out -": "output, negative",
    "pv +": "array side, positive", "pv -": "array side, negative", "com": "common",
}  # fmt: skip
"""Terminal as the network calls it → in words."""


def terminal_words(port: str, switch: Switch | None = None) -> str:
    """One terminal in words; `switch` is the switch that it belongs to.

    >>> terminal_words("2"), terminal_words("joint 1 -"), terminal_words("1 L")
    ('load side', 'joint 1 in its negative cable', 'feed side, line')
    """
    if port in ("1", "2") and switch is not None and switch.kind in ("change-over", "selector"):
        return f"position {port}"
    if port in PORTS:
        return PORTS[port]
    if port.startswith("joint "):
        number, _, pole = port[6:].partition(" ")
        return f"joint {number} in its {POLES.get(pole, pole)} cable"
    head, _, tail = port.rpartition(" ")
    if tail in ("L", "N", "PE"):
        return f"{PORTS.get(head, head)}, {POLES[tail]}"
    return port
