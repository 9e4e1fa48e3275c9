"""What goes wrong while publishing, and what `serve` shows meanwhile: the message, in place of every page."""

from __future__ import annotations

import html

from loombook.manual.model import Manual, Page


class PublishError(Exception):
    """The manual cannot be put out as asked; the message says why, in the user's words."""


TITLE = "The inventory cannot be read"

BLANK = Manual("Loombook", (Page("index.md", TITLE, ""),))
"""The manual before there is one."""


def body(text: str) -> str:
    """The page that stands in for every other until the inventory can be read again.

    It stands on all paths of the last good build, so that a browser stays where it is, shows the message, and
    comes back to its page by itself.
    """
    return (
        f"# {TITLE}\n\n"
        '<div class="lb-caution" role="note"><p class="lb-caution-word">Nothing is shown that may be out of date</p>'
        "<p>The manual comes back by itself when these messages are cleared and the file is saved.</p></div>\n\n"
        f"<pre>{html.escape(text)}</pre>\n"
    )
