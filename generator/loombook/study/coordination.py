"""Which paths of current are worth a coordination chart, and which devices stand on each."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from ..network import Network
from ..network.model import Edge
from .guardmodel import Guard, Selective

MOST = 12
"""So many charts a vessel gets; those with the least selectivity first."""
RULE = (
    "A chart is drawn for a device whose band is known and that stands behind another device or a BMS with a known band. "
    "Of devices on one panel or bar with the same devices upstream, the one with the largest rating stands for all: the "
    f"smaller ones open sooner. At most {MOST} charts, those first where a device upstream may open too."
)


@dataclass(frozen=True)
class Path:
    """One chart's worth: a device and what stands upstream of it."""

    guard: Guard
    upstream: tuple[Selective, ...]
    """The nearest first."""
    like: tuple[str, ...] = ()
    """Further devices for which it stands."""

    @property
    def name(self) -> str:
        return chart_of(self.guard.device)


def chart_of(device: str) -> str:
    """The name of the chart of a device, by its edge: `X4 way 7` → `coordination-X4-way-7`."""
    return f"coordination-{device.replace(' ', '-')}"


def paths(network: Network, guards: Mapping[str, Guard]) -> tuple[Path, ...]:
    """The paths worth drawing, in the order of the inventory. The rule is told in `RULE`."""
    alike: dict[tuple, list[Path]] = {}
    for guard in guards.values():
        upstream = tuple(_drawable(guard))
        if guard.band is None or guard.lowest is None or guard.highest is None or not upstream:
            continue
        place = _place(network, network.edges[guard.device])
        alike.setdefault((place, guard.family, tuple(s.upstream for s in upstream)), []).append(Path(guard, upstream))
    chosen = [_standing(rows) for rows in alike.values()]
    kept = sorted(chosen, key=lambda path: (_weight(path), path.guard.device))[:MOST]
    order = {id: n for n, id in enumerate(guards)}
    return tuple(sorted(kept, key=lambda path: order[path.guard.device]))


def _drawable(guard: Guard) -> Iterator[Selective]:
    """What stands upstream of a device and has a band."""
    return (found for found in guard.selectivity if found.verdict)


def _place(network: Network, edge: Edge) -> str:
    """The panel that it is a way of, or the terminal that it is fed from."""
    return edge.item if edge.path[:1] == ("panels",) else edge.a


def _standing(rows: list[Path]) -> Path:
    largest = max(rows, key=lambda path: (path.guard.rating or 0.0, path.guard.highest.high))
    others = tuple(path.guard.device for path in rows if path is not largest)
    return Path(largest.guard, largest.upstream, others)


def _weight(path: Path) -> int:
    """Lower is drawn sooner: a dark ship, a device upstream that may open too, a start to hold, all well."""
    verdicts = {s.verdict for s in path.upstream if s.kind == "device"}
    if path.guard.blackout:
        return 0
    if verdicts & {"none", "up to"}:
        return 1
    return 2 if path.guard.starts else 3
