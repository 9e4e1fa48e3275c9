"""Sets the same blocks in Typst for the PDF; what each block looks like stands in `blocks.typ`."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache

from ..study.model import Why
from . import widths
from .text import Action, Badge, Column, Id, Inline, Label, Lines, Link, Marked, Raw, Strong, isolated, plain
from .writer import Body, Writer


def string(text: str, lines: bool = False) -> str:
    """A Typst string; with `lines`, line breaks stay.

    >>> string('12" \\\\ pipe')
    '"12\\\\" \\\\\\\\ pipe"'
    """
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n" if lines else " ") + '"'


@lru_cache(maxsize=1 << 15)
def markup(text: str) -> str:
    """Text as Typst markup that means nothing but itself: a string, closed by a semicolon that is not shown.

    >>> markup("Pump #2 @ $3")
    '#"Pump #2 @ $3";'
    """
    text = isolated(text)
    if not text:
        return ""  # so that a style can ask whether there is anything
    if text.replace(" ", "").isalnum() and text.isascii() and text == text.strip() and not text[0].isdigit():
        return text
    return f"#{string(text)};"


def _first_target(words: Inline) -> str:
    """Where the first link among the words leads, or nothing."""
    if isinstance(words, Link):
        return words.target
    parts = words if isinstance(words, tuple) else (words.words,) if isinstance(words, (Strong, Marked)) else ()
    return next(filter(None, map(_first_target, parts)), "")


class PaperWriter(Writer):
    """Typst markup. Whoever publishes turns `lb-link` and `lb-turn` into places of the document, which it alone knows."""

    name = "typst"

    # in a line

    def inline(self, words: Inline) -> Raw:
        if isinstance(words, str):
            return words if isinstance(words, Raw) else Raw(markup(words))
        if isinstance(words, tuple):
            return Raw("".join([self.inline(part) for part in words]))
        if isinstance(words, Link):
            return Raw(f"#lb-link({string(words.target)}){self._block(words.words)};")
        if isinstance(words, Id):
            return Raw(f"#lb-id({string(isolated(words.text))});")
        if isinstance(words, Label):
            return Raw(f"#lb-plate({string(isolated(words.text))});")
        if isinstance(words, Strong):
            return Raw(f"#strong{self._block(words.words)};")
        if isinstance(words, Marked):
            return Raw(f"#lb-marked({string(words.mark)}){self._block(words.words)};")
        if isinstance(words, Badge):
            return Raw(f"#lb-badge({string(words.kind)}){self._block(words.words)};")
        if isinstance(words, Lines):
            return Raw("#linebreak();".join([self.inline(part) for part in words.parts]))
        raise TypeError(f"{words!r} is not text")

    def _block(self, words: Inline) -> str:
        return f"[{self.inline(words)}]"

    def _blocks(self, items: Iterable[Inline]) -> str:
        """A tuple of contents; the comma at its end makes one of a single item too."""
        return "(" + "".join(f"{self._block(item)}, " for item in items) + ")"

    def _lead(self, words: Inline) -> str:
        """Words that open a line of a list or table, with the number of the sheet that they lead to."""
        target = _first_target(words)
        return f"[{self.inline(words)}#lb-turn({string(target)});]" if target else self._block(words)

    def _leads(self, items: Iterable[Inline]) -> str:
        return "(" + "".join(f"{self._lead(item)}, " for item in items) + ")"

    def _pairs(self, facts: Iterable[tuple[str, Inline]]) -> str:
        return "(" + "".join(f"({self._block(term)}, {self._block(words)}), " for term, words in facts) + ")"

    def _call(self, name: str, *arguments: str) -> Raw:
        return Raw(f"#lb-{name}({', '.join(arguments)})\n")

    # blocks

    def title(self, words: Inline) -> Raw:
        return self._call("heading", "1", string(""), self._block(words))

    def heading(self, words: Inline, anchor: str = "", level: int = 2) -> Raw:
        return self._call("heading", str(level), string(anchor), self._block(words))

    def anchor(self, name: str) -> Raw:
        return self._call("anchor", string(name))

    def paragraph(self, *words: Inline) -> Raw:
        return self._call("paragraph", self._block(words))

    def small(self, *words: Inline) -> Raw:
        return self._call("small", self._block(words))

    def meta(self, words: Inline, invented: bool) -> Raw:
        return Raw("")  # the foot of every sheet says it

    def listing(self, items: Iterable[Inline]) -> Raw:
        return self._call("listing", self._leads(items))

    def index(self, items: Iterable[Inline]) -> Raw:
        return self._call("index", self._leads(items))

    def facts(self, facts: Iterable[tuple[str, Inline]]) -> Raw:
        return self._call("facts", self._pairs(facts))

    def answer(self, facts: Iterable[tuple[str, Inline]], *more: Inline) -> Raw:
        return self._call("answer", self._pairs(facts), self._blocks(more))

    def table(self, caption: Inline, columns: Sequence[Column], rows: Iterable[Sequence[Inline]], stick: bool = False,
              anchors: Sequence[str] = ()) -> Raw:  # fmt: skip
        rows = [list(row) for row in rows]
        fit = widths.fitted(columns, rows)
        heads = "".join(
            f"(head: {self._block(widths.head(c))}, number: {'true' if c.number else 'false'}, share: {share}), "
            for c, share in zip(columns, fit.shares, strict=True)
        )
        body = []
        for place, row in enumerate(rows):
            cells = [self._lead(row[0]), *map(self._block, row[1:])]
            if anchors:
                cells[0] = f"[#lb-anchor({string(anchors[place])})#{cells[0]}]"
            told = f"({', '.join(cells)}, )"
            body.append(f"  lb-long({told})," if place in fit.long else f"  {told},")
        return Raw(f"#lb-table({fit.least}, {self._block(caption)}, ({heads}), (\n" + "\n".join(body) + "\n))\n")

    def figure(self, name: str, caption: Inline) -> Raw:
        return self._call("figure", string(name), self._block(caption))

    def photo(self, path: str, caption: Inline) -> Raw:
        return self._call("photo", string(path), self._block(caption))

    def steps(self, actions: Iterable[Action]) -> Raw:
        rows = "".join(f"({self._block(a.do)}, {self._block(a.where)}, {self._block(a.see)}), " for a in actions)
        return self._call("steps", f"({rows})")

    def path(self, points: Iterable[Inline]) -> Raw:
        return self._call("path", self._blocks(points))

    def caution(self, *paragraphs: Inline, danger: bool = False) -> Raw:
        return self._call("caution", "true" if danger else "false", self._blocks(paragraphs))

    def note(self, *paragraphs: Inline) -> Raw:
        return self._call("note", self._blocks(paragraphs))

    def buttons(self, links: Iterable[Inline]) -> Raw:
        return self._call("listing", self._leads(links))

    def why(self, summary: Inline, why: Why, anchor: str = "", table: str = "") -> Raw:
        known = self._blocks(f"{what}: {value}{f' ({how})' if how else ''}" for what, value, how in why.inputs)
        steps = self._blocks(f"{what}: {value}" for what, value in why.steps)
        source = f"Source: {why.source}{f' ({why.mark})' if why.mark else ''}"
        parts = [string(anchor), self._block(summary), self._block(why.formula), known, steps, self._block(source)]
        return Raw(self._call("why", *parts) + table)

    def finding(self, rank: str, head: Inline, facts: Iterable[tuple[str, Inline]], anchor: str = "") -> Raw:
        return self._call("finding", string(anchor), self._block(rank), self._block(head), self._pairs(facts))

    def card(self, head: Inline, aside: Inline, foot: Inline, caller: Body) -> Raw:
        return Raw(
            f"#lb-card({string(plain(head))}, {self._block(head)}, {self._block(aside)}, {self._block(foot)})[\n{caller().strip()}\n]\n"
        )

    def boxes(self, live: Sequence[Inline], working: Sequence[Inline], lost: Sequence[Inline]) -> Raw:
        return self._call("boxes", self._blocks(live), self._blocks(working), self._blocks(lost))

    def code(self, text: str) -> Raw:
        return Raw(f"#raw(block: true, {string(text, lines=True)})\n")

    def screen_only(self, caller: Body) -> Raw:
        return Raw("")

    def drawn_too(self, drawings: Sequence[str], caller: Body) -> Raw:
        return Raw("" if drawings else caller())
