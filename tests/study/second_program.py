"""The study's circuits solved a second time by ngspice, and the table of the differences.

`python -m tests.study.second_program` writes the table that the verification page shows; the tests hold it true.
"""

from __future__ import annotations

import csv
import shutil
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import ceil, floor, log10
from pathlib import Path
from random import Random

from loombook.inventory import read_inventory, read_text
from loombook.network import Network, build
from loombook.study.acshort import AcCase, ac_netlist, short_in_full
from loombook.study.faultcase import FaultCase, fault_cases
from loombook.study.layout import Case
from loombook.study.ledger import Ledger
from loombook.study.netlist import ac_names, load_flow_case, names_of, netlist_of
from loombook.study.resistances import resistances
from tests.random_vessels import random_vessel
from tests.study.second_solver import solve, solve_ac

ROOT = Path(__file__).parents[2]
VESSELS = {
    "the demo": ROOT / "vessel",
    "the launch": ROOT / "tests/vessels/launch",
    "everything": ROOT / "tests/vessels/everything",
}
FROM_NOMINAL = ("everything",)
"""Vessels for which the other program begins at nominal voltages: it finds them all from there."""
FLOW, FAULTS, BOTH = "load flow", "faults", "load flow and faults"
LOT, SEEDS = "vessels drawn by lot", 200
TABLE = ROOT / "generator/loombook/calc/tables/second_program.csv"
BUILD = ROOT / "build/second-program"
HEAD = (
    "# title: Solved again by another program",
    "# source: ngspice, an independent circuit simulator, on the netlists of `loombook write --netlist`",
    "# edition: as installed",
    "# clause: operating point",
    "# mark: computed",
    "# note: Largest differences, rounded up: volts [V], amps [A], part of the value above 10 mV or 10 mA [1].",
)
VISIBLE = 1e-2
"""Smallest value of which a difference is given as a part [V], [A]."""
NEAR = 1e-3
"""How far the two programs may be apart, as a part of the value."""
SMALL = {"V": 1e-6, "A": 1e-3}
"""Below this a voltage or a current counts as none."""
OFTEN = {"the demo": 1, "the launch": 1000, "everything": 2}
"""In how many of its fault cases each place of a vessel is shorted, at least: the launch in all of them."""
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


def ac_differences(network: Network, name: str, case: AcCase, theirs: Mapping[str, complex]) -> Iterator[Difference]:
    """Both programs' figures for one fault of alternating current, by modulus."""
    names = ac_names(case, network)
    base = {int(part): case.volts[i] for i, part in enumerate(case.part) if names(i) == "0"}
    volts = [theirs.get(names(i).lower(), 0j) for i in range(len(case.ids))]
    for i, id in enumerate(case.ids):
        yield Difference(name, id, "V", float(abs(case.volts[i] - base[int(case.part[i])])), abs(volts[i]))
    for edge, (a, b), ohms in zip(case.wires, case.ends.tolist(), case.impedance.tolist()):
        yield Difference(
            name, edge.id, "A", abs(case.volts[a] - case.volts[b]) / abs(ohms), abs(volts[a] - volts[b]) / abs(ohms)
        )
    for feed, own, amps in zip(case.feeds, case.held, case.given.tolist()):
        if own is None:
            yield Difference(name, feed.edge.id, "A", abs(amps), abs(theirs[f"v_{names.element(feed.edge).lower()}"]))
    yield Difference(name, "fault", "A", abs(case.amps), abs(theirs["v_fault"]))


def compare(
    ngspice: str, network: Network, cases: Mapping[str, Case | AcCase], folder: Path, nominal: bool = False
) -> list[Difference]:
    """Both programs' figures for some cases; with `nominal` the other one begins at nominal voltages, not at ours."""
    direct = {name: case for name, case in cases.items() if isinstance(case, Case)}
    turning = {name: case for name, case in cases.items() if isinstance(case, AcCase)}
    assert all(case.solution.converged for case in direct.values())
    answers = solve(ngspice, {name: netlist_of(case, name, network, nominal) for name, case in direct.items()}, folder)
    rows = [row for name, case in direct.items() for row in differences(network, name, case, answers[name])]
    netlists = {name: ac_netlist(case, name, ac_names(case, network)) for name, case in turning.items()}
    found = solve_ac(ngspice, netlists, folder)
    return rows + [row for name, case in turning.items() for row in ac_differences(network, name, case, found[name])]


def short(case: FaultCase, place: str) -> Case | AcCase:
    """One place of a fault case shorted, the long way."""
    alternating = case.grid.core.network.nodes[place].pole == "L"
    return short_in_full(case, place) if alternating else case.shorted(place)


def load_flows(network: Network) -> dict[str, Case]:
    ohms = resistances(network, Ledger())
    return {f"load flow, {condition}": load_flow_case(network, ohms, condition) for condition in network.conditions}


def faults(network: Network, often: int) -> dict[str, Case | AcCase]:
    """Every place at which a fault current is quoted, shorted in so many of its fault cases, spread over all of them."""
    of_place: dict[str, list[FaultCase]] = {}
    for case in fault_cases(network, resistances(network, Ledger()), Ledger()):
        for place, _ in case.pairs:
            of_place.setdefault(place, []).append(case)
    found = {}
    for number, (place, cases) in enumerate(of_place.items()):
        step = max(len(cases) // often, 1)
        for case in cases[number % step :: step]:
            found[f"{place}, {case.name}"] = short(case, place)
    return found


def some_faults(network: Network, seed: int) -> dict[str, Case | AcCase]:
    """A few places of some of the fault cases, by lot."""
    lot, found = Random(seed), {}
    cases = list(fault_cases(network, resistances(network, Ledger()), Ledger()))
    for case in lot.sample(cases, min(len(cases), 4)):
        count = PLACES[case.name.split()[0]] if case.name.split()[0] in PLACES else 1
        for place, _ in lot.sample(list(case.pairs), min(len(case.pairs), count)):
            found[f"{place}, {case.name}"] = short(case, place)
    return found


@dataclass(frozen=True)
class Compared:
    """What was compared of one vessel, or of many."""

    vessel: str
    what: str
    cases: int
    figures: int
    volts: float
    """Largest difference of a voltage [V]."""
    amps: float
    """Largest difference of a current [A]."""
    part: float
    """Largest difference as a part of the value, of values above 10 mV or 10 mA."""


def summary(vessel: str, what: str, rows: Sequence[Difference]) -> Compared:
    """The largest differences, each rounded up to one digit."""

    def most(values: Iterator[float]) -> float:
        largest = max(values, default=0.0)
        place = floor(log10(largest)) if largest > 0 else 0
        return float(f"{ceil(largest / 10**place) * 10.0**place:.0e}")

    return Compared(
        vessel,
        what,
        len({row.case for row in rows}),
        len(rows),
        most(abs(r.ours - r.theirs) for r in rows if r.unit == "V"),
        most(abs(r.ours - r.theirs) for r in rows if r.unit == "A"),
        most(abs(r.ours - r.theirs) / abs(r.ours) for r in rows if abs(r.ours) > VISIBLE),
    )


def report(title: str, rows: Sequence[Difference]) -> None:
    """The largest differences as a table: on the screen with `pytest -s`, and as a file under `build/`."""
    worst = sorted(rows, key=lambda row: (-row.part, -abs(row.ours - row.theirs)))[:20]
    print(f"\n{title}: {len(rows)} figures, largest differences", *worst[:8], sep="\n  ")
    BUILD.mkdir(parents=True, exist_ok=True)
    name = title.replace(",", "").replace(" ", "-")
    with (BUILD / f"{name}.csv").open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(["case", "node or edge", "unit", "ours", "theirs", "difference, %"])
        writer.writerows(
            [r.case, r.what, r.unit, f"{r.ours:.9g}", f"{r.theirs:.9g}", f"{100 * r.part:.3g}"] for r in worst
        )


def stated() -> dict[tuple[str, str], Compared]:
    """The table as it was last written."""
    with TABLE.open(encoding="utf-8") as file:
        rows = csv.DictReader(line for line in file if not line.startswith("#"))
        return {
            (r["vessel"], r["what"]): Compared(
                r["vessel"], r["what"], int(r["cases"]), int(r["figures"]), float(r["volts"]), float(r["amps"]), float(r["part"])
            )
            for r in rows
        }  # fmt: skip


def of_vessel(ngspice: str, vessel: str, what: str, folder: Path) -> list[Difference]:
    """All figures of one vessel's load flows, or of the faults at its places (see `OFTEN`)."""
    network = build(read_inventory(VESSELS[vessel]))
    cases = load_flows(network) if what == FLOW else faults(network, OFTEN[vessel])
    return compare(ngspice, network, cases, folder, nominal=vessel in FROM_NOMINAL)


def of_lot(ngspice: str, seeds: range, folder: Path) -> list[Difference]:
    """Load flows and some faults of vessels drawn by lot."""
    rows = []
    for seed in seeds:
        network = build(read_text(random_vessel(seed)))
        found = compare(ngspice, network, load_flows(network) | some_faults(network, seed), folder)
        rows += [Difference(f"vessel {seed}, {r.case}", r.what, r.unit, r.ours, r.theirs) for r in found]
    return rows


def write(rows: Sequence[Compared]) -> None:
    """The table anew."""
    lines = [*HEAD, "vessel,what,cases,figures,volts,amps,part"]
    lines += [f"{r.vessel},{r.what},{r.cases},{r.figures},{r.volts:g},{r.amps:g},{r.part:g}" for r in rows]
    TABLE.write_text("\n".join(lines) + "\n", encoding="utf-8", newline="\n")


if __name__ == "__main__":
    program = shutil.which("ngspice")
    assert program, "ngspice is not installed"
    with tempfile.TemporaryDirectory() as scratch:
        place = Path(scratch)
        found = [summary(v, what, of_vessel(program, v, what, place)) for v in VESSELS for what in (FLOW, FAULTS)]
        found.append(summary(LOT, BOTH, of_lot(program, range(SEEDS), place)))
    write(found)
