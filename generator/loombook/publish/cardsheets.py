"""Each card of the manual alone, as a Typst document for A4 and for A5."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from loombook.drawings.metrics import SIZE
from loombook.manual.model import Manual
from loombook.manual.paper import string
from loombook.publish.figures import Figure
from loombook.publish.typeset import FIGURE, LINK, TEXT, TURN, edition, prologue, unquoted

CARDS = "cards"
"""The folder of the cards."""
PAPERS = ("a4", "a5")
"""Each card stands alone on these."""
OTHER_SIDE = ", other side"
_CARD = re.compile(rf"^#lb-card\({TEXT}, .*?^\]$", re.M | re.S)
_NAMES = "#let lb-card = lb-aside\n#let (lb-anchor, lb-heading, lb-why, lb-finding) = lb-page((:))\n"
"""A card alone is set aside from no manual, and leads nowhere."""


@dataclass(frozen=True)
class Card:
    """A card by itself: its name, and Typst source for its sides."""

    title: str
    file: str
    """Name of its file, without the paper's."""
    body: str

    def path(self, paper: str) -> str:
        """Where its PDF stands beside the manual's."""
        return f"{CARDS}/{self.file}-{paper}.pdf"


def cards(manual: Manual) -> list[Card]:
    """Every card of the manual, both its sides together, in reading order."""
    found: dict[str, list[str]] = {}
    for page in manual.paper:
        for match in _CARD.finditer(page.body):
            found.setdefault(unquoted(match[1]).removesuffix(OTHER_SIDE), []).append(match[0])
    files: set[str] = set()
    made = []
    for title, sides in found.items():
        word = re.sub(r"[^a-z0-9]+", "-", title.lower()).strip("-")[:60] or "card"
        file = next(name for name in (word, *(f"{word}-{n}" for n in range(2, 9999))) if name not in files)
        files.add(file)
        made.append(Card(title, file, "\n".join(sides)))
    return made


def paths(manual: Manual) -> list[str]:
    """Where the PDFs of the cards stand, in the order of `documents`."""
    return [card.path(paper) for card, paper in _each(manual)]


def documents(manual: Manual) -> dict[str, str]:
    """Path of its PDF → the source of each card on each paper. A link leads out of the sheet, so it is plain words."""
    figures = _figures(manual)

    def plan(match: re.Match) -> str:
        name = unquoted(match[1])
        if name not in figures:
            return ""
        return f"#lb-plan({string(_file(name))}, {figures[name].size[0] / SIZE:.2f}em, {match[2]})\n"

    def document(card: Card, paper: str) -> str:
        sheet = f"lb-alone({string(card.title)}, {edition(manual)}, {string(paper)}, body)"
        body = TURN.sub("", LINK.sub('#lb-link("")', FIGURE.sub(plan, card.body)))
        return f"{prologue(sheet, _NAMES)}{body}\n"

    return {card.path(paper): document(card, paper) for card, paper in _each(manual)}


def plans(manual: Manual) -> dict[str, bytes]:
    """The drawings on cards, by the names that `documents` has for them."""
    return {_file(name): fig.cropped(fig.pieces()[0]).encode() for name, fig in _figures(manual).items()}


def _each(manual: Manual) -> Iterator[tuple[Card, str]]:
    return ((card, paper) for card in cards(manual) for paper in PAPERS)


def _figures(manual: Manual) -> dict[str, Figure]:
    shown = {unquoted(m[1]) for card in cards(manual) for m in FIGURE.finditer(card.body)}
    return {name: Figure(manual.drawings[name]) for name in sorted(shown & manual.drawings.keys())}


def _file(name: str) -> str:
    return f"drawings/{name}.svg"
