"""YAML text to a tree of located nodes, strictly: every scalar is text, and what YAML lets pass in silence is refused.

YAML's own typing reads `NO` as false, `12:24` as 744 and `016` as 14. Here the field that a scalar stands in says what
it means, so no scalar is typed at all.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import yaml

from ..diagnostics import Diagnostic, Note, Place
from . import syntax
from .tree import Map, Node, Seq, Text

MAX_BYTES = 4_000_000
MAX_DEPTH = 12
MAX_NODES = 200_000
MAX_TEXT = 20_000
MAX_REPEATS = 100
_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


class Refused(Exception):
    """The file cannot be read on; carries the one diagnostic."""

    def __init__(self, rule: str, message: str, place: Place, here: str = "", help: str = "") -> None:
        notes = (Note("help", help),) if help else ()
        self.diagnostic = Diagnostic("error", rule, message, place, here, notes)
        super().__init__(message)


@dataclass
class Document:
    """What one file holds, and what was wrong but did not stop the reading."""

    root: Node | None
    problems: list[Diagnostic] = field(default_factory=list)


_UTF16 = (b"\xff\xfe", b"\xfe\xff", b"\xff\xfe\x00\x00", b"\x00\x00\xfe\xff")
_OTHER_BREAKS = str.maketrans(dict.fromkeys("\x85\u2028\u2029", " "))
"""Line breaks to YAML 1.1 but to few editors: left as they are, every line below would be miscounted."""


def load(path: Path, file: str) -> bytes:
    """The bytes of one file.

    Raises:
        Refused: it is larger than an inventory can be, or the system does not give it out
    """
    try:
        if (size := path.stat().st_size) > MAX_BYTES:
            raise _too_large(size, file)
        return path.read_bytes()
    except OSError as error:
        reason = (error.strerror or "no reason given").lower()
        raise Refused("no-inventory", f"the file cannot be opened: {reason}", Place(file, 1, 1)) from None


def legible(data: bytes) -> str:
    """The text as far as it can be made out, to show in a message; empty where nothing can."""
    if len(data) > MAX_BYTES or _is_utf16(data):
        return ""
    return _normal(data.decode("utf-8-sig", "replace"))


def decode(data: bytes, file: str) -> str:
    """The file's text, its lines ended by a line feed whatever the system that wrote it.

    Raises:
        Refused: not UTF-8, or larger than an inventory can be
    """
    if len(data) > MAX_BYTES:
        raise _too_large(len(data), file)
    if _is_utf16(data):
        raise Refused("not-utf-8", "the file is saved as UTF-16", Place(file, 1, 1), help="save it as UTF-8")
    try:
        return _normal(data.decode("utf-8-sig"))
    except UnicodeDecodeError as error:
        before = _normal(error.object[: error.start].decode())
        byte = error.object[error.start]
        western = bytes([byte]).decode("cp1252", "replace")
        raise Refused(
            "not-utf-8",
            f"a byte that is not UTF-8 (0x{byte:02X})",
            Place(file, before.count("\n") + 1, len(before) - before.rfind("\n")),
            help=f"save the file as UTF-8; in the old Western encoding it would be `{western}`",
        ) from None


def _is_utf16(data: bytes) -> bool:
    return data.startswith(_UTF16) or data[:200].count(0) > len(data[:200]) // 4


def _normal(text: str) -> str:
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    return text if text.isascii() else text.translate(_OTHER_BREAKS)


def _too_large(size: int, file: str) -> Refused:
    most = MAX_BYTES // 1_000_000
    message = f"the file has {size / 1e6:.1f} MB; a file of the inventory has {most} MB at most"
    return Refused("file-too-large", message, Place(file, 1, 1), help="split it, or take out what is not inventory")


def read(text: str, file: str) -> Document:
    """The located tree of one file.

    Raises:
        Refused: where no sense can be made of what follows
    """
    _refuse_hidden(text, file)
    try:
        return _Builder(text, file).build(yaml.parse(text, Loader=_LOADER))
    except yaml.YAMLError as error:
        raise Refused(**syntax.explain(error, text, file)) from None


_CONTROL = re.compile("[^\t\n\x20-\x7e\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_INVISIBLE = re.compile("[\u200b\u202a-\u202e\u2060\u2066-\u2069\ufeff]")
"""What has no width, or turns the direction of the letters after it; marks that a script needs are not among them."""
_INDENT = re.compile(r"^ *([^\S\n ])(?=[^\S\n]*\S)", re.MULTILINE)


def _refuse_hidden(text: str, file: str) -> None:
    """Refuse what a reader of the file cannot see and YAML reports badly: control characters, tabs as indentation."""
    if match := _CONTROL.search(text):
        code = f"U+{ord(match[0]):04X}"
        raise Refused("control", f"a control character ({code})", _at(text, match.start(), file), help="delete it")
    if not text.isascii() and (match := _INVISIBLE.search(text)):
        code = f"U+{ord(match[0]):04X}"
        raise Refused(
            "control",
            f"an invisible character ({code})",
            _at(text, match.start(), file),
            help="delete it; it often comes along with pasted text",
        )
    if match := _INDENT.search(text):
        rule, name = ("tab", "tab") if match[1] == "\t" else ("space", "no-break space")
        place = _at(text, match.start(1), file)
        raise Refused(rule, f"a {name} in the indentation", place, here=name, help="indent with spaces, two a level")


def _at(text: str, index: int, file: str) -> Place:
    return Place(file, text.count("\n", 0, index) + 1, index - text.rfind("\n", 0, index))


@dataclass(slots=True)
class _Open:
    """A collection that is being filled."""

    node: Map | Seq
    key: str | None = None
    pending: bool = False
    drop: bool = False


class _Builder:
    def __init__(self, text: str, file: str) -> None:
        self.file = file
        self.lines = text.split("\n")
        self.document = Document(None)
        self.stack: list[_Open] = []

    def build(self, events: Iterator[yaml.Event]) -> Document:
        documents = 0
        for count, event in enumerate(events):
            if isinstance(event, yaml.ScalarEvent):
                self._refuse_node(event)
                self._add(self._text(event))
            elif isinstance(event, yaml.CollectionStartEvent):
                self._refuse_node(event)
                self._open(event)
            elif isinstance(event, yaml.CollectionEndEvent):
                self.stack.pop()
            elif isinstance(event, yaml.AliasEvent):
                help = "write the value out where it is needed; a text that begins with `*` stands in quotation marks"
                raise Refused("alias", "aliases are not used in an inventory", self._place(event), help=help)
            elif isinstance(event, yaml.DocumentStartEvent):
                documents += 1
                if documents > 1:
                    raise Refused(
                        "documents", "a second document in one file", self._place(event), help="remove the `---` line"
                    )
            if count > MAX_NODES:
                raise Refused(
                    "file-too-large",
                    f"more than {MAX_NODES} values in one file",
                    self._place(event),
                    help="split it into several files",
                )
        return self.document

    def _place(self, event: yaml.Event, length: int = 1) -> Place:
        mark = event.start_mark
        return Place(self.file, mark.line + 1, mark.column + 1, length)

    def _refuse_node(self, event: yaml.NodeEvent) -> None:
        if event.anchor:
            help = "remove the `&` word; a text that begins with `&` stands in quotation marks"
            raise Refused("alias", "anchors are not used in an inventory", self._place(event), help=help)
        if event.tag not in (None, "!"):
            help = "remove the word after `!`; a text that begins with `!` stands in quotation marks"
            raise Refused("tag", "tags are not used in an inventory", self._place(event), help=help)

    def _text(self, event: yaml.ScalarEvent) -> Text:
        start, end = event.start_mark, event.end_mark
        whole = start.line == end.line
        length = end.column - start.column if whole else len(self.lines[start.line].rstrip()) - start.column
        if len(event.value) > MAX_TEXT:
            message = f"a text of {len(event.value)} letters; {MAX_TEXT} is the most"
            raise Refused(
                "text-too-long",
                message,
                self._place(event),
                help="keep long papers as files beside the inventory, named under `papers`",
            )
        empty = not event.style and event.value in ("", "~", "null")
        return Text(None if empty else event.value, self._place(event, max(1, length)))

    def _open(self, event: yaml.CollectionStartEvent) -> None:
        place = self._place(event)
        if len(self.stack) >= MAX_DEPTH:
            raise Refused(
                "too-deep",
                f"nested deeper than {MAX_DEPTH} levels",
                place,
                help="no part of an inventory is; check the brackets and the indentation",
            )
        node: Node = Map({}, {}, place) if isinstance(event, yaml.MappingStartEvent) else Seq([], place)
        self._add(node)
        self.stack.append(_Open(node))

    def _add(self, node: Node) -> None:
        if not self.stack:
            self.document.root = node
            return
        top = self.stack[-1]
        if isinstance(top.node, Seq):
            top.node.items.append(node)
        elif not top.pending:
            self._add_key(top, node)
        else:
            if not top.drop:
                top.node.entries[top.key] = node
            top.pending = top.drop = False

    def _add_key(self, top: _Open, node: Node) -> None:
        if not isinstance(node, Text):
            what = "list" if isinstance(node, Seq) else "mapping"
            raise Refused(
                "key",
                f"a {what} cannot be a key",
                node.place,
                help="a text that begins with a bracket stands in quotation marks",
            )
        if node.value is None:
            raise Refused(
                "key", "a key is missing before the colon", node.place, help="write the key, or remove the colon"
            )
        if node.value == "<<":
            raise Refused(
                "alias",
                "merge keys (`<<`) are not used in an inventory",
                node.place,
                help="write the keys out where they are needed",
            )
        key = " ".join(node.value.split())
        top.key, top.pending = key, True
        if key not in top.node.entries:
            top.node.keys[key] = node.place
            return
        top.drop = True
        first = Note("first", "given here", top.node.keys[key])
        self.document.problems.append(
            Diagnostic("error", "duplicate", f"`{key}` is given twice", node.place, "given again", (first,))
        )
        if len(self.document.problems) >= MAX_REPEATS:
            raise Refused(
                "duplicate",
                f"{MAX_REPEATS} keys are given twice",
                node.place,
                help="the file may have been pasted into itself",
            )
