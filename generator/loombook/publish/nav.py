"""The navigation: the manual's chapters in reading order, then what a person wrote."""

from __future__ import annotations

import html
from collections.abc import Iterable

from loombook.manual.model import Manual

HOME = "index.md"
WRITTEN = "Notes"
"""The chapter of hand-written pages that name none."""


def navigation(manual: Manual, written: Iterable[tuple[str, str | None]]) -> list:
    """The site builder's `nav` value.

    Circuits and rules by the thousand stay out of it (they have no chapter): with all pages in the navigation the build
    time grows with the square of their number.

    Args:
        manual: its pages with a chapter are listed under it
        written: path of each hand-written page, and the chapter it asks for in its front matter
    """
    chapters: dict[str, list] = {}
    home = []
    for page in manual.pages:
        entry = {html.escape(page.title): page.path}
        if page.path == HOME:
            home.append(entry)
        elif page.chapter is not None:
            chapters.setdefault(page.chapter, []).append(entry)
    for path, chapter in written:
        if path == HOME:
            home.append(path)
        else:
            chapters.setdefault(chapter or WRITTEN, []).append(path)
    return home + [{html.escape(name): entries} for name, entries in chapters.items()]
