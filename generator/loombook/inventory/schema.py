"""The inventory's JSON Schema, from the records that check it, for editors that complete and check as one types."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from pydantic import BaseModel
from pydantic.json_schema import models_json_schema

from ..quantities import BASE, EVIDENCE, EXAMPLES, UNITS, a_kind
from . import loads
from .docstrings import sentences
from .records import ITEM_FAMILIES, ITEM_ID, LIST_FAMILIES, NAMED_FAMILIES, SINGLE, SPACE_ID
from .scalars import QUANTITY, Record
from .vessel import Condition, Curve

Schema = dict[str, Any]

_AT = "#/definitions/"
_NAMED: dict[str, type[BaseModel]] = {"runs": loads.Run, "conditions": Condition, "curves": Curve}

SHORT_FORMS = {
    "Breaking": "20 kA at 125 V",
    "Cable": "1.5 mm², 6.2 m",
    "Location": "engine, port side, knee height",
    "Start": "240 A for 0.8 s",
    "Stop": "pull the red handle",
    "Way": "10 A, NAV LIGHTS",
}
"""Records that can be written as one text, each with an example."""


def json_schema() -> Schema:
    """The schema of one inventory file; the same call gives the same schema, key for key."""
    models = [*SINGLE.values(), *ITEM_FAMILIES.values(), *_NAMED.values(), *LIST_FAMILIES.values()]
    _, written = models_json_schema([(model, "validation") for model in models], ref_template=_AT + "{model}")
    kinds: dict[str, list[str]] = {}
    definitions = {name: _tidy(schema, kinds) for name, schema in written["$defs"].items() if name != "Quantity"}
    for model in _records(Record):
        _describe(model, definitions.get(model.__name__, {}))
    for name, example in SHORT_FORMS.items():
        definitions[name] = _either(_text(example), definitions[name])
    definitions |= _steps(definitions)
    definitions |= {name: _quantity(of) for name, of in kinds.items()}
    return {
        "$schema": "http://json-schema.org/draft-07/schema#",
        "title": "A vessel's electrical inventory, or one file of it",
        "type": "object",
        "additionalProperties": False,
        "properties": _families(),
        "definitions": dict(sorted(definitions.items())),
    }


def _records(parent: type[Record]) -> Iterator[type[Record]]:
    for model in parent.__subclasses__():
        yield model
        yield from _records(model)


def _describe(model: type[Record], schema: Schema) -> None:
    """Put the sentence under each field into the schema."""
    for name, text in sentences(model).items():
        key = model.model_fields[name].alias
        if field := schema.get("properties", {}).get(key):
            schema["properties"][key] = ({"anyOf": [field]} if "$ref" in field else field) | {"description": text}


def _families() -> Schema:
    properties: Schema = {key: _ref(model.__name__) for key, model in SINGLE.items()}
    for key, model in ITEM_FAMILIES.items():
        pattern = (SPACE_ID if key == "spaces" else ITEM_ID).pattern
        properties[key] = _mapping(
            model, {"patternProperties": {f"^{pattern}$": _ref(model.__name__)}, "additionalProperties": False}
        )
    for key in NAMED_FAMILIES:
        properties[key] = _mapping(_NAMED[key], {"additionalProperties": _ref(_NAMED[key].__name__)})
    for key, model in LIST_FAMILIES.items():
        properties[key] = {"type": ["array", "null"], "description": _doc(model), "items": _ref(model.__name__)}
    return properties


def _mapping(model: type[BaseModel], inside: Schema) -> Schema:
    return {"type": ["object", "null"], "description": _doc(model), **inside}


def _doc(model: type[BaseModel]) -> str:
    return " ".join((model.__doc__ or "").split())


def _ref(name: str) -> Schema:
    return {"$ref": _AT + name}


def _text(example: str) -> Schema:
    return {"type": "string", "examples": [example]}


def _either(short: Schema, long: Schema) -> Schema:
    return {"description": long.get("description", ""), "anyOf": [short, long]}


def _tidy(schema: Any, kinds: dict[str, list[str]]) -> Any:
    """The schema without pydantic's titles and defaults of ours, each quantity a reference; notes the kinds met."""
    if isinstance(schema, list):
        return [_tidy(part, kinds) for part in schema]
    if not isinstance(schema, dict):
        return schema
    if QUANTITY in schema:
        name = " or ".join(schema[QUANTITY])
        kinds[name] = schema[QUANTITY]
        return _ref(name)
    tidy = {}
    for key, value in schema.items():
        if key == "properties":
            tidy[key] = {name: _tidy(inner, kinds) for name, inner in value.items()}
        elif key == "description":
            tidy[key] = " ".join(value.split())
        elif key not in ("title", "default"):
            tidy[key] = _tidy(value, kinds)
    return tidy


def _quantity(kinds: list[str]) -> Schema:
    units = sorted({unit for kind in kinds for unit in UNITS[kind]}, key=lambda unit: (-len(unit), unit))
    short = {
        "type": "string",
        "pattern": rf"^[~≈]?\s*[-+−]?[\d.,].*({'|'.join(re.escape(unit) for unit in units)})$",
        "examples": [EXAMPLES[kind] for kind in kinds],
    }
    long = {
        "type": "object",
        "additionalProperties": False,
        "required": ["value"],
        "properties": {
            "value": short,
            "how": {"enum": list(EVIDENCE[:-1]), "description": "How the value is known."},
            "by": {"type": "string", "description": "Who found it."},
            "date": {"type": "string", "format": "date"},
            "note": {"type": "string"},
        },
    }
    units_said = ", ".join(BASE[kind] for kind in kinds)
    return {"description": f"{a_kind(*kinds).capitalize()}, for instance in {units_said}.", "anyOf": [short, long]}


def _steps(definitions: Schema) -> Schema:
    """What a list of steps may hold: in a run, and in a circuit's cable."""
    one_cable = {"type": "object", "minProperties": 1, "maxProperties": 1, "additionalProperties": _ref("Cable")}
    steps = {"type": "array", "items": _ref("RunStep")}
    circuit = {**definitions["Circuit"], "properties": dict(definitions["Circuit"]["properties"])}
    for key in ("cable", "back"):
        said = {k: v for k, v in circuit["properties"][key].items() if k == "description"}
        circuit["properties"][key] = {
            **said,
            "anyOf": [_ref("Cable"), {"type": "array", "items": _ref("Step")}, {"type": "null"}],
        }
    return {
        "RunStep": {"description": definitions["RunStep"]["description"], "anyOf": [_text("G1 +"), one_cable]},
        "Run": {"description": definitions["Run"]["description"], "anyOf": [steps, {**definitions["Run"]}]},
        "Step": {"description": definitions["Step"]["description"], "anyOf": [{"type": "string"}, _ref("Cable")]},
        "Circuit": circuit,
    }
