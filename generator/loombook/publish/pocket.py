"""The pocket file: look-up, fault finder, emergency cards and panel fronts in one HTML file that a phone opens from a message."""

from __future__ import annotations

import html
import re
import tempfile
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import quote, unquote

from markdown import Markdown

from loombook.manual.model import Manual, Page
from loombook.publish import assets, datablock, links, svg

NAME = "pocket.html"
"""What the file is called beside the site's pages."""

_STYLES = ("schemes.css", "blocks.css", "drawing.css", "find.css", "pocket.css", "paper.css", "card.css")
_SCRIPTS = ("find-reckon.js", "find-page.js", "pocket.js", "paper.js")
_EXTENSIONS = ["tables", "attr_list", "md_in_html", "def_list"]
_FIGURE = re.compile(
    r"(?:<figure[^>]*>\s*)?<!--figure:[\w.-]+-->(?:\s*<figcaption>.*?</figcaption>\s*</figure>)?", re.S
)
_SCREEN_ONLY = re.compile(r'<div class="lb-noprint">.*?</div>', re.S)
_HEADING = re.compile(r"(</?h)([1-5])\b")
_ID = re.compile(r'(\sid=")([^"]+)"')
_META = re.compile(r'<p class="lb-meta">.*?</p>', re.S)
_PANEL = "panel-front-"
_EMERGENCY = "emergency/"
_CARD = "emergency/isolate.md"
_POLICY = "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; img-src data:"
"""What a browser may fetch for this file: nothing."""


def pocket(manual: Manual) -> str:
    """The whole file as HTML. It asks for nothing, and is read without script too."""
    return "\n".join(_parts(_Pocket(manual)))


def write_pocket(manual: Manual, folder: Path) -> Path:
    """The pocket file in a folder that exists, whole or not at all; returns its path."""
    text = pocket(manual)
    with tempfile.TemporaryDirectory(prefix=".pocket-", dir=folder) as scratch:
        fresh = Path(scratch, NAME)
        fresh.write_text(text, encoding="utf-8", newline="\n")
        return fresh.replace(folder / NAME)


def _parts(made: _Pocket) -> Iterator[str]:
    title = html.escape(made.manual.vessel or made.manual.title)
    yield (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{_POLICY}">\n'
        '<meta name="format-detection" content="telephone=no">\n'
        f"<title>{title}: pocket file</title>"
    )
    yield f'<style>\n{styles()}\n</style>\n</head>\n<body class="md-typeset lb-pocket">'
    yield f'<header class="lb-pocket-head">\n<h1>{title}</h1>\n{made.meta()}{_CHOICE}\n</header>'
    yield f'<nav aria-label="In this file">\n<ul class="lb-buttons">\n{made.buttons()}\n</ul>\n</nav>\n<main>'
    yield _FINDER
    yield from made.emergency()
    yield from made.panels()
    yield made.devices()
    yield "</main>"
    yield datablock.block(made.manual.find, made.address)
    yield f"<script>\n{scripts()}\n</script>\n</body>\n</html>\n"


_CHOICE = """<fieldset class="lb-scheme"><legend>Colours</legend>
<label><input type="radio" name="lb-scheme" id="lb-day" value="day"> day</label>
<label><input type="radio" name="lb-scheme" id="lb-dark" value="dark"> dark</label>
<label><input type="radio" name="lb-scheme" id="lb-red" value="red"> red night</label>
</fieldset>"""

_FINDER = """<section id="find">
<h2 class="lb-unseen">Something is dead, or you look for something</h2>
<div id="lb-find" class="lb-find" data-address="look">
<p class="lb-box">Typing works only where scripts may run. Here they may not: use the list <a href="#devices">A to Z</a> below.</p>
</div>
</section>"""


class _Pocket:
    def __init__(self, manual: Manual) -> None:
        self.manual = manual
        self.pages = [page for page in manual.pages if page.path.startswith(_EMERGENCY)]
        self.here = {page.path: _anchor(page.path) for page in self.pages}
        self.things = manual.find.get("things", [])
        self.known = {thing["id"] for thing in self.things if thing["id"]}
        self.fronts = {name: drawing for name, drawing in manual.drawings.items() if name.startswith(_PANEL)}

    def address(self, link: str) -> str | None:
        """Where `item:F12` or `page:emergency/isolate.md` leads inside this file; None where it is not in it."""
        kind, _, rest = link.partition(":")
        name = unquote(rest.partition("#")[0])
        if kind == "item":
            return f"#look={quote(name)}" if name in self.known else None
        return f"#{self.here[name]}" if name in self.here else None

    def linked(self, text: str) -> str:
        """The text with links that lead somewhere in this file; the others become plain words."""
        return links.rewritten(text, self.address)

    def meta(self) -> str:
        home = next((page for page in self.manual.pages if page.path == "index.md"), None)
        found = _META.search(home.body) if home else None
        return f"{found[0]}\n" if found else ""

    def buttons(self) -> str:
        rows = [("#" + self.here[_CARD], "Something burns or smokes: isolate now")] if _CARD in self.here else []
        rows += [("#devices", "Every device, A to Z")]
        rows += [("#panels", "Panels, as they look")] if self.fronts else []
        return "\n".join(f'<li><a href="{target}">{words}</a></li>' for target, words in rows)

    def emergency(self) -> Iterator[str]:
        for page in self.pages:
            body = self._body(page)
            name = self.here[page.path]
            if page.path == _CARD:
                yield f'<section id="{name}">\n{body}\n</section>'
            else:
                yield f'<details id="{name}" class="lb-pocket-page">\n<summary>{html.escape(page.title)}</summary>\n{body}\n</details>'

    def _body(self, page: Page) -> str:
        """The page's body as HTML, one heading level lower, without drawings and without what only the site has."""
        text = _SCREEN_ONLY.sub("", _FIGURE.sub("", _META.sub("", page.body)))
        markdown = Markdown(extensions=_EXTENSIONS, output_format="html")
        body = _HEADING.sub(lambda m: f"{m[1]}{int(m[2]) + 1}", markdown.convert("\n" + text))
        return self.linked(_ID.sub(lambda m: f'{m[1]}{self.here[page.path]}-{m[2]}"', body))

    def panels(self) -> Iterator[str]:
        if not self.fronts:
            return
        yield '<section id="panels">\n<h2>Panels, as they look</h2>'
        for name, drawing in self.fronts.items():
            label = html.escape(svg.title_of(drawing).partition(". ")[0] or name)
            shown = self.linked(svg.inline(svg.cropped(drawing), f"{name}-"))
            box = f'<div class="lb-drawing" role="region" tabindex="0" aria-label="{label}">{shown}</div>'
            yield f'<details class="lb-pocket-page">\n<summary>{label}</summary>\n{box}\n</details>'
        yield "</section>"

    def devices(self) -> str:
        """Every device with its answer, A to Z, for a reader without script."""
        found = sorted((t for t in self.things if "consumer" in t), key=lambda t: (t["name"].casefold(), t["id"]))
        rows = "\n".join(map(_device, found))
        return f'<section id="devices">\n<h2>Every device and its fuse, A to Z</h2>\n{rows}\n</section>'


def _device(thing: dict) -> str:
    facts = "".join(f"<dt>{html.escape(term)}</dt><dd>{html.escape(words)}</dd>" for term, words in thing["answer"])
    id = html.escape(thing["id"])
    return (
        f'<section id="{id}" class="lb-pocket-device">\n<h3><bdi>{html.escape(thing["name"])}</bdi> <span class="lb-id">{id}</span></h3>\n'
        f'<dl class="lb-facts">{facts}</dl>\n</section>'
    )


def _anchor(path: str) -> str:
    return path.removesuffix(".md").replace("/", "-")


def styles() -> str:
    """All style sheets in one, with schemes that a choice on the page itself turns on, so that they need no script."""
    text = "\n".join(map(assets.text, _STYLES))
    dark = re.search(r'\[data-md-color-scheme="slate"\]\s*(\{.*?\})', text, re.S)[1]
    for scheme, choice in (("default", "day"), ("slate", "dark"), ("red", "red")):
        text = text.replace(f'html:has(body[data-md-color-scheme="{scheme}"])', f"html:has(#lb-{choice}:checked)")
        text = text.replace(f'[data-md-color-scheme="{scheme}"]', f"body:has(#lb-{choice}:checked)")
    text = text.replace("body[data-md-color-scheme]", "body").replace("[data-md-color-scheme]", "body")
    automatic = f"@media (prefers-color-scheme: dark) {{ body:not(:has([name=lb-scheme]:checked)) {dark} }}"
    return f"{text}\n{automatic}".replace("</", "<\\/")


def scripts() -> str:
    return "\n".join(map(assets.text, _SCRIPTS)).replace("</", "<\\/")
