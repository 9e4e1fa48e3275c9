"""The states that the study looks at: those in which a fault is at its highest, and each state's core, laid out
once."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import islice, product

from ..network import Network
from ..network.core import Core, core_of

MOST = 3
"""Change-over switches that are thrown one against another; of more, the further ones stay as they are."""


def worst_states(network: Network) -> Iterator[tuple[str, Mapping[str, str]]]:
    """The switch positions in which a fault can be at its highest: everything closed that closes, change-overs every
    way, so that a source behind two of them is reached too.

    More ways in parallel between sources of one voltage never lessen a fault current, so the operating conditions need
    not be tried one by one.
    """
    switches = network.inventory.switches
    over = [id for id, s in switches.items() if s.kind == "change-over"]
    base = {id: "on" for id in network.normal} | {id: "both" for id, s in switches.items() if s.kind == "selector"}
    same = [dict.fromkeys(over, throw) for throw in ("1", "2")] if over else [{}]
    for throws in (*same, *_mixed(network, over)):
        yield _words(throws), base | throws


def _mixed(network: Network, over: Sequence[str]) -> Iterator[Mapping[str, str]]:
    """Change-over switches of one voltage system thrown one against another; those of other systems to 1."""
    groups: dict[str, list[str]] = {}
    for id in over:
        edge = next(iter(network.of_item.get(id, ())), None)
        if edge is not None:
            groups.setdefault(network.nodes[edge.b].system, []).append(id)
    for group in groups.values():
        for throws in islice(product(("1", "2"), repeat=len(group)), 2**MOST):
            if len(set(throws)) == 2:
                yield {**dict.fromkeys(over, "1"), **dict(zip(group, throws))}


def _words(throws: Mapping[str, str]) -> str:
    if not throws:
        return "every switch closed"
    if len(set(throws.values())) == 1:
        return f"every switch closed, change-overs to {next(iter(throws.values()))}"
    return "every switch closed, " + ", ".join(f"{id} to {throw}" for id, throw in throws.items())


def ac_throws(network: Network) -> Mapping[str, tuple[str, ...]]:
    """Switch of the AC wiring that has more than two ways to stand → its positions."""
    found: dict[str, dict[str, None]] = {}
    for edge in network.edges.values():
        if edge.positions and network.nodes[edge.a].pole == "L" and edge.item in network.inventory.switches:
            if network.inventory.switches[edge.item].kind in ("change-over", "selector"):
                found.setdefault(edge.item, {}).update(dict.fromkeys(edge.positions))
    return {id: tuple(positions) for id, positions in sorted(found.items())}


def ac_states(network: Network) -> Iterator[tuple[str, Mapping[str, str]]]:
    """The AC wiring with its change-over switches thrown every way, all else as usual."""
    ways = ac_throws(network)
    for throws in islice(product(*ways.values()), 2**MOST) if ways else ():
        positions = dict(zip(ways, throws))
        yield ", ".join(f"{id} to {throw}" for id, throw in positions.items()), {**network.normal, **positions}


class Cores:
    """The core of each state of one network; the stages ask for the same few again and again."""

    def __init__(self, network: Network) -> None:
        self.network = network
        self._known: dict[frozenset[tuple[str, str]], Core] = {}

    def of(self, positions: Mapping[str, str]) -> Core:
        """The core with the switches in `positions`, in their normal position where left out."""
        full = {**self.network.normal, **positions}
        key = frozenset(full.items())
        if key not in self._known:
            self._known[key] = core_of(self.network, full)
        return self._known[key]
