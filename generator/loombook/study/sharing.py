"""How the strings of a bank and conductors side by side share what they carry together."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from ..network import Network
from .banks import Bank
from .design import Design


@dataclass(frozen=True)
class Sharing:
    """Ways side by side, each with its part of the current."""

    kind: str
    """`strings` or `conductors`."""
    between: tuple[str, str]
    """The two nodes that conductors join; of strings the bank's name and nothing."""
    ways: tuple[tuple[str, float, float], ...]
    """(battery or conductor edge, its current [A], its part of the whole), the largest first."""

    @property
    def even(self) -> float:
        """What an equal part would be."""
        return 1 / len(self.ways)


def sharings(network: Network, design: Design, banks: Sequence[Bank]) -> tuple[Sharing, ...]:
    """Every bank of several strings, and every pair of nodes that several conductors join."""
    return (*_strings(design, banks), *_conductors(network, design.largest))


def _strings(design: Design, banks: Sequence[Bank]) -> Iterator[Sharing]:
    for bank in banks:
        if len(bank.ids) > 1:
            yield _sharing("strings", (bank.name, ""), {id: design.amps.get(id, 0.0) for id in bank.ids})


def _conductors(network: Network, amps: Mapping[str, float]) -> Iterator[Sharing]:
    groups: dict[frozenset[str], list[str]] = {}
    for edge in network.edges.values():
        if edge.kind == "conductor":
            groups.setdefault(frozenset((edge.a, edge.b)), []).append(edge.id)
    for ids in groups.values():
        if len(ids) > 1:
            edge = network.edges[ids[0]]
            yield _sharing("conductors", (edge.a, edge.b), {id: amps.get(id, 0.0) for id in ids})


def _sharing(kind: str, between: tuple[str, str], amps: Mapping[str, float]) -> Sharing:
    total = sum(abs(a) for a in amps.values())
    rows = [(id, abs(a), abs(a) / total if total > 0 else 0.0) for id, a in amps.items()]
    return Sharing(kind, between, tuple(sorted(rows, key=lambda row: (-round(row[1], 6), row[0]))))
