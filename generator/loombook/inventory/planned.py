"""The numbers on the location plan: what a hand opens first, then batteries, panels and hidden fuses."""

from __future__ import annotations

from collections.abc import Mapping

from .records import Inventory


def planned(inventory: Inventory) -> Mapping[str, tuple[int, str]]:
    """Item id → its number on the plan, and its kind there: isolator, bank, panel or fuse.

    A thing whose space nobody wrote down has no number. A panel's way is found by the panel's.
    """
    hidden = {fuse.id: fuse for fuse in inventory.fuses.values() if fuse.hidden}
    families = (
        ("isolator", inventory.switches), ("isolator", inventory.breakers), ("isolator", inventory.shore_inlets),
        ("bank", inventory.batteries), ("panel", inventory.panels), ("fuse", hidden),
    )  # fmt: skip
    found = [(item.id, kind) for kind, items in families for item in items.values() if item.at and item.at.space]
    return {id: (number, kind) for number, (id, kind) in enumerate(found, start=1)}
