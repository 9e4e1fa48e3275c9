"""What carries, joins, protects and switches: bars, panels, fuses, breakers, switches, shunts, junctions."""

from __future__ import annotations

import re
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from ..quantities import QuantityError, parse
from .fields import COMMA, JOINTS, Amps, BreakingText, Count, Flag, Name, Ohms, Record, Volts, refuse
from .vessel import Item, Sparking

FUSE_KINDS = (
    "blade", "mini blade", "maxi blade", "bolted strip SF30", "bolted strip SF51", "terminal", "class T", "gG", "glass",
    "square-body strip",
)  # fmt: skip
BREAKER_KINDS = ("thermal", "thermal-magnetic", "B", "C", "D", "rcd", "rcbo B", "rcbo C")
ACCESS = ("open", "door", "tool", "stowage", "key", "hidden")


class Device(Sparking):
    """Common to what stands in the line. Terminals: `1` towards the source, `2` towards the load."""

    rating: Amps | None = None
    voltage: Volts | None = None
    """Highest voltage that it is rated for, of the kind (DC or AC) that it is used on."""
    ac_only: Flag = False
    """The rating holds for AC alone."""
    breaking: BreakingText | None = None
    resistance: Ohms | None = None
    access: Literal[ACCESS] | None = None
    """What stands between a hand and it."""
    cover: Flag | None = None


class Fuse(Device):
    """A fuse-link in its holder."""

    rating: Amps
    kind: Name
    """Standard family: `blade`, `class T` … or one of the owner's own `curves`."""
    hidden: Flag = False
    """Behind a lining or in a loom, where nobody would look for it."""
    cascade: Name | None = None
    """Device upstream with which the maker's papers show that it breaks more than alone."""


class Breaker(Device):
    """A circuit breaker, also with residual-current release."""

    rating: Amps
    kind: Name = "thermal"
    poles: Annotated[Count, Field(ge=1, le=2)] = 1
    residual: Amps | None = None
    see: Name | None = None
    hidden: Flag = False


SWITCH_KINDS = ("isolator", "paralleling", "change-over", "selector", "remote", "switch")


class Switch(Device):
    """A switch opened by hand, or `remote` by a coil.

    Terminals: `1`, `2`; of a `change-over` or `selector`: `com`, `1`, `2`. A second pole has `pole 2` in front.
    """

    kind: Literal[SWITCH_KINDS] = "isolator"
    intermittent: Amps | None = None
    poles: Annotated[Count, Field(ge=1, le=2)] = 1
    normal: Name = "on"
    """Position in normal use: `on`, `off`; of a change-over or selector `1`, `2`, `both` or `off`."""
    control: Name | None = None
    """For a remote switch: where its control is."""
    see: Name | None = None
    """What one sees, hears or feels when it has opened."""
    stays_on: Flag = False
    """Left on in an emergency, such as the feed of the bilge pumps."""
    propulsion: Flag = False


class Shunt(Item):
    """A resistor for measuring. Terminals: `1`, `2`."""

    rating: Amps | None = None
    drop: Volts | None = None
    """Voltage at rated current."""
    resistance: Ohms | None = None
    sense_fused: Flag | None = None
    cover: Flag | None = None


class Bar(Item):
    """A busbar or common stud. One terminal: its id."""

    rating: Amps | None = None
    voltage: Volts | None = None
    cover: Flag | None = None
    studs: Count | None = None
    stud: Name | None = None


class Junction(Item):
    """A joint, splice or connector in a run. One terminal: its id."""

    joint: Literal[JOINTS] | None = None
    hidden: Flag = False
    resistance: Ohms | None = None
    cover: Flag | None = None


class Way(Record):
    """One way of a panel. Short form: rating, then the label: `10 A, NAV LIGHTS`; or `spare`."""

    rating: Amps | None = None
    label: Name | None = None
    kind: Name | None = None
    voltage: Volts | None = None
    breaking: BreakingText | None = None
    spare: Flag = False
    residual: Amps | None = None
    guarded: Flag = False
    note: Name | None = None


def _way(value: Any) -> Any:
    if not isinstance(value, str):
        return value
    if value == "spare":
        return {"spare": "yes"}
    rating, *label = COMMA.split(value, maxsplit=1)
    try:
        quantity = parse(rating, "current")
    except QuantityError as error:
        help = "a way is written rating, label: `10 A, NAV LIGHTS`; or `spare`"
        raise refuse("quantity", error.message, help, error.part) from None
    return {"rating": quantity, "label": "".join(label).strip() or None}


WayText = Annotated[Way, BeforeValidator(_way)]


def _ways(value: Any) -> Any:
    if isinstance(value, dict):
        for key, way in value.items():
            if not re.fullmatch(r"[0-9]{1,3}", key):
                cut = 'inside braces a way stands in quotation marks, for its comma: `{1: "10 A, PUMP"}`'
                help = cut if way is None else "number the ways 1, 2, 3 …"
                raise refuse("way", f"`{key}` is not the number of a way", help, key)
            if way is None:
                help = "write its rating and label, or `spare`"
                raise refuse("way", f"way {key} has nothing after its colon", help, key)
    return value


class Panel(Sparking):
    """A bus with ways. Terminals: its id for the bus (AC: `L`, `N`, `PE`), `way 7` for what a way feeds."""

    ways: Annotated[dict[str, WayText], BeforeValidator(_ways)]
    kind: Name = "blade"
    """Standard family of its fuses or breakers."""
    poles: Annotated[Count, Field(ge=1, le=2)] = 1
    """Poles that each way opens."""
    ac: Flag = False
    negative: Name | None = None
    """Where the circuits of this panel return to, unless they say otherwise."""
    voltage: Volts | None = None
    breaking: BreakingText | None = None
    rating: Amps | None = None
    columns: Annotated[Count, Field(ge=1, le=12)] = 1
    """Ways stand in so many columns, numbered down each column."""
    access: Literal[ACCESS] | None = None
    cover: Flag | None = None
