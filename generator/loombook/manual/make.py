"""From the study and the checks to the finished manual: every kind of page in reading order, set by one writer."""

from __future__ import annotations

import datetime
import re
from collections.abc import Mapping
from functools import cache

from jinja2 import Environment, PackageLoader, StrictUndefined

from ..checks import Checked
from ..compare import Comparison
from ..study.model import Study
from .book import Book
from .files import files
from .find import find_data
from .model import Manual, Page
from .pages import PAGES
from .paper import PaperWriter
from .sheet import Sheet
from .site import SiteWriter
from .text import Link, Strong, joined
from .writer import Writer

WRITERS: Mapping[str, type[Writer]] = {"site": SiteWriter, "typst": PaperWriter}
"""Name → writer. Another target is one class and one line here."""


def make(
    study: Study,
    checked: Checked,
    as_of: datetime.date,
    drawings: Mapping[str, str],
    writer: str,
    paper: bool,
    comparison: Comparison | None,
) -> Manual:
    """The whole manual; see `manual.build`."""
    book = Book(study, checked, as_of, frozenset(drawings), comparison)
    sheets = [sheet for kind, make in PAGES.items() for sheet in make(book)]
    pages = tuple(_page(_environment(writer), book, sheet) for sheet in sheets)
    printed = tuple(_page(_environment("typst"), book, sheet) for sheet in sheets) if paper else ()
    name = book.inventory.vessel.name
    find = find_data(book) if writer == "site" else {}  # paper has the same as tables and steps
    return Manual(
        title=f"{name}: electrical manual",
        pages=pages,
        drawings=dict(drawings),
        files=files(book.network),
        vessel=name,
        links=book.links,
        find=find,
        paper=printed,
        edition=_edition(book),
        as_of=as_of,
        sources=book.inventory.texts,
    )


def _edition(book: Book) -> str:
    vessel = book.inventory.vessel
    dated = f", {vessel.date.isoformat()}" if vessel.date else ""
    invented = " · an invented vessel" if vessel.invented else ""
    return f"{vessel.name} · revision {vessel.revision}{dated} · as of {book.as_of.isoformat()}{invented}"


@cache
def _environment(writer: str) -> Environment:
    """The templates, compiled once for a writer. Each `{{ expression }}` is set by it, and so escaped."""
    speaks = WRITERS[writer]()
    environment = Environment(
        loader=PackageLoader("loombook.manual", "templates"),
        undefined=StrictUndefined,
        finalize=speaks.finish,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
        cache_size=-1,
    )
    environment.globals.update(b=speaks, joined=joined, strong=Strong, link=Link)
    return environment


def _page(environment: Environment, book: Book, sheet: Sheet) -> Page:
    template = environment.get_template(f"{sheet.template}.j2")
    body = template.render(book=book, vessel=book.inventory.vessel, sheet=sheet, **sheet.values)
    body = re.sub(r"\n{3,}", "\n\n", body).strip() + "\n"
    return Page(sheet.path, sheet.title, body, sheet.chapter, sheet.tags)
