"""The launch's table of speed and range, as it is read at the helm: on a phone held upright."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.browser.conftest import ROOT

HELM = {"width": 390, "height": 844}
OVER = """() => [...document.querySelectorAll("article .lb-table")]
  .filter(box => box.scrollWidth > box.clientWidth + 1).map(box => box.innerText.slice(0, 40))"""
"""In the page: the tables of which a part is out of sight."""


@pytest.fixture(scope="module")
def launch(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The launch's site, without paper."""
    out = tmp_path_factory.mktemp("launch") / "site"
    settings = {**os.environ, "LOOMBOOK_PDF": "false", "LOOMBOOK_VESSEL": "tests/vessels/launch"}
    command = [sys.executable, "-m", "mkdocs", "build", "-q", "--strict", "--site-dir", str(out)]
    built = subprocess.run(command, cwd=ROOT, env=settings, capture_output=True, text=True, timeout=300)
    assert 0 == built.returncode, built.stderr
    return out


def test_speed_and_range_are_read_without_pushing_the_table_aside(launch: Path, open_page) -> None:
    page = open_page(launch / "figures" / "drive-M1.html", viewport=HELM)

    assert 2 == page.locator("article .lb-table").count()
    assert [] == page.evaluate(OVER)
