"""No link on the built site leads nowhere: neither in a page nor in a drawing, neither a file nor a place on a page."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote, urlsplit

from tests.browser.conftest import Site


class Ends(HTMLParser):
    """Both ends of a page's links: where they lead, and the places they could lead to."""

    def __init__(self, path: Path) -> None:
        super().__init__()
        self.links: list[str] = []
        self.ids: list[str] = []
        self.feed(path.read_text(encoding="utf-8"))

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        for name, value in attrs:
            if name in ("href", "src", "xlink:href", "poster", "data") and value is not None:
                self.links.append(value)
            elif name in ("id", "name") and value and tag not in ("meta", "input", "form"):
                self.ids.append(value)


def dead_links(root: Path) -> list[str]:
    """Every link that leads nowhere, as `page: link`."""
    ends = {path.resolve(): Ends(path) for path in root.rglob("*.html")}
    dead = []
    for path, end in ends.items():
        for link in end.links:
            parts = urlsplit(link)
            target = (path.parent / unquote(parts.path)).resolve() if parts.path else path
            leads = not parts.scheme and not parts.netloc and target.is_file()
            anchor = unquote(parts.fragment)
            if leads and anchor.startswith("look="):  # the pocket file looks the name up in its own data
                leads = f'"{anchor.removeprefix("look=")}"' in target.read_text(encoding="utf-8")
            elif leads and anchor and target in ends and not anchor.startswith("__"):  # __: the theme's own switches
                leads = anchor in ends[target].ids
            if not leads and parts.scheme != "data":
                dead.append(f"{path.relative_to(root.resolve())}: {link}")
    for path in root.rglob("*.css"):
        for link in re.findall(r"url\(([^)]*)\)", path.read_text(encoding="utf-8")):
            link = link.strip("\"'")
            if not link.startswith("data:") and not (path.parent / urlsplit(link).path).is_file():
                dead.append(f"{path.relative_to(root)}: {link}")
    return dead


def test_every_link_and_anchor_of_the_demo_leads_somewhere(demo: Site):
    assert [] == dead_links(demo.root)


def test_no_id_stands_twice_on_a_page_of_the_demo(demo: Site):
    twice = {}
    for path in demo.pages():
        ids = re.findall(r'\sid="([^"]+)"', path.read_text(encoding="utf-8"))
        if len(ids) != len(set(ids)):
            twice[path.name] = sorted({name for name in ids if ids.count(name) > 1})

    assert {} == twice


def test_a_dead_link_is_found_in_a_page_a_drawing_and_an_anchor(tmp_path):
    (tmp_path / "a.html").write_text(
        '<a href="b.html">x</a><img src="c.png"><svg><a xlink:href="a.html#no"></a></svg>'
        '<a href="https://example.org/">y</a><a href="#yes"><p id="yes">'
    )

    dead = ["b.html", "c.png", "a.html#no", "https://example.org/"]
    assert [f"a.html: {link}" for link in dead] == dead_links(tmp_path)
