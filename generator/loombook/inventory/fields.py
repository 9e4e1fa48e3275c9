"""The types of the fields: quantities, words, locations and cables, each read from the text an owner writes."""

from __future__ import annotations

import datetime
import re
from typing import Annotated, Any, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, WithJsonSchema, model_validator
from pydantic_core import PydanticCustomError

from ..quantities import EVIDENCE, EXAMPLES, Quantity, QuantityError, a_kind, parse


def refuse(rule: str, message: str, help: str = "", part: str = "") -> PydanticCustomError:
    """An error in the owner's words; `part` is the stretch of the text that the caret should point at."""
    # pydantic fills braces in the template, so the message travels as context
    return PydanticCustomError(rule, "{message}", {"message": message, "help": help, "part": part})


class Record(BaseModel):
    """A mapping with known keys. Keys are written in words: `also called`, not `also_called`."""

    model_config = ConfigDict(
        extra="forbid",
        frozen=True,
        arbitrary_types_allowed=True,
        alias_generator=lambda name: name.replace("_", " "),
        populate_by_name=False,
        hide_input_in_errors=True,
        defer_build=True,  # only the records that an inventory holds are ever built
    )

    @model_validator(mode="before")
    @classmethod
    def _without_blanks(cls, value: Any) -> Any:
        """A key with nothing after its colon is as good as left out."""
        if not isinstance(value, dict) or None not in value.values():
            return value
        known = {info.alias for info in cls.model_fields.values()}
        return {key: given for key, given in value.items() if given is not None or key not in known}


def read_quantity(value: Any, *kinds: str) -> Quantity:
    """A quantity from its short form (`6.2 m`) or its long form (a mapping with `value`, `how`, `by`, `date`)."""
    if isinstance(value, Quantity):
        return value
    if isinstance(value, dict):
        return _long_form(value, kinds)
    if not isinstance(value, str):
        raise refuse("quantity", f"wanted here is {a_kind(*kinds)}", f"write it like `{EXAMPLES[kinds[0]]}`")
    try:
        return parse(value, *kinds)
    except QuantityError as error:
        raise refuse("quantity", error.message, error.help, error.part) from None


def _long_form(value: dict, kinds: tuple[str, ...]) -> Quantity:
    keys = {"value", "how", "by", "date", "note"}
    unknown = sorted(set(value) - keys)
    if unknown:
        raise refuse(
            "unknown-key",
            f"`{unknown[0]}` is not known in a quantity",
            f"known are {', '.join(sorted(keys))}",
            unknown[0],
        )
    if not isinstance(value.get("value"), str):
        raise refuse(
            "missing", "a quantity in the long form needs `value`", f"for instance `value: {EXAMPLES[kinds[0]]}`"
        )
    short = read_quantity(value["value"], *kinds)
    how = value.get("how") or short.how
    if how not in EVIDENCE:
        raise refuse("word", f"`{how}` is not a way of knowing", f"write one of {', '.join(EVIDENCE[:-1])}", str(how))
    return Quantity(short.low, short.high, short.kind, short.text, how, value.get("by") or "", value.get("date") or "")


QUANTITY = "x-quantity"
"""Marks a quantity in the JSON Schema, with its kinds; `schema` writes out its forms."""


def _quantity(*kinds: str) -> Any:
    schema = WithJsonSchema({QUANTITY: list(kinds), "examples": [EXAMPLES[kind] for kind in kinds]})
    return Annotated[Quantity, BeforeValidator(lambda value: read_quantity(value, *kinds)), schema]


Length = _quantity("length")
Area = _quantity("area")
Volts = _quantity("voltage")
Amps = _quantity("current")
Watts = _quantity("power")
Load = _quantity("current", "power")
Ohms = _quantity("resistance")
AmpHours = _quantity("capacity")
WattHours = _quantity("energy")
Time = _quantity("time")
Temperature = _quantity("temperature")
Mass = _quantity("mass")
Force = _quantity("force")
Torque = _quantity("torque")
Ratio = _quantity("ratio")
PerKelvin = _quantity("per kelvin")
Capacitance = _quantity("capacitance")
Speed = _quantity("speed")
ACPower = _quantity("apparent power", "power")


def _flag(value: Any) -> bool:
    if isinstance(value, bool):
        return value
    word = str(value).casefold()
    if word not in ("yes", "no", "true", "false"):
        raise refuse("word", f"`{value}` is neither yes nor no", "write `yes` or `no`", str(value))
    return word in ("yes", "true")


def _count(value: Any) -> int:
    text = str(value)
    if not re.fullmatch(r"[0-9]{1,5}", text):
        raise refuse("number", f"`{text}` is not a whole number", "write digits only: `4`", text)
    return int(text)


def _number(value: Any) -> int:
    if not (count := _count(value)):
        raise refuse("number", "`0` is too few here; 1 is the least", "", "0")
    return count


def _date(value: Any) -> datetime.date:
    text = str(value)
    try:
        if not re.fullmatch(r"\d{4}-\d\d-\d\d", text):
            raise ValueError
        return datetime.date.fromisoformat(text)
    except ValueError:
        raise refuse("date", f"`{text}` is not a date", "write it like `2026-05-01`", text) from None


def _words(value: Any) -> tuple[str, ...]:
    if isinstance(value, str) and value:
        return (value,)
    if isinstance(value, (list, tuple)) and all(isinstance(item, str) and item for item in value):
        return tuple(value)
    raise refuse("list", "wanted here is a text or a list of texts", "for instance `[echo sounder, fish finder]`")


def _text(value: Any) -> str:
    if isinstance(value, str):
        if value:
            return value
        raise refuse("text", "the text is empty", "leave the key out, or write what it says")
    raise refuse("text", "wanted here is one text", "a text that begins with a bracket stands in quotation marks")


_TEXT_SCHEMA = {"type": ["string", "number"]}
"""An editor takes `built: 1998` for a number; here it is a text all the same."""

Flag = Annotated[bool, BeforeValidator(_flag), WithJsonSchema({"enum": ["yes", "no", True, False]})]
Count = Annotated[int, BeforeValidator(_count), WithJsonSchema({"type": ["integer", "string"], "minimum": 0})]
Number = Annotated[int, BeforeValidator(_number), WithJsonSchema({"type": ["integer", "string"], "minimum": 1})]
"""A count of which there is one at least."""
Date = Annotated[datetime.date, BeforeValidator(_date), WithJsonSchema({"type": "string", "format": "date"})]
Words = Annotated[
    tuple[str, ...],
    BeforeValidator(_words),
    WithJsonSchema({"anyOf": [_TEXT_SCHEMA, {"type": "array", "items": _TEXT_SCHEMA}]}),
]
Name = Annotated[str, BeforeValidator(_text), WithJsonSchema(_TEXT_SCHEMA)]


def plan_point(text: str) -> tuple[float, float]:
    """A point of the location plan: per cent of its length from the stern, per cent of its breadth.

    >>> plan_point("36, 56.5")
    (36.0, 56.5)
    """
    match = re.fullmatch(r"(\d{1,3}(?:\.\d+)?)\s*,\s*(\d{1,3}(?:\.\d+)?)", text)
    if not match or max(point := (float(match[1]), float(match[2]))) > 100:
        raise refuse("point", f"`{text}` is no point of the plan", 'two numbers from 0 to 100: `"36, 56"`', text)
    return point


def _plan_point(value: Any) -> str:
    plan_point(text := _text(value))
    return text


def _outline(value: Any) -> tuple[str, ...]:
    return tuple(_plan_point(corner) for corner in _words(value))


PlanPoint = Annotated[str, BeforeValidator(_plan_point), WithJsonSchema({"type": "string", "examples": ["36, 56"]})]
Outline = Annotated[
    tuple[str, ...],
    BeforeValidator(_outline),
    WithJsonSchema({"type": "array", "items": {"type": "string", "examples": ["36, 56"]}}),
]


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
    """A run of cable. Short form: `70 mm², 0.35 m`, then any of `tinned`, `105 °C`, `2-core`, `red`, `in engine`, `soldered`."""

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
    "a cable is written area, length, then what else is known: tinned, plain, sheathed, `105 °C`, `2-core`, "
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
