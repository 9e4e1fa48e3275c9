"""What stays from one build to the next under `mkdocs serve --dirty`: a save sets only the pages that it changes."""

from __future__ import annotations

import logging
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path
from typing import Any

from mkdocs.structure.files import File

Page = str
"""Path of a page in the manual or in docs/."""


def settle(file: File, changed: bool) -> None:
    """Tell MkDocs whether a page has to be set again; of itself it knows only the dates of files."""
    file.is_modified = lambda: changed


class LastBuild:
    """The last good build: what every page rests on, and what became of each."""

    def __init__(self) -> None:
        self._frame: Any = None
        self._said: Mapping[Page, Any] = {}
        self._set: dict[Page, str] = {}
        self._entries: dict[str, list[dict]] = {}
        self._failed = False
        """Whether the site shows messages where its pages were."""

    def unchanged(self, frame: Any, said: Mapping[Page, Any]) -> frozenset[Page]:
        """The pages that would come out as they did.

        Args:
            frame: what stands on all pages alike: navigation, links, names; where it changes, every page does
            said: what each page rests on beside that
        """
        same = (
            frozenset(p for p in said if p in self._set and self._said.get(p) == said[p])
            if frame == self._frame
            else frozenset()
        )
        self._frame, self._said = frame, said
        self._set = {page: text for page, text in self._set.items() if page in same}
        return same

    def note(self, page: Page, text: str) -> None:
        """Remember a page as it was written."""
        self._set[page] = text

    def fail(self) -> None:
        """The build that follows writes messages over every page."""
        self._failed = True

    def restore(self, pages: Iterable[Page], where: Callable[[Page], str]) -> None:
        """Bring back the pages that messages stood over in the meantime."""
        if self._failed:
            for page in pages:
                Path(where(page)).write_text(self._set[page], encoding="utf-8")
        self._failed = False

    def complete(self, index: Any, pages: Iterable[str]) -> None:
        """Give the search what it knew of the pages that were not set again.

        Args:
            index: the search's index, with the entries of the pages that were
            pages: addresses of those that were not
        """
        entries: dict[str, list[dict]] = {}
        for entry in index.entries:
            entries.setdefault(entry["location"].partition("#")[0], []).append(entry)
        kept = {page: self._entries[page] for page in pages if page in self._entries}
        self._entries = {**kept, **entries}
        index.entries = [entry for page in sorted(self._entries) for entry in self._entries[page]]


def hush() -> None:
    """MkDocs warns that such a build leaves the navigation behind; this one does not, so nobody need be frightened."""
    logging.getLogger("mkdocs.commands.build").addFilter(lambda record: "'dirty' build" not in str(record.msg))
