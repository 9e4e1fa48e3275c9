"""The states that the study looks at: those in which a fault is at its highest, and each state's core, laid out
once."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from ..network import Network
from ..network.core import Core, core_of


def worst_states(network: Network) -> Iterator[tuple[str, Mapping[str, str]]]:
    """The switch positions in which a fault can be at its highest: everything closed that closes, change-overs both
    ways.

    More ways in parallel between sources of one voltage never lessen a fault current, so the operating conditions need
    not be tried one by one.
    """
    switches = network.inventory.switches
    over = [id for id, s in switches.items() if s.kind == "change-over"]
    base = {id: "on" for id in network.normal} | {id: "both" for id, s in switches.items() if s.kind == "selector"}
    throws = ["1", "2"] if over else [""]
    for throw in throws:
        words = "every switch closed" + (f", change-overs to {throw}" if throw else "")
        yield words, base | dict.fromkeys(over, throw)


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
