"""A rule and its manual page, read from the docstring of the function that checks it."""

from __future__ import annotations

import inspect
import re
import textwrap
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from .model import Outcome

if TYPE_CHECKING:
    from .survey import Survey

HEADINGS = ("What", "Why", "Failing example", "Passing example", "Source", "Clears")
"""Every rule's docstring has a title and these headings, in this order."""

FAMILIES = {
    "P": "Protection", "C": "Cables", "F": "Fault current", "V": "Voltage", "D": "Voltage drop", "B": "Batteries",
    "G": "Charging", "I": "Isolation", "S": "Availability", "N": "Negative and earth", "A": "AC", "E": "Environment",
    "T": "Terminations", "L": "Labels and documentation", "M": "Maintenance and evidence",
}  # fmt: skip


@dataclass(frozen=True)
class Page:
    """What the manual says about a rule."""

    title: str
    what: str
    why: str
    failing: str
    """An inventory that the rule finds fault with; what it leaves out is in `example.BASE`."""
    passing: str
    source: str
    clears: str


@dataclass(frozen=True)
class Rule:
    """A rule: its id, and the generator that yields its outcomes for one vessel."""

    id: str
    check: Callable[[Survey], Iterator[Outcome]]

    @property
    def family(self) -> str:
        """`Protection` for `P-01`."""
        return FAMILIES[self.id.split("-")[0]]

    @property
    def title(self) -> str:
        return self.page.title

    @cached_property
    def page(self) -> Page:
        return read_page(self.check.__doc__ or "")


def read_page(docstring: str) -> Page:
    """The page that a docstring holds.

    Raises:
        ValueError: where a heading is missing, twice, empty or out of order
    """
    text = inspect.cleandoc(docstring)
    title, _, rest = text.partition("\n")
    parts = re.split(r"^(" + "|".join(HEADINGS) + r")$", rest, flags=re.MULTILINE)
    names, bodies = parts[1::2], [inspect.cleandoc("\n" + body).strip("\n") for body in parts[2::2]]
    if tuple(names) != HEADINGS or not all(bodies):
        raise ValueError(
            f"`{title}`: the headings are {', '.join(HEADINGS)}, each with its text; found {', '.join(names)}"
        )
    what, why, failing, passing, source, clears = bodies
    return Page(
        title.rstrip("."), _joined(what), _joined(why), failing + "\n", passing + "\n", _joined(source), _joined(clears)
    )


def _joined(text: str) -> str:
    """Paragraphs on one line each."""
    return "\n\n".join(" ".join(part.split()) for part in re.split(r"\n\s*\n", text))


def terminal_text(rule: Rule) -> str:
    """The page for a terminal."""
    page = rule.page
    bodies = (page.what, page.why, page.failing, page.passing, page.source, page.clears)
    sections = [f"{rule.id}  {page.title}"]
    for heading, body in zip(HEADINGS, bodies, strict=True):
        wrapped = body.rstrip("\n") if heading.endswith("example") else _wrapped(body)
        sections.append(f"{heading}\n" + "\n".join(f"  {line}".rstrip() for line in wrapped.split("\n")))
    return "\n\n".join(sections) + "\n"


def _wrapped(text: str, width: int = 100) -> str:
    return "\n\n".join(textwrap.fill(part, width, break_on_hyphens=False) for part in text.split("\n\n"))
