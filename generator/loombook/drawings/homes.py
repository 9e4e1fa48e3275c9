"""Which chain belongs on which sheet: final circuits leave the ship's sheet for a panel's or a bar's."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from ..network import Network
from ..network.model import CONVERTS
from .chains import Chain, Web


def homes(network: Network, hot: Web, panels: Mapping[str, str]) -> dict[str, str]:
    """Chain id → the sheet on which it is drawn whole, for what does not stand on the ship's.

    Args:
        network: the network
        hot: its live poles
        panels: hub of a panel → the panel's id
    """
    below: dict[str, list[Chain]] = {}
    for chain in hot.chains:
        below.setdefault(chain.upper, []).append(chain)
    found: dict[str, str] = {}
    for hub in hot.hubs:
        final = [c for c in below.get(hub, ()) if _is_final(c, below, network, panels)]
        if final:
            sheet = f"panel-{panels[hub]}" if hub in panels else f"bar-{hub}"
            for chain in final:
                for one in _tree(chain, below):
                    found[one.id] = sheet
    return found


def _is_final(chain: Chain, below: Mapping[str, list[Chain]], network: Network, panels: Mapping[str, str]) -> bool:
    """Whether only final circuits lie behind a chain: no converter, bar, panel or motor."""
    if any(piece.first.kind in CONVERTS for piece in chain.pieces):
        return False
    kind, _, id = chain.lower.partition(" ")
    if kind == "load":
        return id not in network.inventory.motors
    if chain.lower not in network.nodes:
        return kind != "source"
    item = network.nodes[chain.lower].item
    inventory = network.inventory
    if chain.lower in panels or item in inventory.bars or item in inventory.switches:
        return False
    return all(_is_final(c, below, network, panels) for c in below.get(chain.lower, ()))


def _tree(chain: Chain, below: Mapping[str, list[Chain]]) -> Iterator[Chain]:
    yield chain
    for further in below.get(chain.lower, ()):
        yield from _tree(further, below)
