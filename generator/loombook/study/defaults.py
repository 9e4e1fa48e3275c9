"""What is taken where the inventory is silent: each default with its source."""

from __future__ import annotations

from dataclasses import dataclass

from ..quantities import in_unit
from .model import Range

MEMORY = "from memory; check against the item's own papers"
PRACTICE = "common practice, no source"


@dataclass(frozen=True)
class Effect:
    """How far a default moves the results."""

    words: str
    part: float = 0.0
    """Of the result that it moves most, 0 to 1; 0 where no figure can be given."""


@dataclass(frozen=True)
class Default:
    """A declared default: what it is of, how it is said, and where it comes from."""

    what: str
    value: str
    source: str
    low: float = 0.0
    high: float = 0.0
    effect: str = ""
    """Which result it moves, where that can be said once for all vessels."""
    step: str = ""
    """Another value that it may well have; empty where the whole range is gone through instead."""
    moves: float = 0.0
    """How far that result moves with the step, as a part of itself."""

    @property
    def range(self) -> Range:
        return Range(self.low, self.high)

    @property
    def said(self) -> Effect:
        """Its effect where no figure of this vessel tells it."""
        by = f"; {self.step or 'over its whole range'}: {in_unit(self.moves, 'ratio', 2)}" if self.moves else ""
        return Effect(self.effect + by, self.moves)


TERMINATION = Default(
    "resistance of a cable's termination (lug or crimp, stud or screw)",
    "0.5 mΩ cold to 2.5 mΩ hot at 1 mm², in inverse proportion to the area, not below 0.01 mΩ",
    "E-11 allows a friction terminal 50 mV at 20 A, which is 2.5 mΩ; the rest from memory",
    0.5e-3,
    2.5e-3,
)
TERMINATION_LEAST = 0.01e-3
JOINT = Default("resistance of two terminals bolted or plugged together", "0.02 mΩ to 0.1 mΩ", MEMORY, 0.02e-3, 0.1e-3)
FUSE = Default("resistance of a fuse in its holder", "0.03 V to 0.10 V at its rating", MEMORY, 0.03, 0.10)
BREAKER = Default("resistance of a circuit-breaker", "0.10 V to 0.20 V at its rating", MEMORY, 0.10, 0.20)
SWITCH = Default("resistance of a switch", "0.02 V to 0.06 V at its rating", MEMORY, 0.02, 0.06)
SWITCH_UNRATED = Default("resistance of a switch without a rating", "0.07 mΩ to 0.3 mΩ", MEMORY, 0.07e-3, 0.3e-3)
SHUNT = Default("resistance of a shunt without data", "0.05 mΩ to 0.2 mΩ", MEMORY, 0.05e-3, 0.2e-3)
SHUNT_DROP = Default("voltage of a shunt at its rating", "50 mV", "usual class of shunts, from memory", 0.05, 0.05)
BMS_SOLID = Default(
    "resistance of a BMS that opens by transistors", "0.05 V to 0.15 V at its current", MEMORY, 0.05, 0.15
)
BMS_CONTACT = Default(
    "resistance of a BMS that opens by a contactor", "0.02 V to 0.06 V at its current", MEMORY, 0.02, 0.06
)
BMS_UNRATED = Default("resistance of a BMS without data", "0.2 mΩ to 1.0 mΩ", MEMORY, 0.2e-3, 1.0e-3)
BOND = Default(
    "resistance of a converter's inner link between negatives", "0.02 V to 0.10 V at its current", MEMORY, 0.02, 0.10
)
RATING = Default(
    "rating of a fuse, breaker or way without one",
    "10 A",
    PRACTICE,
    10.0,
    10.0,
    "its resistance is in inverse proportion to it; whether it protects cannot be checked",
    step="20 A",
    moves=0.5,
)
TINNED = Default(
    "copper, where nothing says tinned or plain",
    "tinned",
    PRACTICE,
    effect="plain copper has 1 to 3 % less resistance (IEC 60228): lowest fault current and load flow move by less",
    step="plain",
    moves=0.03,
)
HOT = Default(
    "temperature of a conductor in the smallest fault and in the rule's drop",
    "70 °C, or its class where lower",
    MEMORY,
    70.0,
    70.0,
    "10 K change the resistance of copper by 3.3 %; at most that much moves the lowest fault current",
    step="10 K warmer",
    moves=0.033,
)
CLAD = Default(
    "copper-clad aluminium against copper",
    "1.6 times the resistance",
    MEMORY,
    1.6,
    1.6,
    "every figure that rests on the resistance of such a cable",
    "1.5 times",
    0.06,
)
ESTIMATE = Default(
    "how far an estimate (~) may be off",
    "20 % either way",
    PRACTICE,
    0.20,
    0.20,
    "every figure that rests on an estimate is given as a range",
    step="20 % more",
    moves=0.2,
)
LFP_CELL = Default(
    "resistance of a lithium iron phosphate cell",
    "0.17 mΩ to 0.50 mΩ at 280 Ah, in inverse proportion to the capacity",
    "from memory; there is no safe default, ask for the cell's paper",
    0.17e-3,
    0.50e-3,
)
LINK = Default(
    "resistance of a link between cells, with its two joints",
    "0 mΩ to 0.05 mΩ",
    MEMORY,
    0.0,
    0.05e-3,
    "none on the highest fault current, which takes 0 mΩ; the lowest is given with 0.05 mΩ",
)
LEAD_ACID = Default(
    "fault current of a lead-acid battery without a resistance",
    "10 to 20 times its Ah",
    "IEC 61660-1 and IEEE 946 practice, from memory",
    10.0,
    20.0,
)
LIMITED = Default(
    "fault current of a charger, converter, controller or alternator",
    "1.0 to 1.5 times its rating",
    "IEC TR 60909-4 as used in a published example, seen secondary",
    1.0,
    1.5,
)
MOTOR = Default(
    "fault current that a motor gives back", "7 to 10 times its rated current, most only", "IEEE 946, seen", 7.0, 10.0
)
INVERTER = Default("fault current of an inverter", "1.1 to 2 times its rated current", MEMORY, 1.1, 2.0)
SUBTRANSIENT = Default(
    "subtransient reactance x″d of a generator",
    "0.10 to 0.20 of its rated impedance",
    "0.2 as a textbook's typical salient-pole machine, seen secondary; 0.1 for small sets from memory",
    0.10,
    0.20,
)
SUSTAINED = Default(
    "lasting fault current of a generator",
    "0.4 times its rated current without support of its field, 3 times with it",
    MEMORY,
    0.4,
    3.0,
    "whether a breaker opens on the generator alone; the highest fault current does not rest on it",
)
SHORE = Default(
    "fault current of the shore supply",
    "3 kA at 120 V, 6 kA at 230 V; 1 kA for the least",
    "trade practice by country, from memory",
    1000.0,
    6000.0,
)
SOLAR = Default(
    "fault current of an array", "up to 1.25 times its short-circuit current, none at night", MEMORY, 0.0, 1.25
)
DROOP = Default(
    "how much a regulated source sinks from no load to full load",
    "0.2 to 1 % of its voltage, 1 % in the load flow",
    MEMORY,
    0.002,
    0.01,
    "up to 1 % of the voltages that regulated sources hold",
    step="none",
    moves=0.01,
)
WIRE_INDUCTANCE = Default(
    "inductance of a wire, each metre of one conductor",
    "0.25 µH to 0.75 µH",
    MEMORY,
    0.25e-6,
    0.75e-6,
    "only how fast a fault current rises, and the peak of a capacitor's part; no current of a battery",
    moves=0.67,
)
CELL_INDUCTANCE = Default(
    "inductance of a battery, each cell with its link",
    "0.1 µH to 0.3 µH",
    MEMORY,
    0.1e-6,
    0.3e-6,
    "only how fast a fault current rises",
    moves=0.67,
)
EFFICIENCY = {
    "charger": Default(
        "efficiency of a charger",
        "88 %",
        MEMORY,
        0.88,
        0.88,
        "what it draws is in inverse proportion to it",
        "5 points less",
        0.06,
    ),
    "controller": Default(
        "efficiency of a solar controller",
        "96 %",
        MEMORY,
        0.96,
        0.96,
        "what it draws is in inverse proportion to it",
        "5 points less",
        0.06,
    ),
    "converter": Default(
        "efficiency of a converter",
        "90 %",
        MEMORY,
        0.90,
        0.90,
        "what it draws is in inverse proportion to it",
        "5 points less",
        0.06,
    ),
    "inverter": Default(
        "efficiency of an inverter",
        "90 %",
        MEMORY,
        0.90,
        0.90,
        "what it draws is in inverse proportion to it",
        "5 points less",
        0.06,
    ),
}
HALF_CHARGE = Default(
    "state of charge of the batteries in the load flow",
    "half",
    PRACTICE,
    0.5,
    0.5,
    "full to empty moves the voltages of the load flow by about 3 % up and 6 % down",
    step="empty",
    moves=0.06,
)
CHARGE_VOLTS = Default(
    "charge voltage of a charger that states none",
    "3.45 V a lithium cell, 2.35 V a lead-acid cell",
    MEMORY,
    effect="the voltages of the load flow while it charges",
    step="0.05 V more a cell",
    moves=0.02,
)
POWER_FACTOR = Default(
    "power factor of an AC load",
    "1",
    PRACTICE,
    1.0,
    1.0,
    "its current is in inverse proportion to it",
    step="0.8",
    moves=0.25,
)
REACTANCE_TAKEN = Default(
    "reactance of AC conductors",
    "0.08 mΩ/m",
    "IEC 60364-5-52 Annex G, from memory",
    0.08e-3,
    0.08e-3,
    "below 16 mm² less than 1 % of the impedance of a conductor",
    step="none",
    moves=0.01,
)
