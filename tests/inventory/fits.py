"""Whether plain data fits a JSON Schema, for the few words of it that the inventory's schema uses."""

from __future__ import annotations

import re
from typing import Any

TYPES = {
    "object": dict,
    "array": list,
    "string": str,
    "null": type(None),
    "number": (int, float),
    "integer": int,
    "boolean": bool,
}
WORDS = {
    "$schema", "title", "description", "examples", "format", "definitions", "$ref", "anyOf", "enum", "type", "pattern",
    "minimum", "required", "properties", "patternProperties", "additionalProperties", "minProperties", "maxProperties",
    "items", "minItems", "maxItems",
}  # fmt: skip
"""What `misfits` understands, or may pass over."""


def misfits(data: Any, schema: dict[str, Any], whole: dict[str, Any], at: str = "") -> list[str]:
    """Where the data does not fit, as paths; empty where it fits."""
    if "$ref" in schema:
        return misfits(data, whole["definitions"][schema["$ref"].rpartition("/")[2]], whole, at)
    if "anyOf" in schema:
        wrong = [misfits(data, form, whole, at) for form in schema["anyOf"]]
        return min(wrong, key=lambda places: (len(places), [-place.count("/") for place in places]))
    if "enum" in schema:
        return [] if data in schema["enum"] else [at]
    types = schema.get("type", list(TYPES))
    if not isinstance(data, tuple(TYPES[name] for name in ([types] if isinstance(types, str) else types))):
        return [at]
    if isinstance(data, str):
        return [] if re.search(schema.get("pattern", ""), data) else [at]
    if isinstance(data, list):
        wrong = [] if schema.get("minItems", 0) <= len(data) <= schema.get("maxItems", len(data)) else [at]
        return wrong + [
            m for i, item in enumerate(data) for m in misfits(item, schema.get("items", {}), whole, f"{at}/{i}")
        ]
    return _in_mapping(data, schema, whole, at) if isinstance(data, dict) else []


def _in_mapping(data: dict[str, Any], schema: dict[str, Any], whole: dict[str, Any], at: str) -> list[str]:
    wrong = [f"{at}/{key}" for key in schema.get("required", ()) if key not in data]
    if not schema.get("minProperties", 0) <= len(data) <= schema.get("maxProperties", len(data)):
        wrong.append(at)
    for key, value in data.items():
        by_pattern = [s for pattern, s in schema.get("patternProperties", {}).items() if re.search(pattern, key)]
        forms = [schema["properties"][key]] if key in schema.get("properties", {}) else by_pattern
        other = schema.get("additionalProperties", True)
        if forms or isinstance(other, dict):
            wrong += misfits(value, forms[0] if forms else other, whole, f"{at}/{key}")
        elif other is False:
            wrong.append(f"{at}/{key}")
    return wrong
