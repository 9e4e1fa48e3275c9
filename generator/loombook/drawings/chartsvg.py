"""Matplotlib's SVG made ours: same bytes for same data, ids of its own, colours by variables, text as text."""

from __future__ import annotations

import re
import warnings
from html import escape
from io import StringIO

from matplotlib.backends.backend_svg import FigureCanvasSVG
from matplotlib.figure import Figure

from loombook.drawings.svg import FONT

PAPER, TEXT, LINE, MUTED = "#fefefe", "#121212", "#101010", "#8a8a8a"
"""Stand-ins that the finished SVG replaces by variables."""
SERIES = ("#0b57a4", "#a8480f", "#2e6b34", "#8a2a6b", "#6b5a00", "#444444")
"""Colours of the series on paper."""

VARIABLES = {
    PAPER: "var(--lb-paper,#fff)",
    TEXT: "var(--lb-text,#111)",
    LINE: "var(--lb-line,#111)",
    MUTED: "var(--lb-faint,#888)",
    **{colour: f"var(--lb-{n},{colour})" for n, colour in enumerate(SERIES, 1)},
}


def themed(figure: Figure, name: str, title: str, about: str) -> str:
    """The figure as SVG text.

    Args:
        figure: the finished figure, 72 px to the inch
        name: prefix of all ids
        title: name for a screen reader
        about: one sentence on what it shows
    Returns:
        SVG text without date, without processing instructions, with `role="group"`
    """
    wide, tall = (round(side * 72) for side in figure.get_size_inches())
    buffer = StringIO()
    with warnings.catch_warnings():
        warnings.filterwarnings("ignore", "Glyph .* missing")  # the reader's browser has other fonts
        FigureCanvasSVG(figure).print_svg(
            buffer, metadata={"Date": None, "Creator": None, "Format": None, "Type": None}
        )
    inner = buffer.getvalue()
    inner = inner[inner.index("<svg") :]
    inner = inner[inner.index(">") + 1 : inner.rindex("</svg>")]
    inner = re.sub(r"<metadata>.*?</metadata>", "", inner, flags=re.DOTALL)
    inner = re.sub(r"<!--.*?-->", "", inner, flags=re.DOTALL)
    inner = re.sub(r'<style type="text/css">.*?</style>', "", inner, flags=re.DOTALL)
    inner = _named_ids(inner, name)
    inner = re.sub(r"#[0-9a-f]{6}\b", lambda found: VARIABLES.get(found[0], found[0]), inner)
    inner = _styled(inner)
    inner = re.sub(r"(?<![\d.>])-?\d+\.\d{3,}", lambda found: f"{round(float(found[0]), 2) + 0.0:g}", inner)
    inner = re.sub(r"\n\s*\n+", "\n", inner)
    told = escape(f"{title}. {about}" if about else title, quote=True)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" class="lb-svg lb-chart" '
        f'viewBox="0 0 {wide} {tall}" width="{wide}" height="{tall}" role="group" '
        f'aria-label="{escape(title, quote=True)}" '
        f'data-drawing="{name}">\n<title>{told}</title>\n<desc>{escape(about or title)}</desc>\n'
        f'<g style="stroke-linejoin:round;stroke-linecap:butt">{inner.strip()}\n</g>\n</svg>\n'
    )


def _named_ids(inner: str, name: str) -> str:
    """Ids in the order in which they appear, so that no random part remains, under the chart's own name."""
    ids = list(dict.fromkeys(re.findall(r'\bid="([^"]+)"', inner)))
    new = {old: f"{name}-{n}" for n, old in enumerate(ids)}
    used = set(re.findall(r'(?:href="#|url\(#)([^")]+)', inner))
    inner = re.sub(r' id="([^"]+)"', lambda found: f' id="{new[found[1]]}"' if found[1] in used else "", inner)
    return re.sub(r'(href="#|url\(#)([^")]+)', lambda found: found[1] + new.get(found[2], found[2]), inner)


def _styled(inner: str) -> str:
    """Fonts of the house; colours that Matplotlib writes as attributes put into style, where variables work."""
    inner = re.sub(r"font:\s*[\d.]+px[^;\"]*", lambda found: _font(found[0]), inner)
    inner = re.sub(r"font-family:[^;\"]*", f"font-family: {FONT}", inner)
    return re.sub(r'\b(fill|stroke)="(var\([^"]*\))"', r'style="\1:\2"', inner)


def _font(rule: str) -> str:
    size = re.search(r"[\d.]+px", rule)[0]
    return f"font: {size} {FONT}"
