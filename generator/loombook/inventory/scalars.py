"""The types of the fields that hold one value: a quantity, a count, a date, yes or no, a text; and what a record is."""

from __future__ import annotations

import datetime
import re
from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, WithJsonSchema, model_validator
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


LONG_FORM = ("value", "how", "by", "date", "note")
"""Keys of a quantity in the long form."""


def _long_form(value: dict, kinds: tuple[str, ...]) -> Quantity:
    for key, said in value.items():
        if key not in LONG_FORM:
            raise refuse("unknown-key", f"a quantity has no key `{key}`", f"its keys are {', '.join(LONG_FORM)}", key)
        if said is not None and not isinstance(said, str):
            raise refuse("text", f"`{key}` of a quantity is one text", "", key)
    if not value.get("value"):
        help = f"for instance `value: {EXAMPLES[kinds[0]]}`"
        raise refuse("missing", "a quantity in the long form needs `value`", help)
    short = read_quantity(value["value"], *kinds)
    how = value.get("how") or short.how
    if how not in EVIDENCE[:-1]:
        raise refuse("word", f"`{how}` is not a way of knowing", f"write one of {', '.join(EVIDENCE[:-1])}", how)
    date = value.get("date") and str(_date(value["date"]))
    return Quantity(short.low, short.high, short.kind, short.text, how, value.get("by") or "", date or "")


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


def _one_text(value: Any, wanted: str, help: str) -> str:
    if isinstance(value, str):
        return value
    raise refuse("text", f"wanted here is {wanted}", help)


_YES_OR_NO = "write `yes` or `no`"
_DATE = "write it like `2026-05-01`"
_DIGITS = "write digits only: `4`"


def _flag(value: Any) -> bool:
    if isinstance(value, bool):
        return value
    word = _one_text(value, "yes or no", _YES_OR_NO)
    if word.casefold() not in ("yes", "no", "true", "false"):
        raise refuse("word", f"`{word}` is neither yes nor no", _YES_OR_NO, word)
    return word.casefold() in ("yes", "true")


def _count(value: Any) -> int:
    if isinstance(value, int):
        return value
    text = _one_text(value, "a whole number", _DIGITS)
    if not re.fullmatch(r"[0-9]{1,5}", text):
        raise refuse("number", f"`{text}` is not a whole number", _DIGITS, text)
    return int(text)


def _number(value: Any) -> int:
    if not (count := _count(value)):
        raise refuse("number", "`0` is too few here; 1 is the least", "", "0")
    return count


def _date(value: Any) -> datetime.date:
    if isinstance(value, datetime.date):
        return value
    text = _one_text(value, "a date", _DATE)
    try:
        if not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text):
            raise ValueError
        return datetime.date.fromisoformat(text)
    except ValueError:
        raise refuse("date", f"`{text}` is not a date", _DATE, text) from None


def read_words(value: Any) -> tuple[str, ...]:
    if isinstance(value, str) and value:
        return (value,)
    if isinstance(value, (list, tuple)) and all(isinstance(item, str) and item for item in value):
        return tuple(value)
    raise refuse("list", "wanted here is a text or a list of texts", "for instance `[echo sounder, fish finder]`")


def read_name(value: Any) -> str:
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
    BeforeValidator(read_words),
    WithJsonSchema({"anyOf": [_TEXT_SCHEMA, {"type": "array", "items": _TEXT_SCHEMA}]}),
]
Name = Annotated[str, BeforeValidator(read_name), WithJsonSchema(_TEXT_SCHEMA)]
