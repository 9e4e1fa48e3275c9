"""The style sheets and scripts that the site carries with it, so that it never asks the network for one."""

from __future__ import annotations

from importlib.resources import files as _resources

_FOLDER = "assets/loombook"

STYLES = [
    f"{_FOLDER}/{name}" for name in ("schemes.css", "blocks.css", "drawing.css", "find.css", "paper.css", "card.css")
]
EARLY_SCRIPTS = [f"{_FOLDER}/{name}" for name in ("scheme.js", "iframe-worker.js")]
"""In the head, before anything is drawn."""
SCRIPTS = [f"{_FOLDER}/{name}" for name in ("paper.js", "drawing.js", "find-reckon.js", "find-page.js")]
IMAGES = [f"{_FOLDER}/mark.svg"]


def files() -> dict[str, bytes]:
    """Site path → content."""
    here = _resources(__name__)
    return {
        path: here.joinpath(path.rpartition("/")[2]).read_bytes() for path in STYLES + EARLY_SCRIPTS + SCRIPTS + IMAGES
    }


def text(name: str) -> str:
    """One of the files as text, to be put inside a page that carries everything itself."""
    return _resources(__name__).joinpath(name).read_text(encoding="utf-8")
