"""What a record's validation errors mean in the owner's words, and where they stand in the files."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from pydantic import BaseModel, WithJsonSchema
from pydantic.fields import FieldInfo

from .. import quantities
from ..diagnostics import Diagnostic, Note, did_you_mean, near
from .scalars import QUANTITY
from .tree import Map, Seq, Text, find, narrow, node_at

MOST_ROWS = 50
"""Errors of one record that are worth printing."""

Row = Mapping[str, Any]

EXAMPLES = {
    "name": "give it the name that people aboard use",
    "kind": "its standard family: `kind: blade`",
    "reason": "why the finding is accepted",
    "by": "who says so",
    "points": "current and time: `points: {1.1: never, 2.0: 0.15 s to 5 s}`",
    "from": "say which terminal feeds it: `from: X4 way 7`",
    "cells": "for instance `cells: {series: 4, capacity: 280 Ah}`",
    "series": "how many cells or modules in series: `series: 4`",
    "ways": 'number them, each with its rating: `ways: {1: "10 A, NAV LIGHTS"}`',
    "path": "the terminals, cables and devices in order: `path: [G1 +, F1, X1]`",
    "until": "a finding is accepted up to a date: `until: 2026-12-31`",
    "date": "write it like `date: 2026-05-01`",
}
"""What helps where a field is missing, by its key; quantities and fixed words have examples of their own."""


def explain(rows: list[Row], path: tuple, model: Any, root: Map, texts: Mapping[str, str]) -> list[Diagnostic]:
    """The messages for the errors `rows` of the record that stands at `path`."""
    record = _Record(path, model, root, texts)
    rows = rows[:MOST_ROWS]
    # `ratting` is one slip, not an unknown key and a missing one
    meant = {
        (row["loc"][:-1], key)
        for row in rows
        if row["type"] == "extra_forbidden"
        for key in record.near_keys(row["loc"])
    }
    return [
        record.explain(row)
        for row in rows
        if not (row["type"] == "missing" and (row["loc"][:-1], row["loc"][-1]) in meant)
    ]


class _Record:
    def __init__(self, path: tuple, model: Any, root: Map, texts: Mapping[str, str]) -> None:
        self.path, self.root, self.texts = path, root, texts
        self.model = _models_in(model)[0]

    def explain(self, row: Row) -> Diagnostic:
        steps, kind, context = tuple(row["loc"]), row["type"], row.get("ctx", {})
        where = self._written_path(steps)
        if "message" in context:
            return self._error(kind, context["message"], where, context.get("help", ""), part=context.get("part", ""))
        if kind == "extra_forbidden":
            return self._unknown_key(steps, where)
        if kind == "missing":
            return self._error("missing", f"{self._whose(where)} has no `{where[-1]}`", where, self._example(steps))
        if kind == "literal_error":
            return self._word(steps, where, context)
        if kind in _SHAPES:
            return self._shape(kind, steps, where)
        if kind in _LIMITS:
            limit = context.get("le", context.get("ge", context.get("max_length", context.get("min_length"))))
            return self._error("number", _LIMITS[kind].format(field=_field(where), limit=limit), where)
        message = row["msg"][:1].lower() + row["msg"][1:]
        return self._error("value", f"`{_field(where)}`: {message}", where)

    def _error(
        self, rule: str, message: str, where: tuple, help: str = "", key: bool = False, part: str = ""
    ) -> Diagnostic:
        place = narrow(find(self.root, where, key), part, self.texts)
        return Diagnostic("error", rule, message, place, "", (Note("help", help),) if help else ())

    def _written_path(self, steps: tuple) -> tuple:
        """The path as written: a run's step `W1: …` has its cable under the cable's id."""
        where = self.path
        for step in steps:
            node = node_at(self.root, where)
            if step == "cable" and isinstance(node, Map) and step not in node.entries and len(node.entries) == 1:
                step = next(iter(node.entries))
            where = (*where, step)
        return where

    def _unknown_key(self, steps: tuple, where: tuple) -> Diagnostic:
        close = self.near_keys(steps)
        node = node_at(self.root, where)
        if close:
            help = did_you_mean(str(steps[-1]), close)
        elif isinstance(node, Text) and node.value is None:
            help = (
                "inside braces a comma ends a text: if this belongs to the text before it, put that in quotation marks"
            )
        else:
            help = f"its keys are {', '.join(self._fields(steps[:-1]))}"
        return self._error("unknown-key", f"{self._whose(where)} has no key `{steps[-1]}`", where, help, key=True)

    def near_keys(self, steps: tuple) -> list[str]:
        return near(str(steps[-1]), self._fields(steps[:-1]))

    def _word(self, steps: tuple, where: tuple, context: Mapping[str, Any]) -> Diagnostic:
        words = re.findall(r"'([^']*)'", str(context.get("expected", "")))
        node = node_at(self.root, where)
        all_words = f"write one of {', '.join(words)}"
        if not isinstance(node, Text) or node.value is None:
            return self._error("word", f"`{_field(where)}` is a single word here", where, all_words)
        said = " ".join(node.value.split())
        return self._error(
            "word",
            f"`{said}` is not one of the words for `{_field(where)}`",
            where,
            did_you_mean(said, words) or all_words,
        )

    def _shape(self, kind: str, steps: tuple, where: tuple) -> Diagnostic:
        node = node_at(self.root, where)
        if isinstance(node, Text) and node.value is None:
            return self._error("shape", f"`{_field(where)}` has nothing after its colon", where, self._keys_help(steps))
        what = {Text: "text", Seq: "list", Map: "mapping"}.get(type(node), "text")
        if kind == "tuple_type":
            message = f"`{_field(where)}` is a {what}; a list is wanted here"
            return self._error(
                "shape", message, where, "each item on a line of its own after `- `, or all in `[ ]`", key=True
            )
        message = f"`{_field(where)}` is a {what}; keys are wanted here"
        return self._error("shape", message, where, self._keys_help(steps), key=True)

    def _keys_help(self, steps: tuple) -> str:
        model = self._info(steps)[1]
        infos = list(model.model_fields.items()) if model else []
        needed = [info.alias or name for name, info in infos if info.is_required()]
        keys = needed or [info.alias or name for name, info in infos]
        if not keys:
            return "write them indented below it"
        return f"indented below it, {'at least ' if needed else ''}{', '.join(f'`{key}:`' for key in keys)}"

    def _whose(self, where: tuple) -> str:
        """Whose key it is that stands at `where`."""
        owners = [str(step) for step in where[:-1] if isinstance(step, str)]
        if len(where) > 2 and isinstance(where[1], int):
            return f"number {where[1] + 1} of `{where[0]}`"
        owners = owners[1:] or owners
        return f"`{owners[0]}`" if len(owners) == 1 else f"`{owners[-1]}` of `{owners[0]}`"

    def _info(self, steps: tuple) -> tuple[FieldInfo | None, type[BaseModel] | None]:
        """The field that `steps` lead to, and the record that stands there."""
        info, model = None, self.model
        for step in steps:
            found = (
                next((f for name, f in model.model_fields.items() if step == (f.alias or name)), None)
                if model
                else None
            )
            if found is not None:
                info = found
                model = next(iter(_models_in(found.annotation)), None)
        return info, model

    def _fields(self, steps: tuple) -> list[str]:
        model = self._info(steps)[1]
        return [info.alias or name for name, info in model.model_fields.items()] if model else []

    def _example(self, steps: tuple) -> str:
        key = str(steps[-1])
        info = self._info(steps)[0]
        if words := [word for word in getattr(info and info.annotation, "__args__", ()) if isinstance(word, str)]:
            return f"write one of {', '.join(words)}"
        for mark in info.metadata if info else ():
            if isinstance(mark, WithJsonSchema) and (kinds := (mark.json_schema or {}).get(QUANTITY)):
                return f"for instance `{key}: {quantities.EXAMPLES[kinds[0]]}`"
        return EXAMPLES.get(key, "")


_SHAPES = ("model_type", "dict_type", "tuple_type", "model_attributes_type")
_LIMITS = {
    "less_than_equal": "`{field}` is {limit} at most",
    "greater_than_equal": "`{field}` is {limit} at least",
    "too_long": "`{field}` has {limit} entries at most",
    "too_short": "`{field}` has {limit} entries at least",
}


def _models_in(annotation: Any) -> list[type[BaseModel]]:
    arguments = getattr(annotation, "__args__", ())
    if not arguments:
        return [annotation] if isinstance(annotation, type) and issubclass(annotation, BaseModel) else []
    return [found for argument in arguments for found in _models_in(argument)]


def _field(where: tuple) -> str:
    return str(next((step for step in reversed(where) if isinstance(step, str)), ""))
