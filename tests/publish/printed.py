"""Emergency pages of a vessel for paper, made without the rest of her manual, and what their sheets then hold."""

from __future__ import annotations

import datetime
import re
import subprocess
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

from loombook.drawings import cardplan
from loombook.drawings.locations import card_plans
from loombook.drawings.view import Ship
from loombook.manual import build
from loombook.manual.model import Manual
from loombook.pipeline import work_out
from loombook.study.cards import Cards, Step

AS_OF = datetime.date(2026, 5, 10)
ROOT = Path(__file__).parents[2]
VESSELS = {"demo": ROOT / "vessel", "launch": ROOT / "tests/vessels/launch"}
PARTS = "emergency/spaces.md"
"""One card for each space: many, and all alike."""


def emergency(folder: Path, *, parts: bool = True) -> tuple[Manual, Cards]:
    """The emergency pages, with the cards' plans and their pages for paper; and the cards that they show.

    Args:
        folder: the vessel's inventory
        parts: whether the cards for one space each are wanted too
    """
    worked = work_out(folder, AS_OF)
    plans = {plan.name: cardplan.drawn(plan) for plan in card_plans(Ship(worked.study))}
    made = build(worked.study, worked.checked, AS_OF, plans, paper=True)
    pages, paper = (
        tuple(p for p in pages if p.path.startswith("emergency/") or p.path == "index.md")
        for pages in (made.pages, made.paper)
    )
    return replace(
        made, pages=pages, paper=paper if parts else tuple(p for p in paper if p.path != PARTS)
    ), worked.study.cards


def sheets(pdf: Path) -> list[str]:
    """The words of each sheet, in the order in which they were set."""
    text = subprocess.run(["pdftotext", "-raw", str(pdf), "-"], capture_output=True, text=True, check=True).stdout
    return text.removesuffix("\f").split("\f")


def torn(sheets: Iterable[str], steps: Iterable[Step]) -> list[str]:
    """Steps of which no sheet holds everything: what to do, where, and what one sees."""
    bags = [set(re.findall(r"\w+", sheet)) for sheet in sheets]
    asked = [(step.do, set(re.findall(r"\w+", f"{step.do} {step.where} {step.see}"))) for step in steps]
    return [do for do, words in asked if not any(words <= bag for bag in bags)]
