"""What the site's home page offers to be taken along: the pocket file, the PDF, and the cards to print."""

from __future__ import annotations

import html
from urllib.parse import quote

from loombook.manual.model import Manual
from loombook.publish import pocket
from loombook.publish.pdf import NAME
from loombook.publish.cardsheets import PAPERS, Card, cards

MARK = "<!--downloads-->"
"""Where the home page wants it."""
UNPRINTED = '<p class="lb-source">While the site is being worked on, no PDF is made. The finished site has it here.</p>'


def downloads(manual: Manual, has_pocket: bool, serving: bool) -> str:
    """Large links, and a list of the cards.

    Args:
        manual: without pages for paper it has no PDF
        has_pocket: whether the site carries the pocket file
        serving: whether somebody works on the site, so that the PDF waits
    """
    large = [(pocket.NAME, "For your phone: the pocket file, to be saved now")] if has_pocket else []
    large += [(NAME, "For paper: the whole manual as PDF")] if manual.paper else []
    rows = "".join(f'<li><a href="page:{path}" download>{words}</a></li>' for path, words in large)
    text = f'<ul class="lb-buttons">{rows}</ul>' if rows else ""
    if manual.paper:
        lines = "".join(f"<li>{_card(card)}</li>" for card in cards(manual))
        text += f"<details><summary>Each card alone, to print</summary><ul>{lines}</ul></details>" if lines else ""
    return text + (UNPRINTED if serving else "")


def _card(card: Card) -> str:
    links = (f'<a href="page:{quote(card.path(paper))}">{paper.upper()}</a>' for paper in PAPERS)
    return f"<bdi>{html.escape(card.title)}</bdi>: {', '.join(links)}"
