"""Volts at each consumer while it works, in each operating condition, and what each source gives and each converter
takes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from ..inventory.sources import ShoreInlet
from ..network import Consumer, Edge, Network
from ..network.supply import SupplyPath
from ..quantities import digits
from .drop import last_leg
from .layout import Case
from .ledger import Ledger, told
from .loads import duty_of, duty_said, law_of, load_amps
from .model import Flow, Range, Resistance, Why
from .sources import nominal_across

DEAD = 0.05
"""Less than this is no voltage [V]."""
LAWS = {
    "power": "keeps its power: less voltage, more current",
    "current": "keeps its current",
    "resistance": "a resistance: less voltage, less current",
}


@dataclass(frozen=True)
class Working:
    """One consumer in one operating condition."""

    condition: str
    volts: float | None
    """Across it while it works [V]; None where it is not supplied."""
    average: float | None
    """Across it in the load flow, where it draws its average [V]."""
    amps: float
    """What it draws on average in this condition [A]."""
    more: float
    """What it draws beyond that while it works [A]."""
    ohms: float
    """Resistance of its way from the last source or converter and back, hot [Ω]."""
    at_most: bool = False
    """Whether a cable of unknown length or area lies before it."""
    problem: str = ""
    """Why it is not supplied, in words; empty where it is only switched off."""
    by: str = ""
    """The item at which the supply fails."""


@dataclass(frozen=True)
class AtWork:
    """One consumer in every operating condition."""

    consumer: str
    nominal: float
    """[V]"""
    ohms: float
    """Resistance of its first way from the last source or converter and back, hot [Ω]."""
    conditions: tuple[Working, ...]

    @property
    def worst(self) -> Working | None:
        """The condition that leaves it with the least voltage; None where none supplies it."""
        return min((w for w in self.conditions if w.volts is not None), key=lambda w: w.volts, default=None)

    @property
    def failed(self) -> tuple[Working, ...]:
        """Conditions in which it is fed and cannot be supplied."""
        return tuple(w for w in self.conditions if w.problem)


@dataclass(frozen=True)
class Supplying:
    """One source in one operating condition."""

    edge: str
    kind: str
    volts: float
    """At its output [V]."""
    amps: float
    """What it gives; below zero what it takes [A]."""
    limit: float | None
    """The most it gives [A]; None where it has no limit of its own."""
    at_limit: bool = False
    taken: tuple[float, float] | None = None
    """(V, A) at the input of what converts."""
    efficiency: float | None = None

    @property
    def lost(self) -> float | None:
        """Power that stays in it as heat [W]."""
        return None if self.taken is None else self.taken[0] * self.taken[1] - self.volts * self.amps


def at_work(
    network: Network,
    flows: Mapping[str, Flow],
    resistances: Mapping[str, Resistance],
    supply: Mapping[str, Sequence[SupplyPath]],
) -> Mapping[str, AtWork]:
    """Consumer id → its volts while it works, in each operating condition."""
    problems = {condition: dict(flow.problems) for condition, flow in flows.items()}
    found = {}
    for consumer in network.consumers.values():
        edge, paths = network.edges[consumer.edge], supply.get(consumer.id, ())
        ohms, rated = [_ohms(path, resistances) for path in paths], load_amps(network, edge)
        rows = tuple(
            _working(network, consumer, flow, problems[flow.condition], paths, ohms, rated) for flow in flows.values()
        )
        found[consumer.id] = AtWork(consumer.id, nominal_across(network, edge), ohms[0] if ohms else 0.0, rows)
    return found


def _ohms(path: SupplyPath, resistances: Mapping[str, Resistance]) -> float:
    hops, _ = last_leg(path)
    known = (resistances.get(hop.edge.id) for hop in hops)
    return sum(r.hot.value for r in known if r and not r.missing)


def _working(
    network: Network,
    consumer: Consumer,
    flow: Flow,
    problems: Mapping[str, str],
    paths: Sequence[SupplyPath],
    ohms: Sequence[float],
    rated: float,
) -> Working:
    average = abs(flow.across(consumer.plus, consumer.minus) or 0.0)
    amps = abs(flow.amps.get(consumer.edge, 0.0))
    by, problem = _problem(network, consumer, average, problems, paths) if problems else ("", "")
    if problem or average < DEAD:
        return Working(flow.condition, None, None, amps, 0.0, 0.0, False, problem, by)
    way = 0
    if len(paths) > 1:
        way = next((i for i, p in enumerate(paths) if all(hop.into in flow.volts for hop in p.out)), 0)
    more, lost = max(rated - amps, 0.0), ohms[way] if ohms else 0.0
    at_most = bool(flow.behind.get(consumer.plus))
    return Working(flow.condition, max(average - more * lost, 0.0), average, amps, more, lost, at_most)


def _problem(
    network: Network, consumer: Consumer, average: float, problems: Mapping[str, str], paths: Sequence[SupplyPath]
) -> tuple[str, str]:
    """The item at which its supply fails in a condition, and how: a source or converter before it that cannot do what is
    asked, or a converter that stopped; itself where none of them does."""
    own = problems.get(consumer.id, "")
    if not own and average >= DEAD:
        return "", ""
    for item in (network.edges[id].item for path in paths for id in (*path.through, path.source)):
        what = problems.get(item, "")
        if what and (own or what.startswith("stops")):
            return item, f"it {own}; {item} {what}" if own else what
    return (consumer.id, own) if own else ("", "")


def why_at_work(network: Network, found: AtWork) -> Why | None:
    """How the volts of a consumer at work came about, in every condition; None where none supplies it."""
    if found.worst is None:
        return None
    consumer = network.consumers[found.consumer]
    record, rated = consumer.record, load_amps(network, network.edges[consumer.edge])
    inputs = (
        ("its load", str(record.load or "not known"), record.load.how if record.load else "missing"),
        ("which", LAWS[law_of(record)], "stated" if record.law else "taken from the unit that its load is written in"),
        ("nominal voltage", f"{digits(found.nominal)} V", "the network"),
        ("current at work", f"{digits(rated)} A", "load over nominal voltage"),
    )
    return Why(
        "U = U_flow − (I_rated − I_average) · R_way; at each point of the way likewise, with R up to it",
        "Kirchhoff's laws on the whole network; each conductor as warm as its own current makes it, for what is added "
        "hot; the last source stays where the load flow has it",
        inputs,
        tuple((w.condition, _step(w) + _part(network, consumer, w)) for w in found.conditions),
        "computed",
    )


def _step(w: Working) -> str:
    if w.volts is None or w.average is None:
        return w.problem or "not supplied: no source that is on reaches it"
    amps = f"{digits(w.amps)} A" if w.amps >= 5e-4 else "next to no current"
    flow = f"{digits(w.average, 4)} V by the load flow, at {amps} on average"
    if w.more < 5e-4:
        return flow
    lost = (
        f"{digits(w.more)} A more through {told(Range(w.ohms, w.ohms), 'resistance')} lose {digits(w.more * w.ohms)} V"
    )
    return f"{flow}; {lost}, which leaves {digits(w.volts, 4)} V"


def _part(network: Network, consumer: Consumer, w: Working) -> str:
    """How much of the time it runs, and how that is known."""
    if w.volts is None:
        return ""
    said = duty_said(network, consumer, w.condition) is not None
    return f"; runs {duty_of(network, consumer, w.condition, Ledger()):.2g} of the time, {'stated' if said else 'by default'}"


def supplying(network: Network, cases: Mapping[str, Case]) -> Mapping[str, tuple[Supplying, ...]]:
    """Operating condition → every source that is on, with what it gives."""
    return {condition: tuple(_supplying(network, case)) for condition, case in cases.items()}


def _supplying(network: Network, case: Case) -> Iterator[Supplying]:
    circuit, solution = case.circuit, case.solution
    for edge, volts, amps in zip(case.stiff, case.across(circuit.stiff).tolist(), solution.stiff.tolist()):
        yield Supplying(edge.id, edge.kind, volts, amps, _own_limit(edge))
    drawn = zip(circuit.feeds.tolist(), case.across(circuit.inputs).tolist(), solution.inputs.tolist())
    inputs = {feeds: (volts, amps) for feeds, volts, amps in drawn}
    efficiencies = dict(zip(circuit.feeds.tolist(), circuit.efficiency.tolist()))
    across, given = case.across(circuit.limited).tolist(), solution.limited.tolist()
    for i, (edge, volts, amps, limit) in enumerate(zip(case.limited, across, given, circuit.limit.tolist())):
        at_limit = amps >= limit * (1 - 1e-5)
        yield Supplying(edge.id, edge.kind, volts, amps, limit, at_limit, inputs.get(i), efficiencies.get(i))


def _own_limit(edge: Edge) -> float | None:
    """The most that a battery's papers or management unit, or a shore supply, allows [A]."""
    record = edge.record
    if isinstance(record, ShoreInlet):
        return record.current.value
    limits = [getattr(record, "max_discharge", None), getattr(getattr(record, "bms", None), "current", None)]
    return min((limit.value for limit in limits if limit is not None), default=None)
