"""The vessel itself: identity, spaces, rule set, defaults, operating conditions, and what is kept about the manual."""

from __future__ import annotations

import re
from typing import Annotated, Literal

from pydantic import BeforeValidator, Field, PrivateAttr

from ..quantities import QuantityError, parse
from .fields import (
    At, BreakingText, CONDUCTORS, Count, Date, Flag, Length, Mass, Name, Number, Ohms, Outline, Ratio, Record, SideOutline,
    Temperature, Time, Words, read_quantity, refuse,
)  # fmt: skip


class Item(Record):
    """Anything with an id."""

    _id: str = PrivateAttr("")
    _family: str = PrivateAttr("")

    name: Name | None = None
    """What people aboard call it."""
    at: At | None = None
    """Where it is: the space, then words."""
    label: Name | None = None
    """What is written on it aboard."""
    also_called: Words = ()
    """Other everyday names that somebody might look for."""
    photo: Words = ()
    """Picture files beside the inventory."""
    papers: Words = ()
    """Manuals, certificates, invoices: files beside the inventory."""
    made: Name | None = None
    """Type or model as its plate says."""
    fitted: Date | None = None
    mass: Mass | None = None
    note: Name | None = None

    @property
    def id(self) -> str:
        return self.__pydantic_private__["_id"]  # asked for so often that the way by `self._id` costs a third of a read

    @property
    def family(self) -> str:
        """The family's key in the inventory: `fuses`, `batteries`."""
        return self.__pydantic_private__["_family"]

    @property
    def title(self) -> str:
        """The name, or the id where it has none."""
        return self.name or self.id


class Sparking(Item):
    """What opens contacts, runs brushes, or holds a fuse that can blow."""

    ignition_protected: Flag | None = None
    """Whether its plate or papers say that it cannot ignite petrol vapour around it."""


class Vessel(Record):
    """Who the manual is about."""

    name: Name
    kind: Name | None = None
    length: Length | None = None
    depth: Length | None = None
    """From the lowest point of the hull inside up to the highest part of the side view, deck or coaming."""
    built: Name | None = None
    builder: Name | None = None
    hull: Name | None = None
    flag: Name | None = None
    home_port: Name | None = None
    mmsi: Name | None = None
    call_sign: Name | None = None
    owner: Name | None = None
    rules: Literal["iso", "us", "both"] = "iso"
    """Which rule set the checks apply."""
    rules_edition: Name | None = None
    revision: Name = "1"
    date: Date | None = None
    """Date of this revision."""
    invented: Flag = False
    """A vessel that does not exist: every page says so."""
    earth: Literal["negative", "insulated"] = "negative"
    """Whether DC negative is joined to earth, or the DC system is insulated."""
    policy: Words = ()
    """What the insurer asks for, in a few words each."""
    history: Words = ()
    note: Name | None = None


class Space(Item):
    """A compartment, locker or zone."""

    compartment: Name | None = None
    engine: Flag = False
    """An engine space: hot, and the rules derate cables there."""
    petrol: Flag = False
    gas: Flag = False
    sleeping: Flag = False
    outside: Flag = False
    bilge: Flag = False
    vented_to: Name | None = None
    temperature: Temperature | None = None
    floor: Length | None = None
    """Height of its lowest point above the lowest point of the hull inside."""
    outline: Outline = ()
    """Corners on the plan, each `x, y` in per cent of the plan's length and breadth, bow to the right."""
    side: SideOutline = ()
    """Corners on the side view, each `x, y` in per cent of the length from the stern and of `depth` upwards. Without
    them the space stands there from its `floor` to what lies over it, as long as its outline on the plan."""


class SunHours(Record):
    """Hours of full sun (1000 W/m² on the panels) that a usual day brings, month by month."""

    january: Time | None = None
    february: Time | None = None
    march: Time | None = None
    april: Time | None = None
    may: Time | None = None
    june: Time | None = None
    july: Time | None = None
    august: Time | None = None
    september: Time | None = None
    october: Time | None = None
    november: Time | None = None
    december: Time | None = None


class Defaults(Record):
    """What is taken where the inventory is silent. Each one used is listed in the manual."""

    insulation: Temperature | None = None
    ambient: Temperature | None = None
    engine_space: Temperature | None = None
    joint_resistance: Ohms | None = None
    conductor_temperature: Temperature | None = None
    tinned: Flag | None = None
    sheathed: Flag | None = None
    conductor: Literal[CONDUCTORS] | None = None
    """Kind of the cables that do not say theirs."""
    chafe: Flag | None = None
    """Whether cables that do not say it are protected where they cross edges or move."""
    bundle: Number | None = None
    peak_sun_hours: Time | None = None
    """Hours of full sun that a usual day brings, the same in every month."""
    peak_sun_hours_in: SunHours | None = None
    """The same month by month, where it is known so."""


class Condition(Record):
    """An operating condition: which switches stand how, which sources are on, which loads run."""

    hours: Time | None = None
    """How long it lasts on a usual day."""
    switches: dict[str, Name] = {}
    """Switch id → `on`, `off` or the name of a position. Switches not named stand in their normal position."""
    sources: Words | None = None
    """Ids of the sources that are on; batteries always are. Left out: none but the batteries."""
    solar: Ratio | None = None
    """Part of the arrays' rating that arrives."""
    duty: dict[str, Ratio] = {}
    """Circuit or motor id → part of the time that it runs; overrides the circuit's own `duty`."""
    emergency: Flag = False
    note: Name | None = None


class Waiver(Record):
    """A finding that the owner accepts, with a reason and an end."""

    rule: Name
    item: Name
    reason: Name
    by: Name
    until: Date


class Spare(Record):
    """Spares carried."""

    kind: Name
    rating: Name | None = None
    count: Count = 1
    at: At | None = None
    note: Name | None = None

    @property
    def amps(self) -> float | None:
        """The rating of a spare fuse [A]; None where it is not a current."""
        try:
            return parse(self.rating, "current").value if self.rating else None
        except QuantityError:
            return None


class PrintCopy(Record):
    """A printed card or manual that hangs somewhere."""

    card: Name
    at: At
    revision: Name
    date: Date | None = None


class Drill(Record):
    """One run through a card."""

    card: Name
    date: Date
    seconds: Count
    by: Name | None = None
    dark: Flag = False
    note: Name | None = None


class TestRecord(Record):
    """A measurement that was made aboard."""

    __test__ = False  # a record, not a test case

    item: Name
    what: Name
    value: Name | None = None
    limit: Name | None = None
    passed: Flag | None = None
    date: Date
    by: Name | None = None
    instrument: Name | None = None
    note: Name | None = None


def _points(value: object) -> object:
    for current, time in value.items() if isinstance(value, dict) else ():
        if not re.fullmatch(r"[0-9]+(\.[0-9]+)?( A)?", current):
            help = "write `2.0` for twice the rating, or `20 A`"
            raise refuse("point", f"`{current}` is no current of a curve", help, current)
        if time != "never":
            read_quantity(time, "time")
    return value


class Curve(Record):
    """An owner's own time–current band for a kind of fuse or breaker."""

    source: Name
    mark: Literal["datasheet", "measured", "from memory", "invented"] = "datasheet"
    device: Literal["fuse", "breaker"] = "fuse"
    """What a panel's way with this kind holds; a `breaker` opens and closes by hand."""
    breaking: BreakingText | None = None
    per: Literal["ampere", "rating"] = "rating"
    """Whether the currents of `points` are amperes or multiples of the rating."""
    points: Annotated[dict[str, Name], Field(min_length=2), BeforeValidator(_points)]
    """Current (`2.0` times the rating, or `20 A`) → `0.15 s to 5 s`; `never` where it need not open."""


__all__ = [
    "Condition", "Curve", "Defaults", "Drill", "Item", "PrintCopy", "Space", "Spare", "Sparking", "TestRecord", "Vessel", "Waiver",
]  # fmt: skip
