"""Letters that no font shows on paper: which they are, and where the owner wrote them."""

from __future__ import annotations

import re
import unicodedata
from collections import defaultdict
from collections.abc import Iterable, Mapping

from loombook.diagnostics import Diagnostic, Note, Place
from loombook.manual.model import Manual
from loombook.publish import fonts

RULE = "paper"
"""What stands in the place of a rule: nothing aboard is judged."""
MOST = 20
"""So many letters of a script are named."""
HELP = (
    "install a font that has them on the machine that makes the PDF, and make it again; "
    "the site and the pocket file are shown in the reader's own fonts"
)


def boxes_on_paper(manual: Manual) -> tuple[Diagnostic, ...]:
    """A warning for each script of which the manual's paper shows boxes, where its letters were first written.

    Args:
        manual: with its pages for paper
    """
    unshown = fonts.chosen(page.body for page in manual.paper).unshown
    by_script: dict[str, set[str]] = defaultdict(set)
    for letter in unshown:
        by_script[_script(letter)].add(letter)
    return tuple(_warning(script, letters, manual.sources) for script, letters in sorted(by_script.items()))


def _script(letter: str) -> str:
    """The first word of the letter's name: `CJK`, `THAI`, `DEVANAGARI`."""
    return unicodedata.name(letter, "unnamed").partition(" ")[0]


def _warning(script: str, letters: Iterable[str], sources: Mapping[str, str]) -> Diagnostic:
    ordered = sorted(letters)
    named = "".join(ordered[:MOST]) + (f" and {len(ordered) - MOST} more" if len(ordered) > MOST else "")
    return Diagnostic(
        "warning",
        RULE,
        f"no font here has the letters {named} ({script}), and the PDF shows boxes in their place",
        _first(ordered, sources),
        "boxes on paper",
        (Note("help", HELP),),
    )


def _first(letters: list[str], sources: Mapping[str, str]) -> Place | None:
    """The first run of such letters in the inventory."""
    run = re.compile(f"[{re.escape(''.join(letters))}]+")
    for file, text in sorted(sources.items()):
        for number, line in enumerate(text.split("\n"), 1):
            if found := run.search(line):
                return Place(file, number, found.start() + 1, len(found[0]))
    return None
