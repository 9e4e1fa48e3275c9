"""From files to a checked `Inventory`: read, merge, validate each record, check references; all errors at once."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from pydantic import TypeAdapter, ValidationError

from ..diagnostics import Diagnostic, InventoryError, Note, Place, did_you_mean
from . import reader, wording
from .reader import Refused
from .records import (
    ITEM_FAMILIES,
    ITEM_ID,
    LIST_FAMILIES,
    NAMED_FAMILIES,
    SINGLE,
    SPACE_ID,
    Inventory,
    attribute,
)  # fmt: skip
from .references import MOST_ERRORS, check_references
from .tree import Map, Node, Seq, Text, plain
from .vessel import Vessel

FAMILY_KEYS = (*SINGLE, *ITEM_FAMILIES, *NAMED_FAMILIES, *LIST_FAMILIES)
_MOST_FILES = 500


def read_inventory(folder: Path) -> Inventory:
    """The inventory in a folder: every `.yaml` file in it and below, in order of name.

    Raises:
        InventoryError: with every message, located, when it cannot be used
    """
    folder = Path(folder)
    name = folder.name or str(folder)
    if not folder.is_dir():
        what = "is a file, not a folder" if folder.exists() else "does not exist"
        raise _no_inventory(f"the folder `{name}` {what}", "name the folder that holds your .yaml files")
    paths = sorted(
        p for p in folder.rglob("*") if p.suffix.lower() in (".yaml", ".yml") and p.is_file() and _visible(p, folder)
    )
    if not paths:
        raise _no_inventory(f"no .yaml file in the folder `{name}`", _BEGIN)
    if len(paths) > _MOST_FILES:
        raise _no_inventory(f"more than {_MOST_FILES} .yaml files in the folder `{name}`", "is it the right folder?")
    return _load({_named(path, folder): path for path in paths}, folder)


def read_text(text: str | bytes, file: str = "vessel.yaml") -> Inventory:
    """The inventory in one text.

    Raises:
        InventoryError: as `read_inventory`
    """
    return _load({file: text.encode("utf-8", "surrogatepass") if isinstance(text, str) else text}, None)


_BEGIN = "begin a file with `vessel:` and below it, indented by two spaces, `name: ` and the name"


def _no_inventory(message: str, help: str) -> InventoryError:
    return InventoryError([Diagnostic("error", "no-inventory", message, notes=(Note("help", help),))], {})


def _named(path: Path, folder: Path) -> str:
    """How messages name the file: from its folder on, without the machine's part of the path."""
    prefix = f"{folder.name}/" if folder.name not in ("", "..") else ""
    name = prefix + path.relative_to(folder).as_posix()
    return name.encode("utf-8", "replace").decode()  # a file system may hold names that are no text


def _visible(path: Path, folder: Path) -> bool:
    return not any(part.startswith(".") for part in path.relative_to(folder).parts)


def _load(files: Mapping[str, bytes | Path], folder: Path | None) -> Inventory:
    root = Map({}, {}, Place(next(iter(files)), 1, 1))
    texts, problems, complete = _read_all(files, root)
    if problems and not root.entries:
        raise InventoryError(problems, texts)
    values = _records(root, texts, problems)
    if "vessel" not in root.entries and complete:
        problems.append(
            Diagnostic("error", "missing", "the inventory has no `vessel`", root.place, notes=(Note("help", _BEGIN),))
        )
    vessel = values.pop("vessel", None) or Vessel.model_construct(name="")
    inventory = Inventory(vessel=vessel, **values, root=root, texts=texts, folder=folder)
    if complete:  # a file that could not be read would make every id in it unknown
        unreadable = frozenset(_ids_written(root)) - {item.id for item in inventory.items()} - {*inventory.curves}
        problems += check_references(inventory, unreadable)
    if problems:
        raise InventoryError(problems, texts, more=len(problems) >= MOST_ERRORS)
    return inventory


def _read_all(files: Mapping[str, bytes | Path], root: Map) -> tuple[dict[str, str], list[Diagnostic], bool]:
    """The texts, the problems, and whether every file could be read; fills `root`."""
    problems: list[Diagnostic] = []
    texts: dict[str, str] = {}
    complete = True
    for file, source in files.items():
        data = b""
        try:
            data = reader.load(source, file) if isinstance(source, Path) else source
            texts[file] = reader.decode(data, file)
            document = reader.read(texts[file], file)
        except Refused as refused:
            texts.setdefault(file, reader.legible(data))
            problems.append(refused.diagnostic)
            complete = False
            continue
        problems += document.problems
        _merge(root, document.root, file, problems)
    return texts, problems, complete


def _ids_written(root: Map) -> Iterator[str]:
    for key in (*ITEM_FAMILIES, "curves"):
        yield from getattr(root.entries.get(key), "entries", ())


def _merge(root: Map, node: Node | None, file: str, problems: list[Diagnostic]) -> None:
    """Add one file's families to the whole; any split over files is the owner's choice."""
    if node is None or (isinstance(node, Text) and node.value is None):
        help = "delete it, or begin with a family such as `vessel:` or `circuits:`"
        problems.append(_problem("empty", "the file is empty", Place(file, 1, 1), help))
        return
    if not isinstance(node, Map):
        help = "begin with a family such as `vessel:` or `circuits:` at the left edge"
        problems.append(_problem("shape", "the file does not begin with a family", node.place, help))
        return
    for key, value in node.entries.items():
        _merge_key(root, key, node.keys[key], value, problems)


def _merge_key(root: Map, key: str, at: Place, value: Node, problems: list[Diagnostic]) -> None:
    wanted = Seq if key in LIST_FAMILIES else Map
    if key not in FAMILY_KEYS:
        help = did_you_mean(key, FAMILY_KEYS) or f"families are {', '.join(FAMILY_KEYS)}"
        problems.append(_problem("unknown-key", f"`{key}` is no family of the inventory", at, help))
    elif isinstance(value, Text) and value.value is None:
        return  # a family's key with nothing below it
    elif not isinstance(value, wanted):
        what = {Text: "text", Seq: "list", Map: "mapping"}[type(value)]
        form = (
            "a list is wanted here, each entry after `- `"
            if wanted is Seq
            else "keys are wanted here, indented below it"
        )
        problems.append(
            _problem(
                "shape",
                f"`{key}` is a {what}; {form}",
                at,
                _FORMS.get(key, "each item has an id: `F1: {…}`" if key in ITEM_FAMILIES else ""),
            )
        )
    elif key not in root.entries:
        root.entries[key], root.keys[key] = value, at
    elif key in SINGLE:
        problems.append(_twice(key, at, root.keys[key]))
    elif isinstance(value, Seq):
        root.entries[key].items.extend(value.items)
    else:
        _merge_family(root.entries[key], value, problems)


_FORMS = {
    "vessel": "`vessel: {name: Little Tern}`",
    "runs": "each run has a name: `positive: [G1 +, F1, X1]`",
    "spares": "`- {kind: blade, rating: 10 A, count: 4}`",
    "waivers": "`- {rule: P-05, item: F14, reason: …, by: …, until: 2026-12-31}`",
}


def _problem(rule: str, message: str, at: Place, help: str = "") -> Diagnostic:
    return Diagnostic("error", rule, message, at, notes=(Note("help", help),) if help else ())


def _twice(id: str, at: Place, first: Place, among: str = "") -> Diagnostic:
    note = Note("first", f"given here{' among ' if among else ''}{among}", first)
    return Diagnostic("error", "duplicate", f"`{id}` is given twice", at, "given again", (note,))


def _merge_family(family: Map, more: Map, problems: list[Diagnostic]) -> None:
    for id, node in more.entries.items():
        if id in family.entries:
            problems.append(_twice(id, more.keys[id], family.keys[id]))
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
            rows = [
                _record(LIST_FAMILIES[key], item, (key, i), root, texts, problems) for i, item in enumerate(node.items)
            ]
            values[key] = tuple(row for row in rows if row is not None)
        else:
            values[attribute(key)] = _family(key, node, root, texts, seen, problems)
    return values


def _family(key: str, family: Map, root: Map, texts: Mapping[str, str], seen: dict, problems: list) -> dict[str, Any]:
    records: dict[str, Any] = {}
    is_item = key in ITEM_FAMILIES
    model = ITEM_FAMILIES.get(key) or NAMED_FAMILIES[key]
    for id, node in family.entries.items():
        if is_item:
            problems += _id_problems(key, id, family.keys[id], seen)
        record = _record(model, node, (key, id), root, texts, problems)
        if record is None:
            continue
        if is_item:
            record._id, record._family = id, key
        records[id] = record
    return records


def _id_problems(family: str, id: str, at: Place, seen: dict[str, tuple[str, Place]]) -> Iterator[Diagnostic]:
    if not (SPACE_ID if family == "spaces" else ITEM_ID).fullmatch(id):
        form = (
            "lower-case words joined by hyphens: `engine-room`"
            if family == "spaces"
            else "capital letters and a number: `F12`"
        )
        yield _problem("id", f"`{id}` cannot be an id", at, f"an id of {family} is {form}")
    if id in seen:
        yield _twice(id, at, seen[id][1], seen[id][0])
    seen.setdefault(id, (family, at))


_ADAPTERS: dict[Any, TypeAdapter] = {}


def _record(
    model: Any, node: Node, path: tuple, root: Map, texts: Mapping[str, str], problems: list[Diagnostic]
) -> Any:
    if len(problems) >= MOST_ERRORS:
        return None
    if model not in _ADAPTERS:
        _ADAPTERS[model] = TypeAdapter(model)
    data = plain(node)
    try:
        return _ADAPTERS[model].validate_python({} if data is None else data)
    except ValidationError as error:
        rows = error.errors(include_url=False, include_input=False)
        problems += wording.explain(rows, path, model, root, texts)
        return None
