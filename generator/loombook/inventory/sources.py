"""What gives or converts energy: batteries, alternators, generators, solar, shore, chargers, inverters, converters."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BeforeValidator

from .fields import (
    ACPower, AmpHours, Amps, Area, Capacitance, Count, Flag, Length, Name, Number, Ohms, PerKelvin, Ratio, Record,
    StartText, Temperature, Time, Torque, Volts, Watts, At,
)  # fmt: skip
from .vessel import Item, Sparking

CHEMISTRIES = ("lfp", "flooded lead-acid", "agm lead-acid", "gel lead-acid")


class Cells(Record):
    """The cells of one battery."""

    series: Number
    parallel: Number = 1
    capacity: AmpHours
    """Of one cell."""
    resistance: Ohms | None = None
    """Of one cell, as DC sees it."""
    link: Ohms | None = None
    """Of one link between cells, its two joints included."""
    lowest: Volts | None = None
    highest: Volts | None = None
    spread: Volts | None = None
    """Difference between the highest and the lowest cell at the top of charge, as last read."""
    clamp_rods: Count | None = None
    rod_torque: Torque | None = None
    rod_size: Name | None = None


class BMS(Record):
    """The battery management unit of one battery."""

    series: Number | None = None
    """Cells in series that it is made for."""
    chemistry: Literal[CHEMISTRIES] | None = None
    current: Amps | None = None
    """Discharge current that it carries continuously."""
    charge_current: Amps | None = None
    peak: StartText | None = None
    trip: Amps | None = None
    """Current above which it opens as for a short circuit."""
    trip_delay: Time | None = None
    resistance: Ohms | None = None
    side: Literal["positive", "negative"] = "negative"
    """The pole in which it opens the battery."""
    opens_by: Literal["contactor", "transistors"] = "transistors"
    highest_cell: Volts | None = None
    """Cell voltage at which it stops the charge."""
    lowest_cell: Volts | None = None
    no_charge_below: Temperature | None = None
    balance: Amps | None = None
    alarm: Name | None = None
    """Where its alarm before opening is seen or heard."""
    remote: Name | None = None
    """How it is opened by hand, from where."""
    sense_leads: Length | None = None
    sense_fused: Flag | None = None
    firmware: Name | None = None
    note: Name | None = None


class Battery(Sparking):
    """One battery: cells in series and parallel behind one pair of posts.

    Terminals: `+`, `-`; cell side of a BMS: `cell +`, `cell -`.
    """

    chemistry: Literal[CHEMISTRIES]
    bank: Name | None = None
    """Batteries that work together carry the same bank name."""
    cells: Cells
    bms: BMS | None = None
    resistance: Ohms | None = None
    """Of the whole battery at its posts, where it is known rather than the cells'."""
    cranking: Amps | None = None
    """Cold cranking current on its label."""
    max_charge: Amps | None = None
    max_discharge: Amps | None = None
    usable: Ratio | None = None
    """Part of the capacity that is used."""
    cycles: Count | None = None
    restrained: Flag | None = None
    covered: Flag | None = None
    """Whether nothing metallic can touch its live posts."""
    duty: Literal["house", "start", "drive", "reserve"] = "house"


class Profile(Record):
    """Charging set-points."""

    absorption: Volts | None = None
    float: Volts | None = None
    equalise: Volts | None = None
    temperature_compensation: Flag | None = None


class Stop(Record):
    """How a source that turns or burns is stopped by hand. Short form: what to do, then `at` where."""

    action: Name
    at: At | None = None
    see: Name | None = None


def _stop(value: object) -> object:
    return {"action": value} if isinstance(value, str) else value


StopText = Annotated[Stop, BeforeValidator(_stop)]


class ChargeSource(Sparking, Profile):
    """Common to all that charge."""

    current: Amps
    """Highest output current."""
    voltage: Volts | None = None
    """Nominal output voltage where no battery tells it."""
    bms_stops_it: Flag | None = None
    """Whether the BMS tells it to stop before it opens the battery."""
    efficiency: Ratio | None = None
    sense_leads: Flag | None = None


class Alternator(ChargeSource):
    """An engine's alternator. Terminals: `+`, `-`."""

    regulator: Literal["internal", "external"] | None = None
    engine: Name | None = None
    temperature_sensor: Flag | None = None
    stop: StopText | None = None


class SolarArray(Item):
    """Solar modules wired together. Terminals: `+`, `-`."""

    series: Number = 1
    parallel: Number = 1
    open_circuit: Volts
    """Open-circuit voltage of one module at 25 °C."""
    short_circuit: Amps
    power: Watts
    """Peak power of one module."""
    voltage_change: PerKelvin | None = None
    """Change of the open-circuit voltage with temperature."""
    coldest: Temperature | None = None
    stop: StopText | None = None


class SolarController(ChargeSource):
    """Between an array and a bank. Terminals: `pv +`, `pv -`, `+`, `-`."""

    highest_input: Volts | None = None
    isolated: Flag = False


class Charger(ChargeSource):
    """Fed with AC. Terminals: `L`, `N`, `PE` in; `+`, `-` out."""

    input: ACPower | None = None


class Converter(Sparking, Profile):
    """DC to DC. Terminals: `in +`, `in -`, `out +`, `out -`."""

    output: Volts
    current: Amps
    input_from: Volts | None = None
    input_to: Volts | None = None
    efficiency: Ratio | None = None
    idle: Watts | None = None
    isolated: Flag = False
    """Whether input and output negatives are apart."""
    charges: Flag = False
    """Whether it charges a battery."""
    bms_stops_it: Flag | None = None
    stored_energy_wait: Time | None = None
    resistance: Ohms | None = None


class Inverter(Sparking):
    """DC to AC. Terminals: `+`, `-` in; `L`, `N`, `PE` out."""

    power: ACPower
    peak: ACPower | None = None
    output: Volts | None = None
    efficiency: Ratio | None = None
    idle: Watts | None = None
    bond: Literal["fixed", "switched", "none"] | None = None
    """Whether it joins neutral and earth: always, only when it supplies, never."""
    capacitance: Capacitance | None = None
    stored_energy_wait: Time | None = None
    input_from: Volts | None = None
    input_to: Volts | None = None
    fault_current: Amps | None = None


class ShoreInlet(Item):
    """Where the shore lead goes in. Terminals: `L`, `N`, `PE`."""

    voltage: Volts
    current: Amps
    fault_current: Amps | None = None
    """Prospective fault current of the shore supply, where declared."""
    lead_length: Length | None = None
    lead_area: Area | None = None
    galvanic_isolator: Flag | None = None
    isolating_transformer: Flag | None = None
    polarity_lamp: Flag | None = None
    country: Name | None = None
    earthing: Literal["TN", "TT"] | None = None
    """Whether the shore's earth comes with its neutral, or is an electrode of its own."""
    earth_resistance: Ohms | None = None
    """Of the electrode and the protective conductor to it, as measured at the berth."""


class Generator(Sparking):
    """An engine-driven generator of alternating current, one phase. Terminals: `L`, `N`, `PE`."""

    power: ACPower
    voltage: Volts
    subtransient: Ratio | None = None
    """x″d: its reactance in the first moment of a fault, as a part of the rated impedance."""
    transient: Ratio | None = None
    """x′d: the same after the first tenth of a second."""
    sustained: Amps | None = None
    """Fault current that lasts, with its regulator."""
    bond: Literal["fixed", "switched", "none"] | None = None
    """Whether it joins neutral and earth: always, only when it supplies, never."""
    engine: Name | None = None
    stop: StopText | None = None
