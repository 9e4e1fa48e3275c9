"""The switch positions that the study looks at beside the operating conditions: those in which a fault is at its highest."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from ..network import Network


def worst_states(network: Network) -> Iterator[tuple[str, Mapping[str, str]]]:
    """The switch positions in which a fault can be at its highest: everything closed that closes, change-overs both ways.

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
