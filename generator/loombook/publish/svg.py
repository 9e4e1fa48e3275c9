"""Makes a drawing fit where it is shown: inline on a page, or as a file that stands alone."""

from __future__ import annotations

import html
import re

_PROLOGUE = re.compile(r"^\ufeff?\s*(<\?xml.*?\?>\s*)?(<!--.*?-->\s*)*(<!DOCTYPE.*?>\s*)?", re.S)
_ID = re.compile(r"""(\sid=)(["'])([^"']+)\2""")
_REFERENCE = re.compile(r"""(\s(?:xlink:)?href=["']#|url\(["']?#)([^"')]+)""")
_REFERENCES = re.compile(r"""(\s(?:aria-labelledby|aria-describedby|aria-controls)=)(["'])([^"']*)\2""")
_TITLE = re.compile(r"<title[^>]*>(.*?)</title>", re.S)
_PLATE = re.compile(r'<rect x="([\d.]+)" y="([\d.]+)" width="([\d.]+)" height="([\d.]+)" rx="')
_VARIABLE = re.compile(r"var\(\s*--[\w-]+\s*,\s*([^()]*(?:\([^()]*\)[^()]*)*)\)")


def inline(svg: str, prefix: str) -> str:
    """The drawing for the body of an HTML page.

    Every id and every reference to one gets `prefix`, because ids must be unique over all drawings of a page.

    >>> inline('<?xml version="1.0"?><svg><clipPath id="c"/><g clip-path="url(#c)"/></svg>', "ship-")
    '<svg><clipPath id="ship-c"/><g clip-path="url(#ship-c)"/></svg>'
    """
    svg = _PROLOGUE.sub("", svg, count=1).rstrip()
    known = {match[3] for match in _ID.finditer(svg)}

    def own(name: str) -> str:
        return prefix + name if name in known else name

    svg = _ID.sub(lambda m: f"{m[1]}{m[2]}{own(m[3])}{m[2]}", svg)
    svg = _REFERENCE.sub(lambda m: m[1] + own(m[2]), svg)
    return _REFERENCES.sub(lambda m: f"{m[1]}{m[2]}{' '.join(map(own, m[3].split()))}{m[2]}", svg)


def boxed(svg: str, name: str, count: int) -> str:
    """The drawing in a box of its own that scrolls, so that a phone shows it at a size that can be read.

    Args:
        svg: the drawing
        name: the drawing's own
        count: how often the page showed it before
    """
    label = html.escape(title_of(svg) or name)
    box = f'<div class="lb-drawing" role="region" tabindex="0" aria-label="{label}">'
    prefix = f"{name.replace('.', '-')}-{count}-"
    return f"{box}{inline(svg, prefix)}</div>"


def standalone(svg: str) -> str:
    """The drawing as a file of its own: black on white, for a reader that knows no CSS variables.

    >>> standalone('<path style="stroke: var(--lb-line, #111)"/>')
    '<path style="stroke: #111"/>'
    """
    return _VARIABLE.sub(lambda m: m[1].strip(), svg)


def title_of(svg: str) -> str:
    """What the drawing shows, in plain text: its first `<title>`, or nothing.

    >>> title_of("<svg><title>Ship &amp; shore</title></svg>")
    'Ship & shore'
    """
    found = _TITLE.search(svg)
    return html.unescape(" ".join(found[1].split())) if found else ""


def cropped(svg: str) -> str:
    """A sheet's drawing without its frame and title block, for a small screen: cut to its largest plate.

    A plate is a rectangle with rounded corners, as a panel's front has; a drawing without one stays as it is.

    >>> cropped('<svg viewBox="0 0 90 50" width="90" height="50"><rect x="9" y="5" width="60" height="30" rx="8"/></svg>')[:49]
    '<svg viewBox="5 1 68 38" width="68" height="38"><'
    """
    plates = [tuple(float(n) for n in found) for found in _PLATE.findall(svg)]
    if not plates:
        return svg
    x, y, wide, high = max(plates, key=lambda plate: plate[2] * plate[3])
    size = {
        "viewBox": f"{x - 4:g} {y - 4:g} {wide + 8:g} {high + 8:g}",
        "width": f"{wide + 8:g}",
        "height": f"{high + 8:g}",
    }
    head, mark, rest = (
        svg.partition(">") if not svg.startswith("<?xml") else _PROLOGUE.sub("", svg, count=1).partition(">")
    )
    head = re.sub(r'\s(?:class|data-paper)="[^"]*"', "", head)
    return re.sub(r'\s(viewBox|width|height)="[^"]*"', lambda m: f' {m[1]}="{size[m[1]]}"', head) + mark + rest
