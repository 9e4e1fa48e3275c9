"""A page before it is set: its place, its template and the values that the template shows."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from .text import Inline

EMERGENCY = "In an emergency"
ORIENTATION = "The boat's system"
LOOKUP = "Look up"
SOURCES = "Batteries and charging"
FIGURES = "Figures"
FINDINGS = "Findings"
RUNNING = "Keeping her running"
ABOUT = "About this manual"


@dataclass(frozen=True)
class Sheet:
    """What one page says, in values that any writer can set."""

    path: str
    title: str
    template: str
    """Its file in `templates/`, without the ending."""
    values: Mapping[str, Any] = field(default_factory=dict)
    chapter: str | None = None
    """None: out of the navigation, reached by links and search."""
    tags: tuple[str, ...] = ()
    heading: Inline = ""
    """The page's own heading where it is more than the title."""
