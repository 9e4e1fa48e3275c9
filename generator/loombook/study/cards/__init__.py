"""The emergency cards as computed values: in which order, what stays live, what still works and for how long."""

from . import cautions
from .build import VARIANTS, cards, dated, undated
from .model import Card, Cards, Live, Opened, Point, Pool, Print, Step, Tried, Wait, Wet, Works

__all__ = [
    "VARIANTS", "Card", "Cards", "Live", "Opened", "Point", "Pool", "Print", "Step", "Tried", "Wait", "Wet", "Works",
    "cards", "cautions", "dated", "undated",
]  # fmt: skip
