"""Finds a Chromium: $LOOMBOOK_CHROMIUM, the system's, or the one that Playwright has installed."""

from __future__ import annotations

import os
import shutil
import sys
from pathlib import Path

NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")


def find() -> str | None:
    """Path of the program, or None."""
    named = os.environ.get("LOOMBOOK_CHROMIUM")
    if named:
        return shutil.which(named)
    return next(filter(None, map(shutil.which, NAMES)), None) or _playwrights_own()


def _playwrights_own() -> str | None:
    from playwright.sync_api import sync_playwright

    with sync_playwright() as session:
        path = session.chromium.executable_path
    return path if Path(path).exists() else None


if __name__ == "__main__":
    path = find()
    print(path or "no Chromium yet")
    sys.exit(path is None)
