"""Which defaults were used and for what, and how ranges and evidence are put into words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from ..quantities import Quantity, in_unit
from .defaults import ESTIMATE, Default, Effect
from .model import Assumption, Range


@dataclass
class Ledger:
    """Notes each default that is used, for what, and which part of which edge's resistance comes from it."""

    used: dict[Default, dict[str, None]] = field(default_factory=dict)
    parts: dict[Default, dict[str, float]] = field(default_factory=dict)
    """Default → edge id → part of the edge's resistance that is this default's, 0 to 1."""

    def use(self, default: Default, item: str, edge: str = "", part: float = 1.0) -> Default:
        self.used.setdefault(default, {})[item] = None
        if edge:
            self.parts.setdefault(default, {})[edge] = part
        return default

    def assumptions(self, effects: Mapping[Default, Effect]) -> tuple[Assumption, ...]:
        """What was used, each with its effect; what moves a result furthest comes first."""
        rows = []
        for default, items in self.used.items():
            effect = effects.get(default, default.said)
            rows.append(
                Assumption(default.what, default.value, default.source, tuple(sorted(items)), effect.words, effect.part)
            )
        return tuple(sorted(rows, key=lambda a: (-a.moves, a.what)))


def spread(quantity: Quantity, ledger: Ledger, item: str) -> Range:
    """A quantity as the range in which it may lie: an estimate is widened."""
    if quantity.how != "estimated" or quantity.is_range:
        return Range(quantity.low, quantity.high)
    off = ledger.use(ESTIMATE, item).high
    return Range(quantity.low * (1 - off), quantity.high * (1 + off))


def told(range_: Range, kind: str) -> str:
    """A range for the reader: `1.20 mΩ`, or `1.20 mΩ to 1.60 mΩ`."""
    low, high = in_unit(range_.low, kind), in_unit(range_.high, kind)
    return low if low == high else f"{low} to {high}"


def known(quantity: Quantity) -> str:
    """How a quantity is known, in words: `measured 2026-05-01`, `estimated`."""
    return " ".join(part for part in (quantity.how, quantity.by, quantity.date) if part)


def listed(names: Iterable[str], most: int = 4) -> str:
    """A few names for a sentence: `W1, W2 and 3 more`."""
    names = list(names)
    if len(names) <= most:
        return ", ".join(names)
    return f"{', '.join(names[:most])} and {len(names) - most} more"
