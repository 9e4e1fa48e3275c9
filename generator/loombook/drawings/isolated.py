"""The ship after the isolating actions: what is dead, and what stays live."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from . import facts
from .dense import denser
from .model import Element, OneLine, Sheet
from .states import States
from .view import Ship, one_line


def isolation_set(ship: Ship) -> Iterator[Sheet]:
    """The ship after the isolating actions: live heavy and with the word, dead dashed."""
    states = States(ship.study)
    yield replace(_sheet(ship, states, dense=False), denser=denser(_sheet(ship, states, dense=True)))


def _sheet(ship: Ship, states: States, dense: bool) -> OneLine:
    branches = []
    for chain in ship.hot.chains:
        if chain.id not in ship.homes:
            branch = ship.branch(chain, states, dense)
            if chain.lower in ship.panels:
                branch = replace(branch, lower=_panel(ship, states, chain.lower))
            if chain.upper in ship.panels:
                branch = replace(branch, upper=_panel(ship, states, chain.upper))
            branches.append(branch)
    nodes = [ship.node(hub, states.of_node(hub), dense=dense) for hub in ship.hot.hubs]
    title = "What stays live after the isolating actions"
    about = "Live parts are drawn heavy and say LIVE; dead parts are dashed."
    return one_line("isolation-ship", title, about, nodes, branches)


def _panel(ship: Ship, states: States, hub: str) -> Element:
    """On this picture a panel is one thing, live or dead."""
    id = ship.panels[hub]
    return Element(
        "apparatus", id, (ship.network.title(id),), ship.network.title(id), facts.href(id), states.of_node(hub)
    )
