"""The load flow of each operating condition: every load at its average, and what cannot be supplied, by name."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np

from ..network import Network
from ..network.core import Core
from ..network.live import alive, sources_on
from ..network.model import CONVERTS
from ..quantities import digits
from .layout import Case, Layout
from .ledger import Ledger
from .model import Flow, Resistance
from .solve import RESISTANCE
from .states import Cores

_ROUNDS = 6
Problem = tuple[str, str]
"""Item id, and what cannot be supplied and why."""


@dataclass(frozen=True)
class FlowStudy:
    """The load flow of every operating condition, and the solved circuits behind them."""

    flows: Mapping[str, Flow]
    layout: Layout
    cases: Mapping[str, Case]


def study_flows(network: Network, cores: Cores, resistances: Mapping[str, Resistance], ledger: Ledger) -> FlowStudy:
    """All load flows of a vessel."""
    layout = Layout(network, resistances, ledger)
    unknown = frozenset(id for id, r in resistances.items() if r.missing)
    found, cases = {}, {}
    for condition in network.conditions:
        core = cores.of(network.conditions[condition])
        cases[condition], stopped = settle(layout, condition, core)
        found[condition] = _flow(layout, cases[condition], stopped, core, unknown)
    return FlowStudy(found, layout, cases)


def _flow(layout: Layout, case: Case, stopped: tuple[Problem, ...], core: Core, unknown: frozenset[str]) -> Flow:
    problems = (*stopped, *_over(case), *_starving(layout, case))
    volts = case.solution.volts - _references(layout, case)
    solution = case.solution
    branches = (
        (case.wires, solution.wires), (case.loads, solution.loads), (case.stiff, solution.stiff),
        (case.limited, solution.limited), (case.entries, solution.inputs),
    )  # fmt: skip
    amps = {e.id: a for edges, currents in branches for e, a in zip(edges, currents.tolist())}
    potentials = {id: v for id, v, on in zip(case.ids, volts.tolist(), case.fed) if on}
    return Flow(case.condition, potentials, amps, problems, _behind(core, unknown))


def settle(layout: Layout, condition: str, core: Core) -> tuple[Case, tuple[Problem, ...]]:
    """The case of a condition in which every converter that cannot run is off, and those converters."""
    living = supplying(layout.network, condition, core)
    stopped: tuple[Problem, ...] = ()
    for _ in range(_ROUNDS):
        case = layout.case(condition, living)
        starved = tuple(_starved(case))
        if not starved:
            break
        stopped += starved
        items = {item for item, _ in starved}
        living = living - {e.id for e in case.limited if e.item in items}
    return case, stopped


def supplying(network: Network, condition: str, core: Core) -> frozenset[str]:
    """The sources that supply in a condition. One that names converters has the others off; one that names none has all
    on."""
    living = alive(core, sources_on(network, condition)).sources
    record = network.inventory.conditions.get(condition)
    named = set(record.sources or ()) if record else set()
    converting = {e.item for e in network.sources() if e.kind in CONVERTS}
    if not named & converting:
        return living
    return frozenset(id for id in living if network.edges[id].item in named or network.edges[id].kind not in CONVERTS)


def _starved(case: Case) -> Iterable[Problem]:
    """Converters with too little voltage at their input to run."""
    across = case.across(case.circuit.inputs)
    for volts, floor, feeds in zip(across.tolist(), case.circuit.input_floor.tolist(), case.circuit.feeds):
        edge = case.limited[feeds]
        window = getattr(edge.record, "input_from", None)
        least = max(window.low if window else 0.0, floor)
        if volts < least:
            yield edge.item, f"stops: {digits(max(volts, 0.0))} V at its input, it needs {digits(least)} V"


def strained(case: Case) -> tuple[Problem, ...]:
    """The sources and converters of a case that are over a limit, below a cut-off or out of their window."""
    return (*_starved(case), *_over(case))


def _over(case: Case) -> tuple[Problem, ...]:
    return (*_unsolved(case), *_at_limit(case), *_overdrawn(case))


def _unsolved(case: Case) -> Iterable[Problem]:
    if not case.solution.converged:
        yield "", f"no load flow was found: {digits(case.solution.unbalance)} A do not add up"


def _at_limit(case: Case) -> Iterable[Problem]:
    """Converters and inverters that are asked for more than they give."""
    across = case.across(case.circuit.limited)
    for i, edge in enumerate(case.limited):
        at_limit = case.solution.limited[i] >= case.circuit.limit[i] * (1 - 1e-5)
        if (
            edge.kind in ("converter", "inverter", "generator")
            and at_limit
            and across[i] < 0.985 * case.circuit.limited_emf[i]
        ):
            yield (
                edge.item,
                f"is at its limit of {digits(case.circuit.limit[i])} A; "
                f"what it feeds is left with {digits(max(across[i], 0.0))} V",
            )


def _overdrawn(case: Case) -> Iterable[Problem]:
    """Batteries and inlets that give more than they may, or are below their cut-off."""
    for edge, amps, volts in zip(case.stiff, case.solution.stiff.tolist(), case.across(case.circuit.stiff).tolist()):
        record = edge.record
        if edge.kind == "shore" and amps > record.current.value:
            yield edge.item, f"gives {digits(amps)} A, its supply is for {digits(record.current.value)} A"
        if edge.kind != "battery":
            continue
        for limit, name in (
            (record.max_discharge, "its highest discharge"),
            (record.bms.current if record.bms else None, "its BMS"),
        ):
            if limit is not None and amps > limit.value:
                yield edge.item, f"gives {digits(amps)} A, {name} is for {digits(limit.value)} A"
        lowest = record.cells.lowest
        if lowest is not None and volts < lowest.value * record.cells.series:
            yield (
                edge.item,
                f"is at {digits(volts)} V under load, "
                f"below its cut-off of {digits(lowest.value * record.cells.series)} V",
            )


def _starving(layout: Layout, case: Case) -> Iterable[Problem]:
    """Consumers that are fed, with less voltage than anything works with."""
    across = case.across(case.circuit.loads)
    fed = case.fed[case.circuit.loads].all(axis=1)
    low = fed & (case.circuit.size_of_load > 0) & (across < case.circuit.floor) & (case.circuit.law != RESISTANCE)
    low &= (across > 1e-3) | (case.solution.loads > 1e-2)  # what is switched off starves nobody
    for i in np.flatnonzero(low):
        yield layout.consumers[i].id, f"gets {digits(across[i])} V of {digits(layout.nominal[i])} V: it cannot work"


def _references(layout: Layout, case: Case) -> np.ndarray:
    """Potential of each node's reference: in each joined part the return with the most joints at it."""
    best: dict[int, tuple[int, int]] = {}
    for i, (id, part) in enumerate(zip(case.ids, case.solution.part.tolist())):
        if layout.network.nodes[id].pole in ("-", "N"):
            joints = len(layout.network.at[id])
            if part not in best or joints > best[part][0]:
                best[part] = (joints, i)
    shift = np.zeros(int(case.solution.part.max(initial=-1)) + 1)
    for part, (_, i) in best.items():
        shift[part] = case.solution.volts[i]
    return shift[case.solution.part]


def _behind(core: Core, unknown: frozenset[str]) -> Mapping[str, tuple[str, ...]]:
    """Node → cables of unknown resistance on the radial way to it; there the voltage is at most what is said."""
    found: dict[str, tuple[str, ...]] = {}
    for node in reversed(core.order) if unknown else ():
        edge, above = core.parent[node]
        lacking = found.get(above, ()) + ((edge.id,) if edge.id in unknown else ())
        if lacking:
            found[node] = lacking
    return found
