"""Two revisions of one vessel: what was changed, and what follows from it."""

from .model import Comparison, Side
from .run import compare

__all__ = ["Comparison", "Side", "compare"]
