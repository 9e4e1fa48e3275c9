"""YAML text to a tree of located nodes, strictly: every scalar is text, and what YAML lets pass in silence is refused.

YAML's own typing reads `NO` as false, `12:24` as 744 and `016` as 14. Here the field that a scalar stands in says what
it means, so no scalar is typed at all.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

import yaml

from ..diagnostics import Diagnostic, Note, Place

MAX_BYTES = 4_000_000
MAX_DEPTH = 12
_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


@dataclass
class Text:
    """A scalar; `value` is None where nothing was written (empty, `~` or `null`)."""

    value: str | None
    place: Place


@dataclass
class Seq:
    """A list."""

    items: list[Node]
    place: Place


@dataclass
class Map:
    """A mapping; `keys` has the place of each key."""

    entries: dict[str, Node]
    keys: dict[str, Place]
    place: Place


Node = Text | Seq | Map


class Refused(Exception):
    """The file cannot be read on; carries the one diagnostic."""

    def __init__(self, rule: str, message: str, place: Place, here: str = "", help: str = "") -> None:
        notes = (Note("help", help),) if help else ()
        self.diagnostic = Diagnostic("error", rule, message, place, here, notes)
        super().__init__(message)


@dataclass
class _Open:
    """A collection that is being filled."""

    node: Map | Seq
    key: str | None = None
    pending: bool = False
    drop: bool = False


@dataclass
class Document:
    """What one file holds, and what was wrong but did not stop the reading."""

    root: Node | None
    problems: list[Diagnostic] = field(default_factory=list)


def decode(data: bytes, file: str) -> str:
    """The file's text.

    Raises:
        Refused: not UTF-8, or larger than an inventory can be
    """
    if len(data) > MAX_BYTES:
        raise Refused(
            "file-too-large",
            f"the file has {len(data) / 1e6:.1f} MB; an inventory file has at most {MAX_BYTES // 1_000_000} MB",
            Place(file, 1, 1),
            help="split it into several files, or remove what is not inventory",
        )
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise Refused("not-utf-8", "the file is UTF-16", Place(file, 1, 1), help="save it as UTF-8")
    try:
        return data.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as error:
        before = data[: error.start].decode("utf-8-sig", "replace")
        byte = data[error.start]
        raise Refused(
            "not-utf-8",
            f"byte 0x{byte:02X} is not UTF-8; in Latin-1 it would be `{bytes([byte]).decode('latin-1')}`",
            Place(file, before.count("\n") + 1, len(before) - before.rfind("\n")),
            help="save the file as UTF-8",
        ) from None


def read(text: str, file: str) -> Document:
    """The located tree of one file.

    Raises:
        Refused: where no sense can be made of what follows
    """
    _refuse_tabs(text, file)
    try:
        return _build(yaml.parse(text, Loader=_LOADER), text.split("\n"), file)
    except yaml.YAMLError as error:
        raise _syntax(error, file) from None


def _refuse_tabs(text: str, file: str) -> None:
    for number, line in enumerate(text.split("\n"), 1):
        indent = line[: len(line) - len(line.lstrip())]
        if "\t" in indent and line.strip():
            raise Refused(
                "tab",
                "a tab in the indentation",
                Place(file, number, indent.index("\t") + 1),
                here="tab",
                help="indent with spaces, two a level",
            )


_PLAIN_WORDS = (
    ("could not find expected ':'", "a key without its colon"),
    ("mapping values are not allowed", "a colon where none can be"),
    ("did not find expected key", "this line does not fit the lines around it"),
    ("did not find expected '-' indicator", "this line does not fit the list around it"),
    ("block sequence entries are not allowed", "a list item where none can be"),
    ("found unexpected end of stream", "a quotation mark or bracket is not closed"),
    ("found unexpected document indicator", "a quotation mark or bracket is not closed"),
    ("did not find expected ',' or", "a bracket is not closed, or a comma is missing"),
    ("found character that cannot start any token", "a character that cannot start a value"),
    ("control characters are not allowed", "a control character"),
    ("while scanning an anchor", "a word that starts with `&` or `*`"),
    ("while scanning an alias", "a word that starts with `&` or `*`"),
    ("did not find expected alphabetic or numeric character", "a word that starts with `&` or `*`"),
    ("found unknown escape character", "an unknown escape after `\\`"),
)


def _syntax(error: yaml.YAMLError, file: str) -> Refused:
    mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
    place = Place(file, mark.line + 1, mark.column + 1) if mark else Place(file, 1, 1)
    words = f"{getattr(error, 'context', '')} {getattr(error, 'problem', '') or getattr(error, 'reason', '')}"
    plain = next((said for found, said in _PLAIN_WORDS if found in words), "this is not YAML")
    return Refused("not-yaml", plain, place, help="check the indentation, the colons and the quotation marks here")


def _length(start: yaml.Mark, end: yaml.Mark, lines: list[str]) -> int:
    if start.line == end.line:
        return max(1, end.column - start.column)
    return max(1, len(lines[start.line].rstrip()) - start.column)


def _build(events: Iterator[yaml.Event], lines: list[str], file: str) -> Document:
    document = Document(None)
    stack: list[_Open] = []
    documents = 0

    def place(event: yaml.Event) -> Place:
        start = event.start_mark
        length = _length(start, event.end_mark, lines) if isinstance(event, yaml.ScalarEvent) else 1
        return Place(file, start.line + 1, start.column + 1, length)

    def add(node: Node) -> None:
        if not stack:
            document.root = node
            return
        top = stack[-1]
        if isinstance(top.node, Seq):
            top.node.items.append(node)
        elif not top.pending:
            _add_key(top, node, document.problems)
        else:
            if not top.drop:
                top.node.entries[top.key] = node
            top.pending = top.drop = False

    for event in events:
        if isinstance(event, yaml.DocumentStartEvent):
            documents += 1
            if documents > 1:
                raise Refused("two-documents", "a second document in one file", place(event), help="remove the `---` line")
        elif isinstance(event, yaml.AliasEvent):
            raise Refused(
                "alias", "aliases are not used in an inventory", place(event), help="write the value out where it is needed"
            )
        elif isinstance(event, (yaml.ScalarEvent, yaml.CollectionStartEvent)):
            if event.anchor:
                raise Refused("alias", "anchors are not used in an inventory", place(event), help="remove the `&` word")
            if event.tag not in (None, "!"):
                raise Refused("tag", f"the tag `{event.tag}` is not used in an inventory", place(event), help="remove it")
            if isinstance(event, yaml.ScalarEvent):
                empty = event.style is None and event.value in ("", "~", "null")
                add(Text(None if empty else event.value, place(event)))
                continue
            if len(stack) >= MAX_DEPTH:
                raise Refused("too-deep", f"nested deeper than {MAX_DEPTH} levels", place(event))
            node: Node = Map({}, {}, place(event)) if isinstance(event, yaml.MappingStartEvent) else Seq([], place(event))
            add(node)
            stack.append(_Open(node))
        elif isinstance(event, yaml.CollectionEndEvent):
            stack.pop()
    return document


def _add_key(top: _Open, node: Node, problems: list[Diagnostic]) -> None:
    if not isinstance(node, Text):
        raise Refused("key", "a key must be a word", node.place)
    key = node.value or ""
    top.key, top.pending = key, True
    if key in top.node.entries:
        first = Note("first", "given here", top.node.keys[key])
        problems.append(Diagnostic("error", "duplicate", f"`{key}` is given twice", node.place, "given again", (first,)))
        top.drop = True
        return
    top.node.keys[key] = node.place


_SPACE = re.compile(r"\s+")


def plain(node: Node | None) -> object:
    """The tree as plain data: dicts, lists, texts and None; runs of white space in a text become one space."""
    if isinstance(node, Map):
        return {key: plain(value) for key, value in node.entries.items()}
    if isinstance(node, Seq):
        return [plain(item) for item in node.items]
    if node is None or node.value is None:
        return None
    return _SPACE.sub(" ", node.value).strip()


def find(node: Node | None, path: tuple, key: bool = False) -> Place | None:
    """The place of the deepest node of `path` that is written; steps the owner left out are passed over.

    With `key`, the place of the last key rather than of its value.
    """
    here = node.place if node else None
    for step in path:
        if isinstance(node, Map) and step in node.entries:
            at_key, node = node.keys[step], node.entries[step]
            written = isinstance(node, Text) and node.value is not None
            here = node.place if written and not (key and step == path[-1]) else at_key
        elif isinstance(node, Seq) and isinstance(step, int) and step < len(node.items):
            node = node.items[step]
            here = node.place
    return here
