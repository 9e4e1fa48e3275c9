"""The dinghy's pages as they should read. `python -m tests.manual.golden` writes them anew, to be looked at."""

from __future__ import annotations

from pathlib import Path

from .boats import DINGHY, of_text, page

FOLDER = Path(__file__).parent / "golden"
KEPT = (
    "index.md",
    "orientation/system.md",
    "panels/X4.md",
    "lookup/index.md",
    "lookup/fuses.md",
    "lookup/lost.md",
    "banks/G1.md",
    "figures/drop.md",
    "findings/waivers.md",
    "running/spares.md",
    "circuits/C21.md",
    "items/F1.md",
    "items/W1.md",
)


def file_of(path: str) -> Path:
    """Where a page is kept."""
    return FOLDER / path.replace("/", "-")


if __name__ == "__main__":
    for path in KEPT:
        file_of(path).write_text(page(of_text(DINGHY), path), encoding="utf-8", newline="\n")
