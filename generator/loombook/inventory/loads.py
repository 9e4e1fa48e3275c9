"""What uses energy and how it is wired: circuits with their loads, motors, and runs of wiring between terminals."""

from __future__ import annotations

import re
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from .fields import (
    Amps, CableText, Capacitance, Flag, Load, Name, Ratio, Record, Speed, StartText, Time, Volts, Watts, refuse,
)  # fmt: skip
from .vessel import Sparking

USES = (
    "navigation lights", "bilge pump", "bilge blower", "radio", "navigation", "steering", "alarm", "lighting", "gas",
    "refrigeration", "water", "sanitation", "deck gear", "heating", "entertainment", "engine", "charging", "sockets",
    "other",
)  # fmt: skip

CRITICAL_USES = ("navigation lights", "bilge pump", "bilge blower", "radio", "navigation", "steering", "alarm")
"""Uses to which the 3 % drop limit applies unless the owner says otherwise (ISO 10133; E-11 practice)."""


class Consumer(Sparking):
    """What a load of any kind may say."""

    start: StartText | None = None
    standby: Load | None = None
    """What it draws when it waits; `load` is what it draws at work."""
    law: Literal["power", "current", "resistance"] | None = None
    """How its current follows the voltage: electronics keep the power, lamps and heaters the resistance."""
    works_from: Volts | None = None
    works_to: Volts | None = None
    essential: Flag = False
    """Must work in an emergency."""
    use: Literal[USES] = "other"
    drop: Ratio | None = None
    """Highest drop allowed, where the owner or maker sets it."""
    power_factor: Ratio | None = None


class Tap(Consumer):
    """One of several loads of a circuit."""

    load: Load
    cable: CableText | None = None
    """From the load before it (chain) or from the end of the circuit's cable (star)."""
    behind: Name | None = None
    """The load after which it taps off, where that is not the one before."""


def _path(value: Any) -> Any:
    """One cable, or a list of cables with the devices between them."""
    if isinstance(value, (str, dict)):
        return [value]
    if isinstance(value, list):
        return value
    raise refuse("cable", "wanted here is a cable, or a list of cables and devices", "for instance `1.5 mm², 6.2 m`")


_REFERENCE = re.compile(r"^[A-Za-z]{1,4}\d")


def _step(value: Any) -> Any:
    if isinstance(value, str) and _REFERENCE.match(value):
        return {"item": value}
    if isinstance(value, dict) and value and set(value) <= {"item", "cable"}:
        return value
    return {"cable": value}


class Step(Record):
    """A piece of cable, or a device or junction that it goes through."""

    cable: CableText | None = None
    item: Name | None = None


StepText = Annotated[Step, BeforeValidator(_step)]


class Circuit(Consumer):
    """A final circuit. Give `load` for one consumer, or `loads` for several."""

    source: Annotated[Name, Field(alias="from")]
    """Terminal that feeds it: `X4 way 7`, or a bar or stud."""
    back_to: Name | None = None
    """Terminal that it returns to; a panel's `negative` where it is left out."""
    cable: Annotated[tuple[StepText, ...], BeforeValidator(_path)] = ()
    back: Annotated[tuple[StepText, ...], BeforeValidator(_path)] | None = None
    """The return, where it does not run beside the feed in the same cable."""
    load: Load | None = None
    loads: dict[str, Tap] = {}
    layout: Literal["chain", "star"] = "chain"
    duty: Ratio | None = None
    """Part of the time that it runs, where the operating condition says nothing else."""
    duty_in: dict[str, Ratio] = {}
    """Operating condition → part of the time that it runs then."""
    stays_on: Flag = False
    """Meant to stay on when all else is switched off, such as an always-live bilge pump."""
    network: Flag = False
    """A data network's power: its loads are taps of one backbone."""


class SpeedPoint(Record):
    """One run at a steady speed: what it took."""

    speed: Speed
    power: Watts


class Motor(Consumer):
    """A heavy motor on its own run: windlass, thruster, winch, drive. Terminals: `+`, `-`."""

    kind: Literal["windlass", "thruster", "winch", "drive", "pump", "furler", "other"] = "other"
    load: Load
    """Rated current or power."""
    voltage: Volts | None = None
    run_time: Time | None = None
    """How long one run lasts."""
    runs_on: Time | None = None
    """How long it turns on once its supply is opened: for that long it can feed a fault."""
    duty: Ratio | None = None
    duty_in: dict[str, Ratio] = {}
    regenerates: Flag = False
    """Gives energy back when the water turns it."""
    capacitance: Capacitance | None = None
    """Of its controller, at the terminals."""
    stored_energy_wait: Time | None = None
    precharge: Flag | None = None
    controller_limit: Amps | None = None
    stop: Name | None = None
    speed_points: tuple[SpeedPoint, ...] = ()


class RunStep(Record):
    """One step of a run: a terminal or device (`reference`), or a cable with its `id`."""

    reference: Name | None = None
    id: Name | None = None
    cable: CableText | None = None


def _run_step(value: Any) -> Any:
    if isinstance(value, str):
        return {"reference": value}
    if isinstance(value, dict) and len(value) == 1:
        ((key, cable),) = value.items()
        if cable is None:
            help = "write area and length: `W1: 70 mm², 0.35 m`"
            raise refuse("cable", f"cable `{key}` has nothing after its colon", help, key)
        return {"id": key, "cable": cable}
    help = "for instance `G1 +`, `F1` or `W1: 70 mm², 0.35 m`"
    raise refuse("run", "a step of a run is a terminal, a device, or one cable", help)


RunStepText = Annotated[RunStep, BeforeValidator(_run_step)]


class Run(Record):
    """A run of wiring: from one terminal to the next, the cables and devices in order."""

    path: tuple[RunStepText, ...]
    name: Name | None = None
    note: Name | None = None


def _run(value: Any) -> Any:
    if isinstance(value, str):
        raise refuse("run", "a run is a list of steps", "from one terminal to the next: `[G1 +, F1, X1]`")
    return {"path": value} if isinstance(value, list) else value


RunText = Annotated[Run, BeforeValidator(_run)]
