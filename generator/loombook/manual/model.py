"""The finished manual as one frozen value: pages, drawings and files, before any site builder sees them."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True)
class Page:
    """One page of the manual."""

    path: str
    """Where it stands, relative to the manual's root, with forward slashes: `circuits/C21.md`."""
    title: str
    """The title in plain text; the writer escapes it."""
    body: str
    """The page in the site writer's Markdown. `<!--figure:NAME-->` marks where a drawing goes in."""
    chapter: str | None = None
    """The navigation chapter it is listed under; None keeps it out of the navigation (it is reached by links and search)."""
    tags: tuple[str, ...] = ()
    """Words a reader would type: id, label, everyday names."""


@dataclass(frozen=True)
class Manual:
    """All pages in reading order, and what they show."""

    title: str
    pages: tuple[Page, ...]
    drawings: dict[str, str] = field(default_factory=dict)
    """Drawing name → SVG text."""
    files: dict[str, bytes] = field(default_factory=dict)
    """Site path → content, for photos, papers, downloads."""
    vessel: str = ""
    """The vessel's name, for hand-written pages that speak of one vessel only."""
    links: dict[str, tuple[str, str]] = field(default_factory=dict)
    """Item id → its name as a guest says it, and where it stands: `"F12": ("Sounder fuse", "panels/X4.md#F12")`."""
    find: Mapping[str, Any] = field(default_factory=dict, repr=False)
    """What the fault finder knows, from `manual.find`; the page that holds `<!--find-->` shows it."""

    paper: tuple[Page, ...] = field(default=(), repr=False)
    """The same pages in Typst, for the PDF; empty where nobody asked for them."""
    edition: str = ""
    """What stands at the foot of every printed sheet: vessel, revision, and the day the manual speaks from."""
    as_of: datetime.date | None = None
    """That day."""
    sources: Mapping[str, str] = field(default_factory=dict, repr=False)
    """File → the inventory as its owner wrote it, so that a message about a page can show the line."""

    def __str__(self) -> str:
        """A short tree of the pages, for tests and for the eye."""
        return "\n".join(f"{page.path}  {page.title}" for page in self.pages)
