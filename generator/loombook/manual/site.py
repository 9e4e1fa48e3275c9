"""Sets the blocks in Markdown for the site, with raw HTML where Markdown has no word or a name could break it."""

from __future__ import annotations

import html
import re
from collections.abc import Callable, Iterable, Sequence
from functools import lru_cache
from urllib.parse import quote

from ..study.model import Why
from .text import Action, Badge, Column, Id, Inline, Label, Lines, Link, Marked, Raw, Strong, isolated, plain
from .writer import Body, Writer

_SIGNS = {ord(c): f"&#{ord(c)};" for c in "\\`*_{}[]<>#&|~$^="}
_AT_START = re.compile(r"^(?:[-+:!?]|\d+(?=[.)]))")
SHORT = 18
"""A number with its unit or range is not longer."""
_NUMBER = ' class="lb-num"'
RANKS = ("A", "B", "C")
_APART = " "
"""Between neighbouring cells: without it a search takes their words for one."""


@lru_cache(maxsize=1 << 15)  # the same names, places and sizes come back on every page
def _escape(text: str) -> str:
    return html.escape(isolated(text)).replace("](", "]&#40;")  # or it would pass for a Markdown link


@lru_cache(maxsize=1 << 15)
def markdown(text: str) -> str:
    """Text that Markdown leaves alone.

    >>> markdown("Pump *2* | a_b")
    'Pump &#42;2&#42; &#124; a&#95;b'
    """
    return isolated(text).translate(_SIGNS)


def _guarded(line: str) -> str:
    """A line that Markdown cannot take for the start of a list, a heading or a box.

    >>> _guarded("- 3 A"), _guarded("1. fuse")
    ('&#45; 3 A', '1&#46; fuse')
    """
    line = line.strip()
    match = _AT_START.match(line)
    if not match:
        return line
    head = match[0]
    return (
        f"&#{ord(head[0])};{line[1:]}"
        if not head.isdigit()
        else f"{head}&#{ord(line[len(head)])};{line[len(head) + 1 :]}"
    )


@lru_cache(maxsize=1 << 15)
def _address(target: str) -> str:
    scheme, _, rest = target.partition(":")
    name, mark, anchor = rest.partition("#")
    return f"{scheme}:{quote(name)}{mark}{quote(anchor)}"


class SiteWriter(Writer):
    """Markdown with raw HTML. `item:` and `page:` links are made to work by whoever publishes."""

    name = "site"

    # in a line

    def inline(self, words: Inline) -> Raw:
        return Raw(self._set(words, markdown))

    def _html(self, words: Inline) -> str:
        return self._set(words, _escape)

    def _set(self, words: Inline, escape: Callable[[str], str]) -> str:
        kind = type(words)
        if kind is str:
            return escape(words)
        if kind is tuple:
            return "".join([self._set(part, escape) for part in words])
        if kind is Link:
            return f'<a href="{_address(words.target)}">{self._set(words.words, escape)}</a>'
        if kind is Id:
            return f'<span class="lb-id">{escape(words.text)}</span>'
        if kind is Label:
            return f'<span class="lb-label">{escape(words.text)}</span>'
        if kind is Strong:
            return f"<strong>{self._set(words.words, escape)}</strong>"
        if kind is Marked:
            return f'<span class="lb-{words.mark}">{self._set(words.words, escape)}</span>'
        if kind is Badge:
            name = f"lb-finding lb-finding-{words.kind}" if words.kind in RANKS else f"lb-outcome lb-{words.kind}"
            return f'<span class="{name}">{escape(words.words)}</span>'
        if kind is Lines:
            return "<br> ".join([self._set(part, escape) for part in words.parts])
        if kind is Raw:
            return words
        raise TypeError(f"{words!r} is not text")

    # blocks

    def title(self, words: Inline) -> Raw:
        return Raw(f"# {_guarded(self.inline(words))}\n")

    def heading(self, words: Inline, anchor: str = "", level: int = 2) -> Raw:
        name = f" {{#{anchor}}}" if anchor else ""
        return Raw(f"{'#' * level} {_guarded(self.inline(words))}{name}\n")

    def anchor(self, name: str) -> Raw:
        return Raw(f'<div id="{html.escape(name)}"></div>\n')

    def paragraph(self, *words: Inline) -> Raw:
        return Raw(_guarded(self.inline(words)) + "\n")

    def small(self, *words: Inline) -> Raw:
        return Raw(f'<p class="lb-source">{self._html(words)}</p>\n')

    def meta(self, words: Inline, invented: bool) -> Raw:
        demo = ' <span class="lb-demo">This vessel is invented.</span>' if invented else ""
        return Raw(f'<p class="lb-meta">{self._html(words)}{demo}</p>\n')

    def listing(self, items: Iterable[Inline]) -> Raw:
        return Raw("".join(f"- {_guarded(self.inline(item))}\n" for item in items))

    def index(self, items: Iterable[Inline]) -> Raw:
        rows = "\n".join(f"<li>{self._html(item)}</li>" for item in items)
        return Raw(f'<ul class="lb-index">\n{rows}\n</ul>\n')

    def _facts(self, facts: Iterable[tuple[str, Inline]]) -> str:
        rows = "\n".join(f"<dt>{_escape(term)}</dt>{_APART}<dd>{self._html(words)}</dd>" for term, words in facts)
        return f'<dl class="lb-facts">\n{rows}\n</dl>'

    def facts(self, facts: Iterable[tuple[str, Inline]]) -> Raw:
        return Raw(self._facts(facts) + "\n")

    def answer(self, facts: Iterable[tuple[str, Inline]], *more: Inline) -> Raw:
        extra = "".join(f"<p>{self._html(words)}</p>\n" for words in more)
        return Raw(f'<div class="lb-answer">\n{self._facts(facts)}\n{extra}</div>\n')

    def table(
        self,
        caption: Inline,
        columns: Sequence[Column],
        rows: Iterable[Sequence[Inline]],
        stick: bool = False,
        anchors: Sequence[str] = (),
    ) -> Raw:
        number = [column.number for column in columns]
        heads = _APART.join(f'<th scope="col"{_NUMBER if c.number else ""}>{_escape(_head(c))}</th>' for c in columns)
        body = []
        for place, row in enumerate(rows):
            id = f' id="{html.escape(anchors[place])}"' if anchors else ""
            cells = _APART.join(
                [f"<td{_number(n, cell)}>{self._html(cell)}</td>" for cell, n in zip(row[1:], number[1:], strict=True)]
            )
            name = f'<th scope="row"{_number(number[0], row[0])}>{self._html(row[0])}</th>'
            body.append(f"<tr{id}>{name}{_APART}{cells}</tr>")
        words, label = self._html(caption), _escape(plain(caption))
        kind = "lb-stick" if stick else "lb-plain"
        return Raw(
            f'<div class="lb-table" role="region" tabindex="0" aria-label="{label}">\n'
            f'<table class="{kind}"><caption>{words}</caption>\n'
            f"<thead><tr>{heads}</tr></thead>\n<tbody>\n" + "\n".join(body) + "\n</tbody></table></div>\n"
        )

    def figure(self, name: str, caption: Inline) -> Raw:
        return Raw(
            f'<figure class="lb-figure">\n<!--figure:{name}-->\n'
            f"<figcaption>{self._html(caption)}</figcaption>\n</figure>\n"
        )

    def photo(self, path: str, caption: Inline) -> Raw:
        words, alt = self._html(caption), _escape(plain(caption))
        image = f'<img src="{_address("page:" + path)}" alt="{alt}" loading="lazy">'
        return Raw(f'<figure class="lb-figure lb-photo">{image}<figcaption>{words}</figcaption></figure>\n')

    def steps(self, actions: Iterable[Action]) -> Raw:
        rows = []
        for action in actions:
            where = f'<p class="lb-where">{self._html(action.where)}</p>{_APART}' if action.where else ""
            see = f'<p class="lb-see">{self._html(action.see)}</p>' if action.see else ""
            rows.append(f'<li><p class="lb-do">{self._html(action.do)}</p>{_APART}{where}{see}</li>')
        return Raw('<ol class="lb-steps">\n' + "\n".join(rows) + "\n</ol>\n")

    def path(self, points: Iterable[Inline]) -> Raw:
        rows = "\n".join(f"<li>{self._html(point)}</li>" for point in points)
        return Raw(f'<ol class="lb-path">\n{rows}\n</ol>\n')

    def _paragraphs(self, paragraphs: Iterable[Inline]) -> str:
        return "\n".join(f"<p>{self._html(words)}</p>" for words in paragraphs)

    def caution(self, *paragraphs: Inline, danger: bool = False) -> Raw:
        kind, word = ("lb-caution lb-danger", "Danger") if danger else ("lb-caution", "Caution")
        head = f'<p class="lb-caution-word">{word}</p>'
        return Raw(f'<div class="{kind}" role="note">{head}\n{self._paragraphs(paragraphs)}\n</div>\n')

    def note(self, *paragraphs: Inline) -> Raw:
        return Raw(f'<div class="lb-box">\n{self._paragraphs(paragraphs)}\n</div>\n')

    def buttons(self, links: Iterable[Inline]) -> Raw:
        rows = "\n".join(f"<li>{self._html(link)}</li>" for link in links)
        return Raw(f'<ul class="lb-buttons">\n{rows}\n</ul>\n')

    def why(self, summary: Inline, why: Why, anchor: str = "", table: str = "") -> Raw:
        id = f' id="{html.escape(anchor)}"' if anchor else ""
        parts = [f"<p><strong>{_escape(why.formula)}</strong></p>"] if why.formula else []
        known = [
            f"<li>{_escape(what)}: {_escape(value)}{_escape(f' ({how})' if how else '')}</li>"
            for what, value, how in why.inputs
        ]
        steps = [f"<li>{_escape(what)}: {_escape(value)}</li>" for what, value in why.steps]
        if known:
            parts.append(f"<p>From</p>\n<ul>{_APART.join(known)}</ul>")
        if steps:
            parts.append(f"<p>In between</p>\n<ol>{_APART.join(steps)}</ol>")
        mark = f" ({why.mark})" if why.mark else ""
        parts.append(f'<p class="lb-source">{_escape(f"Source: {why.source}{mark}")}</p>')
        return Raw(
            f'<details class="lb-why"{id} data-search-exclude><summary>{self._html(summary)}</summary>\n'
            + "\n".join(parts)
            + f"\n{table}</details>\n"
        )

    def finding(self, rank: str, head: Inline, facts: Iterable[tuple[str, Inline]], anchor: str = "") -> Raw:
        id = f' id="{html.escape(anchor)}"' if anchor else ""
        badge = self._html(Badge(rank, rank) if rank in RANKS else Badge("cannot", rank))
        return Raw(
            f'<div class="lb-finding lb-finding-{html.escape(rank)}"{id}>\n'
            f"<p>{badge} <strong>{self._html(head)}</strong></p>\n{self._facts(facts)}\n</div>\n"
        )

    def card(self, head: Inline, aside: Inline, foot: Inline, caller: Body) -> Raw:
        body = _joined_lines(caller())
        top = f'<div class="lb-card-head"><h2>{self._html(head)}</h2>{_APART}<span>{self._html(aside)}</span></div>'
        return Raw(
            f'<section class="lb-card">\n{top}\n{body}\n'
            f'<div class="lb-card-foot">{self._html(foot)}</div>\n</section>\n\n'
        )

    def boxes(self, live: Sequence[Inline], working: Sequence[Inline], lost: Sequence[Inline]) -> Raw:
        left = self._box("lb-live", "STILL LIVE", live, "Nothing that we know of.")
        right = self._box("lb-works", "STILL WORKING", working, "Nothing.")
        gone = f"<p><strong>NOT WORKING ANY MORE</strong></p>{_APART}{self._items(lost)}" if lost else ""
        return Raw(f'<div class="lb-boxes">\n{left}</div>\n{right}{_APART}{gone}</div>\n</div>\n')

    def _box(self, kind: str, head: str, items: Sequence[Inline], none: str) -> str:
        return f'<div class="{kind}"><h3>{head}</h3>{_APART}{self._items(items) if items else f"<p>{none}</p>"}'

    def _items(self, items: Iterable[Inline]) -> str:
        return "<ul>" + _APART.join(f"<li>{self._html(item)}</li>" for item in items) + "</ul>"

    def screen_only(self, caller: Body) -> Raw:
        return Raw(f'<div class="lb-noprint">\n{caller().strip()}\n</div>\n\n')

    def apart(self, caller: Body) -> Raw:
        return Raw(f"<div data-search-exclude>\n{_joined_lines(caller())}\n</div>\n\n")

    def downloads(self) -> Raw:
        return Raw("<!--downloads-->\n")

    def code(self, text: str) -> Raw:
        return Raw(f"<pre><code>{html.escape(text)}</code></pre>\n")


def _joined_lines(html_blocks: str) -> str:
    """Blocks without the empty lines between them, for the inside of another block."""
    return re.sub(r"\n{2,}", "\n", html_blocks.strip())


def _number(number: bool, cell: Inline) -> str:
    """The class of a number's cell. It keeps the cell on one line, so words in its place go without it."""
    return _NUMBER if number and len(plain(cell)) <= SHORT else ""


def _head(column: Column) -> str:
    return f"{column.head} ({column.unit})" if column.unit else column.head
