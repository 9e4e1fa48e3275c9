"""Netlists solved by ngspice: many in one run, each as a subcircuit of its own."""

from __future__ import annotations

import re
import subprocess
from collections.abc import Mapping
from pathlib import Path

_COMPLEX = re.compile(r"^(?P<name>\S+) = (?P<real>[-+0-9.eE]+),(?P<imag>[-+0-9.eE]+)$")
_NODESET = re.compile(r"v\((?P<name>[^)]+)\)=", re.IGNORECASE)
_VALUE = re.compile(r"^(?P<name>\S+) = (?P<value>[-+0-9.eE]+)$")
_OPTIONS = re.compile(r"^\.options .*$", re.MULTILINE)


_MOST_LINES = 3000
"""Lines of one run: far larger ones take ngspice much longer."""


def solve_ac(ngspice: str, netlists: Mapping[str, str], folder: Path) -> Mapping[str, Mapping[str, complex]]:
    """The same for netlists of alternating current, solved at 50 Hz: complex volts and amperes."""
    found: dict[str, Mapping[str, complex]] = {}
    batch: dict[str, str] = {}
    for name, text in netlists.items():
        batch[name] = text
        if sum(t.count("\n") for t in batch.values()) > _MOST_LINES:
            found |= _solve_ac(ngspice, batch, folder)
            batch = {}
    return found | (_solve_ac(ngspice, batch, folder) if batch else {})


def _solve_ac(ngspice: str, netlists: Mapping[str, str], folder: Path) -> dict[str, Mapping[str, complex]]:
    names = list(netlists)
    deck = ["* many netlists in one", _OPTIONS.search(netlists[names[0]]).group()]
    for i, name in enumerate(names):
        deck += [f".subckt case{i}", *_parts(netlists[name])[0], f".ends case{i}", f"x{i} case{i}"]
    deck += [".control", "set numdgt=15", "ac lin 1 50 50", "print all", ".endc", ".end"]
    path = folder / "deck.cir"
    path.write_text("\n".join(deck) + "\n")
    answer = subprocess.run([ngspice, "-b", str(path)], capture_output=True, text=True, timeout=300)
    found: list[dict[str, complex]] = [{"0": 0j} for _ in names]
    for line in answer.stdout.splitlines():
        if match := _COMPLEX.match(line.strip()):
            case, _, rest = match["name"].removeprefix("v.").partition(".")
            if case.startswith("x") and case[1:].isdigit():
                value = complex(float(match["real"]), float(match["imag"]))
                found[int(case[1:])][rest.removesuffix("#branch")] = value
    if not all(len(values) > 1 for values in found):
        raise NotFound(f"{names[0]}: {answer.stderr[-2000:]}")
    return dict(zip(names, found))


def solve(ngspice: str, netlists: Mapping[str, str], folder: Path) -> Mapping[str, Mapping[str, float]]:
    """Name → what ngspice finds: node name → volts, element name of each voltage source → amperes."""
    found: dict[str, Mapping[str, float]] = {}
    batch: dict[str, str] = {}
    for name, text in netlists.items():
        batch[name] = text
        if sum(t.count("\n") for t in batch.values()) > _MOST_LINES:
            found |= _halving(ngspice, batch, folder)
            batch = {}
    return found | (_halving(ngspice, batch, folder) if batch else {})


def _halving(ngspice: str, netlists: Mapping[str, str], folder: Path) -> dict[str, Mapping[str, float]]:
    """Solve together, or in halves where ngspice does not find all of them together: its tolerances are for the
    whole."""
    try:
        return _solve(ngspice, netlists, folder)
    except NotFound:
        if len(netlists) == 1:
            raise
        rows = list(netlists.items())
        half = len(rows) // 2
        return _halving(ngspice, dict(rows[:half]), folder) | _halving(ngspice, dict(rows[half:]), folder)


class NotFound(Exception):
    """ngspice found no operating point."""


def _solve(ngspice: str, netlists: Mapping[str, str], folder: Path) -> dict[str, Mapping[str, float]]:
    names = list(netlists)
    deck = ["* many netlists in one", _OPTIONS.search(netlists[names[0]]).group()]
    for i, name in enumerate(names):
        inside, starts = _parts(netlists[name])
        deck += [f".subckt case{i}", *inside, f".ends case{i}", f"x{i} case{i}"]
        deck += [_NODESET.sub(lambda m: f"v(x{i}.{m['name']})=", line) for line in starts]
    deck += [".control", "set numdgt=15", "op", "print all", ".endc", ".end"]
    path = folder / "deck.cir"
    path.write_text("\n".join(deck) + "\n")
    answer = subprocess.run([ngspice, "-b", str(path)], capture_output=True, text=True, timeout=300)
    found: list[dict[str, float]] = [{"0": 0.0} for _ in names]
    for line in answer.stdout.splitlines():
        if match := _VALUE.match(line.strip()):
            case, _, rest = match["name"].removeprefix("v.").partition(".")
            if case.startswith("x") and case[1:].isdigit():
                found[int(case[1:])][rest.removesuffix("#branch")] = float(match["value"])
    if not all(len(values) > 1 for values in found):
        raise NotFound(f"{names[0]}: {answer.stderr[-2000:]}")
    return dict(zip(names, found))


def _parts(netlist: str) -> tuple[list[str], list[str]]:
    """The elements of a netlist, and its starting voltages."""
    lines = [line for line in netlist.splitlines() if line and not line.startswith("*")]
    return [line for line in lines if not line.startswith(".")], [line for line in lines if line.startswith(".nodeset")]
