"""What was written differently: things added, removed and changed, field by field in the inventory's own words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from pydantic import BaseModel

from ..inventory.loads import RunStep
from ..inventory.records import ITEM_FAMILIES, NAMED_FAMILIES, SINGLE, Inventory, attribute
from ..quantities import Quantity
from .model import Change, Field

KINDS = ("removed", "added", "changed")


def changes(before: Inventory, after: Inventory) -> tuple[Change, ...]:
    """Everything aboard that is written down otherwise. What was done and what is kept are no part of the boat."""
    found = [
        change
        for family in (*SINGLE, *ITEM_FAMILIES, *NAMED_FAMILIES)
        for change in _family(family, _members(before, family), _members(after, family))
    ]
    found += _family("cables", _cables(before), _cables(after))
    return tuple(sorted(found, key=lambda change: KINDS.index(change.kind)))


def _members(inventory: Inventory, family: str) -> Mapping[str, BaseModel]:
    held = getattr(inventory, attribute(family))
    if family == "vessel":  # the report is headed by both revisions
        held = held.model_copy(update={"revision": "", "date": None})
    return {family: held} if family in SINGLE else held


def _cables(inventory: Inventory) -> Mapping[str, BaseModel]:
    """Id → each cable of the runs. A circuit's are fields of the circuit."""
    return {step.id: step.cable for run in inventory.runs.values() for step in run.path if step.id and step.cable}


def _family(family: str, before: Mapping[str, BaseModel], after: Mapping[str, BaseModel]) -> Iterator[Change]:
    for id, record in before.items():
        if id not in after:
            yield Change("removed", family, id, _title(id, record), _differences(record, None))
    for id, record in after.items():
        fields = _differences(before.get(id), record)
        if fields:
            yield Change("changed" if id in before else "added", family, id, _title(id, record), fields)


def _title(id: str, record: BaseModel) -> str:
    return getattr(record, "name", None) or id


def _differences(before: BaseModel | None, after: BaseModel | None) -> tuple[Field, ...]:
    then, now = (dict(_fields(record)) if record is not None else {} for record in (before, after))
    names = list(dict.fromkeys((*now, *then)))
    return tuple(Field(n, then.get(n, ""), now.get(n, "")) for n in names if then.get(n, "") != now.get(n, ""))


def _fields(value: Any, name: str = "") -> Iterator[tuple[str, str]]:
    """(name, words) of every field that is written down; a path keeps its steps together, so that it reads as a way."""
    if isinstance(value, BaseModel):
        for key, info in type(value).model_fields.items():
            if key in value.model_fields_set:
                yield from _fields(getattr(value, key), f"{name} {info.alias}".strip())
    elif isinstance(value, Mapping):
        for key, held in value.items():
            yield from _fields(held, f"{name} {key}".strip())
    elif value not in (None, ""):
        yield name, said(value)


def said(value: Any) -> str:
    """A value as its owner would write it, with how it is known.

    >>> said(True), said(("fish finder", "echo sounder"))
    ('yes', 'fish finder, echo sounder')
    """
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Quantity):
        how = [value.how, value.by, value.date] if value.how not in ("stated", "estimated") else []
        return f"{value} ({', '.join(filter(None, how))})" if how else str(value)
    if isinstance(value, RunStep):  # its cable is a thing of its own
        return value.id or value.reference or ""
    if isinstance(value, BaseModel):
        return ", ".join(words if _speaks(words) else f"{name} {words}" for name, words in _fields(value))
    if isinstance(value, (list, tuple)):
        return (" → " if value and isinstance(value[0], BaseModel) else ", ").join(map(said, value))
    return str(value)


def _speaks(words: str) -> bool:
    """Whether a field's words need no name: `1.5 mm²` is an area, `crimped` says what it is."""
    return words not in ("yes", "no") and not words.isdigit()
