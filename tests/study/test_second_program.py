"""The study's circuits, solved a second time by ngspice: every node voltage, branch current and fault current."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from random import Random

import pytest

from loombook.inventory import read_inventory, read_text
from loombook.network import Network, build
from loombook.study.defaults import Ledger
from loombook.study.faultcase import fault_cases
from loombook.study.layout import Case
from loombook.study.netlist import load_flow_case, names_of, netlist_of
from loombook.study.resistances import resistances
from tests.random_vessels import random_vessel
from tests.study.second_solver import solve

ROOT = Path(__file__).parents[2]
VESSELS = {
    "the demo": ROOT / "vessel",
    "the launch": ROOT / "tests/vessels/launch",
    "everything": ROOT / "tests/vessels/everything",
}
NEAR = 1e-3
"""How far the two programs may be apart, as a part of the value."""
SMALL = {"V": 1e-6, "A": 1e-3}
"""Below this a voltage or a current counts as none."""
PLACES = {"highest": 3, "lowest": 1}
"""Places shorted in a fault case of a vessel drawn by lot."""


@dataclass(frozen=True)
class Difference:
    """One figure of both programs."""

    case: str
    what: str
    unit: str
    ours: float
    theirs: float

    @property
    def part(self) -> float:
        size = max(abs(self.ours), abs(self.theirs), SMALL[self.unit])
        return abs(self.ours - self.theirs) / size if abs(self.ours - self.theirs) > SMALL[self.unit] else 0.0

    def __str__(self) -> str:
        both = f"{self.ours:14.6g} {self.theirs:14.6g} {self.unit}"
        return f"{self.case:50.50} {self.what:24.24} {both} {100 * self.part:9.5f} %"


def differences(network: Network, name: str, case: Case, theirs: Mapping[str, float]) -> Iterator[Difference]:
    """Both programs' figures for one case."""
    names, solution = names_of(case, network), case.solution
    base = {int(part): solution.volts[i] for i, part in enumerate(solution.part) if names(i) == "0"}
    volts = [theirs.get(names(i).lower(), 0.0) for i in range(len(case.ids))]
    for i, id in enumerate(case.ids):
        if case.fed[i]:
            yield Difference(name, id, "V", float(solution.volts[i] - base[int(solution.part[i])]), volts[i])
    for edge, (a, b), ohms, amps in zip(
        case.wires, case.circuit.wires.tolist(), case.circuit.ohms.tolist(), solution.wires.tolist()
    ):
        if case.fed[a]:
            yield Difference(name, edge.id, "A", amps, (volts[a] - volts[b]) / ohms)
    for edge, amps in zip(case.stiff, solution.stiff.tolist()):
        yield Difference(name, edge.id, "A", amps, -theirs[f"v_{names.element(edge).lower()}"])


def compare(ngspice: str, network: Network, cases: Mapping[str, Case], folder: Path) -> list[Difference]:
    assert all(case.solution.converged for case in cases.values())
    answers = solve(ngspice, {name: netlist_of(case, name, network) for name, case in cases.items()}, folder)
    return [row for name, case in cases.items() for row in differences(network, name, case, answers[name])]


def load_flows(network: Network) -> dict[str, Case]:
    ohms = resistances(network, Ledger())
    return {f"load flow, {condition}": load_flow_case(network, ohms, condition) for condition in network.conditions}


def faults(network: Network, every: int) -> dict[str, Case]:
    """Every so-manieth place of each fault case, the places moving on from case to case."""
    found = {}
    for number, case in enumerate(fault_cases(network, resistances(network, Ledger()), Ledger())):
        for place, _ in case.pairs[number % every :: every]:
            found[f"{place}, {case.name}"] = case.shorted(place)
    return found


def some_faults(network: Network, seed: int) -> dict[str, Case]:
    """A few places of some of the fault cases, by lot."""
    lot, found = Random(seed), {}
    cases = list(fault_cases(network, resistances(network, Ledger()), Ledger()))
    for case in lot.sample(cases, min(len(cases), 4)):
        count = PLACES[case.name.split()[0]] if case.name.split()[0] in PLACES else 1
        for place, _ in lot.sample(list(case.pairs), min(len(case.pairs), count)):
            found[f"{place}, {case.name}"] = case.shorted(place)
    return found


def report(title: str, rows: list[Difference]) -> None:
    """The largest differences as a table; `pytest -s` shows it."""
    worst = sorted(rows, key=lambda row: -row.part)[:8]
    print(f"\n{title}: {len(rows)} figures, largest differences", *worst, sep="\n  ")


@pytest.mark.parametrize("vessel", VESSELS)
def test_load_flow_agrees_with_another_program(ngspice: str, vessel: str, tmp_path: Path) -> None:
    network = build(read_inventory(VESSELS[vessel]))
    rows = compare(ngspice, network, load_flows(network), tmp_path)
    report(f"{vessel}, load flow", rows)

    assert [row for row in rows if row.part > NEAR] == []


@pytest.mark.parametrize("vessel", VESSELS)
def test_fault_currents_agree_with_another_program(ngspice: str, vessel: str, tmp_path: Path) -> None:
    network = build(read_inventory(VESSELS[vessel]))
    rows = compare(ngspice, network, faults(network, every=40), tmp_path)
    report(f"{vessel}, faults", rows)

    assert [row for row in rows if row.part > NEAR] == []


@pytest.mark.parametrize("first", range(0, 200, 20))
def test_vessels_drawn_by_lot_agree_with_another_program(ngspice: str, first: int, tmp_path: Path) -> None:
    rows = []
    for seed in range(first, first + 20):
        network = build(read_text(random_vessel(seed)))
        rows += compare(ngspice, network, load_flows(network) | some_faults(network, seed), tmp_path)
    report(f"vessels {first} to {first + 19}", rows)

    assert [row for row in rows if row.part > NEAR] == []


def test_the_quick_way_to_a_fault_current_is_the_long_way() -> None:
    """The core with its clamped sources and the whole network in full give the same current at every place."""
    network = build(read_inventory(VESSELS["the demo"]))
    apart = []
    for case in fault_cases(network, resistances(network, Ledger()), Ledger()):
        quick = case.solve().current
        for i, (place, _) in list(enumerate(case.pairs))[::17]:
            long = -float(case.shorted(place).solution.stiff[-1])
            if abs(long - quick[i]) > 1e-4 * max(long, 1e-3):
                apart.append((case.name, place, long, float(quick[i])))

    assert apart == []
