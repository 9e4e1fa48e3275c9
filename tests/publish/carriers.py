"""What the site, the PDF and the pocket file say of each consumer, each read from what is published, in its own way."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache, cached_property
from html.parser import HTMLParser
from io import BytesIO
from pathlib import Path
from typing import Any

import pikepdf

from loombook.checks import Checked
from loombook.manual import build
from loombook.manual.model import Page
from loombook.publish import links, pdf
from loombook.publish.pocket import write_pocket
from loombook.study.model import Study
from tests.manual.boats import AS_OF
from tests.manual.reading import answer, read
from tests.publish.site import build_site
from tests.publish.test_pdf import Run, runs

Answers = dict[str, dict[str, str]]
"""Consumer → term (Fuse, Where, Spare …) → words."""

PAGES = ("index.md", "find/index.md", "circuits/")
"""Only these pages are published here, those that answer for a consumer, so that links to others are plain words."""


@dataclass(frozen=True, eq=False)
class Carriers:
    """One vessel's manual as its readers get it: a site's folder, a PDF, a pocket file."""

    consumers: Mapping[str, str]
    """Id → name."""
    site: Path
    book: bytes
    pocket: Path

    @cache
    def on_site(self) -> Answers:
        """From the consumers' own pages, as built."""
        return {id: answer((self.site / f"circuits/{id}.html").read_text(encoding="utf-8")) for id in self.consumers}

    @cache
    def in_the_list(self) -> dict[str, list[str]]:
        """Consumer → fuse and place in the list from A to Z, which is read without script."""
        html = (self.site / "find/index.html").read_text(encoding="utf-8")
        table = next(t for t in read(html).tables if t.caption.startswith("By everyday name"))
        return {row[0].rpartition(" ")[2]: row[1:] for row in table.rows}

    @cache
    def in_pocket(self) -> Answers:
        """From the list in the pocket file that is read without script."""
        html = self.pocket.read_text(encoding="utf-8")
        found = re.findall(r'<section id="([^"]+)" class="lb-pocket-device">(.*?)</section>', html, re.S)
        return {id: dict(read(body).terms) for id, body in found}

    @cache
    def on_paper(self) -> Answers:
        """From the sheets that the bookmarks lead to."""
        return {
            id: facts for _, id, facts in self._bookmarked if id in self.consumers
        }  # a circuit of several has a page too

    def heads_on_site(self) -> dict[str, str]:
        """Consumer → its name in the head of its page."""
        return {
            id: _inner(self.site / f"circuits/{id}.html", rf'<h1[^>]*>(.*?) <span class="lb-id">{id}</span>')[0]
            for id in self.consumers
        }

    def heads_in_pocket(self) -> dict[str, str]:
        return {
            id: _inner(self.pocket, rf'<h3>((?:(?!</h3>).)*?) <span class="lb-id">{id}</span></h3>')[0]
            for id in self.consumers
        }

    def heads_on_paper(self) -> dict[str, str]:
        """Consumer → its name among the bookmarks."""
        return {id: title for title, id, _ in self._bookmarked if id in self.consumers}

    @cached_property
    def _bookmarked(self) -> list[tuple[str, str, dict[str, str]]]:
        book = pikepdf.open(BytesIO(self.book))
        sheets = {page.obj.objgen: page for page in book.pages}
        with book.open_outline() as outline:
            (chapter,) = [line for line in outline.root if line.title == "Every device"]
            return [
                (line.title, *_answer_below(float(line.destination[3]), runs(sheets[line.destination[0].objgen])))
                for line in chapter.children
            ]


def _inner(path: Path, pattern: str) -> list[str]:
    """The words that a browser shows for what the pattern's group holds."""
    return [" ".join(read(words).words) for words in re.findall(pattern, path.read_text(encoding="utf-8"), re.S)]


def _answer_below(height: float, shown: list[Run]) -> tuple[str, dict[str, str]]:
    """The id in the heading at this height, and the facts in the box below it: terms on the left, words on the right."""
    below = [run for run in shown if run.y <= height and run.y < 800]
    start = next(i for i, run in enumerate(below) if run.size == 14.0)
    end = next(i for i, run in enumerate(below) if i > start and run.size != 14.0)
    id = "".join(run.text for run in below[start:end]).split()[-1]
    box = []
    for run in below[end:]:
        if run.size != below[end].size:
            break
        box.append(run)
    left = min(run.x for run in box)
    facts: list[list[str]] = []
    for before, run in zip([None, *box], box):
        is_term = run.x < left + 80
        if is_term and (before is None or before.x >= left + 80):
            facts.append(["", ""])
        facts[-1][0 if is_term else 1] += f" {run.text}" if is_term else run.text
    return id, {" ".join(term.split()): words for term, words in facts}


def published(study: Study, checked: Checked, folder: Path, whole: bool = False) -> Carriers:
    """The three carriers of a vessel in a folder, with the pages of `PAGES`, without drawings.

    Args:
        whole: whether consumers' pages are set to their end, not only down to the first heading below the answer
    """
    manual = build(study, checked, AS_OF, paper=True)

    def kept(pages: tuple[Page, ...], heading: str) -> tuple[Page, ...]:
        found = [page for page in pages if page.path.startswith(PAGES)]
        return tuple(
            found
            if whole
            else [replace(p, body=p.body.partition(heading)[0]) if p.path.startswith("circuits/") else p for p in found]
        )

    plain = [replace(page, body=links.rewritten(page.body, lambda link: None)) for page in kept(manual.pages, "\n## ")]
    few = replace(
        manual, pages=tuple(plain), paper=kept(manual.paper, "\n#lb-heading(2,"), find=_without_links(manual.find)
    )
    consumers = {consumer.id: consumer.name for consumer in study.network.consumers.values()}
    return Carriers(
        consumers, build_site(few, folder / "built", strict=False), pdf.manual_pdf(few), write_pocket(manual, folder)
    )


def _without_links(value: Any) -> Any:
    """The data of the look-up without the addresses of pages that are not published here."""
    if isinstance(value, Mapping):
        return {key: _without_links(inner) for key, inner in value.items() if key != "url"}
    return [_without_links(inner) for inner in value] if isinstance(value, (list, tuple)) else value


def letters(words: str) -> str:
    """Only what can be compared between carriers: letters and digits; in one order where writing runs from the right."""
    plain = re.sub(r"\W|_", "", words)
    turned = any(unicodedata.bidirectional(sign) in ("R", "AL") for sign in plain)
    return "".join(sorted(plain)) if turned else plain


class Elements(HTMLParser):
    """The elements of a page with their attributes."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.found: list[tuple[str, dict[str, str | None]]] = []
        self.feed(html)
        self.close()

    def handle_starttag(self, tag: str, attrs: list) -> None:
        self.found.append((tag, dict(attrs)))
