"""A contact sheet of all sample drawings as one PNG, so that a reviewer sees them at once.

`python -m tests.drawings.contact_sheet OUT.png [day|dark|red]`
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

from tests.browser.chromium import find
from tests.drawings.golden import drawings

SCHEMES = {
    "day": "",
    "dark": ":root{--lb-paper:#121417;--lb-text:#eceff1;--lb-muted:#aab2b8;--lb-line:#eceff1;--lb-faint:#7d868c;"
    "--lb-fill:#23282d;"
    "--lb-accent:#7fb8ff;--lb-live:#ff6b7a;--lb-dead:#9aa3a9;--lb-1:#7fb8ff;--lb-2:#ff9d5c;--lb-3:#7fd184;}"
    "body{background:#121417}",
    "red": ":root{--lb-paper:#000;--lb-text:#f33;--lb-muted:#c22;--lb-line:#f33;--lb-faint:#a11;--lb-fill:#200;"
    "--lb-accent:#f66;"
    "--lb-live:#f55;--lb-dead:#a22;--lb-1:#f33;--lb-2:#e33;--lb-3:#d33;--lb-4:#c33;}body{background:#000}",
}


def photographed(browser: Any, drawings: list[str], out: Path, scheme: str = "day") -> None:
    """One picture of all these drawings in two columns."""
    style = (
        f"<style>{SCHEMES[scheme]}body{{margin:16px;columns:2;column-gap:24px;width:2400px}}"
        "div{break-inside:avoid;margin-bottom:24px}svg{max-width:100%;height:auto;display:block}</style>"
    )
    body = "".join(f"<div>{text}</div>" for text in drawings)
    page = browser.new_page(viewport={"width": 2440, "height": 800})
    page.set_content(f"<!doctype html><meta charset=utf-8>{style}{body}")
    page.screenshot(path=out, full_page=True)
    page.close()


def main(out: str, scheme: str = "day") -> None:
    """Photograph all sample drawings on one page."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as session:
        browser = session.chromium.launch(executable_path=find(), args=["--no-sandbox"])
        photographed(browser, list(drawings().values()), Path(out), scheme)
        browser.close()


if __name__ == "__main__":
    main(*sys.argv[1:])
