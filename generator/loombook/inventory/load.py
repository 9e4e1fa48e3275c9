"""The way from files to a checked `Inventory`: read, merge, validate record by record, check references; all errors at once."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from pydantic import BaseModel, TypeAdapter, ValidationError

from ..diagnostics import Diagnostic, InventoryError, Note, Place, did_you_mean
from . import reader
from .reader import Map, Node, Refused, Seq, Text, find, plain
from .records import ITEM_FAMILIES, LIST_FAMILIES, NAMED_FAMILIES, SINGLE, Inventory, attribute
from .references import check_references

FAMILY_KEYS = (*SINGLE, *ITEM_FAMILIES, *NAMED_FAMILIES, *LIST_FAMILIES)
_ID = re.compile(r"[A-Z]{1,4}[0-9]{1,5}[a-z]?")
_SPACE_ID = re.compile(r"[a-z][a-z0-9]*(-[a-z0-9]+)*")
_MOST_FILES = 500


def read_inventory(folder: Path) -> Inventory:
    """The inventory in a folder: every `.yaml` file in it and below, in order of name.

    Raises:
        InventoryError: with every message, located, when it cannot be used
    """
    folder = Path(folder)
    if not folder.is_dir():
        what = "is a file, not a folder" if folder.exists() else "does not exist"
        raise InventoryError([Diagnostic("error", "no-inventory", f"the folder `{folder.name}` {what}")], {})
    paths = sorted(p for p in folder.rglob("*") if p.suffix in (".yaml", ".yml") and p.is_file() and _visible(p, folder))
    if not paths:
        help = Note("help", "an inventory needs at least a `vessel`, a battery and a circuit in one `.yaml` file")
        raise InventoryError([Diagnostic("error", "no-inventory", f"no .yaml file in `{folder.name}`", notes=(help,))], {})
    if len(paths) > _MOST_FILES:
        raise InventoryError([Diagnostic("error", "no-inventory", f"more than {_MOST_FILES} .yaml files in `{folder.name}`")], {})
    files = {f"{folder.name}/{path.relative_to(folder).as_posix()}": path.read_bytes() for path in paths}
    return _load(files, folder)


def read_text(text: str | bytes, file: str = "vessel.yaml") -> Inventory:
    """The inventory in one text.

    Raises:
        InventoryError: as `read_inventory`
    """
    return _load({file: text.encode() if isinstance(text, str) else text}, None)


def _visible(path: Path, folder: Path) -> bool:
    return not any(part.startswith(".") for part in path.relative_to(folder).parts)


def _load(files: Mapping[str, bytes], folder: Path | None) -> Inventory:
    problems: list[Diagnostic] = []
    texts: dict[str, str] = {}
    root = Map({}, {}, Place(next(iter(files)), 1, 1))
    for file, data in files.items():
        try:
            texts[file] = reader.decode(data, file)
            document = reader.read(texts[file], file)
        except Refused as refused:
            problems.append(refused.diagnostic)
            continue
        problems += document.problems
        _merge(root, document.root, file, problems)
    if problems and not root.entries:
        raise InventoryError(problems, texts)
    unread = any(problem.rule in ("not-yaml", "tab", "alias", "not-utf-8", "file-too-large") for problem in problems)
    values = _records(root, texts, problems)
    if "vessel" not in root.entries and not unread:
        help = Note("help", "begin with `vessel:` and below it, indented, `name: …`")
        problems.append(Diagnostic("error", "missing", "the inventory has no `vessel`", root.place, notes=(help,)))
    if "vessel" not in values:
        raise InventoryError(problems, texts)
    inventory = Inventory(**values, root=root, texts=texts, folder=folder)
    if not unread:  # a file that could not be read would make every id in it unknown
        unreadable = frozenset(_ids_written(root)) - {item.id for item in inventory.items()}
        problems += check_references(inventory, unreadable)
    if problems:
        raise InventoryError(problems, texts)
    return inventory


def _ids_written(root: Map) -> Iterator[str]:
    for key in ITEM_FAMILIES:
        yield from getattr(root.entries.get(key), "entries", ())


def _merge(root: Map, node: Node | None, file: str, problems: list[Diagnostic]) -> None:
    """Add one file's families to the whole; any split over files is the owner's choice."""
    if node is None or (isinstance(node, Text) and node.value is None):
        problems.append(Diagnostic("error", "empty", "the file is empty", Place(file, 1, 1), notes=(Note("help", "delete it, or begin with a family such as `circuits:`"),)))
        return
    if not isinstance(node, Map):
        problems.append(Diagnostic("error", "shape", "the file is not a mapping of families", node.place, notes=(Note("help", "begin with a family such as `vessel:` or `circuits:`"),)))
        return
    for key, value in node.entries.items():
        at = node.keys[key]
        if key not in FAMILY_KEYS:
            help = did_you_mean(key, FAMILY_KEYS) or f"families are {', '.join(FAMILY_KEYS)}"
            problems.append(Diagnostic("error", "unknown-key", f"`{key}` is no family of the inventory", at, "", (Note("help", help),)))
        elif isinstance(value, Text) and value.value is None:
            continue  # a family's key with nothing below it
        elif (wanted := Seq if key in LIST_FAMILIES else Map) is not type(value):
            shape = "a list, each item after `- `" if wanted is Seq else "a mapping, each key indented below it"
            problems.append(Diagnostic("error", "shape", f"`{key}` holds {shape}", at))
        elif key not in root.entries:
            root.entries[key], root.keys[key] = value, at
        elif key in SINGLE:
            first = Note("first", "given here", root.keys[key])
            problems.append(Diagnostic("error", "duplicate", f"`{key}` is given twice", at, "given again", (first,)))
        elif isinstance(value, Seq):
            root.entries[key].items.extend(value.items)
        else:
            _merge_family(root.entries[key], value, problems)


def _merge_family(family: Map, more: Map, problems: list[Diagnostic]) -> None:
    for id, node in more.entries.items():
        if id in family.entries:
            first = Note("first", "given here", family.keys[id])
            problems.append(Diagnostic("error", "duplicate", f"`{id}` is given twice", more.keys[id], "given again", (first,)))
        else:
            family.entries[id], family.keys[id] = node, more.keys[id]


def _records(root: Map, texts: Mapping[str, str], problems: list[Diagnostic]) -> dict[str, Any]:
    values: dict[str, Any] = {}
    seen: dict[str, tuple[str, Place]] = {}
    for key, node in root.entries.items():
        if key in SINGLE:
            record = _record(SINGLE[key], node, (key,), root, texts, problems)
            if record is not None:
                values[key] = record
        elif key in LIST_FAMILIES:
            rows = [_record(LIST_FAMILIES[key], item, (key, i), root, texts, problems) for i, item in enumerate(node.items)]
            values[key] = tuple(row for row in rows if row is not None)
        else:
            values[attribute(key)] = _family(key, node, root, texts, seen, problems)
    return values


def _family(key: str, family: Map, root: Map, texts: Mapping[str, str], seen: dict, problems: list) -> dict[str, Any]:
    records: dict[str, Any] = {}
    is_item = key in ITEM_FAMILIES
    model = ITEM_FAMILIES.get(key) or NAMED_FAMILIES[key]
    for id, node in family.entries.items():
        at = family.keys[id]
        if is_item and not _id_fits(key, id):
            form = "lower-case words joined by hyphens: `engine-room`" if key == "spaces" else "capital letters and a number: `F12`"
            problems.append(Diagnostic("error", "id", f"`{id}` cannot be an id", at, notes=(Note("help", f"an id of {key} is {form}"),)))
        if is_item and id in seen:
            first = Note("first", f"given here among {seen[id][0]}", seen[id][1])
            problems.append(Diagnostic("error", "duplicate", f"`{id}` is given twice", at, "given again", (first,)))
        seen.setdefault(id, (key, at)) if is_item else None
        record = _record(model, node, (key, id), root, texts, problems)
        if record is None:
            continue
        if is_item:
            record._id, record._family = id, key
        records[id] = record
    return records


def _id_fits(family: str, id: str) -> bool:
    return bool((_SPACE_ID if family == "spaces" else _ID).fullmatch(id))


_ADAPTERS: dict[Any, TypeAdapter] = {}


def _record(model: Any, node: Node, path: tuple, root: Map, texts: Mapping[str, str], problems: list[Diagnostic]) -> Any:
    if isinstance(node, Text) and node.value is None:
        node = Map({}, {}, node.place)
    if model not in _ADAPTERS:
        _ADAPTERS[model] = TypeAdapter(model)
    try:
        return _ADAPTERS[model].validate_python(plain(node))
    except ValidationError as error:
        rows = error.errors(include_url=False, include_input=False)
        found = [_diagnostic(row, path, model, root, texts) for row in rows]
        meant = " ".join(note.text for d in found if d.rule == "unknown-key" for note in d.notes)
        # `ratting` is one slip, not an unknown key and a missing one
        problems += [d for d in found if not (d.rule == "missing" and d.message.split(" ")[0] in meant)]
        return None


def _keys_of(model: Any, steps: tuple) -> list[str]:
    """The keys known where `steps` leads from `model`."""
    fields: Mapping[str, Any] = getattr(model, "model_fields", {})
    for step in steps:
        info = next((f for name, f in fields.items() if step in (name, f.alias)), None)
        if info is None:
            continue
        inner = [t for t in _types_in(info.annotation) if isinstance(t, type) and issubclass(t, BaseModel)]
        fields = inner[0].model_fields if inner else {}
    return sorted(f.alias or name for name, f in fields.items())


def _types_in(annotation: Any) -> list[Any]:
    arguments = getattr(annotation, "__args__", ())
    if not arguments:
        return [annotation]
    return [found for argument in arguments for found in _types_in(argument)]


def _diagnostic(row: Mapping[str, Any], path: tuple, model: Any, root: Map, texts: Mapping[str, str]) -> Diagnostic:
    steps, kind, context = tuple(row["loc"]), row["type"], row.get("ctx", {})
    last = steps[-1] if steps else ""
    base = model if isinstance(model, type) else _types_in(model)[0] if getattr(model, "__args__", ()) else model
    where = (*path, *steps)
    place, notes, rule = find(root, where), [], kind
    if kind == "extra_forbidden":
        known = _keys_of(base, steps[:-1])
        rule, message, place = "unknown-key", f"`{last}` is not known here", find(root, where, key=True)
        notes.append(Note("help", did_you_mean(str(last), known) or f"known here are {', '.join(known)}"))
    elif kind == "missing":
        rule, message = "missing", f"`{last}` is missing"
        known = EXPECTED.get(str(last))
        notes += [Note("help", known)] if known else []
    elif kind == "literal_error":
        rule, message = "word", f"`{_written(root, where)}` is not one of the words for `{_field(steps)}`"
        words = [word.strip(" '") for word in re.split(r",| or ", str(context.get("expected", "")))]
        notes.append(Note("help", did_you_mean(_written(root, where), words) or f"write one of {', '.join(words)}"))
    elif kind in ("model_type", "dict_type", "tuple_type", "model_attributes_type"):
        rule, message = "shape", f"`{_field(steps) or path[-1]}` is not a {'list' if kind == 'tuple_type' else 'mapping'}"
    elif "message" in context:
        message = context["message"]
        notes += [Note("help", context["help"])] if context.get("help") else []
    else:
        rule, message = "value", f"`{_field(steps)}`: {row['msg'][0].lower()}{row['msg'][1:]}"
    return Diagnostic("error", rule, message, _narrow(place, context.get("part", ""), texts), "", tuple(notes))


EXPECTED = {
    "name": "give it a name that people aboard use",
    "chemistry": "write `chemistry: lfp`, or another of the words",
    "from": "say which terminal feeds it: `from: X4 way 7`",
    "capacity": "write it like `280 Ah`",
}
"""What helps where a field is missing."""


def _field(steps: tuple) -> str:
    return str(next((step for step in reversed(steps) if isinstance(step, str)), ""))


def _written(root: Map, where: tuple) -> str:
    node: Node | None = root
    for step in where:
        if isinstance(node, Map) and step in node.entries:
            node = node.entries[step]
        elif isinstance(node, Seq) and isinstance(step, int) and step < len(node.items):
            node = node.items[step]
    value = plain(node)
    return value if isinstance(value, str) else "this"


def _narrow(place: Place | None, part: str, texts: Mapping[str, str]) -> Place | None:
    """The stretch `part` inside what `place` points at, for a caret under the very words."""
    if place is None or not part:
        return place
    line = texts.get(place.file, "").split("\n")[place.line - 1]
    column = line.find(part, place.column - 1)
    return place if column < 0 else Place(place.file, place.line, column + 1, len(part))
