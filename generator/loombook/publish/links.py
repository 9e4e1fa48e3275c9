"""Turns `item:F12` and `page:circuits/C21.md` into links that work where they stand, and names those that do not."""

from __future__ import annotations

import html
import posixpath
import re
from collections.abc import Callable, Iterator, Mapping
from urllib.parse import quote, unquote

from loombook.diagnostics import did_you_mean

_LINK = re.compile(
    r"""(?P<before>\s(?:xlink:)?(?:href|src)=(?P<mark>["'])|\]\()      # in HTML and SVG, or in Markdown
        (?P<kind>item|page):(?P<name>[^"'#\s)]*)(?P<anchor>\#[^"'\s)]*)?
        (?P<after>(?(mark)(?P=mark)|\)))""",
    re.X,
)
_PLACE = re.compile(r"""<[A-Za-z][^<>]*?["'](?:item|page):[^<>]*>|\]\((?:item|page):[^\s)]*\)""")
"""Where a link can stand: in the mark of an element, or in Markdown. The same words in a name are a name."""
_CODE_OR_REFERENCE = re.compile(
    r"""^(?P<fence>```+|~~~+).*?^(?P=fence)[^\n]*$             # a fenced block of code
      | (?P<tick>`+)(?:(?!\n\n).)+?(?P=tick)                  # code within a paragraph
      | \[\[(?P<id>[^][|\n]+)(?:\|(?P<words>[^][\n]+))?\]\]  # [[F12]] or [[F12|the sounder's fuse]]
    """,
    re.S | re.M | re.X,
)

Links = Mapping[str, tuple[str, str]]
"""Item id → (name, page path), as `Manual.links` has it."""


class UnknownTarget(Exception):
    """A link to an item or a page that is not there; says which, and what is near."""


def target(kind: str, name: str, links: Links, paths: Mapping[str, str]) -> tuple[str, str]:
    """Where a link leads: the published path and an anchor (or an empty string).

    Args:
        kind: `item` or `page`
        name: the item's id or the page's path in the manual, as written
        links: the items known
        paths: path in the manual → path as published
    """
    path, anchor = name, ""
    if kind == "item":
        if name not in links:
            raise UnknownTarget(unknown_item(name, links))
        path, _, anchor = links[name][1].partition("#")
    if path not in paths:
        raise UnknownTarget(f"no page or file `{path}` in the manual; {did_you_mean(path, paths)}".rstrip("; "))
    return paths[path], anchor


def unknown_item(name: str, links: Links) -> str:
    """The message for an id that the inventory does not know."""
    return f"no item `{name}` in the inventory; {did_you_mean(name, links)}".rstrip("; ")


def address(link: str, here: str, links: Links, paths: Mapping[str, str]) -> tuple[str, str, str]:
    """Where `item:F12` or `page:circuits/C21.md#path` leads from the published path `here`: (address, path, anchor).

    Raises:
        UnknownTarget: when it leads nowhere
    """
    kind, _, rest = link.partition(":")
    name, _, given = rest.partition("#")
    path, own = target(kind, unquote(name), links, paths)
    anchor = unquote(given) or own
    relative = quote(posixpath.relpath(path, posixpath.dirname(here) or "."))
    return f"{relative}{'#' + quote(anchor) if anchor else ''}", path, anchor


def resolve(
    text: str,
    here: str,
    links: Links,
    paths: Mapping[str, str],
    complain: Callable[[str], None],
    seen: Callable[[str, str], None] = lambda path, anchor: None,
    *,
    markdown: bool = False,
) -> str:
    """`text` with every `item:` and `page:` link made relative to the published path `here`; Markdown's too if it is Markdown.

    `complain` hears of each link that leads nowhere; `seen` of each published path and anchor that is linked to.
    """

    def relative(match: re.Match) -> str:
        link = html.unescape(f"{match['kind']}:{match['name']}{match['anchor'] or ''}")
        try:
            found, path, anchor = address(link, here, links, paths)
        except UnknownTarget as unknown:
            complain(str(unknown))
            return f"{match['before']}#{match['after']}"
        seen(path, anchor)
        return f"{match['before']}{found}{match['after']}"

    return _replaced(text, relative, markdown)


def references(text: str) -> Iterator[tuple[re.Match, str, str | None]]:
    """Each `[[F12]]` or `[[F12|words]]` of a hand-written page that does not stand in code: match, id, words."""
    for match in _CODE_OR_REFERENCE.finditer(text):
        if match["id"] is not None:
            yield match, match["id"].strip(), match["words"]


def link_items(markdown: str, links: Links, complain: Callable[[int, str], None]) -> str:
    """A hand-written page with its `[[F12]]` turned into links to the item's page.

    `complain` hears the line, counted from 1, and the message for each unknown id.
    """
    pieces, done = [], 0
    for match, name, words in references(markdown):
        pieces.append(markdown[done : match.start()])
        done = match.end()
        if name in links:
            label = words or f"{links[name][0]} ({name})"
            pieces.append(f'<a href="item:{html.escape(quote(name))}">{plain(label)}</a>')
        else:
            complain(markdown.count("\n", 0, match.start()) + 1, unknown_item(name, links))
            pieces.append(plain(words or name))
    return "".join(pieces) + markdown[done:]


def plain(text: str) -> str:
    """Text that Markdown and HTML both leave alone: marks as character references.

    >>> plain("Pump *2*")
    'Pump &#42;2&#42;'
    """
    return "".join(c if c.isalnum() or c in " ,-" else f"&#{ord(c)};" for c in text)


def rewritten(text: str, address: Callable[[str], str | None]) -> str:
    """HTML or SVG with its `item:` and `page:` links as `address` says; a link without an address is taken off its words."""

    def one(match: re.Match) -> str:
        found = address(html.unescape(f"{match['kind']}:{match['name']}{match['anchor'] or ''}"))
        return "" if found is None else f"{match['before']}{html.escape(found)}{match['after']}"

    return _replaced(text, one, markdown=False)


def _replaced(text: str, one: Callable[[re.Match], str], markdown: bool) -> str:
    return _PLACE.sub(lambda place: _LINK.sub(one, place[0]) if markdown or place[0][0] == "<" else place[0], text)
