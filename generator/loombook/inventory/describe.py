"""The inventory's language as a reference, read off the records themselves, so that it cannot be wrong."""

from __future__ import annotations

import types
from dataclasses import dataclass
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo
from pydantic.json_schema import WithJsonSchema

from .docstrings import sentences
from .records import ITEM_FAMILIES, LIST_FAMILIES, NAMED_FAMILIES, SINGLE


@dataclass(frozen=True)
class Key:
    """One key of a record."""

    name: str
    takes: str
    """What is written after the colon, in words or as an example."""
    means: str
    needed: bool
    """Whether a record without it is refused."""


@dataclass(frozen=True)
class Family:
    """A family of the inventory, or a record that stands inside another."""

    name: str
    means: str
    keys: tuple[Key, ...]
    shape: str
    """How the family is written: `one`, `by id`, `by name`, `list` or `inside`."""


def families() -> tuple[Family, ...]:
    """Every family in the order of the inventory, then the records inside them."""
    shapes = ((SINGLE, "one"), (ITEM_FAMILIES, "by id"), (NAMED_FAMILIES, "by name"), (LIST_FAMILIES, "list"))
    found: list[Family] = []
    inside: dict[str, type[BaseModel]] = {}
    for table, shape in shapes:
        for name, kind in table.items():
            model = _models(kind)[0]
            found.append(_family(name, model, shape))
            _gather(model, inside)
    known = {model for table, _ in shapes for kind in table.values() for model in _models(kind)}
    found += [_family(name, model, "inside") for name, model in sorted(inside.items()) if model not in known]
    return tuple(found)


def _gather(model: type[BaseModel], inside: dict[str, type[BaseModel]]) -> None:
    for field in model.model_fields.values():
        for inner in _models(field.annotation):
            if inner.__name__ not in inside:
                inside[inner.__name__] = inner
                _gather(inner, inside)


def _family(name: str, model: type[BaseModel], shape: str) -> Family:
    means = sentences(model)
    keys = tuple(_key(key, field, means.get(key, "")) for key, field in model.model_fields.items())
    return Family(name, _one_line(model.__doc__), keys, shape)


def _key(name: str, field: FieldInfo, means: str) -> Key:
    return Key(field.alias or name, _takes(field), means, field.is_required())


def _one_line(text: str | None) -> str:
    return " ".join((text or "").split())


def _takes(field: FieldInfo) -> str:
    schema = next((m.json_schema for m in field.metadata if isinstance(m, WithJsonSchema)), None)
    return _of_schema(schema) if schema else _of_type(field.annotation)


def _of_schema(schema: dict[str, Any]) -> str:
    options = schema.get("anyOf", [schema])
    examples = [example for option in options for example in option.get("examples", ())]
    if examples:
        return " or ".join(f"`{example}`" for example in examples)
    if "enum" in schema:
        return " or ".join(f"`{word}`" for word in schema["enum"] if isinstance(word, str))
    if schema.get("format") == "date":
        return "a date, `2026-05-01`"
    if "integer" in (schema.get("type") or ()):
        return "a whole number"
    return "a word, or a list of words" if "anyOf" in schema else "text"


def _of_type(kind: Any) -> str:
    origin, arguments = get_origin(kind), get_args(kind)
    if origin is Annotated:
        schema = next((m.json_schema for m in arguments[1:] if isinstance(m, WithJsonSchema)), None)
        return _of_schema(schema) if schema else _of_type(arguments[0])
    if origin is Literal:
        return ", ".join(f"`{word}`" for word in arguments)
    if origin in (Union, types.UnionType):
        return " or ".join(_of_type(a) for a in arguments if a is not type(None))
    if origin is tuple:
        return f"a list: {_of_type(arguments[0])}"
    if origin is dict:
        return f"a mapping: {_of_type(arguments[1])}"
    if isinstance(kind, type) and issubclass(kind, BaseModel):
        return f"see {kind.__name__}"
    return "text"


def _models(kind: Any) -> list[type[BaseModel]]:
    """The record classes that a type is made of."""
    if isinstance(kind, type) and issubclass(kind, BaseModel):
        return [kind]
    return [model for argument in get_args(kind) for model in _models(argument)]
