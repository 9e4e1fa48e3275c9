"""The dip at every bus when a motor starts: the load flow again, with the motor at its start current."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from ..inventory.sources import Inverter
from ..network import Consumer, Network
from .flow import FlowStudy, Problem, strained
from .layout import Case, Layout
from .loads import load_amps
from .solve import IDLE, RESISTANCE


@dataclass(frozen=True)
class Dip:
    """The start of one motor."""

    motor: str
    condition: str
    """The operating condition, of those that it starts in, that leaves it with the least voltage."""
    others: tuple[str, ...]
    """The other operating conditions that it starts in."""
    runs: bool
    """Whether it runs in them; if not, they are all those in which a source feeds it."""
    asked: float
    """Its start current at its nominal voltage, or its rated one where that is not given [A]."""
    amps: float
    """Current that it draws once the voltage has dipped [A]."""
    stated: bool
    """Whether its start current is given; if not, its rated current is taken and the dip is deeper."""
    before: Mapping[str, float]
    """Bar or panel → its voltage before [V]."""
    during: Mapping[str, float]
    own: float
    """Voltage at the motor itself [V]."""
    upset: tuple[tuple[str, float, float], ...]
    """(consumer, its voltage in the dip, the least that it works from) [V]."""
    problems: tuple[Problem, ...] = ()
    """(item, what) for each source and converter that the start takes over a limit: over what they give for good, and
    an inverter over its peak where that is given."""


class Dips(Mapping[str, Dip]):
    """Motor id → its start. Each is worked out when it is asked for: the checks need none of them.

    A motor is an item of `motors`, and any other load that says what it draws when it starts.
    """

    def __init__(self, flow: FlowStudy) -> None:
        self.layout, self.cases = flow.layout, flow.cases
        self._found: dict[str, Dip] = {}

    @cached_property
    def _places(self) -> Mapping[str, int]:
        """Motor → its place among the loads; of those that some operating condition feeds."""
        motors = self.layout.network.inventory.motors
        return {
            c.id: i
            for i, c in enumerate(self.layout.consumers)
            if (c.record.start or c.circuit in motors) and any(_fed(case, i) for case in self.cases.values())
        }

    def __getitem__(self, motor: str) -> Dip:
        if motor not in self._found:
            self._found[motor] = self._worst(self._places[motor])
        return self._found[motor]

    def __iter__(self) -> Iterator[str]:
        return iter(self._places)

    def __len__(self) -> int:
        return len(self._places)

    def __contains__(self, motor: object) -> bool:
        return motor in self._places

    def _worst(self, load: int) -> Dip:
        """Its start in the condition that leaves it least.

        Of conditions with the same sources and the same switches only the one with the least voltage before is solved
        again: what stands between the sources and the motor is the same in all of them.
        """
        fed = [case for case in self.cases.values() if _fed(case, load)]
        running = [case for case in fed if case.circuit.size_of_load[load] > IDLE]
        alike: dict[tuple, Case] = {}
        for case in running or fed:
            key = tuple(e.id for part in (case.stiff, case.limited, case.wires) for e in part)
            if key not in alike or _volts(case, load) < _volts(alike[key], load):
                alike[key] = case
        names = tuple(case.condition for case in running or fed)
        starts = [(case, self._started(case, load)) for case in alike.values()]
        before, during = min(starts, key=lambda pair: _volts(pair[1], load))
        others = tuple(name for name in names if name != before.condition)
        return self._dip(load, before, during, others, bool(running))

    def _started(self, case: Case, load: int) -> Case:
        """The load at rest in its place, its inverter with its peak to give."""
        return self.layout.again(
            case, load, RESISTANCE, start_amps(self.layout, load) / self.layout.nominal[load], _peaks(case)
        )

    def _dip(self, load: int, before: Case, during: Case, others: tuple[str, ...], runs: bool) -> Dip:
        layout, consumer = self.layout, self.layout.consumers[load]
        known = {item for item, _ in strained(before)}
        return Dip(
            consumer.id,
            before.condition,
            others,
            runs,
            start_amps(layout, load),
            float(during.solution.loads[load]),
            consumer.record.start is not None,
            _at(layout, before, self._buses),
            _at(layout, during, self._buses),
            float(_volts(during, load)),
            tuple(_upset(layout, during, consumer)),
            tuple((item, what) for item, what in strained(during) if item not in known),
        )

    @cached_property
    def _buses(self) -> list[tuple[str, list[str]]]:
        return _buses(self.layout.network)


def start_amps(layout: Layout, load: int) -> float:
    """What a load draws at its nominal voltage when it starts; its rated current where that is not given [A]."""
    consumer = layout.consumers[load]
    start = consumer.record.start
    return start.current.high if start else max(load_amps(layout.network, layout.load_edges[load]), 1e-3)


def _fed(case: Case, load: int) -> bool:
    return bool(case.fed[case.circuit.loads[load]].all()) and _volts(case, load) > 0.5


def _volts(case: Case, load: int) -> float:
    return case.across(case.circuit.loads[load])


def _peaks(case: Case) -> np.ndarray:
    """The limit of each regulated source for moments: of an inverter its peak, where that is given [A]."""
    limit = case.circuit.limit.copy()
    for i, edge in enumerate(case.limited):
        if isinstance(edge.record, Inverter) and edge.record.peak:
            limit[i] = max(limit[i], edge.record.peak.value / case.circuit.limited_emf[i])
    return limit


def _upset(layout: Layout, case: Case, motor: Consumer) -> Iterator[tuple[str, float, float]]:
    """Consumers that say from what voltage they work, and get less."""
    across, fed = case.across(case.circuit.loads), case.fed[case.circuit.loads].all(axis=1)
    for consumer, volts, on in zip(layout.consumers, across.tolist(), fed.tolist()):
        least = consumer.record.works_from
        if on and least is not None and 0.5 < volts < least.value and consumer.id != motor.id:
            yield consumer.id, volts, least.value


def _buses(network: Network) -> list[tuple[str, list[str]]]:
    """Bars and panels, each with the returns to measure against: the first that is joined to it serves."""
    shared = {*network.inventory.bars, *network.inventory.panels}
    sources = list(network.sources())
    returns = {
        "+": [n.id for n in network.nodes.values() if n.item in network.inventory.bars and n.pole == "-"]
        or [e.a for e in sources if e.kind == "battery"],
        "L": [e.a for e in sources if network.nodes[e.a].pole == "N"],
    }
    return [
        (n.id, returns[n.pole])
        for n in network.nodes.values()
        if n.item in shared and n.pole in returns and " way " not in n.id and returns[n.pole]
    ]


def _at(layout: Layout, case: Case, buses: list[tuple[str, list[str]]]) -> Mapping[str, float]:
    volts, part = case.solution.volts, case.solution.part
    found = {}
    for bus, returns in buses:
        a = layout.index[bus]
        own = f"{layout.network.nodes[bus].item} N"
        ways = [own, *returns] if own in layout.index and bus.endswith(" L") else returns
        b = next((b for b in map(layout.index.__getitem__, ways) if part[b] == part[a]), None)
        if case.fed[a] and b is not None:
            found[bus] = float(volts[a] - volts[b])
    return found
