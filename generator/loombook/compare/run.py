"""One comparison from two sides: the one way through this room."""

from __future__ import annotations

from . import figures, follows, records, verdicts
from .model import Comparison, Revision, Side


def compare(before: Side, after: Side) -> Comparison:
    """Everything that differs, and what follows from it.

    Args:
        before: the vessel as she was
        after: the vessel as she is or will be; judged for the same day
    """
    changes = records.changes(before.inventory, after.inventory)
    judged = verdicts.verdicts(before, after)
    prints = tuple(follows.reprints(before, after))
    return Comparison(
        after.inventory.vessel.name,
        _revision(before),
        _revision(after),
        changes,
        figures.moved(before, after),
        judged,
        verdicts.failing(before, after),
        verdicts.accepted(before, after),
        verdicts.standing(before, after),
        tuple(follows.stale(before, after, follows.touched(changes))),
        follows.repeated(before, after),
        prints,
        tuple(follows.labels(changes)),
        tuple(follows.stock(before, after)),
        follows.left(changes),
        tuple(follows.notify(before, after, changes, prints, judged)),
    )


def _revision(side: Side) -> Revision:
    vessel = side.inventory.vessel
    return Revision(vessel.revision, vessel.date)
