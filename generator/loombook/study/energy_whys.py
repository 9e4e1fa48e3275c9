"""Why a figure of energy is what it is: inputs with how they are known, formula, source and steps, told when asked."""

from __future__ import annotations

from collections.abc import Sequence

from ..calc.mechanics import NUT_FACTOR
from ..inventory.sources import Battery
from ..network import Network
from ..quantities import digits, in_unit
from . import defaults as d
from .balance import Balance, Essential
from .banks import PEUKERT, PLATE_FORCE, RATED_HOURS, Bank, BankStudy
from .cards import Pool
from .day import SUN_SHARE, Day, Month
from .defaults import known, listed, told
from .drive import Drive, Run
from .model import Range, Why

Input = tuple[str, str, str]


def of_condition(network: Network, balance: Balance) -> Why:
    """What all consumers and losses take in one operating condition."""
    largest = sorted(balance.uses, key=lambda use: -use.watts)[:5]
    inputs = tuple(
        (
            f"{network.consumers[use.consumer].name} ({use.consumer})",
            f"{digits(use.watts, 3)} W, running {use.duty:.0%} of the time",
            "time stated" if use.said else "time by default",
        )
        for use in largest
    )
    more = len(balance.uses) - len(largest)
    rest = sum(use.watts for use in balance.uses) - sum(use.watts for use in largest)
    if more > 0:
        inputs += ((f"{more} smaller ones", f"{digits(rest, 3)} W", "as in the table"),)
    steps = [
        ("consumers together", _watts(balance.used)),
        ("lost in converters, inverters, chargers and controllers", _watts(sum(c.lost for c in balance.conversions))),
        ("lost in wiring, devices and the batteries", _watts(balance.wiring)),
        *((f"given by {network.edges[id].item}", _watts(watts)) for id, watts in balance.given if watts >= 0.05),
        *((f"given by {flow.bank}", f"{digits(flow.amps, 3)} A") for flow in balance.banks if abs(flow.amps) >= 0.005),
        ("part that rests on default running times", f"{balance.guessed:.0%}"),
    ]
    if balance.hours:
        steps.append((f"over {balance.hours:g} h", _energy((balance.used + balance.lost) * balance.hours)))
    return Why(
        "P = Σ U · I of the load flow, every load at rated load × part of the time that it runs; Q = I · t; W = P · t",
        "Kirchhoff's laws; load-balance practice",
        inputs,
        tuple(steps),
        "computed",
    )


def of_hours(bank: Bank, amps: float, condition: str) -> Why:
    """How long a bank lasts at the current of one operating condition."""
    return Why(
        "t = C · (s − s0) / I",
        f"charge over current; the usable part: {'the inventory' if bank.stated else d.PRACTICE}",
        (*_store(bank), ("current I", f"{digits(amps, 3)} A", f"load flow, {condition}, average")),
        (
            ("from full", _between(bank.lasts(amps))),
            ("from half charge", _between(bank.lasts(amps, 0.5))),
            *_peukert(bank, amps),
        ),
        "computed",
    )


def _between(hours: Range) -> str:
    low, high = digits(hours.low, 3), digits(hours.high, 3)
    return f"{low} h" if low == high else f"{low} h to {high} h"


def _peukert(bank: Bank, amps: float) -> tuple[tuple[str, str], ...]:
    """What a lead-acid bank gives less above the current of its 20 h rating."""
    if not bank.hard(amps):
        return ()
    return ((f"above C / {RATED_HOURS:g} h lead-acid gives less: t · (C / ({RATED_HOURS:g} h · I))^(k − 1)", f"Peukert's k from {PEUKERT[0]} to {PEUKERT[1]}, from memory"),)  # fmt: skip


def _store(bank: Bank) -> tuple[Input, ...]:
    """What is in a bank, with how it is known."""
    return (
        ("capacity C", f"{digits(bank.capacity, 3)} Ah", ", ".join(dict.fromkeys(known(b.cells.capacity) for b in bank.batteries))),
        ("used down to s0", f"{bank.floor:.0%} of charge", "the inventory" if bank.stated else "default"),
    )  # fmt: skip


def of_essentials(network: Network, bank: Bank, found: Essential) -> Why:
    """How long a bank alone carries what must work in an emergency."""
    steps = [
        ("power from the bank", _watts(found.amps * bank.volts)),
        ("current I at its nominal voltage", f"{digits(found.amps, 3)} A"),
    ]
    if found.hours is not None:
        steps += [("hours from full", _between(bank.lasts(found.amps))), *_peukert(bank, found.amps)]
    return Why(
        "I = Σ (P · part of the time / η of each converter on the way) / U, idle draw added; t = C · (1 − s0) / I",
        "load-balance practice; benchmark of 3 h: 46 CFR 183.310 (from memory)",
        (
            ("what it carries", listed([network.consumers[id].name for id in found.carried], 8), "marked essential"),
            ("how much of the time", "as in the emergency condition", "stated" if found.said else "partly by default"),
            ("nominal voltage U", f"{digits(bank.volts, 3)} V", "cells times nominal voltage"),
            *_store(bank),
        ),
        tuple(steps),
        "computed",
    )


def of_day(bank: Bank, day: Day) -> Why:
    """The state of charge through a usual day."""
    return Why(
        "s = s − I · t / C for each condition in turn, held between empty and full",
        "charge in and out; charging is taken as fast until full: a lithium battery comes near that, lead-acid is slower",
        _store(bank),
        tuple((f"hour {digits(hour, 3)}, {name or 'beginning, full'}", f"{s:.0%}") for hour, s, name in day.points),
        "computed",
    )


def of_month(network: Network, month: Month) -> Why:
    """What the sun brings in a usual day of a month; the others follow in the same way."""
    arrays = network.inventory.solar_arrays.values()
    rated = sum(a.power.value * a.series * a.parallel for a in arrays)
    return Why(
        "W = P · h · k",
        f"sizing rule W = E / (G K); k: {SUN_SHARE.source}",
        (
            ("rated power P of all arrays", f"{digits(rated, 3)} W", "the inventory"),
            (f"peak-sun hours h in {month.name}", f"{digits(month.hours, 2)} h", "the inventory" if month.stated else "default, about 50° north, from memory"),
            ("share k that reaches the batteries", f"{SUN_SHARE.high:.0%}", "default"),
        ),
        (("brought in a day", _energy(month.brought)),),
        "computed",
    )  # fmt: skip


def of_drive(network: Network, drive: Drive) -> Why:
    """The curve of power over speed."""
    motor = network.inventory.motors[drive.motor]
    fit = drive.fit
    return Why(
        "P = a · vⁿ, least squares of the logarithms",
        "the runs measured aboard; n = 3 is the cube law of naval practice (seen)",
        tuple((f"at {point.speed}", str(point.power), known(point.power)) for point in motor.speed_points),
        (
            ("power at 1 kn, a", _watts(fit.coefficient)),
            ("exponent n", digits(fit.exponent, 3)),
            ("a measured point lies off the curve by at most", f"{fit.deviation:.0%}"),
        ) if fit else (),
        "computed",
    )  # fmt: skip


def of_run(bank: Bank, drive: Drive, run: Run) -> Why:
    """Endurance and range at one speed."""
    return Why(
        "t = E / (P + Ph); s = v · t",
        "energy over power",
        (
            ("usable energy E", _energy(drive.usable), f"bank {bank.name}, down to {bank.floor:.0%}" + ("" if bank.stated else " by default")),
            (f"power P of the drive at {run.speed:g} kn", _watts(run.power), "the curve" if run.measured else "the curve beyond its points: a guess"),
            ("power Ph of all else meanwhile", _watts(drive.hotel), "load flow"),
        ),
        (("hours t", told(Range(run.lasts.low * 3600, run.lasts.high * 3600), "time")), ("miles s", f"{digits(run.distance, 2)} nautical miles")),
        "computed",
    )  # fmt: skip


def of_pool(network: Network, pool: Pool, carried: Sequence[str]) -> Why:
    """How long the batteries that carry what still works after the fast card last."""
    batteries = [network.inventory.batteries[id] for id in pool.batteries]
    return Why(
        "t = E / P; P = Σ (load · part of the time, or what it draws while it waits) / η of each converter on the way",
        "load-balance practice; benchmark of 3 h: 46 CFR 183.310 (from memory)",
        (
            ("what it carries", listed(carried, 8), "after the FAST card"),
            *((f"capacity of {b.id}", str(b.cells.capacity), known(b.cells.capacity)) for b in batteries),
            ("usable part", f"{pool.usable:.0%}", "the inventory" if pool.stated else "default"),
        ),
        (
            ("usable energy E, from full", _energy(pool.energy)),
            ("power P", _watts(pool.power)),
            ("at the nominal voltage", f"{digits(pool.amps, 2)} A"),
        ),
        "computed",
    )


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
        *_store(found.bank),
        *((f"mass of {b.id}", str(b.mass), known(b.mass)) for b in found.bank.batteries if b.mass),
    )
    if amps > 0:
        inputs += (("current I", f"{digits(amps, 3)} A", f"load flow, {condition}, average"),)
    return Why(
        "energy, mass and capacity in proportion; t = C · (1 − s0) / I",
        "proportion: the same cells, more or fewer of them",
        inputs,
        _peukert(found.bank, amps) if amps > 0 else (),
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


def of_use(balances: Sequence[Balance]) -> Why:
    """What each consumer takes over a usual day of the operating conditions."""
    return Why(
        "Q = Σ I · t; W = Σ P · t over the conditions",
        "load-balance practice",
        tuple((f"hours of {b.condition}", f"{b.hours:g} h", "stated") for b in balances if b.hours),
        (("average I and P of each consumer", "on the page of each condition"),),
        "computed",
    )


def of_conversions(network: Network, balance: Balance, hours: float) -> Why:
    """What converters, inverters, chargers and controllers lose in one operating condition."""
    inputs = []
    for found in balance.conversions:
        record = network.inventory.item(found.item)
        stated = getattr(record, "efficiency", None)
        part = f"{found.given / found.taken:.0%} came out" if found.taken > 0 else "idle"
        inputs.append(
            (
                found.item,
                f"efficiency {stated}" if stated else "efficiency by default, in the ledger",
                f"{known(stated)}; {part}" if stated else part,
            )
        )
    return Why(
        "in: P / η + idle draw; lost = in − out; W = lost · t",
        "Kirchhoff's laws; the load flow of this condition",
        (*inputs, ("time t", f"{hours:g} h", "the condition")),
        (),
        "computed",
    )  # fmt: skip


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


def _watts(watts: float) -> str:
    return in_unit(watts, "power", 3)


def _energy(watt_hours: float) -> str:
    return in_unit(watt_hours, "energy", 3)
