"""Sets the paper writer's pages, and reads the sheets again."""

from __future__ import annotations

import re
import subprocess
import tempfile
from importlib.resources import files
from pathlib import Path

import typst

BLOCKS = files("loombook.manual") / "blocks.typ"


BOUND = "#let (lb-anchor, lb-heading, lb-why, lb-finding) = lb-page((:))\n#let lb-figure(..any) = none\n"
"""What whoever publishes says before a page."""


def compiled(source: str) -> bytes:
    """The PDF of some pages."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "manual.typ"
        path.write_text(BLOCKS.read_text(encoding="utf-8") + BOUND + source, encoding="utf-8")
        return typst.compile(str(path), root=folder)


def words(pdf: bytes) -> str:
    """What the sheets say, letters and digits only."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "manual.pdf"
        path.write_bytes(pdf)
        found = subprocess.run(
            ["pdftotext", "-layout", str(path), "-"], capture_output=True, check=True
        ).stdout.decode()
    return re.sub(r"\W", "", found)
