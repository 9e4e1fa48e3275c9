"""Why a figure of a bank is what it is: what it holds, how hard it is worked, how long it lasts, how it is clamped."""

from __future__ import annotations

from collections.abc import Sequence

from ..calc.mechanics import NUT_FACTOR
from ..inventory.sources import Battery
from ..quantities import digits, in_unit
from . import defaults as d
from .banks import PEUKERT, PLATE_FORCE, RATED_HOURS, Bank, BankStudy
from .ledger import known, told
from .model import Range, Why

Input = tuple[str, str, str]
"""(what, value with unit, how known)."""


def store(bank: Bank) -> tuple[Input, ...]:
    """What is in a bank, with how it is known."""
    return (
        ("capacity C", f"{digits(bank.capacity, 3)} Ah", ", ".join(dict.fromkeys(known(b.cells.capacity) for b in bank.batteries))),
        ("used down to s0", f"{bank.floor:.0%} of charge", "the inventory" if bank.stated else "default"),
    )  # fmt: skip


def peukert(bank: Bank, amps: float) -> tuple[tuple[str, str], ...]:
    """What a lead-acid bank gives less above the current of its 20 h rating."""
    if not bank.hard(amps):
        return ()
    return ((f"above C / {RATED_HOURS:g} h lead-acid gives less: t · (C / ({RATED_HOURS:g} h · I))^(k − 1)", f"Peukert's k from {PEUKERT[0]} to {PEUKERT[1]}, from memory"),)  # fmt: skip


def of_energy(batteries: Sequence[Battery]) -> Why:
    """What the batteries aboard hold."""
    return Why(
        "E = C · Σ U of the cells; batteries side by side add their capacity, batteries in series their voltage",
        "nominal voltage of a cell: 3.2 V lithium iron phosphate (seen), 2.0 V lead-acid",
        tuple((f"{b.id}", f"{b.cells.series} cells, {b.cells.parallel} × {b.cells.capacity}", known(b.cells.capacity)) for b in batteries),
        (),
        "computed",
    )  # fmt: skip


def of_size(found: BankStudy, amps: float, condition: str) -> Why:
    """What a smaller or larger bank of the same make holds, weighs, and how long it lasts."""
    inputs: tuple[Input, ...] = (
        *store(found.bank),
        *((f"mass of {b.id}", str(b.mass), known(b.mass)) for b in found.bank.batteries if b.mass),
    )
    if amps > 0:
        inputs += (("current I", f"{digits(amps, 3)} A", f"load flow, {condition}, average"),)
    return Why(
        "energy, mass and capacity in proportion; t = C · (1 − s0) / I",
        "proportion: the same cells, more or fewer of them",
        inputs,
        peukert(found.bank, amps) if amps > 0 else (),
        "computed",
    )


def of_rods() -> Why:
    """Torque of each rod for the usual force on the end plate."""
    return Why(
        "T = K · d · F / n",
        "T = K d F (Shigley, short form, seen); 300 kgf on the end plate: common practice, no source",
        (
            (
                "force F on the end plate",
                in_unit(PLATE_FORCE, "force", 3),
                "300 kgf; the cell's own paper goes before it",
            ),
            ("rods n and thread d", "in each row and column", "metric, coarse"),
            ("nut factor K", digits(NUT_FACTOR, 2), "default, dry or lightly oiled; friction moves it by about 30 %"),
        ),
        (),
        "computed",
    )


def of_years(found: BankStudy, per_day: float | None) -> Why:
    """How many years the cycles of a bank last."""
    stated = any(b.cycles for b in found.bank.batteries)
    steps = [("at one cycle a day", f"{digits(found.years or 0.0, 3)} years")]
    if per_day:
        steps.append(
            (
                f"at {digits(per_day, 2)} of a cycle, as on a usual day",
                f"{digits((found.years or 0.0) / per_day, 3)} years",
            )
        )
    return Why(
        "years = cycles / (cycles a day · 365.25)",
        "the battery's own paper" if stated else d.PRACTICE,
        (("cycles", f"{found.cycles:.0f}", "stated" if stated else "default"),),
        tuple(steps),
        "computed",
    )  # fmt: skip


def of_clamp(found: BankStudy, battery: str, force: float | None, torque: float) -> Why:
    """Force on the end plate of a battery and torque of its rods."""
    cells = next(b for b in found.bank.batteries if b.id == battery).cells
    steps = [(f"torque of each rod for {in_unit(PLATE_FORCE, 'force', 3)}", f"{digits(torque, 2)} N·m")]
    if force is not None:
        steps.append(("force at its own torque", told(Range(force * 0.7, force * 1.3), "force")))
    return Why(
        "F = n · T / (K · d)",
        "T = K d F (Shigley, short form, seen); 300 kgf on the end plate: common practice, no source",
        (
            ("rods n", str(cells.clamp_rods), "the inventory"),
            ("diameter d", cells.rod_size or "", "the inventory"),
            ("torque T of each", str(cells.rod_torque or "not known"), known(cells.rod_torque) if cells.rod_torque else ""),
            ("nut factor K", digits(NUT_FACTOR, 2), "default; oiled or dirty threads move the force by about 30 %"),
        ),
        tuple(steps),
        "computed",
    )  # fmt: skip
