"""Why a figure of energy is what it is: inputs with how they are known, formula, source and steps, told when asked."""

from __future__ import annotations

from collections.abc import Sequence

from ..network import Network
from ..quantities import digits, in_unit
from . import defaults as d
from .balance import Balance, Essential
from .bank_whys import peukert, store
from .banks import Bank
from .cards import Pool
from .day import SUN_SHARE, Day, Month
from .drive import Drive, Run
from .ledger import known, listed, told
from .model import Range, Why


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
        (*store(bank), ("current I", f"{digits(amps, 3)} A", f"load flow, {condition}, average")),
        (
            ("from full", _between(bank.lasts(amps))),
            ("from half charge", _between(bank.lasts(amps, 0.5))),
            *peukert(bank, amps),
        ),
        "computed",
    )


def _between(hours: Range) -> str:
    low, high = digits(hours.low, 3), digits(hours.high, 3)
    return f"{low} h" if low == high else f"{low} h to {high} h"


def of_essentials(network: Network, bank: Bank, found: Essential) -> Why:
    """How long a bank alone carries what must work in an emergency."""
    steps = [
        ("power from the bank", _watts(found.amps * bank.volts)),
        ("current I at its nominal voltage", f"{digits(found.amps, 3)} A"),
    ]
    if found.hours is not None:
        steps += [("hours from full", _between(bank.lasts(found.amps))), *peukert(bank, found.amps)]
    return Why(
        "I = Σ (P · part of the time / η of each converter on the way) / U, idle draw added; t = C · (1 − s0) / I",
        "load-balance practice; benchmark of 3 h: 46 CFR 183.310 (from memory)",
        (
            ("what it carries", listed([network.consumers[id].name for id in found.carried], 8), "marked essential"),
            ("how much of the time", "as in the emergency condition", "stated" if found.said else "partly by default"),
            ("nominal voltage U", f"{digits(bank.volts, 3)} V", "cells times nominal voltage"),
            *store(bank),
        ),
        tuple(steps),
        "computed",
    )


def of_day(bank: Bank, day: Day) -> Why:
    """The state of charge through a usual day."""
    return Why(
        "s = s − I · t / C for each condition in turn, held between empty and full",
        "charge in and out; charging is taken as fast until full: a lithium battery comes near that, lead-acid is slower",
        store(bank),
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


def _watts(watts: float) -> str:
    return in_unit(watts, "power", 3)


def _energy(watt_hours: float) -> str:
    return in_unit(watt_hours, "energy", 3)
