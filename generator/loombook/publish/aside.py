"""Keeps the manual's ready HTML away from the Markdown parser, which would read a thousand table cells to change none."""

from __future__ import annotations

import html
import re

_BLOCK = re.compile(r"^<pre>.*?</pre>$|^<(?:div|dl|ul|ol|p|figure|section|details)\b.*?(?=\n\n|\n?\Z)", re.M | re.S)
"""A block as the manual's writer sets it: from a line that opens one to the empty line after it."""
_MARK = "<!--aside:%d-->"
_MARKED = re.compile(r"<!--aside:(\d+)-->")
_UNSEARCHED = re.compile(r"<[^>]*\sdata-search-exclude")
_ID = re.compile(r'\sid="([^"]+)"')


def set_aside(body: str) -> tuple[str, list[str]]:
    """The Markdown of a page with a mark in place of each block of HTML, and those blocks.

    >>> set_aside('# Pump\\n\\n<p class="x">5 A</p>\\n\\nBelow.\\n')
    ('# Pump\\n\\n<!--aside:0-->\\n\\nBelow.\\n', ['<p class="x">5 A</p>'])
    """
    blocks: list[str] = []

    def mark(match: re.Match) -> str:
        blocks.append(match[0])
        return _MARK % (len(blocks) - 1)

    return _BLOCK.sub(mark, body), blocks


def put_back(content: str, blocks: list[str], unsearched: bool = True) -> str:
    """The page's HTML with its blocks where the marks are.

    Args:
        content: what came of the Markdown
        blocks: what was set aside
        unsearched: whether blocks that the search is to pass over come back too

    >>> put_back("<h1>Pump</h1>\\n<!--aside:0-->", ["<p>5 A</p>"])
    '<h1>Pump</h1>\\n<p>5 A</p>'
    >>> put_back("<!--aside:0-->", ["<div data-search-exclude>5 A</div>"], unsearched=False)
    '<!--aside:0-->'
    """

    def back(match: re.Match) -> str:
        block = blocks[int(match[1])]
        return block if unsearched or not _UNSEARCHED.match(block) else match[0]

    return _MARKED.sub(back, content)


def ids(blocks: list[str]) -> set[str]:
    """The places in the blocks that a link can lead to.

    >>> ids(['<tr id="way-7"><td id="a&amp;b">'])  == {"way-7", "a&b"}
    True
    """
    return {html.unescape(name) for block in blocks for name in _ID.findall(block)}
