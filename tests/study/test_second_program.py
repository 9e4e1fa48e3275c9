"""The study's circuits, solved a second time by ngspice: every node voltage, branch current and fault current."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from loombook.inventory import read_inventory
from loombook.network import build
from loombook.study.acshort import AcCase
from loombook.study.faultcase import fault_cases
from loombook.study.ledger import Ledger
from loombook.study.netlist import netlist_of
from loombook.study.resistances import resistances
from loombook.study.solve import solve as solve_here
from tests.study.second_program import (
    BOTH,
    FAULTS,
    FLOW,
    LOT,
    NEAR,
    SEEDS,
    VESSELS,
    differences,
    load_flows,
    of_lot,
    of_vessel,
    report,
    short,
    stated,
    summary,
)  # fmt: skip
from tests.study.second_solver import solve

STEP = 20
SLACK = 10.0
"""How many times larger than the table says a difference may be: another release of ngspice stops elsewhere."""


def fault_places(vessel: str) -> set[str]:
    """Every place of a vessel at which a fault current is quoted."""
    network = build(read_inventory(VESSELS[vessel]))
    return {place for case in fault_cases(network, resistances(network, Ledger()), Ledger()) for place, _ in case.pairs}


@pytest.mark.parametrize("what", [FLOW, FAULTS])
@pytest.mark.parametrize("vessel", VESSELS)
def test_every_figure_agrees_with_another_program(ngspice: str, vessel: str, what: str, tmp_path: Path) -> None:
    rows = of_vessel(ngspice, vessel, what, tmp_path)
    report(f"{vessel}, {what}", rows)
    table, fresh = stated()[vessel, what], summary(vessel, what, rows)

    assert [row for row in rows if row.part > NEAR] == []
    if what == FAULTS:
        assert {row.case.split(",")[0] for row in rows} == fault_places(vessel)
    assert fresh.volts <= SLACK * table.volts + 1e-6
    assert fresh.amps <= SLACK * table.amps + 1e-3
    if vessel != "the demo":  # she is edited daily; her row is of the day it was written
        assert (table.cases, table.figures) == (fresh.cases, fresh.figures)


def test_two_hundred_vessels_are_drawn() -> None:
    assert 200 == len([seed for first in range(0, SEEDS, STEP) for seed in range(first, first + STEP)])


@pytest.mark.parametrize("first", range(0, SEEDS, STEP))
def test_vessels_drawn_by_lot_agree_with_another_program(ngspice: str, first: int, tmp_path: Path) -> None:
    rows = of_lot(ngspice, range(first, first + STEP), tmp_path)
    report(f"vessels {first} to {first + STEP - 1}", rows)
    table, fresh = stated()[LOT, BOTH], summary(LOT, BOTH, rows)

    assert [row for row in rows if row.part > NEAR] == []
    assert fresh.volts <= SLACK * table.volts + 1e-6
    assert fresh.figures < table.figures


def test_the_other_program_leaves_our_voltages_where_they_are_wrong(ngspice: str, tmp_path: Path) -> None:
    """One set of resistances is changed and the start is not: it comes to the new answer, not to the one it began at."""
    network = build(read_inventory(VESSELS["the launch"]))
    name, case = next(iter(load_flows(network).items()))
    changed = replace(case, circuit=replace(case.circuit, ohms=3 * case.circuit.ohms))
    theirs = solve(ngspice, {name: netlist_of(changed, name, network)}, tmp_path)[name]
    ours = replace(changed, solution=solve_here(changed.circuit))

    assert [row for row in differences(network, name, case, theirs) if row.part > NEAR]
    assert [row for row in differences(network, name, ours, theirs) if row.part > NEAR] == []


def test_the_quick_way_to_a_fault_current_is_the_long_way() -> None:
    """The core with its clamped sources and the whole network in full give the same current at every place."""
    network = build(read_inventory(VESSELS["the demo"]))
    apart = []
    for case in fault_cases(network, resistances(network, Ledger()), Ledger()):
        quick = case.solve().current
        for i, (place, _) in list(enumerate(case.pairs))[::17]:
            full = short(case, place)
            long = abs(full.amps) if isinstance(full, AcCase) else -float(full.solution.stiff[-1])
            if abs(long - quick[i]) > 1e-4 * max(long, 1e-3):
                apart.append((case.name, place, long, float(quick[i])))

    assert apart == []
