"""Reads a page of the manual as a person or a browser would: its text, its tables, its links and its anchors."""

from __future__ import annotations

import html
import re
from dataclasses import dataclass, field
from html.parser import HTMLParser

_LINK = re.compile(r'href="(item|page):([^"#]*)(?:#([^"]*))?"|src="(page):([^"]*)"')
_ANCHOR = re.compile(r'\bid="([^"]+)"|\{#([^}\s]+)\}\s*$', re.M)


def links(body: str) -> list[tuple[str, str, str]]:
    """(scheme, name, anchor) of every link."""
    return [(m[1] or m[4], html.unescape(m[2] or m[5] or ""), m[3] or "") for m in _LINK.finditer(body)]


def anchors(body: str) -> set[str]:
    """Every place on the page that a link can lead to."""
    return {m[1] or m[2] for m in _ANCHOR.finditer(body)}


@dataclass
class Table:
    """A table as its cells' text."""

    caption: str = ""
    head: list[str] = field(default_factory=list)
    rows: list[list[str]] = field(default_factory=list)


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.words: list[str] = []
        self.tags: list[str] = []
        self.tables: list[Table] = []
        self.terms: list[tuple[str, str]] = []
        self.stack: list[list[str]] = []

    def handle_starttag(self, tag: str, attrs: list) -> None:
        self.tags.append(tag)
        if tag == "table":
            self.tables.append(Table())
        if tag in ("caption", "th", "td", "dt", "dd"):
            self.stack.append([])
        if tag == "tr":
            self.row: list[str] = []
        if tag == "br":
            self.handle_data(" ")

    def handle_endtag(self, tag: str) -> None:
        if tag in ("caption", "th", "td", "dt", "dd"):
            text = " ".join("".join(self.stack.pop()).split())
            if tag == "caption":
                self.tables[-1].caption = text
            elif tag in ("th", "td"):
                self.row.append(text)
            elif tag == "dt":
                self.terms.append((text, ""))
            else:
                self.terms[-1] = (self.terms[-1][0], text)
        if tag == "tr":
            table = self.tables[-1]
            if table.head:
                table.rows.append(self.row)
            else:
                table.head = self.row

    def handle_data(self, data: str) -> None:
        self.words.append(data)
        if self.stack:
            self.stack[-1].append(data)


def read(body: str) -> _Reader:
    """The page taken apart."""
    reader = _Reader()
    reader.feed(body)
    reader.close()
    return reader


def answer(body: str) -> dict[str, str]:
    """The facts at the head of a page: term → words."""
    box = body[body.index('<div class="lb-answer">') :]
    return dict(read(box[: box.index("</dl>")]).terms)


def table(body: str, caption: str) -> Table:
    """The table with this caption."""
    return next(table for table in read(body).tables if table.caption.startswith(caption))


def text(body: str) -> str:
    """What is read, in one line."""
    return " ".join("".join(read(body).words).split())
