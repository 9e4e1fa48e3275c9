"""Where neutral and earth are joined: for each source of AC, and in each position of the change-over switches."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice, product

from ..network import Edge, Network
from ..network.model import ALTERNATING
from .states import Cores, ac_throws

MOST_POSITIONS = 32
"""Combinations of change-over positions that are gone through."""
_INVERTER = {
    "fixed": (True, "always joined in the inverter, also while shore supplies if both are ever connected"),
    "switched": (True, "joined by the inverter only while it supplies"),
    "none": (False, "not joined: a fault to earth cannot trip anything while the inverter supplies"),
    None: (None, "whether the inverter joins neutral and earth is not recorded"),
}


@dataclass(frozen=True)
class Bond:
    """Where neutral and earth are joined while one source supplies."""

    source: str
    joined: bool | None
    """Aboard; None where it is not recorded."""
    words: str


@dataclass(frozen=True)
class BondState:
    """The AC wiring with its change-over switches in one position."""

    positions: tuple[tuple[str, str], ...]
    """(switch, position)."""
    supplying: tuple[str, ...]
    """Inlets, inverters and generators whose line reaches a consumer, if they are on."""
    bonds: tuple[str, ...]
    """Inlets (joined ashore), inverters and generators that join the consumers' neutral to earth then."""
    unknown: tuple[str, ...]
    """Sources of which it is not recorded."""

    @property
    def right(self) -> bool | None:
        """Whether there is one bond and no more; None where that is not recorded, or nothing supplies."""
        if not self.supplying or (self.unknown and len(self.bonds) < 2):
            return None
        return len(self.bonds) == 1


def bonds(network: Network) -> Iterator[Bond]:
    """Each source of AC by itself."""
    for inlet in network.inventory.shore_inlets.values():
        if inlet.isolating_transformer:
            yield Bond(
                inlet.id,
                None,
                "the isolating transformer parts the boat from the shore; "
                "whether its secondary is joined to earth aboard is not recorded",
            )
        else:
            yield Bond(inlet.id, False, "neutral and earth are joined ashore; aboard they must not be")
    for inverter in network.inventory.inverters.values():
        joined, text = _INVERTER[inverter.bond]
        yield Bond(inverter.id, joined, text)
    for generator in network.inventory.generators.values():
        joined, text = _INVERTER[generator.bond]
        yield Bond(generator.id, joined, text.replace("inverter", "generator"))


def bond_states(network: Network, cores: Cores) -> Iterator[BondState]:
    """Every position of the switches that have more than two ways to stand and lie in the AC wiring."""
    sources = [e for e in network.sources() if e.kind in ALTERNATING]
    consumers = [c for c in network.consumers.values() if network.nodes[c.plus].pole == "L"]
    if not sources or not consumers:
        return
    ways = ac_throws(network)
    for combination in islice(product(*ways.values()), MOST_POSITIONS):
        positions = tuple(zip(ways, combination))
        core = cores.of({**network.normal, **dict(positions)})
        part = {id: core.part[core.attach(id)] for id in _ends(network, sources, consumers)}
        lines, neutrals = {part[c.plus] for c in consumers}, {part[c.minus] for c in consumers}
        supplying = [e for e in sources if part[e.b] in lines]
        on_neutral = [e for e in sources if part[e.a] in neutrals]
        found = {e.item: _joins(network, e, e in supplying) for e in on_neutral}
        yield BondState(
            positions,
            tuple(e.item for e in supplying),
            tuple(id for id, joins in found.items() if joins),
            tuple(id for id, joins in found.items() if joins is None),
        )


def _ends(network: Network, sources: list[Edge], consumers: list) -> list[str]:
    return [*(n for e in sources for n in (e.a, e.b)), *(n for c in consumers for n in (c.plus, c.minus))]


def _joins(network: Network, edge: Edge, supplies: bool) -> bool | None:
    """Whether a source joins the neutral to earth; None where that is not recorded."""
    if edge.kind == "shore":
        return None if edge.record.isolating_transformer else True
    if edge.record.bond is None:
        return None if supplies else False
    return edge.record.bond == "fixed" or (edge.record.bond == "switched" and supplies)
