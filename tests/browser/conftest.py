"""The demo's manual, built once and opened from its folder in a browser that has no network."""

from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PHONE = {"width": 360, "height": 740}
DESK = {"width": 1280, "height": 900}


@dataclass(frozen=True)
class Site:
    """A built site."""

    root: Path

    def pages(self) -> list[Path]:
        return sorted(self.root.rglob("*.html"))

    def page_with(self, mark: str) -> Path:
        """The page on which `mark` stands most often."""
        own = [path for path in self.pages() if path.name != "pocket.html"]  # which has tests of its own
        found = max(own, key=lambda path: path.read_text(encoding="utf-8").count(mark))
        assert mark in found.read_text(encoding="utf-8"), f"no page with {mark}"
        return found

    @property
    def home(self) -> Path:
        return self.root / "index.html"

    @property
    def card(self) -> Path:
        return self.root / "emergency" / "isolate.html"

    @property
    def drawing(self) -> Path:
        return self.page_with("data-item=")

    @property
    def consumer(self) -> Path:
        headed = re.compile(r"<h1[^>]*>Depth sounder")
        return next(path for path in self.pages() if headed.search(path.read_text(encoding="utf-8")))

    @property
    def kinds(self) -> dict[str, Path]:
        """A page of each kind that is looked at here."""
        return {"home": self.home, "consumer": self.consumer, "drawing": self.drawing, "card": self.card}


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Site:
    """The demo vessel's site, as `make manual` builds it."""
    out = tmp_path_factory.mktemp("demo") / "site"
    command = [sys.executable, "-m", "mkdocs", "build", "--strict", "--site-dir", str(out)]
    built = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=300)
    assert 0 == built.returncode, built.stderr
    return Site(out)


@pytest.fixture
def open_page(chromium) -> Iterator[Callable]:
    """Opens a file of the site: `open_page(path, viewport=PHONE)`. At the end nothing may have asked for the network
    and nothing may have complained in the console."""
    contexts, left, complaints = [], [], []

    def answer(route) -> None:
        if route.request.url.startswith(("file:", "data:", "blob:", "about:")):
            route.continue_()
        else:
            left.append(route.request.url)
            route.abort()

    def fresh(viewport: dict = DESK, **more):
        context = chromium.new_context(viewport=viewport, offline=True, **more)
        contexts.append(context)
        context.route("**/*", answer)
        context.on("console", lambda said: said.type in ("error", "warning") and complaints.append(said.text))
        context.on("weberror", lambda error: complaints.append(str(error.error)))
        return context.new_page()

    def opened(path: Path, *, page=None, **settings):
        page = page or fresh(**settings)
        page.goto(path.as_uri(), wait_until="load")
        return page

    yield opened
    for context in contexts:
        context.close()
    assert [] == left, "the site asked the network"
    assert [] == complaints, "the browser complained"
