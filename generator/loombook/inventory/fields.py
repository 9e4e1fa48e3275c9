"""The types of the fields that hold several values in one text, and, to have them in one place, those of `scalars`."""

from __future__ import annotations

import re
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, WithJsonSchema

from ..quantities import QuantityError, parse
from .scalars import (
    ACPower,
    AmpHours,
    Amps,
    Area,
    Capacitance,
    Count,
    Date,
    Flag,
    Force,
    Length,
    Load,
    Mass,
    Name,
    Number,
    Ohms,
    PerKelvin,
    Ratio,
    Record,
    Speed,
    Temperature,
    Time,
    Torque,
    Volts,
    WattHours,
    Watts,
    Words,
    read_name,
    read_quantity,
    read_words,
    refuse,
)  # fmt: skip

__all__ = [
    "ACPower", "AmpHours", "Amps", "Area", "At", "Breaking", "BreakingText", "COLOURS", "COMMA", "CONDUCTORS", "Cable",
    "CableEnd", "CableText", "Capacitance", "Count", "Date", "Flag", "Force", "JOINTS", "Length", "Load", "Location",
    "Mass", "Name", "Number", "Ohms", "Outline", "PerKelvin", "PlanPoint", "Ratio", "Record", "SideOutline", "Speed",
    "Start", "StartText", "Temperature", "Time", "Torque", "Volts", "WattHours", "Watts", "Words", "cable_parts",
    "plan_point", "read_name", "read_quantity", "read_words", "refuse",
]  # fmt: skip


def plan_point(text: str, view: str = "plan") -> tuple[float, float]:
    """A point of the location plan: per cent of its length from the stern, per cent of its breadth.

    Args:
        text: as the owner wrote it
        view: what it is a point of, for the message: `plan` or `side view`

    >>> plan_point("36, 56.5")
    (36.0, 56.5)
    """
    match = re.fullmatch(r"(\d{1,3}(?:\.\d+)?)\s*,\s*(\d{1,3}(?:\.\d+)?)", text)
    if not match or max(point := (float(match[1]), float(match[2]))) > 100:
        raise refuse("point", f"`{text}` is no point of the {view}", 'two numbers from 0 to 100: `"36, 56"`', text)
    return point


def _plan_point(value: Any) -> str:
    plan_point(text := read_name(value))
    return text


def _outline(value: Any, view: str = "plan") -> tuple[str, ...]:
    corners = tuple(read_name(corner) for corner in read_words(value))
    for corner in corners:
        plan_point(corner, view)
    if len(corners) < 3:
        raise refuse("point", "an outline has three corners at least", 'for instance `["10, 20", "60, 20", "60, 80"]`')
    return corners


def _side(value: Any) -> tuple[str, ...]:
    return _outline(value, "side view")


_CORNERS = WithJsonSchema({"type": "array", "items": {"type": "string", "examples": ["36, 56"]}})
PlanPoint = Annotated[str, BeforeValidator(_plan_point), WithJsonSchema({"type": "string", "examples": ["36, 56"]})]
Outline = Annotated[tuple[str, ...], BeforeValidator(_outline), _CORNERS]
SideOutline = Annotated[tuple[str, ...], BeforeValidator(_side), _CORNERS]


class Location(Record):
    """Where a thing is. Short form: the space's id, then words a guest can follow: `engine, port side, knee height`."""

    space: Name | None = None
    place: Name | None = None
    height: Length | None = None
    """Above the lowest point of the hull inside; tells what gets wet first."""
    plan: PlanPoint | None = None
    """A point of the location plan, `x, y` in per cent of the plan's length and breadth."""


def _location(value: Any) -> Any:
    if not isinstance(value, str):
        return value
    space, _, place = value.partition(",")
    return {"space": space.strip() or None, "place": place.strip() or None}


At = Annotated[Location, BeforeValidator(_location)]

CONDUCTORS = ("boat cable", "welding cable", "speaker cable", "solid", "copper-clad aluminium", "house wire")
JOINTS = ("crimped", "soldered", "crimped and soldered", "screwed", "twisted", "welded", "plug")
COLOURS = (
    "black", "brown", "red", "orange", "yellow", "green", "blue", "violet", "grey", "white", "pink", "turquoise",
    "green-yellow", "light blue", "dark blue", "red-black", "yellow-black", "yellow-red",
)  # fmt: skip


class CableEnd(Record):
    """How one end of a cable is made off."""

    joint: Literal[JOINTS] | None = None
    lug: Name | None = None
    die: Name | None = None
    stud: Name | None = None
    torque: Torque | None = None
    cover: Flag | None = None
    """Whether the live end has a boot or cover."""


class Cable(Record):
    """A run of cable.

    Short form: `70 mm², 0.35 m`, then any of `tinned`, `105 °C`, `2-core`, `red`, `in engine`, `soldered`, `guarded`
    (against chafe; `unguarded` where it is not).
    """

    area: Area | None = None
    length: Length | None = None
    parallel: Number = 1
    """Equal conductors side by side for the same pole."""
    cores: Number | None = None
    insulation: Temperature | None = None
    """Temperature class of the insulation."""
    voltage: Volts | None = None
    tinned: Flag | None = None
    conductor: Literal[CONDUCTORS] | None = None
    sheathed: Flag | None = None
    """In a sheath, conduit or enclosure the whole way."""
    bundle: Number | None = None
    """Current-carrying conductors in the same bundle, this one's own included."""
    spaces: Words = ()
    """Every space the cable passes; the hottest governs."""
    colour: Name | None = None
    label: Name | None = None
    joint: Literal[JOINTS] | None = None
    """How both ends are made off, where they are alike."""
    ends: Annotated[tuple[CableEnd, ...], Field(max_length=2)] = ()
    chafe: Flag | None = None
    """Whether it is protected where it crosses edges or moves."""
    route: Name | None = None
    note: Name | None = None
    photo: Words = ()


_PARALLEL = re.compile(r"^(\d+)\s*[x×]\s*(.+)$")
_CORES = re.compile(r"^(\d+)-core$")
_BUNDLE = re.compile(r"^bundle of (\d+)$")
_UNIT_FIELDS = (("area", "area"), ("length", "length"), ("temperature", "insulation"), ("voltage", "voltage"))
_CABLE_HELP = (
    "a cable is written area, length, then what else is known: tinned, plain, sheathed, guarded, `105 °C`, `2-core`, "
    "`bundle of 6`, a colour, `in engine`, crimped, soldered"
)
COMMA = re.compile(r",(?!\d)|(?<=\D),|(?<=mm2),")
"""A comma between the parts of a short form; `1,5 mm²` has a decimal one."""


def cable_parts(text: str) -> dict[str, Any]:
    """The fields that a cable's short form stands for.

    >>> cable_parts("2 × 70 mm², ~0.9 m, tinned, in engine")["parallel"]
    '2'
    """
    fields: dict[str, Any] = {}

    def put(name: str, value: Any, part: str) -> None:
        if name in fields and name != "spaces":
            raise refuse(
                "cable",
                f"`{part}` gives the cable's {name} a second time",
                "two cables are two steps, with what joins them between",
                part,
            )
        fields[name] = value

    for part in (piece.strip() for piece in COMMA.split(text)):
        _put_part(part, put, fields)
    return fields


def _put_part(part: str, put: Any, fields: dict[str, Any]) -> None:
    if match := _PARALLEL.match(part):
        put("parallel", match[1], part)
        part = match[2]
    if match := _CORES.match(part):
        return put("cores", match[1], part)
    if match := _BUNDLE.match(part):
        return put("bundle", match[1], part)
    if part.startswith("in "):
        return put("spaces", fields.get("spaces", []) + [part[3:].strip()], part)
    if part in ("tinned", "plain"):
        return put("tinned", "yes" if part == "tinned" else "no", part)
    if part in ("guarded", "unguarded"):
        return put("chafe", "yes" if part == "guarded" else "no", part)
    if part in ("sheathed", "unsheathed"):
        return put("sheathed", "yes" if part == "sheathed" else "no", part)
    for words, name in ((JOINTS, "joint"), (CONDUCTORS, "conductor"), (COLOURS, "colour")):
        if part in words:
            return put(name, part, part)
    if part == "? mm²":  # looked for and not found: said, so that nobody looks for a slip of the pen
        return None
    if part == "? m":
        return None
    try:
        quantity = parse(part, *(kind for kind, _ in _UNIT_FIELDS))
    except QuantityError as error:
        if not part:
            raise refuse(
                "cable", "a part of the cable is empty", "take out the comma, or write what it parts"
            ) from None
        if re.match(r"[~≈]?[-+]?[.,]?\d", part):
            raise refuse("cable", error.message, error.help, error.part) from None
        raise refuse(
            "cable", f"`{part}` is not known in a cable", error.help if "AWG" in error.help else _CABLE_HELP, part
        ) from None
    return put(dict(_UNIT_FIELDS)[quantity.kind], quantity, part)


def _cable(value: Any) -> Any:
    if isinstance(value, str):
        return cable_parts(value)
    return value


CableText = Annotated[Cable, BeforeValidator(_cable)]


class Breaking(Record):
    """Breaking capacity at a voltage. Short form: `20 kA at 125 V`."""

    current: Amps
    voltage: Volts | None = None


def _breaking(value: Any) -> Any:
    if not isinstance(value, str):
        return value
    current, _, voltage = value.partition(" at ")
    return {"current": current, "voltage": voltage or None}


BreakingText = Annotated[Breaking, BeforeValidator(_breaking)]


class Start(Record):
    """Starting current and how long it lasts. Short form: `240 A for 0.8 s`."""

    current: Amps
    time: Time | None = None


def _start(value: Any) -> Any:
    if not isinstance(value, str):
        return value
    current, _, time = value.partition(" for ")
    return {"current": current, "time": time or None}


StartText = Annotated[Start, BeforeValidator(_start)]
